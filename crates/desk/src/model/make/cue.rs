//! Cues for the selection.

use super::no_bars;
use crate::model::draft::{Change, Draft};
use crate::model::env::Env;
use barloom_analysis::entrances::Entrance;
use barloom_analysis::seating;
use barloom_core::bar::BarAddress;
use barloom_core::part::PartKey;
use barloom_core::study::{Cue, Item, Seat, Subject};

/// Cues for the selection: the entrances of the selected parts in the selected bars, or the place
/// itself for parts that do not enter there; without selected parts all entrances that need a cue.
/// Where all of them are cues already, they are taken away again.
///
/// # Errors
/// Without a selected bar; or without selected parts where nobody enters.
pub fn cue(env: &Env<'_>) -> Result<Change, String> {
    let places = places(env)?;
    let wanted = |at: &BarAddress, part: &PartKey| {
        let entry = env.study.decision(&Subject::Cue(*at, part.clone()));
        entry.filter(|entry| matches!(&entry.item, Item::Cue(cue) if cue.wanted))
    };
    if let Some(known) =
        places.iter().map(|(at, part)| wanted(at, part)).collect::<Option<Vec<_>>>()
    {
        let drafts = known.into_iter().map(|entry| Draft::Remove(entry.id)).collect();
        return Ok(Change::new("remove cue", drafts));
    }
    let drafts = places
        .into_iter()
        .filter(|(at, part)| wanted(at, part).is_none())
        .map(|(at, part)| put(at, part, true))
        .collect();
    Ok(Change::new("add cue", drafts))
}

fn places(env: &Env<'_>) -> Result<Vec<(BarAddress, PartKey)>, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let at = env.place().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let entrances = env.tracks().map(|tracks| tracks.entrances.as_slice()).unwrap_or_default();
    let here: Vec<_> = entrances.iter().filter(|e| from <= e.bar && e.bar <= to).collect();
    let address =
        |entrance: &Entrance| BarAddress { movement, bar: entrance.bar, offset: entrance.offset };
    let mut places = Vec::new();
    for (idx, part) in env.parts() {
        let mut own = here.iter().filter(|entrance| entrance.part == idx).peekable();
        if own.peek().is_none() {
            places.push((at, part.key.clone()));
        }
        places.extend(own.map(|entrance| (address(entrance), part.key.clone())));
    }
    if places.is_empty() {
        let needed = here.iter().any(|entrance| entrance.need > 0);
        for entrance in here.iter().filter(|entrance| entrance.need > 0 || !needed) {
            let part = env.basis.score.parts.get(entrance.part.idx());
            places.extend(part.map(|part| (address(entrance), part.key.clone())));
        }
    }
    if places.is_empty() {
        return Err(String::from("nobody enters here; select a part for a cue at this place"));
    }
    Ok(places)
}

/// Takes the proposed cues where nothing was decided: those of the selected bars (of the selected
/// parts, if any are), or of the whole work.
///
/// # Errors
/// Without a selected bar (unless all are meant), or when nothing is left to accept.
pub fn accept_cues(env: &Env<'_>, all: bool) -> Result<Change, String> {
    let span = if all { None } else { Some(env.span().ok_or_else(no_bars)?) };
    let selected = &env.view.selection.parts;
    let movements = env.basis.score.movements.iter().zip(&env.tracks.movements).enumerate();
    let mut drafts = Vec::new();
    for (_, (movement, tracks)) in movements.filter(|(idx, _)| all || *idx == env.view.movement) {
        let here = |entrance: &&Entrance| {
            let inside = span.is_none_or(|(from, to)| from <= entrance.bar && entrance.bar <= to);
            let meant = all || selected.is_empty() || selected.contains(&entrance.part);
            entrance.need > 0 && inside && meant
        };
        for entrance in tracks.entrances.iter().filter(here) {
            let Some(part) = env.basis.score.parts.get(entrance.part.idx()) else { continue };
            let (bar, offset) = (entrance.bar, entrance.offset);
            let at = BarAddress { movement: movement.id, bar, offset };
            if env.study.cue(at, &part.key).is_none() {
                drafts.push(put(at, part.key.clone(), true));
            }
        }
    }
    match drafts.len() {
        0 => Err(String::from("no proposed cue is left to accept")),
        1 => Ok(Change::new("accept the proposed cue", drafts)),
        n => Ok(Change::new(format!("accept {n} proposed cues"), drafts)),
    }
}

/// Decides that a proposed cue is not given.
pub fn drop_cue(at: BarAddress, part: PartKey) -> Change {
    Change::one("drop cue", put(at, part, false))
}

/// Decides that the proposed cues of the selected bars (of the selected parts, if any are) are not given.
///
/// # Errors
/// Without a selected bar, or when no proposal is left there.
pub fn drop_cues(env: &Env<'_>) -> Result<Change, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let entrances = env.tracks().map(|tracks| tracks.entrances.as_slice()).unwrap_or_default();
    let selected = &env.view.selection.parts;
    let mut drafts = Vec::new();
    for entrance in entrances {
        let here = from <= entrance.bar && entrance.bar <= to && entrance.need > 0;
        if !here || !selected.is_empty() && !selected.contains(&entrance.part) {
            continue;
        }
        let Some(part) = env.basis.score.parts.get(entrance.part.idx()) else { continue };
        let at = BarAddress { movement, bar: entrance.bar, offset: entrance.offset };
        if env.study.cue(at, &part.key).is_none() {
            drafts.push(put(at, part.key.clone(), false));
        }
    }
    match drafts.len() {
        0 => Err(String::from("no proposed cue is left to drop")),
        1 => Ok(Change::new("drop the proposed cue", drafts)),
        n => Ok(Change::new(format!("drop {n} proposed cues"), drafts)),
    }
}

/// Seats a part; the usual seat takes a decision back.
pub fn seat(env: &Env<'_>, seat: Seat) -> Change {
    let usual = seating::usual(&env.basis.score);
    let decided = env.study.seat(&seat.part).map(|(entry, _)| entry.id);
    match decided.filter(|_| usual.contains(&seat)) {
        Some(id) => Change::one("seat as usual", Draft::Remove(id)),
        None => Change::one("change seat", Draft::Put(Item::Seat(seat))),
    }
}

/// Makes a cue of a place, or takes the decision back if it is one.
pub fn toggle_cue_at(env: &Env<'_>, at: BarAddress, part: PartKey) -> Change {
    match env.study.decision(&Subject::Cue(at, part.clone())) {
        Some(entry) if matches!(&entry.item, Item::Cue(cue) if cue.wanted) => {
            Change::one("remove cue", Draft::Remove(entry.id))
        }
        _ => Change::one("add cue", put(at, part, true)),
    }
}

fn put(at: BarAddress, part: PartKey, wanted: bool) -> Draft {
    let cue = Cue { at, part, wanted, who: String::new(), how: String::new() };
    Draft::Put(Item::Cue(cue))
}
