//! Notes outside the range of the instrument in hand, by the catalog of instruments.

pub mod comfort;

use barloom_core::bar::BarIndex;
use barloom_core::event::{Marking, MarkingKind, NoteTraits};
use barloom_core::part::PartIdx;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::{Movement, PartMusic};
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
    let mut found = Vec::new();
    for (part, music) in movement.parts() {
        let tunings = tunings(music);
        for note in &music.notes {
            let continues = note.traits.any(NoteTraits::CONTINUES);
            let Some(pitch) = note.sounding.filter(|_| note.sounds() && !continues) else {
                continue;
            };
            let instrument = music.instrument_of(note.players, note.onset);
            let Some((low, high)) = instrument.and_then(|instrument| instrument.get().range) else {
                continue;
            };
            let low = SoundingPitch::from_midi(i32::from(low));
            let lowest = tuned_down(&tunings, note.onset, low);
            let above = pitch > SoundingPitch::from_midi(i32::from(high));
            if above || pitch < lowest {
                found.push(OutOfRange { part, bar: note.bar, at: note.onset, pitch, above });
            }
        }
    }
    found
}

/// From where a scordatura holds, with the lowest string that it names.
fn tunings(music: &PartMusic) -> Vec<(Ticks, SoundingPitch)> {
    let tuning = |marking: &Marking| match &marking.kind {
        MarkingKind::Scordatura(strings) => {
            let pitches = strings.iter().map(|string| string.pitch.untransposed());
            pitches.min().map(|lowest| (marking.at, lowest))
        }
        _ => None,
    };
    music.markings.iter().filter_map(tuning).collect()
}

/// The low end of a range, where a string may be tuned below it.
fn tuned_down(tunings: &[(Ticks, SoundingPitch)], at: Ticks, low: SoundingPitch) -> SoundingPitch {
    let after = tunings.partition_point(|(from, _)| *from <= at);
    let tuned = after.checked_sub(1).and_then(|idx| tunings.get(idx));
    tuned.map_or(low, |(_, lowest)| low.min(*lowest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    /// A violin whose G string is tuned to E reaches E3.
    #[test]
    fn a_string_tuned_down_widens_the_range() {
        use barloom_core::event::StringTuning;
        use barloom_core::part::PlayerSet;
        use barloom_core::pitch::{Step, WrittenPitch};
        let mut movement = movement(&["violin: 4/4 e3:2 d3"]);
        assert_eq!(of(&movement).len(), 2);
        let pitch = WrittenPitch { step: Step::E, alter_quarter_tones: 0, octave: 3 };
        movement.music[0].markings.push(Marking {
            at: Ticks::ZERO,
            bar: BarIndex(0),
            players: PlayerSet::ALL,
            staff: None,
            voice: None,
            kind: MarkingKind::Scordatura([StringTuning { string: 4, pitch }].into()),
            words: "".into(),
            line: 0,
        });
        let found: Vec<f64> = of(&movement).iter().map(|note| note.pitch.midi()).collect();
        assert_eq!(found, [50.0]);
    }

    /// Flute C4 (B3 with the longer foot) to D7: table of orchestral ranges (orchestralibrary).
    #[test]
    fn notes_past_the_catalog_are_found() {
        let movement = movement(&["flute: 4/4 a3:1 b3 d7 e7", "4/4 c0:4"]);
        let found = of(&movement);
        let seen: Vec<_> = found.iter().map(|note| (note.pitch.midi(), note.above)).collect();
        assert_eq!(seen, [(57.0, false), (100.0, true)]);
    }
}
