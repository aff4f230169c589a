//! The bar table that a study keeps: what each bar was called, how long it was, and hashes of what
//! sounds in it.
//!
//! Normal form of a bar, the same in every release: for each head that sounds (cue notes do not),
//! offset in the bar and length as fractions of a quarter in lowest terms (numerator, denominator),
//! 1 for a grace note or 0, and the sounding pitch in quarter tones above MIDI key 0 or -1 for an
//! unpitched head; heads sorted by these numbers in this order; each number as eight bytes, lowest
//! first, into FNV-1a 64. Players, spelling, voices, dynamics and words do not count.

use crate::bar::Bar;
use crate::hash::Fnv;
use crate::part::PartIdx;
use crate::score::Movement;
use crate::study::BarSeen;

/// One head in normal form.
type Head = [i64; 6];
const PITCH: usize = 5;
const UNPITCHED: i64 = -1;

/// The table of a movement as it was read; one part hash for each of `parts`, in that order. `None`
/// stands for a part that the score does not have.
pub fn bars_seen(movement: &Movement, parts: &[Option<PartIdx>]) -> Vec<BarSeen> {
    movement.bars.iter().map(|(_, bar)| bar_seen(movement, bar, parts)).collect()
}

fn bar_seen(movement: &Movement, bar: &Bar, parts: &[Option<PartIdx>]) -> BarSeen {
    let mut all: Vec<Head> = Vec::new();
    let mut hashes = vec![0; parts.len()];
    for (part, _) in movement.parts() {
        let mut heads = heads_of(movement, bar, part);
        heads.sort_unstable();
        if let Some(place) = parts.iter().position(|known| *known == Some(part))
            && let Some(hash) = hashes.get_mut(place)
        {
            *hash = if heads.is_empty() { 0 } else { hash_of(&heads, 0).max(1) };
        }
        all.append(&mut heads);
    }
    all.sort_unstable();
    let lowest = all.iter().map(|head| head[PITCH]).filter(|pitch| *pitch != UNPITCHED).min();
    BarSeen {
        label: bar.label.clone(),
        length: movement.resolution.quarters(bar.length),
        meter: bar.meter.to_string(),
        exact: hash_of(&all, 0),
        shape: hash_of(&all, lowest.unwrap_or(0)),
        parts: hashes,
    }
}

fn heads_of(movement: &Movement, bar: &Bar, part: PartIdx) -> Vec<Head> {
    let Some(music) = movement.part(part) else { return Vec::new() };
    let notes = music.notes_in(bar.start, bar.end()).iter().filter(|note| note.sounds());
    notes
        .map(|note| {
            let offset = movement.resolution.quarters(note.onset - bar.start);
            let length = movement.resolution.quarters(note.length);
            let pitch = note.sounding.map_or(UNPITCHED, |p| i64::from(p.quarter_tones()));
            let grace = i64::from(note.traits.has(crate::event::NoteTraits::GRACE));
            [
                offset.numerator(),
                offset.denominator(),
                length.numerator(),
                length.denominator(),
                grace,
                pitch,
            ]
        })
        .collect()
}

fn hash_of(heads: &[Head], lowest: i64) -> u64 {
    let mut hash = Fnv::new();
    for head in heads {
        for number in &head[..PITCH] {
            hash.number(*number);
        }
        let pitch = head[PITCH];
        hash.number(if pitch == UNPITCHED { UNPITCHED } else { pitch - lowest });
    }
    hash.finish()
}

/// The hash of a bar in which nothing sounds.
pub(super) const SILENT: u64 = Fnv::new().finish();
