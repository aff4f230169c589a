//! The table "Ranges and breath": notes outside a range, the worst extremes inside, the longest stretches.

use super::super::lists::Scene;
use super::PlanTable;
use crate::ranges::comfort::LongStretch;
use crate::ranges::{Extreme, worst_first};
use barloom_core::bar::BarIndex;

/// So many extremes are printed.
const MOST_EXTREMES: usize = 16;
/// So many stretches are printed.
const MOST_STRETCHES: usize = 10;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let tracks = scene.tracks;
    let extremes = worst_first(&tracks.ranges);
    let left_out = extremes.len().saturating_sub(MOST_EXTREMES)
        + tracks.stretches.len().saturating_sub(MOST_STRETCHES);
    let mut rows: Vec<(BarIndex, Vec<String>)> =
        extremes.into_iter().take(MOST_EXTREMES).map(|found| extreme(scene, found)).collect();
    let longest = tracks.stretches.iter().take(MOST_STRETCHES);
    rows.extend(longest.map(|found| stretch(scene, found)));
    rows.sort_by_key(|(bar, _)| *bar);
    let more =
        if left_out > 0 { format!(" {left_out} more are on the desk.") } else { String::new() };
    PlanTable {
        name: "Ranges and breath",
        note: format!(
            "Pitches as they sound; ranges are what professionals command. Stretches are estimates at \
             the tempo in force: breath and endurance depend on the player, who knows better.{more}"
        ),
        heads: vec!["Bars", "Part", "What"],
        wide: 2,
        rows: rows.into_iter().map(|(_, row)| row).collect(),
    }
}

fn bars(scene: &Scene<'_>, from: BarIndex, to: BarIndex) -> String {
    if from == to {
        return scene.place(from);
    }
    format!("{} to {}", scene.place(from), scene.movement.bar_name(to))
}

fn extreme(scene: &Scene<'_>, found: &Extreme) -> (BarIndex, Vec<String>) {
    let place = bars(scene, found.bar, found.last_bar);
    (found.bar, vec![place, scene.part_name(found.part).to_owned(), found.in_words()])
}

fn stretch(scene: &Scene<'_>, found: &LongStretch) -> (BarIndex, Vec<String>) {
    let place = bars(scene, found.from, found.to);
    (found.from, vec![place, scene.part_name(found.part).to_owned(), found.in_words()])
}
