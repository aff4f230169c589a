//! The table "Time for changes": what lacks time, worst first.

use super::super::lists::Scene;
use super::PlanTable;
use crate::changes::Change;

/// So many changes are printed.
const MOST: usize = 24;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let track = &scene.tracks.changes;
    let mut short = track.worst_first();
    short.retain(|change| change.is_short());
    let (n_short, n_all) = (short.len(), track.changes.len());
    short.truncate(MOST);
    let left_out =
        if n_short > MOST { format!(" The {MOST} worst are shown.") } else { String::new() };
    let row = |change: &&Change| {
        let (bar, _) = scene.movement.place(change.at);
        let players = change.players_in_words();
        let part = format!("{} {players}", scene.part_name(change.part));
        vec![
            scene.place(bar),
            part.trim_end().to_owned(),
            change.what.clone(),
            change.seconds_in_words(),
            change.verdict.name().to_owned(),
        ]
    };
    PlanTable {
        name: "Time for changes",
        note: format!(
            "{n_short} of {n_all} changes lack time at the tempo in force, the worst first. What is \
             wanted is players' advice.{left_out}"
        ),
        heads: vec!["Bar", "Part", "Change", "There is", ""],
        wide: 2,
        rows: short.iter().map(row).collect(),
    }
}
