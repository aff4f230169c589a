//! The tempo plan and performing order of a movement, from the study's decisions.

use super::MovementPlan;
use crate::bar::BarIndex;
use crate::score::Movement;
use crate::study::{OrderChoice, Study};

/// What the study plans for a movement. Decisions on bars that the movement does not have are left
/// out; the fitting of the study to the score has reported them.
pub(super) fn plan_of(movement: &Movement, study: &Study) -> MovementPlan {
    let exists = |bar: &BarIndex| movement.bars.get(*bar).is_some();
    let mut plan = MovementPlan::default();
    for (_, tempo) in study.tempi_of(movement.id) {
        if let Some(at) = movement.ticks(tempo.at) {
            plan.tempi.push((at, tempo.value.clone()));
        }
    }
    plan.tempi.sort_by_key(|(at, _)| *at);
    let mut cuts = Vec::new();
    for (_, choice) in study.order_of(movement.id) {
        match choice {
            OrderChoice::Repeat { bar, taken: false, .. } if exists(bar) => {
                plan.repeats_left.push(*bar);
            }
            OrderChoice::Repeat { .. } => {}
            OrderChoice::Cut { from, to, .. } if exists(from) => {
                let last = movement.bars.last_index().unwrap_or_default();
                cuts.push((*from, (*to).min(last)));
            }
            OrderChoice::Cut { .. } => {}
            OrderChoice::Pause { after, seconds, .. } if exists(after) => {
                plan.pauses.push((*after, *seconds));
            }
            OrderChoice::Pause { .. } => {}
        }
    }
    plan.repeats_left.sort_unstable();
    plan.pauses.sort_by_key(|(after, _)| *after);
    plan.cuts = disjoint(cuts);
    plan
}

/// Spans sorted, with those that overlap or touch made one.
fn disjoint(mut spans: Vec<(BarIndex, BarIndex)>) -> Vec<(BarIndex, BarIndex)> {
    spans.sort_unstable();
    let mut merged: Vec<(BarIndex, BarIndex)> = Vec::new();
    for (from, to) in spans {
        match merged.last_mut() {
            Some((_, last)) if from.0 <= last.0.saturating_add(1) => *last = (*last).max(to),
            _ => merged.push((from, to)),
        }
    }
    merged
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_that_overlap_or_touch_become_one() {
        let span = |from, to| (BarIndex(from), BarIndex(to));
        let merged = disjoint(vec![span(8, 9), span(1, 3), span(2, 5), span(6, 6)]);
        assert_eq!(merged, [span(1, 6), span(8, 9)]);
    }
}
