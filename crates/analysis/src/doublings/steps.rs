//! A part as a row of steps: the moments at which it begins to sound, each with its outer pitches.

use crate::heard::{Heard, HeardNotes};
use barloom_core::part::PartIdx;
use barloom_core::pitch::SoundingPitch;
use barloom_core::time::Ticks;

/// The most pitches of one moment that are compared: the outer ones of two voices.
const MOST: usize = 4;

/// The pitches that a part begins together, in quarter tones.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(super) struct Chord {
    pitches: [i16; MOST],
    n: u8,
}

impl Chord {
    /// The pitches, lowest first.
    pub(super) fn pitches(&self) -> &[i16] {
        self.pitches.get(..usize::from(self.n)).unwrap_or_default()
    }

    /// The top and the bottom pitch of every voice. Inner notes of chords are no lines of their own.
    fn of(sounds: &[Heard]) -> Self {
        let mut ends: Vec<(u8, i16, i16)> = Vec::new();
        for sound in sounds {
            let Some(pitch) = sound.pitch.map(SoundingPitch::quarter_tones) else { continue };
            let pitch = pitch.clamp(i32::from(i16::MIN), i32::from(i16::MAX)) as i16;
            match ends.iter_mut().find(|(voice, ..)| *voice == sound.voice) {
                Some((_, low, high)) => (*low, *high) = ((*low).min(pitch), (*high).max(pitch)),
                None => ends.push((sound.voice, pitch, pitch)),
            }
        }
        let mut all: Vec<i16> = ends.iter().flat_map(|(_, low, high)| [*low, *high]).collect();
        all.sort_unstable();
        all.dedup();
        let mut chord = Self::default();
        // Of more than two voices the outer ones.
        let kept = all.iter().take(MOST / 2).chain(all.iter().skip(MOST / 2).rev().take(MOST / 2));
        for (slot, pitch) in chord.pitches.iter_mut().zip(kept) {
            *slot = *pitch;
            chord.n += 1;
        }
        chord.pitches.get_mut(..usize::from(chord.n)).unwrap_or_default().sort_unstable();
        chord
    }
}

/// One moment.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Step {
    /// When.
    pub(super) at: Ticks,
    /// When the last of its sounds ends.
    pub(super) end: Ticks,
    /// What begins.
    pub(super) chord: Chord,
    /// How often the part has moved to other pitches up to here, this step included. What only
    /// repeats the pitches before it does not count, so that repeated notes match held ones.
    pub(super) moves: u32,
    /// Silence before it of at least the shortest rest that parts phrases.
    pub(super) after_rest: bool,
}

/// The steps of a part.
#[derive(Clone, Debug, Default)]
pub(super) struct Steps {
    pub(super) steps: Vec<Step>,
}

impl Steps {
    /// The steps of one part; `rest` is the shortest silence that parts phrases.
    pub(super) fn of(heard: &HeardNotes, part: PartIdx, rest: Ticks) -> Self {
        let mut steps: Vec<Step> = Vec::new();
        let mut sounding_until = Ticks(i64::MIN / 2);
        for together in heard.of_part(part).chunk_by(|a, b| a.at == b.at) {
            let chord = Chord::of(together);
            let Some(at) = together.first().map(|sound| sound.at) else { continue };
            if chord.n == 0 {
                continue;
            }
            let end = together.iter().map(|sound| sound.end).max().unwrap_or(at);
            let before = steps.last();
            let same = before.is_some_and(|before| before.chord == chord);
            let moves = before.map_or(0, |before| before.moves) + u32::from(!same);
            let after_rest = at - sounding_until >= rest;
            sounding_until = sounding_until.max(end);
            steps.push(Step { at, end, chord, moves, after_rest });
        }
        Self { steps }
    }

    /// How often the part moves between two of its steps, both left out.
    pub(super) fn moves_between(&self, first: usize, second: usize) -> u32 {
        let moves = |idx: usize| self.steps.get(idx).map_or(0, |step| step.moves);
        match second.checked_sub(1) {
            Some(before) if before > first => moves(before) - moves(first),
            _ => 0,
        }
    }

    /// Whether a step begins a phrase: it comes first or after a rest.
    pub(super) fn begins_phrase(&self, idx: usize) -> bool {
        self.steps.get(idx).is_some_and(|step| step.after_rest)
    }

    /// Whether a step ends a phrase: it comes last or before a rest.
    pub(super) fn ends_phrase(&self, idx: usize) -> bool {
        self.steps.get(idx + 1).is_none_or(|next| next.after_rest)
    }
}
