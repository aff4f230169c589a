//! The table "Who has the line".

use super::super::lists::Scene;
use super::super::words;
use super::{PlanTable, longest};
use crate::leading::{LeadRun, runs};
use barloom_core::part::PartIdx;

/// More rows than this are not read on paper.
const MOST_ROWS: usize = 48;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let runs = runs(&scene.tracks.leading);
    let (kept, left_out) = longest(&runs, MOST_ROWS, |run| (run.from, run.to));
    let mut note = String::from("Proposed from the notes: who leads is an estimate.");
    if !left_out.is_empty() && !runs.is_empty() {
        note = format!("{note} {left_out}");
    }
    let short =
        |parts: &[PartIdx]| words::joined_names(parts.iter().map(|part| scene.part_short(*part)));
    let row = |run: &LeadRun| {
        let from = if run.is_handed() { short(&run.before) } else { String::new() };
        vec![
            scene.place(run.from),
            words::n_bars((run.to.0 - run.from.0 + 1) as usize),
            short(&run.parts),
            from,
            short(&run.joined),
        ]
    };
    PlanTable {
        name: "Who has the line",
        note,
        heads: vec!["From bar", "Length", "Leads", "Takes over from", "In some bars with"],
        wide: 2,
        rows: kept.into_iter().map(row).collect(),
    }
}
