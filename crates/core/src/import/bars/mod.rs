//! From the bars of all parts to one bar table: lengths, meters, pickups, split bars, repeats.

mod halves;
mod lengths;
mod meters;
mod own;
mod rehearsal;

use super::flow;
use super::log::Log;
use super::raw::{RawBar, RawPart};
use crate::bar::{Bar, BarTable};
use crate::meter::{Meter, MeterSign};
use crate::part_bars::OwnMeter;
use crate::time::{Resolution, Ticks};
use lengths::Extent;
use meters::BarMeter;
use std::ops::Range;

/// The bars of a movement, and the meters that parts have for themselves.
pub(super) struct Table {
    pub(super) bars: BarTable,
    /// For each part of the document.
    pub(super) own_meters: Vec<Vec<OwnMeter>>,
}

/// The bars of a movement: those of `range` in the document. `line` finds the line of a byte.
/// `None` if the movement is too long to be held exactly.
pub(super) fn table(
    parts: &[RawPart],
    range: &Range<usize>,
    resolution: Resolution,
    longest: i64,
    line: impl Fn(usize) -> u32,
    log: &mut Log,
) -> Option<Table> {
    let stretch = Stretch { parts, range, resolution };
    let extents: Vec<Extent> = range.clone().map(|idx| stretch.extent(idx)).collect();
    let meters = meters::of(&stretch, &extents, log);
    let own_meters = own::of(&stretch, &meters, log);
    let nominals: Vec<Option<Ticks>> =
        meters.iter().map(|meter| stretch.ticks_of(meter.meter.as_ref())).collect();
    let mut lengths = Vec::with_capacity(range.len());
    for ((idx, extent), nominal) in range.clone().zip(&extents).zip(&nominals) {
        let length = extent.length(*nominal);
        stretch.report_lengths(idx, length, log);
        lengths.push(length);
    }
    let halves = halves::of(&stretch, &lengths, &nominals, log);
    let mut bars = Vec::with_capacity(range.len());
    let kinds = halves.into_iter().zip(&lengths).zip(&nominals);
    for ((idx, meter), ((half, length), nominal)) in range.clone().zip(&meters).zip(kinds) {
        if let Some(first) = lead(parts, idx) {
            bars.push(stretch.bar((idx, first), meter, half, (*length, *nominal), &line, log));
        }
    }
    flow::settle(&mut bars);
    let longest = longest * i64::from(resolution.ticks_per_quarter());
    let end = bars.iter().try_fold(0i64, |sum, bar| sum.checked_add(bar.length.0));
    let end_of_nominal = bars.iter().try_fold(0i64, |sum, bar| sum.checked_add(bar.nominal.0));
    let fits = |end: Option<i64>| end.is_some_and(|end| end <= longest);
    let fits = fits(end) && fits(end_of_nominal);
    fits.then(|| Table { bars: BarTable::new(bars), own_meters })
}

/// The first part that has a bar at this index.
pub(super) fn lead(parts: &[RawPart], idx: usize) -> Option<&RawBar> {
    parts.iter().find_map(|part| part.bars.get(idx))
}

/// The bars of a movement in all parts.
struct Stretch<'a> {
    parts: &'a [RawPart],
    range: &'a Range<usize>,
    resolution: Resolution,
}

impl<'a> Stretch<'a> {
    fn here(&self, idx: usize) -> impl Iterator<Item = &'a RawBar> + use<'a> {
        self.parts.iter().filter_map(move |part| part.bars.get(idx))
    }

    /// The length of a bar in a meter; `None` if it is not known.
    fn ticks_of(&self, meter: Option<&Meter>) -> Option<Ticks> {
        self.resolution.ticks(meter?.bar_length()?)
    }

    fn bar(
        &self,
        (idx, first): (usize, &RawBar),
        meter: &BarMeter<'_>,
        half: halves::Half,
        (length, nominal): (Ticks, Option<Ticks>),
        line: &impl Fn(usize) -> u32,
        log: &mut Log,
    ) -> Bar {
        let halves::Half { pickup, continues } = half;
        let unnumbered =
            continues && first.number.starts_with(['X', 'x']) || pickup && first.number == "0";
        let none = || Meter { terms: Vec::new(), sign: MeterSign::Hidden };
        let (flow, barline) = flow::of_bar(self.parts, idx, log);
        Bar {
            start: Ticks::ZERO,
            length,
            nominal: nominal.unwrap_or(length),
            meter: meter.meter.clone().unwrap_or_else(none),
            other_meter: meter.other.clone(),
            label: if unnumbered { String::new() } else { first.label.clone() },
            pickup,
            continues,
            rehearsal: rehearsal::of_bar(self.parts, idx, log),
            barline,
            flow,
            line: line(first.byte),
        }
    }
}

pub(super) fn part_name(part: &RawPart) -> &str {
    if part.header.name.is_empty() { &part.header.id } else { &part.header.name }
}
