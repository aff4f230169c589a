//! The played order of a movement: repeats, endings and jumps unrolled into spans of bars, with the
//! repeats left out and the bars cut that the plan says. The walk itself is in `walk`, what follows
//! a jump in `walk::replay`, what can be known before it in `layout`, where jumps lead in `signs`,
//! contradictions in `check`.
//!
//! Written order is the truth; this is derived from it and never stored. After a jump back (da capo,
//! dal segno) the music up to the jump is played without its repeats and with its last endings,
//! unless the file or the words say otherwise; what is new after it has its repeats (common
//! practice). The walk always ends, whatever the file says.

mod check;
mod layout;
mod problem;
mod signs;
mod walk;

pub use problem::{OrderProblem, OrderProblemKind};

use crate::bar::BarIndex;
use crate::basis::MovementPlan;
use crate::score::Movement;

/// The bars in the order in which they are played, as inclusive spans of consecutive bars, and what
/// did not fit. Every bar of every span exists. Empty if the movement has no bars.
pub fn play_order(
    movement: &Movement,
    plan: &MovementPlan,
) -> (Vec<(BarIndex, BarIndex)>, Vec<OrderProblem>) {
    walk::walk(movement, plan)
}

#[cfg(test)]
mod tests;
