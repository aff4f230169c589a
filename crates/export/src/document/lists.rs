//! The lists of the plan as rows for the template.

use super::{Files, run};
use crate::figures::canvas::Ink;
use crate::figures::{beat, music};
use barloom_analysis::plan::{
    BeatingRow, CuePlace, CueRow, CueState, EntranceRow, MarkRow, PlanMovement, StudyPlan, words,
};
use barloom_core::study::Sign;
use serde_json::{Value, json};

const fn state(cue: CueState) -> &'static str {
    match cue {
        CueState::Wanted => "cue",
        CueState::Proposed => "proposed",
        CueState::None => "",
    }
}

/// Who and how in one.
fn manner(who: &str, how: &str) -> String {
    [who, how].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ")
}

/// The reasons, and what falls together with the cue.
fn why(reasons: &[String], clash: &str) -> String {
    let reasons = reasons.iter().map(String::as_str);
    reasons.chain(Some(clash).filter(|clash| !clash.is_empty())).collect::<Vec<_>>().join("; ")
}

/// By place, one list a movement.
pub(super) fn cues(plan: &StudyPlan) -> Vec<Value> {
    let row = |cue: &CuePlace| {
        json!({
            "place": cue.place,
            "beat": cue.beat,
            "parts": cue.parts,
            "how": manner(&cue.who, &cue.how),
            "why": why(&cue.reasons, &cue.clash),
            "state": state(cue.state),
        })
    };
    let movement = |(idx, movement): (usize, &PlanMovement)| {
        let here = plan.cue_places.iter().filter(|cue| cue.movement == idx);
        let rows: Vec<Value> = here.map(row).collect();
        (!rows.is_empty()).then(|| json!({ "name": movement.heading, "rows": rows }))
    };
    plan.movements.iter().enumerate().filter_map(movement).collect()
}

/// By part in score order.
pub(super) fn cues_by_player(plan: &StudyPlan) -> Vec<Value> {
    let mut rows: Vec<&CueRow> = plan.cues.iter().collect();
    // Stable: cues of one part stay in the order of the music.
    rows.sort_by(|a, b| (a.part_idx, &a.part).cmp(&(b.part_idx, &b.part)));
    let row = |cue: &&CueRow| {
        json!({
            "place": cue.place,
            "beat": cue.beat,
            "how": manner(&cue.who, &cue.how),
            "why": why(&cue.reasons, &cue.clash),
            "state": state(cue.state),
        })
    };
    let part = |rows: &[&CueRow]| {
        let name = rows.first().map_or("", |row| row.part.as_str());
        json!({ "name": name, "rows": rows.iter().map(row).collect::<Vec<_>>() })
    };
    rows.chunk_by(|a, b| a.part_idx == b.part_idx && a.part == b.part).map(part).collect()
}

/// Every entrance, one list a movement.
pub(super) fn entrances(plan: &StudyPlan) -> Vec<Value> {
    let row = |row: &EntranceRow| {
        json!([
            row.place,
            row.beat,
            row.parts,
            row.rest,
            music::dynamics(&row.level),
            state(row.cue),
        ])
    };
    let movement = |movement: &PlanMovement| {
        let rows: Vec<Value> = movement.entrances.iter().map(row).collect();
        (!rows.is_empty()).then(|| json!({ "name": movement.heading, "rows": rows }))
    };
    plan.movements.iter().filter_map(movement).collect()
}

/// Height of a beating figure in the list.
const FIGURE_PT: f64 = 50.0;

/// Every change of pattern with its figure, one list a movement.
pub(super) fn beatings(plan: &StudyPlan, files: &mut Files) -> Vec<Value> {
    let mut row = |row: &BeatingRow| {
        let rate = row.rate.map(|(unit, per_minute)| {
            let rate = words::number(per_minute.round());
            match music::note(unit, 9.0, Ink::BLACK) {
                Some(_) => run(&music::metronome(unit, &rate, true, 9.0, Ink::BLACK)),
                // Strokes without a note value of their own: three in a bar of two quarters.
                None => json!([["sans", format!("{rate} a minute"), 9.0]]),
            }
        });
        json!({
            "place": row.place,
            "until": row.until,
            "bars": words::n_bars(row.n_bars),
            "meter": row.meter,
            "words": row.words,
            "rate": rate,
            "chosen": row.chosen,
            "reason": row.reason,
            "figure": files.add(beat::draw(&row.pattern, &row.groups, FIGURE_PT)),
        })
    };
    let mut lists = Vec::new();
    for movement in plan.movements.iter().filter(|movement| !movement.beatings.is_empty()) {
        let rows: Vec<Value> = movement.beatings.iter().map(&mut row).collect();
        lists.push(json!({ "name": movement.heading, "rows": rows }));
    }
    lists
}

/// The tables of the ensemble: a chapter each, its movements under each other.
pub(super) fn tables(plan: &StudyPlan) -> Vec<Value> {
    let mut chapters: Vec<(&str, Vec<Value>)> = Vec::new();
    for movement in &plan.movements {
        for table in &movement.tables {
            let part = json!({
                "name": movement.heading,
                "note": table.note,
                "heads": table.heads,
                "wide": table.wide,
                "rows": table.rows,
            });
            match chapters.iter_mut().find(|(name, _)| *name == table.name) {
                Some((_, parts)) => parts.push(part),
                None => chapters.push((table.name, vec![part])),
            }
        }
    }
    let chapter = |(name, parts)| json!({ "name": name, "movements": parts });
    chapters.into_iter().map(chapter).collect()
}

/// The marks of each layer.
pub(super) fn layers(plan: &StudyPlan) -> Vec<Value> {
    let row = |mark: &MarkRow| {
        let name = if mark.sign == Sign::Text { "" } else { mark.sign.name() };
        json!([mark.place, mark.parts, music::sign(mark.sign).unwrap_or(""), name, mark.text])
    };
    plan.layers
        .iter()
        .map(|layer| {
            json!({ "name": layer.name, "rows": layer.marks.iter().map(row).collect::<Vec<_>>() })
        })
        .collect()
}
