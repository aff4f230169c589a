//! What is known only when a chord is whole: harmonics, and how far trills reach. And which of the
//! listed instruments a note names.

use super::harmonics;
use super::notations::Notated;
use super::part::PartReader;
use crate::diag::Code;
use crate::event::{Manner, Note, NoteTraits};
use crate::import::raw::Pos;
use crate::instrument::Family;

impl PartReader<'_> {
    /// The place plus 1 of an instrument in the list of the part's instruments; 0 if it is not there.
    /// Neighboring notes mostly name the same one.
    pub(super) fn listed_instrument(&mut self, id: &str) -> u8 {
        let listed = &self.out.header.instruments;
        let same = |idx: &u8| listed.get(usize::from(*idx)).is_some_and(|known| known.id == id);
        if !same(&self.last_listed) {
            let found = listed.iter().position(|known| known.id == id);
            let Some(found) = found.and_then(|found| u8::try_from(found).ok()) else { return 0 };
            self.last_listed = found;
        }
        self.last_listed.saturating_add(1)
    }

    /// Marks the notes from the beginning of a wavy line to its end, in one voice, as trilled. A
    /// line that does not end marks only the note where it begins. Grace notes are the turn after
    /// the trill.
    pub(super) fn follow_trill(&mut self, idx: usize, voice: u8, notated: &Notated) {
        let mut ends_here = notated.wavy_ends;
        if notated.wavy_ends
            && let Some(open) = self.trills.iter().position(|(of, _)| *of == voice)
        {
            let (_, from) = self.trills.swap_remove(open);
            self.trill_ends = Some((from, voice));
            // A line that begins where another one ends goes on.
            ends_here = false;
        }
        if notated.wavy_begins && !ends_here {
            self.trills.retain(|(of, _)| *of != voice);
            self.trills.push((voice, idx));
        }
    }

    /// What must wait until the chord is whole: which head of a harmonic sounds, and how far a trill
    /// reaches.
    pub(super) fn close_chord(&mut self) {
        if let Some((from, voice)) = self.trill_ends.take() {
            let trilled = self.out.notes.get_mut(from + 1..).unwrap_or_default().iter_mut();
            let own = |note: &&mut Note| note.voice == voice;
            for note in trilled.filter(own).filter(|n| !n.traits.has(NoteTraits::GRACE)) {
                note.manner.set(Manner::TRILL | Manner::TRILL_GOES_ON);
            }
        }
        self.share_tremolo();
        if self.harmonics.is_empty() {
            return;
        }
        let heads = std::mem::take(&mut self.harmonics);
        let family = self.out.header.instrument.map(|instrument| instrument.get().family);
        let bowed = family == Some(Family::Strings);
        if let Some(unclear) = harmonics::resolve(&mut self.out.notes, &heads, bowed) {
            let note = self.out.notes.get(unclear.note);
            let pos = note.map_or(self.pos(), |n| Pos { bar: n.bar.0, offset: n.onset.0 });
            let byte = self.chord_byte;
            self.out.log.add(Code::HarmonicUnclear, pos, byte, || unclear.message.to_owned());
        }
    }

    /// A tremolo stands on the stem, whichever head the file writes it on.
    fn share_tremolo(&mut self) {
        let notes = &mut self.out.notes;
        let Some(last) = notes.last().filter(|note| note.traits.has(NoteTraits::CHORD)) else {
            return;
        };
        let onset = last.onset;
        let heads = notes.iter().rev().take_while(|note| note.traits.has(NoteTraits::CHORD));
        let from = notes.len().saturating_sub(heads.count() + 1);
        let chord = notes.get_mut(from..).unwrap_or_default();
        let written = chord.iter().find(|n| n.tremolo > 0 || n.manner.has(Manner::TREMOLO_PAIR));
        let Some((strokes, pair)) = written.map(|note| {
            (note.tremolo, note.manner.only(Manner::TREMOLO_PAIR | Manner::TREMOLO_ENDS))
        }) else {
            return;
        };
        for note in chord.iter_mut().filter(|note| note.onset == onset && note.tremolo == 0) {
            note.tremolo = strokes;
            note.manner.set(pair);
        }
    }
}
