//! Who plays in which bar.

use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};

/// Presence of every part in every bar of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct PlayingTrack {
    /// For each part of the work: for each bar whether the part sounds in it.
    sounds: Vec<Vec<bool>>,
}

impl PlayingTrack {
    /// Presence in a movement: a part sounds in a bar if a note that is no cue note sounds in it, held
    /// over or begun, or if a repeat sign or slashes stand in it.
    pub fn of(movement: &Movement) -> Self {
        Self { sounds: movement.music.iter().map(|music| part_sounds(movement, music)).collect() }
    }

    /// Whether the part sounds in the bar; false past the ends.
    pub fn sounds(&self, part: PartIdx, bar: BarIndex) -> bool {
        self.sounds.get(part.idx()).and_then(|bars| bars.get(bar.idx())).copied().unwrap_or(false)
    }

    /// The maximal runs of bars in which the part sounds, inclusive.
    pub fn runs(&self, part: PartIdx) -> Vec<(BarIndex, BarIndex)> {
        let bars = self.sounds.get(part.idx()).map(Vec::as_slice).unwrap_or_default();
        let mut runs: Vec<(BarIndex, BarIndex)> = Vec::new();
        for (idx, _) in bars.iter().enumerate().filter(|(_, sounds)| **sounds) {
            match runs.last_mut() {
                Some((_, last)) if last.idx() + 1 == idx => *last = BarIndex::from(idx),
                _ => runs.push((BarIndex::from(idx), BarIndex::from(idx))),
            }
        }
        runs
    }

    /// How many parts sound in a bar.
    pub fn n_sounding(&self, bar: BarIndex) -> usize {
        self.sounds.iter().filter(|bars| bars.get(bar.idx()).copied().unwrap_or(false)).count()
    }

    /// The parts that sound in a bar, in score order.
    pub fn parts_in(&self, bar: BarIndex) -> impl Iterator<Item = PartIdx> {
        let parts = (0..self.sounds.len()).map(|idx| PartIdx(idx as u16));
        parts.filter(move |part| self.sounds(*part, bar))
    }

    /// Whether the part sounds anywhere in the movement.
    pub fn plays(&self, part: PartIdx) -> bool {
        self.sounds.get(part.idx()).is_some_and(|bars| bars.contains(&true))
    }

    /// How many parts sound anywhere in the movement.
    pub fn n_active(&self) -> usize {
        self.sounds.iter().filter(|bars| bars.contains(&true)).count()
    }
}

fn part_sounds(movement: &Movement, music: &PartMusic) -> Vec<bool> {
    let mut sounds = vec![false; movement.bars.len()];
    let mut mark = |bar: BarIndex| {
        if let Some(sound) = sounds.get_mut(bar.idx()) {
            *sound = true;
        }
    };
    for note in music.notes.iter().filter(|note| note.sounds()) {
        mark(note.bar);
        // A head may reach over the barline where the file writes it so.
        for idx in note.bar.idx() + 1..movement.bars.len() {
            let bar = BarIndex::from(idx);
            if movement.bars.get(bar).is_none_or(|bar| bar.start >= note.end()) {
                break;
            }
            mark(bar);
        }
    }
    music.repeated_bars.iter().for_each(|repeat| mark(repeat.bar));
    sounds
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    #[test]
    fn held_notes_sound_and_cue_notes_do_not() {
        let movement = movement(&["4/4 c4:4_ | ~c4:4 | ?c4:4 | r:4 | g'e4 r:4 | %"]);
        let track = PlayingTrack::of(&movement);
        let runs: Vec<(u32, u32)> =
            track.runs(PartIdx(0)).iter().map(|(from, to)| (from.0, to.0)).collect();
        assert_eq!(runs, [(0, 1), (4, 5)]);
        assert_eq!(track.n_sounding(BarIndex(1)), 1);
        assert_eq!(track.n_sounding(BarIndex(2)), 0);
        assert!(!track.sounds(PartIdx(0), BarIndex(99)) && !track.sounds(PartIdx(9), BarIndex(0)));
    }
}
