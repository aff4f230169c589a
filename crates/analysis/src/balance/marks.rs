//! The level of each part in a bar as players take it.
//!
//! A sign holds until the next one of its part. Engraved parts often have none where a part comes back
//! after a rest: it then comes in as loud as those who have a sign. And where most have newer signs far
//! from an old one, that one is left over, and its part goes with the rest (common practice of editors).

use super::BarLines;
use crate::dynamics::{DynamicsTrack, LevelChange};
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
        let mut silent = vec![Vec::new(); lines.n_parts()];
        for part in lines.playing() {
            if let Some(slot) = silent.get_mut(part) {
                *slot = of_part(part);
            }
        }
        Self { movement, dynamics, silent }
    }

    /// The levels of some parts in a bar; those for which none is known are left out.
    pub(super) fn levels(
        &self,
        parts: impl Iterator<Item = PartIdx>,
        idx: BarIndex,
        bar: &Bar,
    ) -> Vec<(PartIdx, Level)> {
        let mut levels: Vec<(PartIdx, Level)> = Vec::new();
        let mut written: Vec<(BarIndex, Level)> = Vec::new();
        let mut signs: Vec<(BarIndex, bool)> = Vec::new();
        for part in parts {
            let Some(level) = self.longest(part, bar) else { continue };
            let Some(sign) = self.last_sign(part, bar) else { continue };
            let silent = self.silent.get(part.idx()).and_then(|bars| bars.get(idx.idx()));
            let is_old = silent.copied().flatten().is_some_and(|silent| sign < silent);
            levels.push((part, level));
            signs.push((sign, is_old));
            if !is_old {
                written.push((sign, level));
            }
        }
        // The newest first: those newer than a sign are the head of the list.
        written.sort_unstable_by_key(|(sign, _)| std::cmp::Reverse(*sign));
        let usual = middle(&written);
        let n_levels = levels.len();
        for ((_, level), (sign, is_old)) in levels.iter_mut().zip(signs) {
            let n_newer = written.partition_point(|(other, _)| *other > sign);
            let newer = middle(written.get(..n_newer).unwrap_or_default());
            let is_past = idx.0 >= sign.0 + LEFT_OVER_BARS && n_newer * 2 >= n_levels;
            let far = |newer: Level| (newer as u8).abs_diff(*level as u8) >= LEFT_OVER_DEGREES;
            match (is_old, usual, newer) {
                (true, Some(usual), _) => *level = usual,
                (false, _, Some(newer)) if is_past && far(newer) => *level = newer,
                _ => {}
            }
        }
        levels
    }

    /// The loudest level in force at some place of the bar; `None` if none is written inside it.
    pub(super) fn loudest_of_changing(&self, part: PartIdx, bar: &Bar) -> Option<Level> {
        let inside = self.inside(part, bar).iter().map(|change| change.level).max()?;
        self.dynamics.level_at(part, bar.start).max(Some(inside))
    }

    /// The signs of a part after the start of a bar and before its end.
    fn inside(&self, part: PartIdx, bar: &Bar) -> &[LevelChange] {
        let part = self.dynamics.parts.get(part.idx());
        let changes = part.map(|part| part.changes.as_slice()).unwrap_or_default();
        let first = changes.partition_point(|change| change.at <= bar.start);
        let last = changes.partition_point(|change| change.at < bar.end());
        changes.get(first..last).unwrap_or_default()
    }

    /// The level that holds for the longest part of the bar, of equally long ones the louder.
    fn longest(&self, part: PartIdx, bar: &Bar) -> Option<Level> {
        let mut held: Vec<(Level, Ticks)> = Vec::new();
        let mut hold = |level: Option<Level>, length: Ticks| {
            let Some(level) = level else { return };
            match held.iter_mut().find(|(known, _)| *known == level) {
                Some((_, sum)) => *sum += length,
                None => held.push((level, length)),
            }
        };
        let (mut level, mut since) = (self.dynamics.level_at(part, bar.start), bar.start);
        for change in self.inside(part, bar) {
            hold(level, change.at - since);
            (level, since) = (Some(change.level), change.at);
        }
        hold(level, bar.end() - since);
        held.into_iter().max_by_key(|(level, length)| (*length, *level)).map(|(level, _)| level)
    }

    /// The bar of the last sign of a part up to the end of a bar.
    fn last_sign(&self, part: PartIdx, bar: &Bar) -> Option<BarIndex> {
        let part = self.dynamics.parts.get(part.idx())?;
        let n_before = part.changes.partition_point(|change| change.at < bar.end());
        let last = n_before.checked_sub(1).and_then(|last| part.changes.get(last))?;
        Some(self.movement.place(last.at).0)
    }
}

/// A sign is left over at the earliest so many bars after it.
const LEFT_OVER_BARS: u32 = 2;

/// So many degrees from the newer signs: from p to f.
const LEFT_OVER_DEGREES: u8 = 3;

/// The middle one of some levels.
fn middle(written: &[(BarIndex, Level)]) -> Option<Level> {
    let mut levels: Vec<Level> = written.iter().map(|(_, level)| *level).collect();
    levels.sort_unstable();
    levels.get(levels.len() / 2).copied()
}
