//! Harmonics: which head of a chord sounds, and at what pitch.
//!
//! The rules, by the MusicXML 4.0 elements `harmonic`, `base-pitch`, `touching-pitch` and
//! `sounding-pitch`, and by the overtone series:
//! - a head that is said to be the sounding pitch sounds as it is written;
//! - a stopped (or open) string with the place where it is touched is one sound, the overtone that
//!   has a node there; it stands with the touched head, the other head is silent;
//! - on bowed strings an ordinary head with a diamond a third, fourth or fifth above it is the same,
//!   also where the file does not say so (common practice);
//! - a head that is only said to be a harmonic sounds as it is written: the ring over a note stands
//!   for the pitch that is heard (common practice of orchestral strings).
//!
//! A touched place without its string, or a string without the place, does not say what sounds: the
//! written pitch is kept, with a finding.

use crate::event::{Manner, Note, NoteTraits};
use crate::pitch::{SoundingPitch, harmonic_above};

/// A head of the chord that is a harmonic or may be one.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head {
    /// Place among the notes of the part.
    pub(super) note: usize,
    /// It is a diamond.
    pub(super) diamond: bool,
}

/// A head that does not say what sounds.
#[derive(Debug)]
pub(super) struct Unclear {
    pub(super) note: usize,
    pub(super) message: &'static str,
}

/// Diamonds that need no further word, in semitones above the stopped string: both thirds, the
/// fourth, the fifth.
const PLAIN_DIAMONDS: [i32; 4] = [3, 4, 5, 7];

/// Gives the heads of one chord their sounding pitches. `heads` are those that are harmonics or
/// diamonds; the whole chord stands at the end of `notes`.
pub(super) fn resolve(notes: &mut [Note], heads: &[Head], bowed: bool) -> Option<Unclear> {
    let first = heads.first()?.note;
    // Heads of the chord that say nothing may be the stopped string.
    let start = (0..=first)
        .rev()
        .find(|idx| notes.get(*idx).is_none_or(|note| !note.traits.has(NoteTraits::CHORD)))?;
    let marked = |idx: usize| heads.iter().any(|head| head.note == idx);
    let kind = |idx: usize| notes.get(idx).map_or(Manner::NONE, |note| note.manner);
    let all: Vec<usize> = (start..notes.len()).collect();
    let with = |flag: Manner| -> Vec<usize> {
        all.iter().copied().filter(|idx| kind(*idx).has(flag)).collect()
    };
    let heard = with(Manner::SOUNDING_PITCH);
    let mut bases = with(Manner::BASE_PITCH);
    let mut touches = with(Manner::TOUCHING_PITCH);
    let plain: Vec<usize> = all.iter().copied().filter(|idx| !marked(*idx)).collect();
    if !heard.is_empty() {
        for idx in bases.iter().chain(&touches).chain(&plain) {
            silence(notes, *idx);
        }
        return None;
    }
    let mut by_diamonds = false;
    if bases.is_empty() && touches.is_empty() {
        let artificial = with(Manner::ARTIFICIAL);
        let diamonds: Vec<usize> =
            heads.iter().filter(|head| head.diamond).map(|head| head.note).collect();
        if !artificial.is_empty() && all.len() == 2 {
            // Of two heads the lower one is the string.
            let upper = all.iter().copied().max_by_key(|idx| pitch(notes, *idx));
            touches.extend(upper);
            bases.extend(all.iter().copied().filter(|idx| Some(*idx) != upper));
        } else if !artificial.is_empty() {
            return lone(
                &artificial,
                "an artificial harmonic names no string and no touched place",
            );
        } else if bowed && !diamonds.is_empty() && diamonds.len() == plain.len() {
            by_diamonds = true;
            touches = diamonds;
            bases = plain;
        } else {
            return None;
        }
    } else if bases.is_empty() {
        bases = others(&plain, &all, &touches);
    } else if touches.is_empty() {
        touches = others(&plain, &all, &bases);
    }
    if bases.len() != touches.len() {
        let odd = if bases.is_empty() { &touches } else { &bases };
        return lone(odd, "a harmonic shows the string or the touched place, but not both");
    }
    pair(notes, bases, touches, by_diamonds)
}

/// The heads that can be the other half: those that say nothing, else all that remain.
fn others(plain: &[usize], all: &[usize], known: &[usize]) -> Vec<usize> {
    if plain.is_empty() {
        all.iter().copied().filter(|idx| !known.contains(idx)).collect()
    } else {
        plain.to_vec()
    }
}

/// Strings and touched places in order of pitch belong together.
fn pair(
    notes: &mut [Note],
    mut bases: Vec<usize>,
    mut touches: Vec<usize>,
    by_diamonds: bool,
) -> Option<Unclear> {
    bases.sort_by_key(|idx| pitch(notes, *idx));
    touches.sort_by_key(|idx| pitch(notes, *idx));
    let mut unclear = None;
    for (base, touch) in bases.into_iter().zip(touches) {
        let (Some(below), Some(above)) = (pitch(notes, base), pitch(notes, touch)) else {
            continue;
        };
        let quarter_tones = above.quarter_tones() - below.quarter_tones();
        let semitones = (quarter_tones % 2 == 0).then_some(quarter_tones / 2);
        if by_diamonds && semitones.is_none_or(|semitones| !PLAIN_DIAMONDS.contains(&semitones)) {
            continue;
        }
        let Some(overtone) = semitones.and_then(harmonic_above) else {
            let message = "no overtone answers where the string is touched for a harmonic";
            unclear = Some(Unclear { note: touch, message });
            continue;
        };
        silence(notes, base);
        if let Some(note) = notes.get_mut(base) {
            note.manner.set(Manner::HARMONIC | Manner::BASE_PITCH);
        }
        if let Some(note) = notes.get_mut(touch) {
            note.sounding = Some(below.transposed(overtone));
            note.manner.set(Manner::HARMONIC | Manner::TOUCHING_PITCH);
        }
    }
    unclear
}

fn lone(heads: &[usize], message: &'static str) -> Option<Unclear> {
    heads.first().map(|note| Unclear { note: *note, message })
}

fn pitch(notes: &[Note], idx: usize) -> Option<SoundingPitch> {
    notes.get(idx).and_then(|note| note.sounding)
}

fn silence(notes: &mut [Note], idx: usize) {
    if let Some(note) = notes.get_mut(idx) {
        note.sounding = None;
        note.traits.set(NoteTraits::GRIP);
    }
}
