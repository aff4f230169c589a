//! Which players of a condensed part play what: from the numbers printed beside the notes, from the
//! voices on the staff, and from the heads of chords.

use crate::bar::BarIndex;
use crate::event::{Marking, MarkingKind, Note, NoteTraits, PlayersMark, Rest};
use crate::part::PlayerSet;
use crate::score::PartMusic;
use crate::time::Ticks;

/// Binds notes and markings of a part with `n_players` players, at least 2.
///
/// In a bar in which two voices have notes or rests on a staff, the upper voice is the first player
/// (or the upper half of the players). Otherwise the last printed number holds; without one,
/// everyone plays. A chord of as many heads as there are players is one head each, the highest for
/// the first player (common practice of condensed parts).
pub(super) fn bind(music: &mut PartMusic, n_players: usize) {
    if n_players < 2 {
        return;
    }
    let states = states(&music.markings);
    let voices = voices_by_bar(&music.notes, &music.rests);
    let set_for = |bar: BarIndex, staff: u8, voice: u8, at: Ticks| {
        let here = voices.get(bar.idx()).map(Vec::as_slice).unwrap_or_default();
        let of_staff: Vec<u8> =
            here.iter().filter(|(known, _)| *known == staff).map(|(_, voice)| *voice).collect();
        match of_staff.iter().position(|known| *known == voice) {
            Some(rank) if of_staff.len() >= 2 => share(rank, of_staff.len(), n_players),
            _ => state_at(&states, at),
        }
    };
    for note in &mut music.notes {
        note.players = set_for(note.bar, note.staff, note.voice, note.onset);
    }
    share_chords(&mut music.notes, n_players);
    for marking in &mut music.markings {
        if !marking.players.is_all() || matches!(marking.kind, MarkingKind::Players(_)) {
            continue;
        }
        let staff = marking.staff.unwrap_or(1);
        marking.players = match marking.voice {
            Some(voice) => set_for(marking.bar, staff, voice, marking.at),
            None => state_at(&states, marking.at),
        };
    }
}

/// From where which players play, as printed.
fn states(markings: &[Marking]) -> Vec<(Ticks, PlayerSet)> {
    let mut states = Vec::new();
    for marking in markings {
        match marking.kind {
            MarkingKind::Players(PlayersMark::Named | PlayersMark::Solo) => {
                states.push((marking.at, marking.players));
            }
            MarkingKind::Players(PlayersMark::All) => states.push((marking.at, PlayerSet::ALL)),
            _ => {}
        }
    }
    states
}

fn state_at(states: &[(Ticks, PlayerSet)], at: Ticks) -> PlayerSet {
    let after = states.partition_point(|(from, _)| *from <= at);
    let state = after.checked_sub(1).and_then(|idx| states.get(idx));
    state.map_or(PlayerSet::ALL, |(_, set)| *set)
}

/// The voices of each bar with their staves, in order.
fn voices_by_bar(notes: &[Note], rests: &[Rest]) -> Vec<Vec<(u8, u8)>> {
    let mut bars: Vec<Vec<(u8, u8)>> = Vec::new();
    let sounding = notes.iter().filter(|note| note.sounds());
    let places = sounding.map(|note| (note.bar, note.staff, note.voice));
    let places = places.chain(rests.iter().map(|rest| (rest.bar, rest.staff, rest.voice)));
    for (bar, staff, voice) in places {
        if bars.len() <= bar.idx() {
            bars.resize_with(bar.idx() + 1, Vec::new);
        }
        if let Some(voices) = bars.get_mut(bar.idx())
            && let Err(place) = voices.binary_search(&(staff, voice))
        {
            voices.insert(place, (staff, voice));
        }
    }
    bars
}

/// The players of the voice at `rank` of so many voices: the players are dealt out evenly from the
/// top.
fn share(rank: usize, voices: usize, n_players: usize) -> PlayerSet {
    if voices > n_players {
        return PlayerSet::of([rank.min(n_players - 1)]);
    }
    PlayerSet::of(rank * n_players / voices..(rank + 1) * n_players / voices)
}

fn share_chords(notes: &mut [Note], n_players: usize) {
    let mut from = 0;
    while let Some(first) = notes.get(from) {
        let key =
            |note: &Note| (note.onset, note.staff, note.voice, note.traits.has(NoteTraits::GRACE));
        let first_key = key(first);
        let rest = notes.get(from..).unwrap_or_default();
        let len = rest.iter().take_while(|note| key(note) == first_key).count().max(1);
        let set = first.players;
        let members: Vec<usize> = (0..n_players).filter(|player| set.contains(*player)).collect();
        if len >= 2 && len == members.len() {
            // Pitches ascend, players descend.
            let chord = notes.get_mut(from..from + len).unwrap_or_default();
            for (note, player) in chord.iter_mut().zip(members.iter().rev()) {
                note.players = PlayerSet::of([*player]);
            }
        }
        from += len;
    }
}
