//! What happens on each stroke of a bar: whether somebody attacks, something is held, or nothing
//! sounds, and how the attacks are written.
//!
//! It says only what the notes show: a stroke is legato, staccato or marcato when every attack is
//! written so, and plain otherwise.

use crate::sound::Sounds;
use barloom_core::bar::{BarIndex, BarTable};
use barloom_core::pattern::Pattern;
use barloom_core::time::{Quarters, Resolution, Ticks};

/// What the orchestra does on a stroke.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum BeatKind {
    /// Somebody attacks on it.
    Active,
    /// Nothing sounds on it: time is shown without asking for sound.
    Passive,
    /// Notes are held over it and nobody attacks.
    Held,
    /// No stroke of its own: it is part of a stroke of an earlier bar.
    Joined,
}

impl BeatKind {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Active => "active",
            Self::Passive => "passive",
            Self::Held => "held",
            Self::Joined => "joined",
        }
    }
}

/// One stroke of a bar.
#[derive(Clone, PartialEq, Debug)]
pub struct Beat {
    /// Offset from the start of the bar.
    pub at: Quarters,
    /// What happens on it.
    pub kind: BeatKind,
    /// Parts that attack exactly on it.
    pub attacks: u32,
    /// "legato", "staccato", "marcato" or "plain" for the attacks up to the next stroke; empty
    /// without any.
    pub stroke: &'static str,
}

/// The strokes of one bar; `strokes` are their offsets, sorted.
pub fn of_bar(
    sounds: &Sounds,
    bars: &BarTable,
    resolution: Resolution,
    bar: BarIndex,
    pattern: &Pattern,
    strokes: &[Quarters],
) -> Vec<Beat> {
    let Some(row) = bars.get(bar) else { return Vec::new() };
    if strokes.is_empty() && matches!(pattern, Pattern::Joined { .. }) {
        let at = Quarters::ZERO;
        return vec![Beat { at, kind: BeatKind::Joined, attacks: 0, stroke: "" }];
    }
    let place = |at: Quarters| row.start + resolution.ticks_floor(at).unwrap_or_default();
    let ends = strokes.iter().skip(1).map(|at| place(*at)).chain([row.end()]);
    let beat = |(at, end): (&Quarters, Ticks)| {
        let moment = place(*at);
        // A stroke between two ticks of a coarse file meets no attack exactly.
        let on_tick = resolution.ticks(*at).is_some();
        let attacks = if on_tick { sounds.n_parts_attacking(moment) } else { 0 };
        let kind = if attacks > 0 {
            BeatKind::Active
        } else if sounds.part_indices().any(|part| sounds.sounds_at(part, moment)) {
            BeatKind::Held
        } else {
            BeatKind::Passive
        };
        Beat { at: *at, kind, attacks, stroke: manner(sounds, moment, end) }
    };
    strokes.iter().zip(ends).map(beat).collect()
}

/// How the attacks in [from, to) are written, if they agree.
fn manner(sounds: &Sounds, from: Ticks, to: Ticks) -> &'static str {
    let attacks = || sounds.part_indices().flat_map(|part| sounds.attacks_in(part, from, to));
    if attacks().next().is_none() {
        ""
    } else if attacks().all(|attack| attack.slurred) {
        "legato"
    } else if attacks().all(|attack| attack.short) {
        "staccato"
    } else if attacks().all(|attack| attack.accented) {
        "marcato"
    } else {
        "plain"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    fn beats(
        parts: &[&str],
        pattern: &str,
        bar: u32,
    ) -> Vec<(String, &'static str, u32, &'static str)> {
        let movement = movement(parts);
        let sounds = Sounds::of(&movement);
        let pattern: Pattern = pattern.parse().unwrap();
        let bar = BarIndex(bar);
        let (bars, resolution) = (&movement.bars, movement.resolution);
        let strokes = crate::beating::strokes_in_bar(&pattern, 0, bars, bar, resolution, &[]);
        of_bar(&sounds, bars, resolution, bar, &pattern, &strokes)
            .into_iter()
            .map(|beat| (beat.at.to_string(), beat.kind.name(), beat.attacks, beat.stroke))
            .collect()
    }

    #[test]
    fn strokes_are_active_held_or_passive() {
        let found = beats(&["4/4 c4:2 r:1 r:1/2 c4:1/2", "4/4 c4:1 r:3"], "4", 0);
        assert_eq!(
            found,
            [
                ("0".into(), "active", 2, "plain"),
                ("1".into(), "held", 0, ""),
                ("2".into(), "passive", 0, ""),
                ("3".into(), "passive", 0, "plain"),
            ]
        );
    }

    #[test]
    fn a_held_over_note_is_no_attack() {
        let found = beats(&["4/4 c4:4_ | ~c4:4"], "2", 1);
        assert_eq!(found[0], ("0".into(), "held", 0, ""));
    }

    #[test]
    fn the_manner_needs_all_attacks_to_agree() {
        let found = beats(&["4/4 c4:1( d4 e4:1 f4:1)", "4/4 r:2 c4:1. c4:1"], "4", 0);
        let manners: Vec<_> = found.iter().map(|beat| beat.3).collect();
        assert_eq!(manners, ["legato", "legato", "plain", "plain"]);
        let found = beats(&["4/4 c4:1. c4:1> c4:1. c4"], "2", 0);
        assert_eq!((found[0].3, found[1].3), ("plain", "plain"));
        let found = beats(&["4/4 c4:1/2. c4. c4. c4. c4> c4> c4> c4>"], "2", 0);
        assert_eq!((found[0].3, found[1].3), ("staccato", "marcato"));
    }
}
