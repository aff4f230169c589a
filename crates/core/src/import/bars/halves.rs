//! Which short bars are upbeats, and which are further parts of a bar that was split.

use super::{Stretch, lead};
use crate::bar::Barline;
use crate::diag::Code;
use crate::import::log::Log;
use crate::import::raw::{Pos, RawBar};
use crate::time::Ticks;

/// What a bar is beside a whole one.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(super) struct Half {
    /// An upbeat.
    pub(super) pickup: bool,
    /// A further part of the bar before.
    pub(super) continues: bool,
}

/// What all bars are, from their lengths and those of their meters.
pub(super) fn of(
    stretch: &Stretch<'_>,
    lengths: &[Ticks],
    nominals: &[Option<Ticks>],
    log: &mut Log,
) -> Vec<Half> {
    let mut maker = Maker {
        stretch,
        lengths,
        nominals,
        sum: Ticks::ZERO,
        before_endings: Ticks::ZERO,
        halves: Vec::with_capacity(lengths.len()),
    };
    for nth in 0..lengths.len() {
        let half = maker.half(nth);
        if half.pickup {
            maker.report_pickup(nth, log);
        }
        maker.halves.push(half);
    }
    maker.report_odd(log);
    maker.halves
}

struct Maker<'a> {
    stretch: &'a Stretch<'a>,
    lengths: &'a [Ticks],
    nominals: &'a [Option<Ticks>],
    /// What the bars since the last whole one last together.
    sum: Ticks,
    /// The same before the first of several endings: each of them goes on from there.
    before_endings: Ticks,
    halves: Vec<Half>,
}

impl Maker<'_> {
    /// The first part's bar.
    fn lead(&self, nth: usize) -> Option<&RawBar> {
        lead(self.stretch.parts, self.stretch.range.start + nth)
    }

    fn here(&self, nth: usize) -> impl Iterator<Item = &RawBar> {
        self.stretch.here(self.stretch.range.start + nth)
    }

    fn length(&self, nth: usize) -> Option<Ticks> {
        self.lengths.get(nth).copied()
    }

    fn nominal(&self, nth: usize) -> Option<Ticks> {
        self.nominals.get(nth).copied().flatten()
    }

    /// The file does not count the bar as one of its own.
    fn is_marked(&self, nth: usize) -> bool {
        let Some(bar) = self.lead(nth) else { return false };
        let before = nth.checked_sub(1).and_then(|before| self.lead(before));
        let number = bar.number.as_str();
        bar.implicit
            || number.is_empty()
            || number.starts_with(['X', 'x'])
            || before.is_some_and(|before| number == before.number)
    }

    /// A repeat sign, a double line or a thick line stands before the bar.
    fn has_seam_before(&self, nth: usize) -> bool {
        let ends = |bar: &RawBar| {
            bar.flow.repeat_end.is_some()
                || bar.heavy_end
                || matches!(bar.barline, Barline::Double | Barline::Final)
        };
        self.here(nth).any(|bar| bar.flow.repeat_start)
            || nth.checked_sub(1).is_some_and(|before| self.here(before).any(ends))
    }

    fn half(&mut self, nth: usize) -> Half {
        let begins_ending = self.here(nth).any(|bar| !bar.flow.endings.is_empty());
        if begins_ending {
            let repeats = |bar: &RawBar| bar.flow.repeat_end.is_some();
            if nth.checked_sub(1).is_some_and(|before| self.here(before).any(repeats)) {
                self.sum = self.before_endings;
            } else {
                self.before_endings = self.sum;
            }
        }
        let (Some(length), Some(full)) = (self.length(nth), self.nominal(nth)) else {
            self.sum = Ticks::ZERO;
            return Half { pickup: self.leads_without_meter(nth), continues: false };
        };
        if length >= full {
            self.sum = Ticks::ZERO;
            return Half::default();
        }
        let marked = self.is_marked(nth);
        let implicit = self.lead(nth).is_some_and(|bar| bar.implicit);
        let seam = self.has_seam_before(nth);
        let together = self.sum + length;
        let goes_on = nth > 0 && self.sum > Ticks::ZERO;
        let completes = goes_on && together == full && (marked || seam);
        if completes || goes_on && marked && together < full {
            self.sum = if completes { Ticks::ZERO } else { together };
            return Half { pickup: false, continues: true };
        }
        self.sum = length;
        let after_half = self.halves.last().is_some_and(|half| half.continues);
        let leads = nth == 0 || seam || implicit;
        let pickup = self.lengths.len() > 1
            && leads
            && !after_half
            && !begins_ending
            && !self.next_completes(nth, full);
        if pickup {
            // An upbeat has no second half.
            self.sum = Ticks::ZERO;
        }
        Half { pickup, continues: false }
    }

    /// Where no meter says how long a bar is: a first bar that the file does not count, and that is
    /// shorter than the next, is an upbeat.
    fn leads_without_meter(&self, nth: usize) -> bool {
        let implicit = self.lead(nth).is_some_and(|bar| bar.implicit);
        nth == 0
            && implicit
            && self.length(nth + 1).is_some_and(|next| self.length(nth) < Some(next))
    }

    /// Whether the next bars are the rest of this one: they are not counted, and together all are
    /// full.
    fn next_completes(&self, nth: usize, full: Ticks) -> bool {
        if self.lead(nth).is_none_or(|bar| bar.implicit || bar.number == "0") {
            return false;
        }
        let mut together = self.length(nth).unwrap_or_default();
        let mut next = nth + 1;
        while let Some(length) = self.length(next).filter(|_| self.is_marked(next)) {
            together += length;
            if together >= full {
                return together == full;
            }
            next += 1;
        }
        false
    }

    fn report_pickup(&self, nth: usize, log: &mut Log) {
        let Some(first) = self.lead(nth).filter(|bar| !bar.implicit) else { return };
        let quarters = self.stretch.resolution.quarters(self.length(nth).unwrap_or_default());
        log.add(Code::PickupFound, self.pos(nth), first.byte, || {
            format!("the bar lasts {quarters} quarters and was taken as an upbeat")
        });
    }

    /// Bars whose length nothing explains: not an upbeat, not split, not the end of a section that
    /// began with an upbeat.
    fn report_odd(&self, log: &mut Log) {
        let mut upbeats: Vec<Ticks> = Vec::new();
        for (nth, half) in self.halves.iter().enumerate() {
            let (Some(length), Some(full)) = (self.length(nth), self.nominal(nth)) else {
                continue;
            };
            if half.pickup && !upbeats.contains(&length) {
                upbeats.push(length);
            }
            let split = half.continues || self.halves.get(nth + 1).is_some_and(|h| h.continues);
            if length == full || half.pickup || split {
                continue;
            }
            let closes = nth + 1 == self.halves.len() || self.has_seam_before(nth + 1);
            let completes = closes && upbeats.iter().any(|upbeat| *upbeat + length == full);
            let agree = self.stretch.agree(self.stretch.range.start + nth, length);
            let Some(first) = self.lead(nth).filter(|_| !completes && agree) else { continue };
            let quarters = |ticks| self.stretch.resolution.quarters(ticks);
            log.add(Code::BarLengthOdd, self.pos(nth), first.byte, || {
                let (length, full) = (quarters(length), quarters(full));
                format!("the bar lasts {length} quarters where its meter has {full}")
            });
        }
    }

    fn pos(&self, nth: usize) -> Pos {
        Pos { bar: (self.stretch.range.start + nth) as u32, offset: 0 }
    }
}
