//! The table "Doublings".

use super::super::lists::Scene;
use super::PlanTable;

pub(super) fn table(_scene: &Scene<'_>) -> PlanTable {
    PlanTable { name: "Doublings", heads: vec!["Bar", "What"], wide: 1, ..PlanTable::default() }
}
