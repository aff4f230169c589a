//! The table "Time for changes".

use super::super::lists::Scene;
use super::PlanTable;

pub(super) fn table(_scene: &Scene<'_>) -> PlanTable {
    PlanTable {
        name: "Time for changes",
        heads: vec!["Bar", "What"],
        wide: 1,
        ..PlanTable::default()
    }
}
