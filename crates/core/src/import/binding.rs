//! Which players of a condensed part play what: from the numbers printed beside the notes, from the
//! voices on the staff, and from the heads of chords.

use crate::bar::BarIndex;
use crate::event::{Marking, MarkingKind, Note, NoteTraits, PlayersMark, Rest};
use crate::part::PlayerSet;
use crate::score::PartMusic;
use crate::time::Ticks;

/// Binds notes and markings of a part with `n_players` players, at least 2.
///
/// Where a part has several staves and its players share them evenly, each staff has its own players,
/// the first on the upper staff. In a bar in which two voices have notes or rests on a staff, the
/// upper voice is the first player of the staff (or the upper half of its players); the upper voice
/// is the one whose stems go up, or the one with the lower number where stems do not tell. Otherwise
/// the last printed number holds; without one, everyone plays. A chord of as many heads as there are
/// players is one head each, the highest for the first player (common practice of condensed parts).
pub(super) fn bind(music: &mut PartMusic, n_players: usize) {
    if n_players < 2 {
        return;
    }
    let seating = Seating { n_players, staves: usize::from(music.staves.max(1)) };
    let states = states(&music.markings);
    let voices = voices_by_bar(&music.notes, &music.rests);
    let set_for = |bar: BarIndex, staff: u8, voice: u8, at: Ticks| {
        let here = voices.get(bar.idx()).map(Vec::as_slice).unwrap_or_default();
        let of_staff = || here.iter().filter(|known| known.staff == staff);
        match of_staff().position(|known| known.voice == voice) {
            Some(rank) if of_staff().count() >= 2 => seating.share(staff, rank, of_staff().count()),
            _ => state_at(&states, staff, at).unwrap_or(seating.everyone(staff)),
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
        marking.players = match (marking.staff, marking.voice) {
            (staff, Some(voice)) => set_for(marking.bar, staff.unwrap_or(1), voice, marking.at),
            (Some(staff), None) => {
                state_at(&states, staff, marking.at).unwrap_or(seating.everyone(staff))
            }
            (None, None) => state_at(&states, 1, marking.at).unwrap_or(PlayerSet::ALL),
        };
    }
}

/// From where which players play, as printed: the staff it is said of, and `None` for everyone.
struct State {
    at: Ticks,
    staff: Option<u8>,
    players: Option<PlayerSet>,
}

fn states(markings: &[Marking]) -> Vec<State> {
    let state = |marking: &Marking| {
        let players = match marking.kind {
            MarkingKind::Players(PlayersMark::Named | PlayersMark::Solo) => {
                Some(marking.players).filter(|players| !players.is_all())
            }
            MarkingKind::Players(PlayersMark::All) => None,
            _ => return None,
        };
        Some(State { at: marking.at, staff: marking.staff, players })
    };
    markings.iter().filter_map(state).collect()
}

/// The players that a printed number names; `None` if everyone plays.
fn state_at(states: &[State], staff: u8, at: Ticks) -> Option<PlayerSet> {
    let after = states.partition_point(|state| state.at <= at);
    let before = states.get(..after).unwrap_or_default().iter().rev();
    let own = before.into_iter().find(|state| state.staff.is_none_or(|own| own == staff));
    own.and_then(|state| state.players)
}

/// A voice on a staff in one bar.
struct Voice {
    staff: u8,
    voice: u8,
    /// Stems up less stems down.
    stems: i32,
}

/// The voices of each bar by staff, from the top.
fn voices_by_bar(notes: &[Note], rests: &[Rest]) -> Vec<Vec<Voice>> {
    let mut bars: Vec<Vec<Voice>> = Vec::new();
    let sounding = notes.iter().filter(|note| note.sounds());
    let stem = |note: &Note| {
        i32::from(note.traits.has(NoteTraits::STEM_UP))
            - i32::from(note.traits.has(NoteTraits::STEM_DOWN))
    };
    let places = sounding.map(|note| (note.bar, note.staff, note.voice, stem(note)));
    let places = places.chain(rests.iter().map(|rest| (rest.bar, rest.staff, rest.voice, 0)));
    for (bar, staff, voice, stem) in places {
        if bars.len() <= bar.idx() {
            bars.resize_with(bar.idx() + 1, Vec::new);
        }
        let Some(voices) = bars.get_mut(bar.idx()) else { continue };
        match voices.binary_search_by_key(&(staff, voice), |known| (known.staff, known.voice)) {
            Ok(place) => {
                if let Some(known) = voices.get_mut(place) {
                    known.stems += stem;
                }
            }
            Err(place) => voices.insert(place, Voice { staff, voice, stems: stem }),
        }
    }
    // A part may name its lower voice first.
    for voices in &mut bars {
        let stands_below = |pair: &[Voice]| match pair {
            [upper, lower] => upper.staff == lower.staff && upper.stems < 0 && lower.stems > 0,
            _ => false,
        };
        if voices.windows(2).any(stands_below) {
            voices.sort_by_key(|voice| (voice.staff, -voice.stems.signum()));
        }
    }
    bars
}

/// Who sits at which staff.
struct Seating {
    n_players: usize,
    staves: usize,
}

impl Seating {
    /// The players of a staff.
    fn of_staff(&self, staff: u8) -> std::ops::Range<usize> {
        let each = self.n_players / self.staves;
        let even = self.staves > 1 && each > 0 && each * self.staves == self.n_players;
        let staff = usize::from(staff.max(1)) - 1;
        if even && staff < self.staves {
            staff * each..(staff + 1) * each
        } else {
            0..self.n_players
        }
    }

    fn everyone(&self, staff: u8) -> PlayerSet {
        let players = self.of_staff(staff);
        if players.len() == self.n_players { PlayerSet::ALL } else { PlayerSet::of(players) }
    }

    /// The players of the voice at `rank` of so many voices: the players are dealt out evenly from
    /// the top.
    fn share(&self, staff: u8, rank: usize, voices: usize) -> PlayerSet {
        let players = self.of_staff(staff);
        let (first, n) = (players.start, players.len());
        if voices > n {
            return PlayerSet::of([first + rank.min(n - 1)]);
        }
        PlayerSet::of(first + rank * n / voices..first + (rank + 1) * n / voices)
    }
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
