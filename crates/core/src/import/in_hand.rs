//! Which instrument is in whose hands: from the list of parts, from playback elements, from words,
//! and from the instruments that notes name.

use super::assemble::Places;
use super::header::ListedInstrument;
use super::raw::{Pos, RawPart};
use crate::event::{Marking, MarkingKind, Note};
use crate::instrument::{Family, InstrumentId};
use crate::part::PlayerSet;
use crate::score::{InHand, StruckInstrument};
use crate::time::Ticks;

/// The instruments in hand in one movement, in order. `notes` and `markings` are those of the
/// movement, with the players they bind.
pub(super) fn timeline(
    part: &RawPart,
    notes: &[Note],
    markings: &[Marking],
    n_players: usize,
    places: &Places<'_>,
) -> Vec<InHand> {
    let mut out = before(part, places);
    let changes = part.instruments.iter().filter(|(pos, _)| places.contains(pos.bar));
    let mut later: Vec<InHand> = changes
        .map(|(pos, instrument)| InHand {
            at: places.ticks(*pos),
            players: PlayerSet::ALL,
            instrument: *instrument,
        })
        .collect();
    later.extend(markings.iter().filter_map(|marking| match marking.kind {
        MarkingKind::Instrument(instrument) => {
            Some(InHand { at: marking.at, players: marking.players, instrument })
        }
        _ => None,
    }));
    if !strikes_many(part) {
        later.extend(by_notes(part, notes, n_players, places));
    }
    later.sort_by_key(|taken| taken.at);
    for taken in later {
        push(&mut out, taken);
    }
    out
}

/// The instruments that notes of the part may name; none if there is no choice.
pub(super) fn struck(part: &RawPart) -> Vec<StruckInstrument> {
    let listed = &part.header.instruments;
    if listed.len() < 2 || part.notes.iter().all(|note| note.struck == 0) {
        return Vec::new();
    }
    let row = |listed: &ListedInstrument| {
        let name = if listed.name.is_empty() { &listed.id } else { &listed.name };
        StruckInstrument { name: name.as_str().into(), instrument: listed.instrument }
    };
    listed.iter().map(row).collect()
}

/// Percussion has many instruments in reach at once: a note that names another one is no change.
fn strikes_many(part: &RawPart) -> bool {
    let family = part.header.instrument.map(|instrument| instrument.get().family);
    family == Some(Family::Percussion)
}

/// What is in hand when the movement begins.
fn before(part: &RawPart, places: &Places<'_>) -> Vec<InHand> {
    let first = part.header.instrument.unwrap_or_else(InstrumentId::unknown);
    let mut changes: Vec<(Pos, PlayerSet, InstrumentId)> = part
        .instruments
        .iter()
        .map(|(pos, instrument)| (*pos, PlayerSet::ALL, *instrument))
        .collect();
    changes.extend(part.markings.iter().filter_map(|marking| match marking.kind {
        MarkingKind::Instrument(instrument) => Some((marking.pos, marking.players, instrument)),
        _ => None,
    }));
    if !strikes_many(part) {
        let mut last = 1;
        for note in part.notes.iter().filter(|note| note.struck != 0) {
            if std::mem::replace(&mut last, note.struck) == note.struck {
                continue;
            }
            if let Some(instrument) = listed(part, note.struck) {
                let pos = Pos { bar: note.bar.0, offset: note.onset.0 };
                changes.push((pos, PlayerSet::ALL, instrument));
            }
        }
    }
    changes.retain(|(pos, ..)| (pos.bar as usize) < places.range.start);
    changes.sort_by_key(|(pos, ..)| *pos);
    let mut out = vec![InHand::first(first)];
    for (_, players, instrument) in changes {
        push(&mut out, InHand { at: Ticks::ZERO, players, instrument });
    }
    out
}

/// Changes where a player's notes name another instrument than before. A part whose first notes
/// name the first instrument of the list changes nothing.
fn by_notes(part: &RawPart, notes: &[Note], n_players: usize, places: &Places<'_>) -> Vec<InHand> {
    let mut found = Vec::new();
    let earlier = part.notes.iter().rev().filter(|note| (note.bar.0 as usize) < places.range.start);
    let at_start = earlier.map(|note| note.struck).find(|struck| *struck != 0).unwrap_or(1);
    let mut last = vec![at_start; n_players.max(1)];
    for note in notes.iter().filter(|note| note.struck != 0) {
        let playing: Vec<usize> =
            (0..last.len()).filter(|player| note.players.contains(*player)).collect();
        let changed = |player: &usize| last.get(*player).is_some_and(|last| *last != note.struck);
        if !playing.iter().any(changed) {
            continue;
        }
        for player in playing {
            if let Some(last) = last.get_mut(player) {
                *last = note.struck;
            }
        }
        if let Some(instrument) = listed(part, note.struck) {
            found.push(InHand { at: note.onset, players: note.players, instrument });
        }
    }
    found
}

fn listed(part: &RawPart, struck: u8) -> Option<InstrumentId> {
    let place = usize::from(struck).checked_sub(1)?;
    part.header.instruments.get(place).and_then(|listed| listed.instrument)
}

/// Adds a change unless those players have the instrument in hand already. At one place the last
/// statement counts.
fn push(out: &mut Vec<InHand>, taken: InHand) {
    let here = out.iter().rev().take_while(|known| known.at == taken.at);
    let n_here = here.count();
    if taken.players.is_all() {
        // Everyone takes it, so what stands at the same place counts no more.
        out.truncate(out.len() - n_here);
    }
    let has = |player: usize| {
        let own = out.iter().rev().find(|known| known.players.contains(player));
        own.is_some_and(|own| own.instrument == taken.instrument)
    };
    let mut players = (0..PlayerSet::MAX_PLAYERS).filter(|idx| taken.players.contains(*idx));
    if !players.all(has) {
        out.push(taken);
    }
}
