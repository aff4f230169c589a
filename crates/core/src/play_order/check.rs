//! Contradictions that show without playing: signs that nothing answers.

use super::layout::Layout;
use super::problem::{OrderProblem, OrderProblemKind};
use crate::bar::BarIndex;

/// What does not fit, in order of bars.
pub(super) fn check(layout: &Layout<'_>) -> Vec<OrderProblem> {
    let mut found = Vec::new();
    let bars = layout.bars;
    let mut add = |at: usize, kind| found.push(OrderProblem { bar: BarIndex::from(at), kind });
    for at in layout.missing_repeats() {
        add(*at, OrderProblemKind::RepeatMissing);
    }
    let jumps = bars.iter().any(|bar| bar.flow.jump.is_some());
    let mut open: Option<usize> = None;
    for (at, bar) in bars.iter().enumerate() {
        let flow = &bar.flow;
        if flow.repeat_start {
            // Of several that begin before one ends, the inner ones may be nested.
            open = Some(at);
        }
        if let Some(times) = flow.repeat_end {
            open = None;
            let counted = layout.times(at).filter(|_| !flow.endings.is_empty());
            // Twice is what a repeat sign says when it says nothing.
            if let Some(counted) = counted.filter(|counted| times > 2 && *counted != times) {
                add(at, OrderProblemKind::TimesAgainstEndings(times, counted));
            }
        }
        if flow.to_coda.as_ref().is_some_and(|way| way.passes.is_empty()) && !jumps {
            add(at, OrderProblemKind::NeverLeft);
        }
        if let Some(group) = layout.group(at).filter(|group| group.from == at) {
            let mut seen: Vec<u32> = Vec::new();
            for start in layout.starts(group) {
                let twice = layout.endings(start).iter().find(|number| seen.contains(number));
                if let Some(number) = twice {
                    add(start, OrderProblemKind::EndingTwice(*number));
                }
                let new = layout.endings(start).iter().filter(|number| !seen.contains(number));
                let new: Vec<u32> = new.copied().collect();
                seen.extend(new);
            }
        }
    }
    // Endings without repeat signs close the section too.
    let closed = |at: usize| layout.missing_repeats().iter().any(|missing| *missing >= at);
    if let Some(at) = open.filter(|at| !closed(*at)) {
        add(at, OrderProblemKind::RepeatOpen);
    }
    found.sort_by_key(|problem| problem.bar);
    found
}
