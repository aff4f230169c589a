//! The performing order: which bars are played one after the other.

use barloom_core::bar::BarIndex;
use barloom_core::basis::MovementPlan;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// Bars in performing order as inclusive spans, and what was odd about it, in words with its place.
pub type Played = (Vec<(BarIndex, BarIndex)>, Vec<(Ticks, String)>);

/// The bars in performing order: the written order without the bars cut by the plan.
pub fn played(movement: &Movement, plan: &MovementPlan) -> Played {
    let cut = |bar: BarIndex| plan.cuts.iter().any(|(from, to)| (*from..=*to).contains(&bar));
    let mut spans: Vec<(BarIndex, BarIndex)> = Vec::new();
    for (bar, _) in movement.bars.iter().filter(|(bar, _)| !cut(*bar)) {
        match spans.last_mut() {
            Some((_, last)) if last.idx() + 1 == bar.idx() => *last = bar,
            _ => spans.push((bar, bar)),
        }
    }
    (spans, Vec::new())
}
