//! From the bars of all parts to one bar table: lengths, meters, pickups, split bars, repeats.

use super::flow;
use super::limits::MAX_MOVEMENT_QUARTERS;
use super::log::Log;
use super::raw::{Pos, RawBar, RawPart};
use crate::bar::{Bar, BarTable, Barline};
use crate::diag::Code;
use crate::meter::{Meter, MeterSign};
use crate::time::{Quarters, Resolution, Ticks};
use std::ops::Range;

/// The bars of a movement: those of `range` in the document. `line` finds the line of a byte.
/// `None` if the movement is too long to be held exactly.
pub(super) fn table(
    parts: &[RawPart],
    range: &Range<usize>,
    resolution: Resolution,
    line: impl Fn(usize) -> u32,
    log: &mut Log,
) -> Option<BarTable> {
    let mut maker = Maker::new(parts, range, resolution);
    for idx in range.clone() {
        maker.bar(idx, &line, log);
    }
    let mut bars = maker.bars;
    flow::settle(&mut bars);
    let longest = MAX_MOVEMENT_QUARTERS * i64::from(resolution.ticks_per_quarter());
    let end = bars.iter().try_fold(0i64, |sum, bar| sum.checked_add(bar.length.0));
    let end_of_nominal = bars.iter().try_fold(0i64, |sum, bar| sum.checked_add(bar.nominal.0));
    let fits = |end: Option<i64>| end.is_some_and(|end| end <= longest);
    (fits(end) && fits(end_of_nominal)).then(|| BarTable::new(bars))
}

/// The first part that has a bar at this index.
pub(super) fn lead(parts: &[RawPart], idx: usize) -> Option<&RawBar> {
    parts.iter().find_map(|part| part.bars.get(idx))
}

struct Maker<'a> {
    parts: &'a [RawPart],
    range: &'a Range<usize>,
    resolution: Resolution,
    /// The part whose meters count.
    leader: usize,
    meter: Option<Meter>,
    meter_reported: bool,
    bars: Vec<Bar>,
    /// What the bars since the last whole one last together.
    sum: Ticks,
}

impl<'a> Maker<'a> {
    fn new(parts: &'a [RawPart], range: &'a Range<usize>, resolution: Resolution) -> Self {
        let states_meter = |part: &RawPart| part.bars.iter().any(|bar| bar.meter.is_some());
        let leader = parts.iter().position(states_meter).unwrap_or(0);
        let before = parts.get(leader).and_then(|part| part.bars.get(..range.start));
        let meter = before.unwrap_or_default().iter().rev().find_map(|bar| bar.meter.clone());
        Self {
            parts,
            range,
            resolution,
            leader,
            meter,
            meter_reported: false,
            bars: Vec::with_capacity(range.len()),
            sum: Ticks::ZERO,
        }
    }

    fn bar(&mut self, idx: usize, line: &impl Fn(usize) -> u32, log: &mut Log) {
        let Some(first) = lead(self.parts, idx) else { return };
        self.meters(idx, first, log);
        let stated = self.meter.as_ref().and_then(Meter::bar_length);
        let nominal = stated.and_then(|length| self.resolution.ticks(length));
        let length = self.length(idx, nominal, first, log);
        let (pickup, continues) = self.kind(idx, first, length, nominal, log);
        let unnumbered =
            continues && first.number.starts_with(['X', 'x']) || pickup && first.number == "0";
        let meter =
            self.meter.clone().unwrap_or(Meter { terms: Vec::new(), sign: MeterSign::Hidden });
        let (flow, barline) = flow::of_bar(self.parts, idx, log);
        self.bars.push(Bar {
            start: Ticks::ZERO,
            length,
            nominal: nominal.unwrap_or(length),
            meter,
            label: if unnumbered { String::new() } else { first.label.clone() },
            pickup,
            continues,
            rehearsal: self.here(idx).find_map(|bar| bar.rehearsal.clone()),
            barline,
            flow,
            line: line(first.byte),
        });
    }

    fn here(&self, idx: usize) -> impl Iterator<Item = &'a RawBar> + use<'a> {
        self.parts.iter().filter_map(move |part| part.bars.get(idx))
    }

    fn meters(&mut self, idx: usize, first: &RawBar, log: &mut Log) {
        let leader = self.parts.get(self.leader).and_then(|part| part.bars.get(idx));
        if let Some(meter) = leader.and_then(|bar| bar.meter.clone()) {
            self.meter = Some(meter);
        }
        let pos = Pos { bar: idx as u32, offset: 0 };
        match &self.meter {
            None if !self.meter_reported => {
                self.meter_reported = true;
                log.add(Code::MeterMissing, pos, first.byte, || {
                    String::from("no time signature is stated; bars are as long as what is in them")
                });
            }
            _ => {}
        }
        for part in self.parts {
            let Some(bar) = part.bars.get(idx) else { continue };
            let (Some(own), Some(meter)) = (&bar.meter, &self.meter) else { continue };
            if own.terms != meter.terms {
                let name = part_name(part);
                log.add(Code::MeterDiffers, pos, bar.byte, || {
                    format!("{name} has {own} where the first part has {meter}")
                });
            }
        }
    }

    /// What sounds: the longest part. A rest for the whole bar that is longer than the meter does
    /// not lengthen a bar in which others play, and a skip does not lengthen the last bar: some
    /// programs fill up with one where the last bar is short because of the upbeat.
    fn length(&self, idx: usize, nominal: Option<Ticks>, first: &RawBar, log: &mut Log) -> Ticks {
        let is_last = idx + 1 == self.range.end && self.here(idx).any(|bar| bar.filled > 0);
        let of_bar = |bar: &RawBar| if is_last { bar.filled } else { bar.length };
        let longest = |empty: bool| {
            let of_kind = self.here(idx).filter(|bar| bar.empty == empty);
            of_kind.map(of_bar).max().unwrap_or(0)
        };
        let (played, rested) = (longest(false), longest(true));
        let full = nominal.map_or(i64::MAX, |nominal| nominal.0);
        let rested = if played > 0 { rested.min(full.max(played)) } else { rested };
        let length = played.max(rested);
        if length == 0 {
            return nominal.unwrap_or_default();
        }
        let differs = |bar: &RawBar| of_bar(bar) > 0 && of_bar(bar) != length;
        let odd = self.parts.iter().find(|part| part.bars.get(idx).is_some_and(differs));
        if let Some((part, bar)) = odd.and_then(|part| Some((part, part.bars.get(idx)?))) {
            let pos = Pos { bar: idx as u32, offset: 0 };
            let quarters = |ticks: i64| self.resolution.quarters(Ticks(ticks));
            log.add(Code::BarLengthsDiffer, pos, bar.byte.max(first.byte), || {
                format!(
                    "the bar lasts {} quarters, but {} in {}",
                    quarters(length),
                    quarters(of_bar(bar)),
                    part_name(part)
                )
            });
        }
        Ticks(length)
    }

    /// Whether a bar is an upbeat, and whether it is the second half of the one before.
    fn kind(
        &mut self,
        idx: usize,
        first: &RawBar,
        length: Ticks,
        nominal: Option<Ticks>,
        log: &mut Log,
    ) -> (bool, bool) {
        let Some(full) = nominal.filter(|full| length < *full) else {
            self.sum = Ticks::ZERO;
            return (false, false);
        };
        let before = idx.checked_sub(1).filter(|before| *before >= self.range.start);
        let before = before.and_then(|before| lead(self.parts, before));
        let Some(before) = before else {
            self.sum = Ticks::ZERO;
            let pickup = self.range.len() > 1;
            if pickup && !first.implicit {
                self.report_pickup(idx, first, length, log);
            }
            return (pickup, false);
        };
        let number = first.number.as_str();
        let marked = first.implicit
            || number.is_empty()
            || number.starts_with(['X', 'x'])
            || number == before.number;
        let seam = self.here(idx).any(|bar| bar.flow.repeat_start)
            || self.here(idx - 1).any(|bar| {
                bar.flow.repeat_end.is_some()
                    || bar.heavy_end
                    || matches!(bar.barline, Barline::Double | Barline::Final)
            });
        let together = self.sum + length;
        let goes_on = self.sum > Ticks::ZERO;
        let completes = goes_on && together == full && (marked || seam);
        if completes || goes_on && marked && together < full {
            self.sum = if completes { Ticks::ZERO } else { together };
            return (false, true);
        }
        self.sum = length;
        let pickup = seam && !self.bars.last().is_some_and(|bar| bar.continues);
        if pickup && !first.implicit {
            self.report_pickup(idx, first, length, log);
        }
        if pickup {
            // An upbeat has no second half.
            self.sum = Ticks::ZERO;
        }
        (pickup, false)
    }

    fn report_pickup(&self, idx: usize, first: &RawBar, length: Ticks, log: &mut Log) {
        let pos = Pos { bar: idx as u32, offset: 0 };
        let quarters: Quarters = self.resolution.quarters(length);
        log.add(Code::PickupFound, pos, first.byte, || {
            format!("the bar lasts {quarters} quarters and was taken as an upbeat")
        });
    }
}

pub(super) fn part_name(part: &RawPart) -> &str {
    if part.header.name.is_empty() { &part.header.id } else { &part.header.name }
}
