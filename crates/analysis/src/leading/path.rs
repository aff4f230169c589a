//! The leaders of all bars, chosen together: the path with the most points, where each change of the
//! leader costs some.

use super::Together;
use super::weigh::Weighed;
use crate::settings::LeadingSettings;

/// One part that leads up to a bar, with the points of the best path to it.
#[derive(Clone, Copy)]
struct Reached {
    part: usize,
    points: f32,
    /// Place among those of the bar before; `None` at a beginning.
    from: Option<usize>,
}

/// The leader of each bar; `None` where nobody sounds with pitch.
pub(super) fn best(
    weighed: &Weighed,
    together: &Together,
    settings: &LeadingSettings,
) -> Vec<Option<usize>> {
    let mut steps: Vec<Vec<Reached>> = Vec::with_capacity(weighed.n_bars());
    for bar in 0..weighed.n_bars() {
        let before = steps.last().map(Vec::as_slice).unwrap_or_default();
        let step = weighed.in_bar(bar).map(|(part, weight)| {
            let arrive = |(nth, reached): (usize, &Reached)| {
                let change = if reached.part == part {
                    0.0
                } else if together.are(bar, part, reached.part)
                    || bar.checked_sub(1).is_some_and(|b| together.are(b, part, reached.part))
                {
                    settings.change_inside_cost
                } else {
                    settings.change_cost
                };
                (nth, reached.points - change)
            };
            let best = before.iter().enumerate().map(arrive).max_by(|a, b| a.1.total_cmp(&b.1));
            let points = weight.sum + best.map_or(0.0, |(_, points)| points);
            Reached { part, points, from: best.map(|(nth, _)| nth) }
        });
        steps.push(step.collect());
    }
    let mut leaders = vec![None; steps.len()];
    let mut at: Option<usize> = None;
    for (bar, step) in steps.iter().enumerate().rev() {
        let best = || {
            let places = step.iter().enumerate();
            places.max_by(|a, b| a.1.points.total_cmp(&b.1.points)).map(|(nth, _)| nth)
        };
        let Some(nth) = at.or_else(best) else { continue };
        let Some(reached) = step.get(nth) else { continue };
        if let Some(leader) = leaders.get_mut(bar) {
            *leader = Some(reached.part);
        }
        at = reached.from;
    }
    leaders
}
