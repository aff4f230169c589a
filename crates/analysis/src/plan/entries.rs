//! Entrances and cues: in the bar grid and in the lists.

use super::lists::Scene;
use super::{CuePlace, CueRow, CueState, EntranceRow, PlanEntry, PlanOptions, beats, words};
use crate::entrances::Entrance;
use crate::seating::{self, Clash};
use barloom_core::bar::{BarAddress, BarIndex};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::study::{Cue, Entry, Item, Subject};
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

fn decided<'a>(scene: &Scene<'a>, entrance: &Entrance) -> Option<&'a Cue> {
    let key = scene.basis.score.parts.get(entrance.part.idx())?.key.clone();
    let at = BarAddress { movement: scene.movement.id, bar: entrance.bar, offset: entrance.offset };
    match &scene.study.decision(&Subject::Cue(at, key))?.item {
        Item::Cue(cue) => Some(cue),
        _ => None,
    }
}

fn state(scene: &Scene<'_>, entrance: &Entrance, options: &PlanOptions) -> CueState {
    match decided(scene, entrance) {
        Some(cue) if cue.wanted => CueState::Wanted,
        Some(_) => CueState::None,
        None if entrance.need >= options.propose_cues_from => CueState::Proposed,
        None => CueState::None,
    }
}

/// Entrances by place, those at one place together, with the cues wanted elsewhere.
pub(super) fn entries(scene: &Scene<'_>, options: &PlanOptions) -> Vec<PlanEntry> {
    struct Together {
        rest_from: Ticks,
        parts: Vec<PartIdx>,
        cue: CueState,
    }
    let mut places: BTreeMap<Ticks, Together> = BTreeMap::new();
    for entrance in &scene.tracks.entrances {
        let rest = scene.movement.resolution.ticks_floor(entrance.rest_quarters);
        let rest_from = Ticks((entrance.at - rest.unwrap_or_default()).0.max(0));
        let place = places.entry(entrance.at).or_insert_with(|| Together {
            rest_from,
            parts: Vec::new(),
            cue: CueState::None,
        });
        place.rest_from = place.rest_from.min(rest_from);
        place.parts.push(entrance.part);
        place.cue = place.cue.max(state(scene, entrance, options));
    }
    for (_, cue) in elsewhere(scene) {
        let Some(at) = scene.movement.ticks(cue.at) else { continue };
        let place = places.entry(at).or_insert_with(|| Together {
            rest_from: at,
            parts: Vec::new(),
            cue: CueState::Wanted,
        });
        place.cue = CueState::Wanted;
        place.parts.extend(scene.basis.score.part_by_key(&cue.part));
    }
    let entry = |(at, place): (Ticks, Together)| PlanEntry {
        at: scene.spot(at),
        rest_from: scene.spot(place.rest_from),
        who: who(scene, &place.parts),
        cue: place.cue,
    };
    places.into_iter().map(entry).collect()
}

/// The cues wanted at places where no entrance was found.
fn elsewhere<'a>(scene: &'a Scene<'_>) -> Vec<(&'a Entry, &'a Cue)> {
    let is_entrance = |cue: &Cue| {
        scene.tracks.entrances.iter().any(|entrance| {
            entrance.bar == cue.at.bar
                && entrance.offset == cue.at.offset
                && scene.basis.score.parts.get(entrance.part.idx()).map(|part| &part.key)
                    == Some(&cue.part)
        })
    };
    let here = |cue: &Cue| cue.wanted && cue.at.movement == scene.movement.id;
    let mut cues: Vec<_> =
        scene.study.cues().filter(|(_, cue)| here(cue) && !is_entrance(cue)).collect();
    cues.sort_by(|(_, a), (_, b)| (a.at, &a.part).cmp(&(b.at, &b.part)));
    cues
}

/// Parts in short words: whole families by their name, nearly everyone as "tutti".
fn who(scene: &Scene<'_>, parts: &[PartIdx]) -> String {
    let present: Vec<PartIdx> = scene.movement.parts().map(|(part, _)| part).collect();
    if present.len() >= 8 && parts.len() * 10 >= present.len() * 9 {
        return String::from("tutti");
    }
    let family = |part: &PartIdx| {
        let part = scene.basis.score.parts.get(part.idx());
        part.map_or(Family::Other, |part| part.instrument.get().family)
    };
    let mut names: Vec<String> = Vec::new();
    for of in Family::ALL {
        let all = present.iter().filter(|part| family(part) == of).count();
        let here: Vec<&PartIdx> = parts.iter().filter(|part| family(part) == of).collect();
        if here.len() >= 4 && here.len() == all {
            names.push(of.name().to_owned());
        } else if !here.is_empty() {
            let short = here.into_iter().map(|part| scene.part_short(*part));
            names.push(words::joined_names(short));
        }
    }
    names.join(", ")
}

/// All entrances for the list; parts that enter together after the same rest stand in one row.
pub(super) fn rows(scene: &Scene<'_>, options: &PlanOptions) -> Vec<EntranceRow> {
    let mut rows: Vec<(Ticks, EntranceRow, Vec<PartIdx>)> = Vec::new();
    for entrance in &scene.tracks.entrances {
        let row = EntranceRow {
            place: words::bar_place(scene.movement, entrance.bar),
            beat: beats::beat_words(scene, entrance.bar, scene.spot(entrance.at).share),
            parts: String::new(),
            rest: rest(entrance),
            level: level(scene, entrance),
            cue: state(scene, entrance, options),
        };
        let same = rows.iter_mut().rev().take_while(|(at, ..)| *at == entrance.at);
        match same.into_iter().find(|(_, known, _)| *known == row) {
            Some((.., parts)) => parts.push(entrance.part),
            None => rows.push((entrance.at, row, vec![entrance.part])),
        }
    }
    let named = |(_, row, parts): (Ticks, EntranceRow, Vec<PartIdx>)| EntranceRow {
        parts: names(scene, &parts),
        ..row
    };
    rows.into_iter().map(named).collect()
}

/// One part by its full name, several in short words.
fn names(scene: &Scene<'_>, parts: &[PartIdx]) -> String {
    match parts {
        [part] => scene.part_name(*part).to_owned(),
        parts => who(scene, parts),
    }
}

/// The cues of a movement by place: those for one beat that are given alike stand in one row.
pub(super) fn cue_places(scene: &Scene<'_>, rows: &[CueRow]) -> Vec<CuePlace> {
    let alike = |a: &CueRow, b: &CueRow| {
        a.clash == b.clash
            && (&a.place, &a.beat, &a.who, &a.how, a.state)
                == (&b.place, &b.beat, &b.who, &b.how, b.state)
    };
    let place = |rows: &[CueRow]| {
        let first = rows.first()?;
        let parts: Vec<PartIdx> =
            rows.iter().filter_map(|row| u16::try_from(row.part_idx).ok()).map(PartIdx).collect();
        Some(CuePlace {
            movement: first.movement,
            place: first.bar.clone(),
            beat: first.beat.clone(),
            parts: if parts.is_empty() { first.part.clone() } else { names(scene, &parts) },
            who: first.who.clone(),
            how: first.how.clone(),
            reasons: reasons(rows),
            state: first.state,
            clash: first.clash.clone(),
        })
    };
    rows.chunk_by(alike).filter_map(place).collect()
}

/// The reasons of several cues, each once; of the rests only the first, since the others differ by
/// little.
fn reasons(rows: &[CueRow]) -> Vec<String> {
    let is_rest = |reason: &str| reason.starts_with("rest of");
    let mut reasons: Vec<String> = Vec::new();
    for reason in rows.iter().flat_map(|row| &row.reasons) {
        let rest_again = is_rest(reason) && reasons.iter().any(|known| is_rest(known));
        if !rest_again && !reasons.contains(reason) {
            reasons.push(reason.clone());
        }
    }
    reasons
}

fn level(scene: &Scene<'_>, entrance: &Entrance) -> String {
    let level = scene.tracks.dynamics.level_at(entrance.part, entrance.at);
    level.map(|level| level.letters().to_owned()).unwrap_or_default()
}

fn rest(entrance: &Entrance) -> String {
    let length = format!(
        "{}, {}",
        words::n_bars(usize::try_from(entrance.rest_bars).unwrap_or(usize::MAX)),
        words::clock(entrance.rest_seconds)
    );
    match (entrance.first, entrance.rest_bars) {
        (true, 0) => String::from("begins"),
        (true, _) => format!("first entrance, {length}"),
        (false, _) => length,
    }
}

/// The cues of a movement that fall together on different sides.
fn clashes(scene: &Scene<'_>, from: u32) -> Vec<Clash> {
    let score = &scene.basis.score;
    let entrances = &scene.tracks.entrances;
    let cues = seating::cues_of(score, scene.movement, entrances, scene.study, from);
    let seats = seating::seats(score, scene.study);
    seating::clashes(scene.movement, &cues, &seats, &scene.tracks.cues)
}

/// The clashes of a movement by bar, each in a sentence's words.
pub(super) fn clashes_in_words(scene: &Scene<'_>) -> Vec<(BarIndex, String)> {
    let words = |clash: &Clash| {
        let bar = scene.movement.bars.bar_at(clash.at)?;
        let (first, second) = (names(scene, &clash.first), names(scene, &clash.second));
        let when = if clash.at == clash.then { "together with" } else { "less than a beat before" };
        Some((bar, format!("{first} {when} {second}, on different sides: {}", clash.why)))
    };
    clashes(scene, scene.tracks.cues.clash_need).iter().filter_map(words).collect()
}

/// "together with Vc. on the other side: the section first", for one cue.
fn clash_words(scene: &Scene<'_>, clashes: &[Clash], at: Ticks, part: PartIdx) -> String {
    let mine = |clash: &&Clash| {
        (clash.at == at || clash.then == at)
            && (clash.first.contains(&part) || clash.second.contains(&part))
    };
    let Some(clash) = clashes.iter().find(mine) else { return String::new() };
    let first = clash.first.contains(&part);
    let others = if first { &clash.second } else { &clash.first };
    let when = if clash.at == clash.then { "together with" } else { "within a beat of" };
    let order = if first { "this one first" } else { "that one first" };
    let order =
        if clash.at == clash.then { format!("{order}: {}", clash.why) } else { String::new() };
    let sep = if order.is_empty() { "" } else { "; " };
    format!("{when} {} on another side{sep}{order}", names(scene, others))
}

/// The cues of a movement, wanted and proposed, by place, then score order.
pub(super) fn cue_rows(scene: &Scene<'_>, options: &PlanOptions) -> Vec<CueRow> {
    let mut rows: Vec<(Ticks, CueRow)> = Vec::new();
    let clashes = clashes(scene, options.propose_cues_from);
    let clash = |at: Ticks, part: PartIdx| clash_words(scene, &clashes, at, part);
    for entrance in &scene.tracks.entrances {
        let state = state(scene, entrance, options);
        if state == CueState::None {
            continue;
        }
        let cue = decided(scene, entrance);
        rows.push((
            entrance.at,
            CueRow {
                movement: scene.idx,
                place: scene.place(entrance.bar),
                bar: words::bar_place(scene.movement, entrance.bar),
                beat: beats::beat_words(scene, entrance.bar, scene.spot(entrance.at).share),
                part: scene.part_name(entrance.part).to_owned(),
                part_idx: entrance.part.idx(),
                who: cue.map(|cue| cue.who.clone()).unwrap_or_default(),
                how: cue.map(|cue| cue.how.clone()).unwrap_or_default(),
                reasons: entrance.reasons.clone(),
                state,
                clash: clash(entrance.at, entrance.part),
            },
        ));
    }
    for (_, cue) in elsewhere(scene) {
        let Some(at) = scene.movement.ticks(cue.at) else { continue };
        let part = scene.basis.score.part_by_key(&cue.part);
        rows.push((
            at,
            CueRow {
                movement: scene.idx,
                place: scene.place(cue.at.bar),
                bar: words::bar_place(scene.movement, cue.at.bar),
                beat: beats::beat_words(scene, cue.at.bar, scene.spot(at).share),
                part: part.map_or(cue.part.0.as_str(), |part| scene.part_name(part)).to_owned(),
                part_idx: part.map_or(usize::MAX, PartIdx::idx),
                who: cue.who.clone(),
                how: cue.how.clone(),
                reasons: Vec::new(),
                state: CueState::Wanted,
                clash: part.map(|part| clash(at, part)).unwrap_or_default(),
            },
        ));
    }
    rows.sort_by_key(|(at, row)| (*at, row.part_idx));
    rows.into_iter().map(|(_, row)| row).collect()
}
