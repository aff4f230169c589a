//! The performing order with its oddities in words.

use barloom_core::bar::BarIndex;
use barloom_core::basis::MovementPlan;
use barloom_core::play_order::play_order;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// Bars in performing order as inclusive spans, and what was odd about it, in words with its place.
pub type Played = (Vec<(BarIndex, BarIndex)>, Vec<(Ticks, String)>);

/// The bars in performing order: repeats, endings and jumps as the plan takes them, cuts left out.
pub fn played(movement: &Movement, plan: &MovementPlan) -> Played {
    let (spans, problems) = play_order(movement, plan);
    let start = |bar: BarIndex| movement.bars.get(bar).map_or(Ticks::ZERO, |bar| bar.start);
    let problems = problems.iter().map(|problem| (start(problem.bar), problem.to_string()));
    let problems = problems.collect();
    (spans, problems)
}
