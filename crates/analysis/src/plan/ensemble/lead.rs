//! The table "Who has the line".

use super::super::lists::Scene;
use super::PlanTable;

pub(super) fn table(_scene: &Scene<'_>) -> PlanTable {
    PlanTable {
        name: "Who has the line",
        heads: vec!["Bar", "What"],
        wide: 1,
        ..PlanTable::default()
    }
}
