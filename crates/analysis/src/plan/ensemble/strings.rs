//! The table "Strings": the colors of the section, and what does not fit together.

use super::super::lists::Scene;
use super::PlanTable;
use crate::manners::{Contradiction, MannerSpan};
use crate::seats::SeatsSpan;
use barloom_core::bar::BarIndex;
use barloom_core::instrument::Family;
use std::cmp::Reverse;

/// So many manners are printed, those of most bars and parts.
const MOST_MANNERS: usize = 24;
/// So many questions are printed, the first ones.
const MOST_QUESTIONS: usize = 16;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let tracks = scene.tracks;
    let mut manners: Vec<&MannerSpan> = tracks.manners.iter().collect();
    let size = |span: &&MannerSpan| (span.to.idx() - span.from.idx() + 1) * span.parts.len();
    manners.sort_by_key(|span| Reverse(size(span)));
    let left_out = manners.len().saturating_sub(MOST_MANNERS)
        + tracks.contradictions.len().saturating_sub(MOST_QUESTIONS);
    manners.truncate(MOST_MANNERS);
    let mut rows: Vec<(BarIndex, Vec<String>)> =
        manners.iter().map(|span| (span.from, manner(scene, span))).collect();
    let questions = tracks.contradictions.iter().take(MOST_QUESTIONS);
    rows.extend(questions.map(|found| question(scene, found)));
    let strings = tracks.seats.spans.iter().filter(|span| is_strings(scene, span));
    rows.extend(strings.map(|span| seats(scene, span)));
    rows.sort_by_key(|(bar, _)| *bar);
    PlanTable {
        name: "Strings",
        note: match left_out {
            0 => String::from("Questions are no errors: the score may mean it so."),
            n => format!(
                "Questions are no errors: the score may mean it so. {n} shorter or later rows are on \
                 the desk only."
            ),
        },
        heads: vec!["Bars", "How", "Who"],
        wide: 2,
        rows: rows.into_iter().map(|(_, row)| row).collect(),
    }
}

fn is_strings(scene: &Scene<'_>, span: &SeatsSpan) -> bool {
    let part = scene.basis.score.parts.get(span.part.idx());
    part.is_some_and(|part| part.instrument.get().family == Family::Strings)
}

fn bars(scene: &Scene<'_>, from: BarIndex, to: BarIndex) -> String {
    if from == to {
        return scene.place(from);
    }
    format!("{} to {}", scene.place(from), scene.movement.bar_name(to))
}

fn manner(scene: &Scene<'_>, span: &MannerSpan) -> Vec<String> {
    let who = span.who(&scene.basis.score);
    vec![bars(scene, span.from, span.to), span.manner.name().to_owned(), who]
}

fn seats(scene: &Scene<'_>, span: &SeatsSpan) -> (BarIndex, Vec<String>) {
    let (from, _) = scene.movement.place(span.from);
    let who = scene.part_name(span.part).to_owned();
    (from, vec![scene.place(from), span.in_words(), who])
}

fn question(scene: &Scene<'_>, found: &Contradiction) -> (BarIndex, Vec<String>) {
    let (bar, _) = scene.movement.place(found.at);
    let text = format!("{}: {}", found.who(&scene.basis.score), found.what);
    (bar, vec![scene.place(bar), String::from("does it fit?"), text])
}
