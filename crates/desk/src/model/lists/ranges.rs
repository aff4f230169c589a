//! Extremes of range and long stretches, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_core::bar::BarAddress;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let score = &env.basis.score;
    let mut rows = Vec::new();
    for (movement, tracks) in score.movements.iter().zip(&env.tracks.movements) {
        let name = |part: barloom_core::part::PartIdx| {
            score.parts.get(part.idx()).map_or_else(String::new, |part| part.name.clone())
        };
        let mut here: Vec<(BarAddress, ListRow)> = Vec::new();
        for found in &tracks.ranges {
            let (bar, offset) = movement.place(found.at);
            let at = BarAddress { movement: movement.id, bar, offset };
            let mut row = row_at(env, at, None);
            row.head = name(found.part);
            row.text = found.in_words();
            // What lies outside comes before anything else; then the longest, by notes and seconds.
            let outside = if found.kind.is_outside() { 10_000.0 } else { 0.0 };
            row.weight = outside + found.n_notes as f32;
            row.light = !found.kind.is_outside();
            here.push((at, row));
        }
        for found in &tracks.stretches {
            let at = BarAddress::start_of(movement.id, found.from);
            let mut row = row_at(env, at, None);
            if found.to != found.from {
                row.place.push_str(&format!("–{}", movement.bar_name(found.to)));
            }
            row.head = name(found.part);
            row.text = format!("{} (estimate; players know better)", found.in_words());
            row.weight = found.seconds as f32;
            here.push((at, row));
        }
        here.sort_by_key(|(at, _)| *at);
        rows.extend(here.into_iter().map(|(_, row)| row));
    }
    rows
}
