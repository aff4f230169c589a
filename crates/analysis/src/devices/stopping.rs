//! Stopped horns by the signs over their notes: the plus stops, the ring opens (MusicXML 4.0,
//! `stopped` and `open`).
//!
//! A plus holds for its note. Notes with it one after the other are one state, which ends with the
//! last of them; silence between them ends nothing. Where words have stopped the horn already, the
//! plus says nothing new, and a ring ends what the words began.

use super::DeviceSpan;
use barloom_core::event::{Device, Manner, Note, NoteTraits, PlusSign};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::PartMusic;

/// Adds the spans that signs make to those of the words, and ends the ones that a ring ends.
pub(super) fn add(part: PartIdx, music: &PartMusic, spans: &mut Vec<DeviceSpan>) {
    let signs = Manner::STOPPED | Manner::OPEN;
    if !music.notes.iter().any(|note| note.manner.any(signs)) {
        return;
    }
    let first = spans.partition_point(|span| span.part < part);
    let mut words: Vec<DeviceSpan> = spans.split_off(first);
    let mut runs: Vec<DeviceSpan> = Vec::new();
    // The run of each set of players that goes on.
    let mut open: Vec<(PlayerSet, usize)> = Vec::new();
    for note in music.notes.iter().filter(|note| note.sounds() && hand_stops(music, note)) {
        let run = open.iter().position(|(players, _)| players.overlaps(note.players));
        let stopped = note.manner.has(Manner::STOPPED);
        // The end of a tie is as its beginning was.
        let goes_on = stopped || note.traits.has(NoteTraits::CONTINUES);
        match (run, goes_on) {
            (Some(run), true) => {
                let span = open.get(run).and_then(|(_, idx)| runs.get_mut(*idx));
                if let Some(span) = span {
                    span.to = span.to.max(note.end());
                }
            }
            (Some(run), false) => {
                let (_, idx) = open.swap_remove(run);
                if note.manner.has(Manner::OPEN)
                    && let Some(span) = runs.get_mut(idx)
                {
                    span.end_words = String::from("o");
                }
            }
            (None, _) if stopped && !in_force(&words, note) => {
                open.push((note.players, runs.len()));
                runs.push(begun(part, note));
            }
            (None, _) => {
                if note.manner.has(Manner::OPEN) {
                    end_by_ring(&mut words, note);
                }
            }
        }
    }
    words.append(&mut runs);
    words.retain(|span| span.to > span.from);
    spans.append(&mut words);
}

fn hand_stops(music: &PartMusic, note: &Note) -> bool {
    let instrument = music.instrument_of(note.players, note.onset);
    instrument.is_some_and(|instrument| PlusSign::on(instrument) == PlusSign::HandStopped)
}

fn holds(span: &DeviceSpan, note: &Note) -> bool {
    span.device == Device::Stopped
        && span.from <= note.onset
        && note.onset < span.to
        && span.players.overlaps(note.players)
}

fn in_force(words: &[DeviceSpan], note: &Note) -> bool {
    words.iter().any(|span| holds(span, note))
}

fn end_by_ring(words: &mut [DeviceSpan], note: &Note) {
    for span in words.iter_mut().filter(|span| holds(span, note)) {
        span.to = note.onset;
        span.end_words = String::from("o");
        span.ended = true;
    }
}

fn begun(part: PartIdx, note: &Note) -> DeviceSpan {
    DeviceSpan {
        part,
        players: note.players,
        device: Device::Stopped,
        from: note.onset,
        to: note.end(),
        words: String::from("+"),
        end_words: String::new(),
        ended: true,
        line: note.line,
    }
}

#[cfg(test)]
mod tests {
    use super::super::DevicesTrack;
    use crate::testing::movement;
    use barloom_core::event::Manner;
    use barloom_core::score::Movement;

    /// `+` and `o` in the signs stand over the notes in order, `.` for none.
    fn signed(part: &str, signs: &str) -> Movement {
        let mut movement = movement(&[part]);
        for (note, sign) in movement.music[0].notes.iter_mut().zip(signs.chars()) {
            match sign {
                '+' => note.manner.set(Manner::STOPPED),
                'o' => note.manner.set(Manner::OPEN),
                _ => {}
            }
        }
        movement
    }

    fn spans(part: &str, signs: &str) -> Vec<(String, i64, i64, String, String)> {
        let movement = signed(part, signs);
        let quarter = i64::from(movement.resolution.ticks_per_quarter());
        let track = DevicesTrack::of(&movement);
        let row = |span: &super::DeviceSpan| {
            (
                span.device.to_string(),
                span.from.0 / quarter,
                span.to.0 / quarter,
                span.words.clone(),
                span.end_words.clone(),
            )
        };
        track.spans.iter().map(row).collect()
    }

    fn stopped(from: i64, to: i64, words: &str, end: &str) -> (String, i64, i64, String, String) {
        (String::from("stopped"), from, to, words.to_owned(), end.to_owned())
    }

    #[test]
    fn notes_with_the_plus_are_one_state_until_the_last() {
        let found = spans("horn: 4/4 c4:1 d4 e4 f4 | r:4 | g4:4 | a4:4", ".++++o");
        assert_eq!(found, [stopped(1, 12, "+", "o")]);
        let found = spans("horn: 4/4 c4:2 d4 | e4:4", "+.+");
        assert_eq!(found, [stopped(0, 2, "+", ""), stopped(4, 8, "+", "")]);
        let found = spans("horn: 4/4 c4:4_ | ~c4:4 | d4:4", "+..");
        assert_eq!(found, [stopped(0, 8, "+", "")]);
    }

    #[test]
    fn words_and_signs_are_one_statement() {
        let found = spans("horn: 4/4 !+stopped=gestopft c4:4 | d4:4 | e4:4", "++o");
        assert_eq!(found, [stopped(0, 8, "gestopft", "o")]);
    }

    #[test]
    fn a_plus_on_strings_stops_nothing() {
        assert!(spans("violin: 4/4 c4:4", "+").is_empty());
        assert!(spans("trumpet: 4/4 c4:4", "+").is_empty());
    }
}
