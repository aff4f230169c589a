//! What changes in meter and tempo, and how it is beaten.

use super::{Scene, quoted};
use barloom_core::bar::BarIndex;

impl Scene<'_> {
    pub(super) fn meter(&self) -> Vec<String> {
        let bars = self.movement.bars.as_slice();
        let change = |bar: BarIndex| {
            let before = bars.get(bar.idx().checked_sub(1)?)?;
            let here = bars.get(bar.idx())?;
            (before.meter.terms != here.meter.terms)
                .then(|| format!("{}{}, {} before", here.meter, self.where_(bar), before.meter))
        };
        self.bars().filter_map(change).collect()
    }

    pub(super) fn tempo(&self) -> Vec<String> {
        let segments = self.tracks.tempo.segments.iter();
        let here = segments.filter(|segment| self.from <= segment.at && segment.at < self.to);
        here.map(|segment| {
            let (bar, _) = self.movement.place(segment.at);
            let words = quoted(&segment.words);
            format!("tempo{}{words}: {}", self.where_(bar), segment.why)
        })
        .collect()
    }

    /// The pattern proposed, each change of it once.
    pub(super) fn beating(&self) -> Vec<String> {
        let mut sentences: Vec<String> = Vec::new();
        let mut before = None;
        for bar in self.bars() {
            let Some(proposal) = self.tracks.beating.get(bar.idx()) else { continue };
            if before.replace(&proposal.pattern) != Some(&proposal.pattern) {
                sentences.push(format!("proposed{}: {}", self.where_(bar), proposal.reason));
            }
        }
        sentences
    }
}
