//! Everything that commands read to decide whether they are available and what they would do.

use super::status::Status;
use super::view_state::ViewState;
use barloom_analysis::{MovementTracks, Tracks};
use barloom_core::bar::{Bar, BarAddress, BarIndex, MovementId};
use barloom_core::basis::Basis;
use barloom_core::part::{Part, PartIdx, PartKey};
use barloom_core::score::Movement;
use barloom_core::study::Study;
use barloom_core::time::Quarters;

/// The reading side, without a window.
#[derive(Clone, Copy, Debug)]
pub struct Env<'a> {
    /// Corrected score, tempo plan, performing order.
    pub basis: &'a Basis,
    /// What was computed from it.
    pub tracks: &'a Tracks,
    /// Decisions and marks.
    pub study: &'a Study,
    /// The view.
    pub view: &'a ViewState,
    /// What is going on.
    pub status: &'a Status,
}

impl<'a> Env<'a> {
    /// The movement shown.
    pub fn movement(&self) -> Option<&'a Movement> {
        self.basis.score.movements.get(self.view.movement).map(|movement| &**movement)
    }

    /// Its tracks, once they are there.
    pub fn tracks(&self) -> Option<&'a MovementTracks> {
        self.tracks.movements.get(self.view.movement)
    }

    /// First and last selected bar; `None` when no bar is selected or nothing is open.
    pub fn span(&self) -> Option<(BarIndex, BarIndex)> {
        let last = self.movement()?.bars.last_index()?;
        self.view.selection.span().map(|(from, to)| (from.min(last), to.min(last)))
    }

    /// The selected bars with their rows; none when nothing is selected.
    pub fn bars(&self) -> impl Iterator<Item = (BarIndex, &'a Bar)> {
        let span = self.span();
        let bars = self.movement().map(|movement| movement.bars.as_slice()).unwrap_or_default();
        let range = span.map_or(0..0, |(from, to)| from.0..to.0 + 1);
        range.filter_map(|bar| Some((BarIndex(bar), bars.get(bar as usize)?)))
    }

    /// The selected parts in score order; none when all are meant.
    pub fn parts(&self) -> impl Iterator<Item = (PartIdx, &'a Part)> {
        let parts = &self.basis.score.parts;
        let selected = self.view.selection.parts.iter();
        selected.filter_map(|idx| Some((*idx, parts.get(idx.idx())?)))
    }

    /// The permanent names of the selected parts.
    pub fn part_keys(&self) -> Vec<PartKey> {
        self.parts().map(|(_, part)| part.key.clone()).collect()
    }

    /// The permanent name of the movement shown.
    pub fn movement_id(&self) -> Option<MovementId> {
        self.movement().map(|movement| movement.id)
    }

    /// Where the selection begins, at the selected beat if one is.
    pub fn place(&self) -> Option<BarAddress> {
        let (from, _) = self.span()?;
        let offset = self.beat_offset(from).unwrap_or(Quarters::ZERO);
        Some(BarAddress { movement: self.movement_id()?, bar: from, offset })
    }

    /// Where the selected beat lies in a bar: the stroke of the chosen pattern, else of the proposed.
    fn beat_offset(&self, bar: BarIndex) -> Option<Quarters> {
        let beat = self.view.selection.beat?;
        self.strokes(bar).get(beat).copied()
    }

    /// Offsets of the strokes in a bar of the movement shown, as chosen or else as proposed.
    pub fn strokes(&self, bar: BarIndex) -> Vec<Quarters> {
        let Some(movement) = self.movement() else { return Vec::new() };
        let tracks = self.tracks();
        match self.study.beating(movement.id, bar) {
            Some(chosen) => {
                // Before the analyses are there, the groups of the bar are not known.
                let unknown = MovementTracks::default();
                let tracks = tracks.unwrap_or(&unknown);
                tracks.strokes(movement, bar, &chosen.pattern, chosen.nth)
            }
            None => tracks
                .and_then(|tracks| tracks.beating.get(bar.idx()))
                .map(|proposal| proposal.strokes.clone())
                .unwrap_or_default(),
        }
    }
}
