//! The played order of a movement: repeats, endings and jumps unrolled into spans of bars, with the
//! repeats left out and the bars cut that the plan says. The walk itself is in `walk`.
//!
//! Written order is the truth; this is derived from it and never stored. After a jump (da capo, dal
//! segno) repeats are not taken again and the last ending is played (common practice). The walk
//! always ends, whatever the file says.

mod walk;

use crate::bar::BarIndex;
use crate::basis::MovementPlan;
use crate::score::Movement;
use std::fmt;

/// Repeats or jumps that do not fit together, and the bar where that shows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct OrderProblem {
    /// Where.
    pub bar: BarIndex,
    /// What.
    pub kind: OrderProblemKind,
}

/// What does not fit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OrderProblemKind {
    /// Dal segno without a segno; the jump goes to the beginning.
    NoSegno,
    /// To coda without a coda; play goes straight on.
    NoCoda,
    /// No ending has the number of this pass; play goes on behind the endings.
    NoEnding(u32),
    /// A jump without a fine; play goes to a thick barline inside the movement, or to the end.
    NoFine,
    /// The order never ends, or is longer than anything playable; it was cut off.
    TooLong,
}

impl fmt::Display for OrderProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.kind {
            OrderProblemKind::NoSegno => {
                f.write_str("a jump to the segno, but there is no segno; it goes to the beginning")
            }
            OrderProblemKind::NoCoda => {
                f.write_str("a jump to the coda, but there is no coda; play goes straight on")
            }
            OrderProblemKind::NoEnding(pass) => {
                write!(f, "no ending is marked for pass {pass}; play goes on behind the endings")
            }
            OrderProblemKind::NoFine => f.write_str(
                "a jump back, but nothing says where to end; play goes to the thick barline or the end",
            ),
            OrderProblemKind::TooLong => {
                f.write_str("the repeats and jumps do not come to an end; the order was cut off")
            }
        }
    }
}

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
