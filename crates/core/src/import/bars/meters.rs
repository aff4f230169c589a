//! The meter of every bar: what the first part that states meters says, and of two signatures that
//! stand for bars in turn, the one that the bar fills.

use super::lengths::Extent;
use super::{Stretch, lead, part_name};
use crate::diag::Code;
use crate::import::log::Log;
use crate::import::raw::{Pos, RawMeter, RawPart};
use crate::meter::{Meter, MeterTerm};
use crate::time::Ticks;

/// The meter of a bar.
#[derive(Clone, Debug, Default)]
pub(super) struct BarMeter<'a> {
    /// The signature as the file states it; `None` if none is stated yet.
    pub(super) stated: Option<&'a RawMeter>,
    /// The meter of this bar.
    pub(super) meter: Option<Meter>,
    /// The other of two.
    pub(super) other: Option<Meter>,
}

/// The meters of all bars.
pub(super) fn of<'a>(
    stretch: &Stretch<'a>,
    extents: &[Extent],
    log: &mut Log,
) -> Vec<BarMeter<'a>> {
    let stated = stated(stretch, log);
    let mut meters = Vec::with_capacity(stated.len());
    let same = |a: &Option<&RawMeter>, b: &Option<&RawMeter>| match (a, b) {
        (Some(a), Some(b)) => std::ptr::eq(*a, *b),
        (None, None) => true,
        _ => false,
    };
    let mut from = 0;
    for run in stated.chunk_by(same) {
        let extents = extents.get(from..from + run.len()).unwrap_or_default();
        let first = stretch.range.start + from;
        meters.extend(of_run(stretch, first, run.first().copied().flatten(), extents));
        from += run.len();
    }
    meters
}

/// The signature in force in every bar.
fn stated<'a>(stretch: &Stretch<'a>, log: &mut Log) -> Vec<Option<&'a RawMeter>> {
    let states = |part: &RawPart, wanted: fn(&RawMeter) -> bool| part.meters.iter().any(wanted);
    let position = |wanted| stretch.parts.iter().position(|part| states(part, wanted));
    // Where the first staff states nothing, what the others state makes the bars.
    let (leader, counts): (usize, fn(&RawMeter) -> bool) = match position(for_all) {
        Some(leader) => (leader, for_all),
        None => (position(|_| true).unwrap_or(0), |_| true),
    };
    let of_leader = stretch.parts.get(leader).map_or(&[][..], |part| part.meters.as_slice());
    let n_before = of_leader.partition_point(|meter| (meter.bar as usize) < stretch.range.start);
    let before = of_leader.get(..n_before).unwrap_or_default();
    let mut meter = before.iter().rev().find(|meter| counts(meter));
    let mut out = Vec::with_capacity(stretch.range.len());
    let mut reported = false;
    for idx in stretch.range.clone() {
        match at(of_leader, idx).rfind(|meter| counts(meter)) {
            Some(new) => meter = Some(new),
            None => meter = adopted(stretch, leader, idx, meter, log).or(meter),
        }
        if meter.is_none() && !reported {
            reported = true;
            let pos = Pos { bar: idx as u32, offset: 0 };
            let byte = lead(stretch.parts, idx).map_or(0, |bar| bar.byte);
            log.add(Code::MeterMissing, pos, byte, || {
                String::from("no time signature is stated; bars are as long as what is in them")
            });
        }
        out.push(meter);
    }
    out
}

/// Whether a signature is for the whole part, or for its first staff.
fn for_all(meter: &RawMeter) -> bool {
    meter.staff.is_none_or(|staff| staff == 1)
}

/// The signatures that begin at a bar.
pub(super) fn at(meters: &[RawMeter], idx: usize) -> impl DoubleEndedIterator<Item = &RawMeter> {
    let first = meters.partition_point(|meter| (meter.bar as usize) < idx);
    let last = meters.partition_point(|meter| (meter.bar as usize) <= idx);
    meters.get(first..last).unwrap_or_default().iter()
}

/// A signature that the first part forgot: it states none here, its bar does not fit the one in
/// force, and all others that state one state the one that fits.
fn adopted<'a>(
    stretch: &Stretch<'a>,
    leader: usize,
    idx: usize,
    in_force: Option<&RawMeter>,
    log: &mut Log,
) -> Option<&'a RawMeter> {
    let others = || stretch.parts.iter().filter_map(|part| at(&part.meters, idx).next_back());
    let new = others().next()?;
    let part = stretch.parts.get(leader)?;
    let length = Ticks(part.bars.get(idx)?.filled);
    let fits = |meter: &RawMeter| stretch.ticks_of(Some(&meter.meter)) == Some(length);
    let all_say_so = others().all(|other| other.meter.terms == new.meter.terms);
    if !fits(new) || in_force.is_some_and(fits) || !all_say_so {
        return None;
    }
    let pos = Pos { bar: idx as u32, offset: 0 };
    log.add(Code::MeterDiffers, pos, new.byte, || {
        let (name, meter) = (part_name(part), &new.meter);
        format!(
            "{name} states no {meter} here as others do, and its bar is as long; {meter} counts"
        )
    });
    Some(new)
}

/// The meters of bars under one signature.
fn of_run<'a>(
    stretch: &Stretch<'a>,
    first: usize,
    stated: Option<&'a RawMeter>,
    extents: &[Extent],
) -> Vec<BarMeter<'a>> {
    let Some(raw) = stated else { return vec![BarMeter::default(); extents.len()] };
    if let Some(turns) = in_turn(stretch, first, &raw.meter, extents) {
        let of_bar = |(nth, _): (usize, _)| {
            let term = |nth: usize| turns.get(nth % turns.len()).cloned();
            BarMeter { stated, meter: term(nth), other: term(nth + 1) }
        };
        return extents.iter().enumerate().map(of_bar).collect();
    }
    let of_bar = |extent: &Extent| match &raw.other {
        Some(other) if fills(stretch, *extent, other) && !fills(stretch, *extent, &raw.meter) => {
            BarMeter { stated, meter: Some(other.clone()), other: Some(raw.meter.clone()) }
        }
        other => BarMeter { stated, meter: Some(raw.meter.clone()), other: other.clone() },
    };
    extents.iter().map(of_bar).collect()
}

fn fills(stretch: &Stretch<'_>, extent: Extent, meter: &Meter) -> bool {
    let length = if extent.played > 0 { extent.played } else { extent.rested };
    stretch.ticks_of(Some(meter)) == Some(Ticks(length))
}

/// A signature of several pairs whose bars take one pair each, in turn, all through and at least once
/// around: the bars alternate (common practice), where otherwise each would hold the sum.
fn in_turn(
    stretch: &Stretch<'_>,
    first: usize,
    meter: &Meter,
    extents: &[Extent],
) -> Option<Vec<Meter>> {
    let n = meter.terms.len();
    if n < 2 || extents.len() < n {
        return None;
    }
    let single = |term: &MeterTerm| Meter { terms: vec![term.clone()], sign: meter.sign };
    let turns: Vec<Meter> = meter.terms.iter().map(single).collect();
    let one_each = extents.iter().enumerate().all(|(nth, extent)| {
        let bar = lead(stretch.parts, first + nth);
        // The halves of a split bar are not bars.
        let counted = bar.is_some_and(|bar| !bar.implicit && !bar.number.starts_with(['X', 'x']));
        counted && turns.get(nth % n).is_some_and(|meter| fills(stretch, *extent, meter))
    });
    one_each.then_some(turns)
}
