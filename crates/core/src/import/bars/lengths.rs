//! How long a bar is: what its parts hold.

use super::{Stretch, part_name};
use crate::diag::Code;
use crate::import::log::Log;
use crate::import::raw::{Pos, RawBar};
use crate::time::Ticks;

/// How far a bar reaches, over all parts, in ticks.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Extent {
    /// In parts that have more than a rest for the whole bar.
    pub(super) played: i64,
    /// In parts that have no more than that.
    pub(super) rested: i64,
}

impl Extent {
    /// What sounds: the longest part. A rest for the whole bar that is longer than the meter does
    /// not lengthen a bar in which others play; a bar of nothing at all is as long as its meter.
    pub(super) fn length(self, nominal: Option<Ticks>) -> Ticks {
        let full = nominal.map_or(i64::MAX, |nominal| nominal.0);
        let rested =
            if self.played > 0 { self.rested.min(full.max(self.played)) } else { self.rested };
        match self.played.max(rested) {
            0 => nominal.unwrap_or_default(),
            length => Ticks(length),
        }
    }
}

impl Stretch<'_> {
    /// How far the bar reaches. A skip does not lengthen the last bar: some programs fill up with
    /// one where the last bar is short because of the upbeat.
    pub(super) fn extent(&self, idx: usize) -> Extent {
        let reach = self.reach(idx);
        let longest = |empty: bool| {
            let of_kind = self.here(idx).filter(|bar| bar.empty == empty);
            of_kind.map(reach).max().unwrap_or(0)
        };
        Extent { played: longest(false), rested: longest(true) }
    }

    fn reach(&self, idx: usize) -> impl Fn(&RawBar) -> i64 + Copy + use<> {
        let is_last = idx + 1 == self.range.end && self.here(idx).any(|bar| bar.filled > 0);
        move |bar| if is_last { bar.filled } else { bar.length }
    }

    /// Says which part first disagrees with the length of the bar.
    pub(super) fn report_lengths(&self, idx: usize, length: Ticks, log: &mut Log) {
        let Some(first) = super::lead(self.parts, idx) else { return };
        let reach = self.reach(idx);
        let differs = |bar: &RawBar| reach(bar) > 0 && reach(bar) != length.0;
        if !self.here(idx).any(|bar| reach(bar) > 0) {
            return;
        }
        let odd = self.parts.iter().find(|part| part.bars.get(idx).is_some_and(differs));
        let Some((part, bar)) = odd.and_then(|part| Some((part, part.bars.get(idx)?))) else {
            return;
        };
        let pos = Pos { bar: idx as u32, offset: 0 };
        let quarters = |ticks: i64| self.resolution.quarters(Ticks(ticks));
        log.add(Code::BarLengthsDiffer, pos, bar.byte.max(first.byte), || {
            format!(
                "the bar lasts {} quarters, but {} in {}",
                quarters(length.0),
                quarters(reach(bar)),
                part_name(part)
            )
        });
    }

    /// Whether all parts that hold something agree on how long the bar is.
    pub(super) fn agree(&self, idx: usize, length: Ticks) -> bool {
        let reach = self.reach(idx);
        self.here(idx).all(|bar| reach(bar) == 0 || reach(bar) == length.0)
    }
}
