//! Who plays in which bar.

use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;

/// Presence of every part in every bar of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct PlayingTrack {
    /// For each part of the work: for each bar whether the part sounds in it.
    sounds: Vec<Vec<bool>>,
}

impl PlayingTrack {
    /// Presence in a movement: a part sounds in a bar if a note that is no cue note sounds in it, held
    /// over or begun, or if a repeat sign or slashes stand in it.
    pub fn of(_movement: &Movement) -> Self {
        Self::default()
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
}
