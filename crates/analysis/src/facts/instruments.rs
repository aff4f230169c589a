//! The facts of what players have in hand: instruments in turn, what is struck, how strings are
//! tuned, harp pedals.

use super::place;
use crate::changes::harp::pedals_in_words;
use barloom_core::event::{Marking, MarkingKind, StringTuning};
use barloom_core::part::PlayerSet;
use barloom_core::score::{InHand, Movement, PartMusic, StruckInstrument};
use barloom_core::time::Ticks;
use serde_json::{Value, json};

/// Who takes which instrument from where; player numbers count from 1 inside the part, `null` is
/// everyone.
pub(super) fn in_hand(movement: &Movement, music: &PartMusic) -> Vec<Value> {
    let row = |taken: &InHand| {
        let (bar, at) = place(movement, taken.at);
        let players = numbered(taken.players);
        let instrument = taken.instrument.get().name;
        json!({ "bar": bar, "at": at, "players": players, "instrument": instrument })
    };
    music.instruments.iter().map(row).collect()
}

/// Players by number from 1; `None` for everyone in the part.
pub(super) fn numbered(players: PlayerSet) -> Option<Vec<usize>> {
    let inside = (0..PlayerSet::MAX_PLAYERS).filter(|idx| players.contains(*idx));
    (!players.is_all()).then(|| inside.map(|idx| idx + 1).collect())
}

/// The instruments of the file that notes name, with the number of heads that begin a sound.
pub(super) fn struck(music: &PartMusic) -> Vec<Value> {
    let mut counts = vec![0usize; music.struck.len()];
    for note in music.notes.iter().filter(|note| note.is_counted()) {
        let place = usize::from(note.struck).checked_sub(1);
        if let Some(count) = place.and_then(|place| counts.get_mut(place)) {
            *count += 1;
        }
    }
    let row = |(struck, notes): (&StruckInstrument, usize)| {
        let instrument = struck.instrument.map_or("unknown", |row| row.get().name);
        json!({ "name": struck.name, "instrument": instrument, "notes": notes })
    };
    music.struck.iter().zip(counts).map(row).collect()
}

/// How a part made from this score is transposed for its player, in semitones from written to
/// sounding; `null` when the file does not say so.
pub(super) fn part_transposition(music: &PartMusic) -> Option<i32> {
    let first = music.part_transpositions.first().filter(|mark| mark.at == Ticks::ZERO);
    first.map(|mark| mark.transposition.semitones())
}

/// Scordatura: strings from the highest, 1, with what they are tuned to.
pub(super) fn tunings(movement: &Movement, music: &PartMusic) -> Vec<Value> {
    let row = |marking: &Marking| {
        let MarkingKind::Scordatura(strings) = &marking.kind else { return None };
        let (bar, at) = place(movement, marking.at);
        let string = |tuned: &StringTuning| json!({ "string": tuned.string, "pitch": tuned.pitch.to_string() });
        let strings: Vec<Value> = strings.iter().map(string).collect();
        Some(json!({ "bar": bar, "at": at, "strings": strings }))
    };
    music.markings.iter().filter_map(row).collect()
}

/// Harp pedal diagrams in words, left foot and right foot apart by a bar.
pub(super) fn pedals(movement: &Movement, music: &PartMusic) -> Vec<Value> {
    let row = |marking: &Marking| {
        let MarkingKind::HarpPedals(pedals) = marking.kind else { return None };
        let (bar, at) = place(movement, marking.at);
        Some(json!({ "bar": bar, "at": at, "pedals": pedals_in_words(pedals.map(i8::signum)) }))
    };
    music.markings.iter().filter_map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// D major on the harp: F and C sharp.
    #[test]
    fn pedals_are_said_from_left_to_right() {
        assert_eq!(pedals_in_words([0, 1, 0, 0, 1, 0, 0]), "D C# B | E F# G A");
        assert_eq!(pedals_in_words([-1; 7]), "Db Cb Bb | Eb Fb Gb Ab");
    }
}
