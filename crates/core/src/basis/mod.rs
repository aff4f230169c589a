//! The basis of all analysis: the score with the conductor's corrections, tempo plan and performing
//! order, under a revision of its own.
//!
//! Marks, cues, groups and beatings are not part of it: editing one never reruns an analysis.

mod correct;
mod plan;

pub use correct::BY_HAND;

use crate::arrange::arrange;
use crate::bar::{BarIndex, MovementId};
use crate::diag::Diagnostic;
use crate::score::{Movement, Score};
use crate::study::{PlanTempoValue, Study};
use crate::time::Ticks;
use std::sync::Arc;

/// What analyses read.
#[derive(Clone, Debug, Default)]
pub struct Basis {
    /// The corrected score. Movements without corrections are shared with the score as read.
    pub score: Score,
    /// The plan of each movement, in the order of the movements.
    pub plans: Vec<MovementPlan>,
    /// Grows with every change of the basis; results for an older one are dropped.
    pub revision: u64,
}

impl Basis {
    /// The basis of a score without a study.
    pub fn of(score: Score) -> Self {
        let plans = score.movements.iter().map(|_| MovementPlan::default()).collect();
        Self { score, plans, revision: 0 }
    }

    /// The basis of a study: its movements picked from what was read, corrected, with its tempo plan
    /// and performing order. `read.sources` and the study's sources agree in number and order.
    ///
    /// The diagnostics say which corrections have no effect, and why.
    pub fn build(read: &Score, study: &Study, revision: u64) -> (Self, Vec<Diagnostic>) {
        let (movements, mut diagnostics) = arrange(read, study);
        let title = if study.title.is_empty() { &read.title } else { &study.title };
        let mut score = Score {
            title: title.clone(),
            composer: read.composer.clone(),
            sources: read.sources.clone(),
            parts: read.parts.clone(),
            movements,
        };
        correct::apply(&mut score, study, &mut diagnostics);
        let plans = score.movements.iter().map(|movement| plan::plan_of(movement, study)).collect();
        (Self { score, plans, revision }, diagnostics)
    }

    /// The movements with their plans, in order.
    pub fn movements(&self) -> impl Iterator<Item = (&Arc<Movement>, &MovementPlan)> {
        self.score.movements.iter().zip(&self.plans)
    }

    /// The place of a movement in the order.
    pub fn movement_idx(&self, id: MovementId) -> Option<usize> {
        self.score.movement(id).map(|(idx, _)| idx)
    }
}

/// The conductor's tempo plan and performing order for one movement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MovementPlan {
    /// Tempi by hand, sorted by position.
    pub tempi: Vec<(Ticks, PlanTempoValue)>,
    /// Repeats left out, by the bar at whose end they stand, sorted.
    pub repeats_left: Vec<BarIndex>,
    /// Bars left out, inclusive spans, sorted and disjoint.
    pub cuts: Vec<(BarIndex, BarIndex)>,
    /// Pauses in seconds after a bar, sorted by bar.
    pub pauses: Vec<(BarIndex, f64)>,
}
