//! The level of each part in a bar as players take it.
//!
//! A sign holds until the next one of its part. Engraved parts often have none where a part comes back
//! after a rest: it then comes in as loud as those who have a sign (common practice).

use super::BarLines;
use crate::dynamics::DynamicsTrack;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::event::Level;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// What is needed to tell levels.
pub(super) struct Marks<'a> {
    movement: &'a Movement,
    dynamics: &'a DynamicsTrack,
    /// For each part and bar the last bar up to there in which the part is silent.
    silent: Vec<Vec<Option<BarIndex>>>,
}

impl<'a> Marks<'a> {
    pub(super) fn of(
        movement: &'a Movement,
        lines: &BarLines,
        dynamics: &'a DynamicsTrack,
    ) -> Self {
        let of_part = |part: usize| {
            let mut last = None;
            let upto = |(bar, _): (BarIndex, &Bar)| {
                if !lines.at(part, bar.idx()).is_pitched() {
                    last = Some(bar);
                }
                last
            };
            movement.bars.iter().map(upto).collect()
        };
        Self { movement, dynamics, silent: (0..lines.n_parts()).map(of_part).collect() }
    }

    /// The levels of some parts in a bar; those for which none is known are left out.
    pub(super) fn levels(
        &self,
        parts: impl Iterator<Item = PartIdx>,
        idx: BarIndex,
        bar: &Bar,
    ) -> Vec<(PartIdx, Level)> {
        let mut levels: Vec<(PartIdx, Level)> = Vec::new();
        let (mut sure, mut unsure) = (Vec::new(), Vec::new());
        for part in parts {
            let Some(level) = self.longest(part, bar) else { continue };
            levels.push((part, level));
            if self.is_old(part, idx, bar) { unsure.push(part) } else { sure.push(level) }
        }
        sure.sort_unstable();
        if let Some(usual) = sure.get(sure.len() / 2).copied() {
            for (part, level) in &mut levels {
                if unsure.contains(part) {
                    *level = usual;
                }
            }
        }
        levels
    }

    /// The level that holds for the longest part of the bar, of equally long ones the louder.
    fn longest(&self, part: PartIdx, bar: &Bar) -> Option<Level> {
        let changes = &self.dynamics.parts.get(part.idx())?.changes;
        let first = changes.partition_point(|change| change.at <= bar.start);
        let inside = changes.get(first..).unwrap_or_default();
        let inside = inside.iter().take_while(|change| change.at < bar.end());
        let mut held: Vec<(Level, Ticks)> = Vec::new();
        let mut hold = |level: Option<Level>, length: Ticks| {
            let Some(level) = level else { return };
            match held.iter_mut().find(|(known, _)| *known == level) {
                Some((_, sum)) => *sum = *sum + length,
                None => held.push((level, length)),
            }
        };
        let (mut level, mut since) = (self.dynamics.level_at(part, bar.start), bar.start);
        for change in inside {
            hold(level, change.at - since);
            (level, since) = (Some(change.level), change.at);
        }
        hold(level, bar.end() - since);
        held.into_iter().max_by_key(|(level, length)| (*length, *level)).map(|(level, _)| level)
    }

    /// Whether the part has been silent for a bar since its last sign.
    fn is_old(&self, part: PartIdx, idx: BarIndex, bar: &Bar) -> bool {
        let of_part = self.silent.get(part.idx());
        let Some(silent) = of_part.and_then(|bars| bars.get(idx.idx()).copied().flatten()) else {
            return false;
        };
        let Some(part) = self.dynamics.parts.get(part.idx()) else { return false };
        let n_before = part.changes.partition_point(|change| change.at < bar.end());
        let last = n_before.checked_sub(1).and_then(|last| part.changes.get(last));
        last.is_some_and(|change| self.movement.place(change.at).0 < silent)
    }
}
