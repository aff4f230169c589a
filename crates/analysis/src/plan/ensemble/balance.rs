//! The table "Balance".

use super::super::lists::Scene;
use super::{PlanTable, worst_of};
use crate::balance::Covered;

/// So many places are printed.
const MOST: usize = 12;

/// What has to be said of every figure in the table.
const ESTIMATE: &str = "An estimate from marks, instruments, registers and numbers of players; hall and players change it.";

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let covered = &scene.tracks.balance.covered;
    let (shown, left_out) = worst_of(covered, MOST, |covered| -covered.margin_db);
    let row = |covered: &Covered| {
        let by: Vec<&str> = covered.by.iter().map(|part| scene.part_name(*part)).collect();
        let place = match covered.to {
            to if to == covered.from => scene.place(covered.from),
            to => format!("{} to {}", scene.place(covered.from), scene.movement.bar_name(to)),
        };
        let below = format!("about {:.0} dB", -covered.margin_db);
        vec![place, scene.part_name(covered.part).to_owned(), below, by.join(", ")]
    };
    PlanTable {
        name: "Balance",
        note: format!("{ESTIMATE} {left_out}").trim_end().to_owned(),
        heads: vec!["Bars", "Line", "Below the rest", "Loudest of the rest"],
        wide: 3,
        rows: shown.into_iter().map(row).collect(),
    }
}
