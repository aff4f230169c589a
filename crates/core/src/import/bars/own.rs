//! Meters that a part, or one staff of it, has for itself where the bar table has another one.

use super::meters::{BarMeter, at};
use super::{Stretch, part_name};
use crate::bar::BarIndex;
use crate::diag::Code;
use crate::import::log::Log;
use crate::import::raw::{Pos, RawMeter, RawPart};
use crate::meter::Meter;
use crate::part_bars::OwnMeter;

/// The most staves of a part that are told apart here.
const MAX_STAVES: u8 = 8;

/// What counts for a staff.
#[derive(Clone, Copy, Debug)]
enum Lane<'a> {
    /// What the bar table has.
    Table,
    /// What the part states.
    Own(&'a Meter),
}

/// The meters of their own of all parts, and a finding for each place where one begins.
pub(super) fn of(
    stretch: &Stretch<'_>,
    meters: &[BarMeter<'_>],
    log: &mut Log,
) -> Vec<Vec<OwnMeter>> {
    stretch.parts.iter().map(|part| of_part(stretch, part, meters, log)).collect()
}

fn of_part(
    stretch: &Stretch<'_>,
    part: &RawPart,
    meters: &[BarMeter<'_>],
    log: &mut Log,
) -> Vec<OwnMeter> {
    let staves = part.staves.clamp(1, MAX_STAVES);
    let mut lanes = vec![Lane::Table; usize::from(staves)];
    let mut out: Vec<OwnMeter> = Vec::new();
    let mut table: Option<&[crate::meter::MeterTerm]> = None;
    for (idx, meter) in stretch.range.clone().zip(meters) {
        let here = meter.meter.as_ref().map(|meter| meter.terms.as_slice());
        let begins = idx == stretch.range.start;
        let stated: Vec<&RawMeter> = if begins {
            before(&part.meters, idx).into_iter().chain(at(&part.meters, idx)).collect()
        } else {
            at(&part.meters, idx).collect()
        };
        if stated.is_empty() && here == table && lanes.iter().all(|l| matches!(l, Lane::Table)) {
            continue;
        }
        table = here;
        for raw in stated {
            let lane = if agrees(&raw.meter, meter) { Lane::Table } else { Lane::Own(&raw.meter) };
            if matches!(lane, Lane::Own(_)) && raw.bar as usize == idx {
                report(part, raw, meter, idx, log);
            }
            set(&mut lanes, raw.staff, lane);
        }
        for lane in &mut lanes {
            if let Lane::Own(own) = lane
                && agrees(own, meter)
            {
                *lane = Lane::Table;
            }
        }
        let bar = BarIndex::from(idx - stretch.range.start);
        extend(&mut out, &lanes, bar);
    }
    out.sort_by_key(|own| (own.from, own.staff));
    out
}

/// The signatures in force before a bar: the last of each staff since the last for all.
fn before(meters: &[RawMeter], idx: usize) -> Vec<&RawMeter> {
    let end = meters.partition_point(|meter| (meter.bar as usize) < idx);
    let mut found: Vec<&RawMeter> = Vec::new();
    for meter in meters.get(..end).unwrap_or_default().iter().rev() {
        if !found.iter().any(|known| known.staff == meter.staff) {
            found.push(meter);
        }
        if meter.staff.is_none() || found.len() > usize::from(MAX_STAVES) {
            break;
        }
    }
    found.reverse();
    found
}

/// Whether a stated signature is the one that the bar table has, or one of the two that it has.
fn agrees(own: &Meter, table: &BarMeter<'_>) -> bool {
    let same = |other: Option<&Meter>| other.is_some_and(|other| other.terms == own.terms);
    same(table.meter.as_ref()) || same(table.stated.map(|raw| &raw.meter))
}

fn set<'a>(lanes: &mut [Lane<'a>], staff: Option<u8>, lane: Lane<'a>) {
    match staff {
        None => lanes.fill(lane),
        Some(staff) => {
            let idx = usize::from(staff.max(1) - 1);
            if let Some(slot) = lanes.get_mut(idx) {
                *slot = lane;
            }
        }
    }
}

/// Lengthens the spans that go on in this bar, and begins new ones.
fn extend(out: &mut Vec<OwnMeter>, lanes: &[Lane<'_>], bar: BarIndex) {
    let own = |lane: &Lane<'_>| match lane {
        Lane::Table => None,
        Lane::Own(meter) => Some((*meter).clone()),
    };
    let all: Vec<Option<Meter>> = lanes.iter().map(own).collect();
    let first = all.first().cloned().flatten();
    let alike = all
        .iter()
        .all(|meter| meter.as_ref().map(|m| &m.terms) == first.as_ref().map(|m| &m.terms));
    let spans: Vec<(Option<u8>, Meter)> = if alike {
        first.map(|meter| (None, meter)).into_iter().collect()
    } else {
        let staff = |(nth, meter): (usize, Option<Meter>)| {
            Some((Some(u8::try_from(nth + 1).unwrap_or(u8::MAX)), meter?))
        };
        all.into_iter().enumerate().filter_map(staff).collect()
    };
    for (staff, meter) in spans {
        let recent = out.iter_mut().rev().take(usize::from(MAX_STAVES));
        let goes_on = |known: &&mut OwnMeter| {
            known.staff == staff && known.to.0 + 1 == bar.0 && known.meter.terms == meter.terms
        };
        match recent.into_iter().find(goes_on) {
            Some(known) => known.to = bar,
            None => out.push(OwnMeter { from: bar, to: bar, staff, meter }),
        }
    }
}

fn report(part: &RawPart, raw: &RawMeter, table: &BarMeter<'_>, idx: usize, log: &mut Log) {
    let Some(meter) = table.meter.as_ref() else { return };
    let pos = Pos { bar: idx as u32, offset: 0 };
    log.add(Code::MeterDiffers, pos, raw.byte, || {
        let name = part_name(part);
        let own = &raw.meter;
        match raw.staff {
            Some(staff) if part.staves > 1 => {
                format!("staff {staff} of {name} has {own} where the bars have {meter}")
            }
            _ => format!("{name} has {own} where the first part has {meter}"),
        }
    });
}
