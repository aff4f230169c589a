//! Notes outside the range of the instrument in hand, by the catalog of instruments.

use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// A note that the instrument does not usually reach.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct OutOfRange {
    /// The part.
    pub part: PartIdx,
    /// The bar.
    pub bar: BarIndex,
    /// Where.
    pub at: Ticks,
    /// What sounds.
    pub pitch: SoundingPitch,
    /// Above the range; else below.
    pub above: bool,
}

/// The notes out of range, by part, then place. Continued notes are reported where they begin;
/// instruments without a range in the catalog are left out.
pub fn of(movement: &Movement) -> Vec<OutOfRange> {
    use barloom_core::event::NoteTraits;
    let mut found = Vec::new();
    for (part, music) in movement.parts() {
        for note in &music.notes {
            let continues = note.traits.any(NoteTraits::CONTINUES);
            let Some(pitch) = note.sounding.filter(|_| note.sounds() && !continues) else {
                continue;
            };
            let instrument = music.instrument_of(note.players, note.onset);
            let Some((low, high)) = instrument.and_then(|instrument| instrument.get().range) else {
                continue;
            };
            let above = pitch > SoundingPitch::from_midi(i32::from(high));
            if above || pitch < SoundingPitch::from_midi(i32::from(low)) {
                found.push(OutOfRange { part, bar: note.bar, at: note.onset, pitch, above });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    /// Flute C4 (B3 with the longer foot) to D7: table of orchestral ranges (orchestralibrary).
    #[test]
    fn notes_past_the_catalog_are_found() {
        let movement = movement(&["flute: 4/4 a3:1 b3 d7 e7", "4/4 c0:4"]);
        let found = of(&movement);
        let seen: Vec<_> = found.iter().map(|note| (note.pitch.midi(), note.above)).collect();
        assert_eq!(seen, [(57.0, false), (100.0, true)]);
    }
}
