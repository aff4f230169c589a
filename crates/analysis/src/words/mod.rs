//! A bar, or a few, in a musician's sentences: who plays and how loud, who has the line and who doubles
//! it, who comes in after how long, who is muted, plucks or rolls, where it grows, what may come apart,
//! what changes in meter and tempo, how it is beaten.
//!
//! Every sentence rests on the tracks alone; what is not known is not said.

mod clock;
mod forces;
mod lines;
mod sound;
mod watch;

use crate::who::Roll;
use crate::{MovementTracks, Tracks, say};
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::event::Device;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// The bars `range` (inclusive) of a movement in sentences; of all parts, or only of those in `parts`.
/// Empty if the movement or the first bar does not exist.
pub fn bar_in_words(
    basis: &Basis,
    tracks: &Tracks,
    movement: usize,
    range: (BarIndex, BarIndex),
    parts: Option<&[PartIdx]>,
) -> Vec<String> {
    let Some(scene) = Scene::of(basis, tracks, movement, range, parts) else { return Vec::new() };
    let mut sentences = vec![scene.who_plays()];
    sentences.extend(scene.line());
    sentences.extend(scene.hand_off());
    sentences.extend(scene.together());
    sentences.extend(scene.techniques());
    sentences.extend(scene.no_longer());
    sentences.extend(scene.texture());
    sentences.extend(scene.entrances());
    sentences.extend(scene.cues());
    sentences.extend(scene.growing());
    sentences.extend(scene.holds());
    sentences.extend(scene.changes());
    sentences.extend(scene.mixed_attacks());
    sentences.extend(scene.covered());
    sentences.extend(scene.contradictions());
    sentences.extend(scene.extremes());
    sentences.extend(scene.breaths());
    sentences.extend(scene.meter());
    sentences.extend(scene.tempo());
    sentences.extend(scene.beating());
    sentences
        .into_iter()
        .filter(|text| !text.is_empty())
        .map(|text| say::capital(text.trim_end_matches('.')) + ".")
        .collect()
}

/// The bars in question with their tracks.
struct Scene<'a> {
    movement: &'a Movement,
    tracks: &'a MovementTracks,
    roll: Roll<'a>,
    first: BarIndex,
    last: BarIndex,
    from: Ticks,
    to: Ticks,
}

impl<'a> Scene<'a> {
    fn of(
        basis: &'a Basis,
        tracks: &'a Tracks,
        movement: usize,
        (first, last): (BarIndex, BarIndex),
        parts: Option<&[PartIdx]>,
    ) -> Option<Self> {
        let tracks = tracks.movements.get(movement)?;
        let movement = basis.score.movements.get(movement)?;
        let last = last.max(first).min(movement.bars.last_index()?);
        let from = movement.bars.get(first)?.start;
        let to = movement.bars.get(last)?.end();
        let roll = Roll::of(&basis.score, movement, &tracks.playing, parts);
        Some(Self { movement, tracks, roll, first, last, from, to })
    }

    fn bars(&self) -> impl Iterator<Item = BarIndex> {
        (self.first.idx()..=self.last.idx()).map(BarIndex::from)
    }

    fn sounding(&self) -> Vec<PartIdx> {
        let sounds = |part: &PartIdx| self.bars().any(|bar| self.tracks.playing.sounds(*part, bar));
        self.roll.parts().filter(sounds).collect()
    }

    /// Whether bars from one to another (inclusive) reach into the selection.
    fn meets(&self, from: BarIndex, to: BarIndex) -> bool {
        from <= self.last && to >= self.first
    }

    fn is_asked(&self, part: PartIdx) -> bool {
        self.roll.parts().any(|asked| asked == part)
    }

    /// "in bar 49" for a place in a longer selection, nothing for a single bar.
    fn where_(&self, bar: BarIndex) -> String {
        if self.first == self.last {
            String::new()
        } else {
            format!(" in bar {}", self.movement.bar_name(bar))
        }
    }
}

pub(super) fn quoted(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!(" (\u{201c}{words}\u{201d})") }
}

/// What players do under a device.
pub(crate) const fn in_words(device: Device) -> &'static str {
    match device {
        Device::Mute => "muted",
        Device::Plucked => "plucked",
        Device::Bridge => "at the bridge",
        Device::Fingerboard => "over the fingerboard",
        Device::Wood => "with the wood",
        Device::Harmonics => "harmonics",
        Device::Tremolo => "tremolo",
        Device::Stopped => "stopped",
        Device::Brassy => "brassy",
        Device::BellsUp => "bells up",
        Device::Flutter => "flutter-tongue",
        Device::Muffled => "muffled",
        Device::LetRing => "let ring",
    }
}

#[cfg(test)]
mod tests;
