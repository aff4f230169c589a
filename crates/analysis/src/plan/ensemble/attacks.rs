//! The table "Mixed attacks".

use super::super::lists::Scene;
use super::PlanTable;

pub(super) fn table(_scene: &Scene<'_>) -> PlanTable {
    PlanTable { name: "Mixed attacks", heads: vec!["Bar", "What"], wide: 1, ..PlanTable::default() }
}
