//! Where bars go: widths in proportion to length, 16 to 24 bars a line, breaks where the music has
//! them.

use barloom_analysis::plan::{PlanBar, PlanMovement, Spot};

/// Fewest bars a full line should have, and the most it may have.
const FEWEST: usize = 16;
const MOST: usize = 24;
/// No bar is narrower.
const MIN_BAR_PT: f64 = 13.0;

/// A line of the bar grid.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct System {
    /// Its first bar.
    pub(crate) first: usize,
    /// Left edges of its bars, and the right end; at least two values.
    pub(crate) edges: Vec<f64>,
}

impl System {
    /// Number of bars.
    pub(crate) fn len(&self) -> usize {
        self.edges.len().saturating_sub(1)
    }

    /// The bar after its last one.
    pub(crate) fn end(&self) -> usize {
        self.first + self.len()
    }

    /// Left end.
    pub(crate) fn left(&self) -> f64 {
        self.edges.first().copied().unwrap_or(0.0)
    }

    /// Right end.
    pub(crate) fn right(&self) -> f64 {
        self.edges.last().copied().unwrap_or(0.0)
    }

    /// Left and right edge of a bar of the movement, if it lies here.
    pub(crate) fn bar(&self, bar: usize) -> Option<(f64, f64)> {
        let idx = bar.checked_sub(self.first)?;
        Some((*self.edges.get(idx)?, *self.edges.get(idx + 1)?))
    }

    /// The x of a position, held inside the line's ends.
    pub(crate) fn x(&self, spot: Spot) -> f64 {
        if spot.bar < self.first {
            return self.left();
        }
        match self.bar(spot.bar) {
            Some((left, right)) => left + (right - left) * f64::from(spot.share),
            None => self.right(),
        }
    }

    /// Whether a position lies here.
    pub(crate) fn holds(&self, spot: Spot) -> bool {
        (self.first..self.end()).contains(&spot.bar)
    }

    /// The bars here.
    pub(crate) fn bars<'a>(
        &self,
        movement: &'a PlanMovement,
    ) -> impl Iterator<Item = (usize, &'a PlanBar)> + use<'a> {
        let (first, len) = (self.first, self.len());
        movement.bars.iter().enumerate().skip(first).take(len)
    }
}

/// Breaks a movement into lines between two edges.
pub(crate) fn systems(movement: &PlanMovement, left: f64, right: f64) -> Vec<System> {
    let room = right - left;
    let widths = natural_widths(&movement.bars, room);
    let mut systems = Vec::new();
    let breaks = breaks(&movement.bars, &widths, room);
    for pair in breaks.windows(2) {
        let &[from, to] = pair else { continue };
        let line = widths.get(from..to).unwrap_or_default();
        let sum: f64 = line.iter().sum();
        // A short last line keeps its natural widths.
        let is_last = to == widths.len() && sum < 0.75 * room;
        let stretch = if is_last || sum <= 0.0 { 1.0 } else { room / sum };
        let mut edges = vec![left];
        let mut x = left;
        for width in line {
            x += width * stretch;
            edges.push(x);
        }
        systems.push(System { first: from, edges });
    }
    systems
}

/// Widths for about 20 bars of the middle length to a line; no bar wider than a third of it.
fn natural_widths(bars: &[PlanBar], room: f64) -> Vec<f64> {
    let mut lengths: Vec<f64> = bars.iter().map(|bar| bar.quarters.max(0.0)).collect();
    lengths.sort_by(f64::total_cmp);
    let middle = lengths.get(lengths.len() / 2).copied().unwrap_or(4.0).max(0.25);
    let scale = room / 20.0 / middle;
    let width = |bar: &PlanBar| {
        let strokes = bar.beating.as_ref().map_or(0, |beating| beating.strokes.len());
        let least = MIN_BAR_PT.max(3.5 * strokes as f64 + 4.0);
        (bar.quarters * scale).clamp(least, (room / 3.0).max(least))
    };
    bars.iter().map(width).collect()
}

/// First bars of all lines, and the end: least raggedness, with a prize for breaks before groups and
/// rehearsal marks, and none inside a bar split at a repeat or a pattern over several bars.
fn breaks(bars: &[PlanBar], widths: &[f64], room: f64) -> Vec<usize> {
    let n = bars.len();
    let mut best: Vec<(f64, usize)> = vec![(f64::INFINITY, 0); n + 1];
    if let Some(start) = best.first_mut() {
        *start = (0.0, 0);
    }
    for end in 1..=n {
        let mut sum = 0.0;
        for start in (0..end).rev() {
            sum += widths.get(start).copied().unwrap_or(0.0);
            let count = end - start;
            if count > 1 && (count > MOST || sum > room * 1.15) {
                break;
            }
            let before = best.get(start).map_or(f64::INFINITY, |(cost, _)| *cost);
            let cost = before + cost(bars.get(end), count, sum / room);
            if let Some(known) = best.get_mut(end).filter(|(known, _)| cost < *known) {
                *known = (cost, start);
            }
        }
    }
    let mut breaks = vec![n];
    let mut at = n;
    while at > 0 {
        at = best.get(at).map_or(0, |(_, start)| *start).min(at - 1);
        breaks.push(at);
    }
    breaks.reverse();
    breaks
}

fn cost(next: Option<&PlanBar>, count: usize, fullness: f64) -> f64 {
    let Some(next) = next else {
        // The last line may be short, but a few bars alone on a line look forgotten.
        return 1.0 + (0.5 - fullness).max(0.0) * 16.0;
    };
    let ragged = (1.0 - fullness).abs() * 10.0;
    let few = if count < FEWEST && fullness < 0.8 { 4.0 } else { 0.0 };
    let inside = next.continues || next.beating.as_ref().is_some_and(|beating| beating.nth > 0);
    let place = match (inside, next.strong || next.repeat_from) {
        (true, _) => 30.0,
        (false, true) => 0.0,
        (false, false) => 2.5,
    };
    1.0 + ragged * ragged / 4.0 + few + place
}

/// Puts spans into lanes so that none overlap; answers the lane of each, and how many lanes there are.
/// Spans are taken in the order given. A span that fits nowhere below `max_lanes` gets `None`.
pub(crate) fn pack(spans: &[(f64, f64)], max_lanes: usize) -> (Vec<Option<usize>>, usize) {
    let mut taken: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut lanes = Vec::with_capacity(spans.len());
    for &(from, to) in spans {
        let free = |lane: &Vec<(f64, f64)>| lane.iter().all(|(a, b)| to <= *a || from >= *b);
        let lane = match taken.iter().position(free) {
            Some(lane) => Some(lane),
            None if taken.len() < max_lanes => {
                taken.push(Vec::new());
                Some(taken.len() - 1)
            }
            None => None,
        };
        if let Some(lane) = lane.and_then(|lane| taken.get_mut(lane)) {
            lane.push((from, to));
        }
        lanes.push(lane);
    }
    (lanes, taken.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn movement(quarters: &[f64], strong: &[usize]) -> PlanMovement {
        let bar = |(idx, quarters): (usize, &f64)| PlanBar {
            quarters: *quarters,
            strong: strong.contains(&idx),
            ..PlanBar::default()
        };
        PlanMovement {
            bars: quarters.iter().enumerate().map(bar).collect(),
            ..PlanMovement::default()
        }
    }

    #[test]
    fn lines_hold_16_to_24_bars_and_leave_none_out() {
        let systems = systems(&movement(&[4.0; 203], &[]), 80.0, 520.0);
        let mut next = 0;
        for (nth, system) in systems.iter().enumerate() {
            assert_eq!(system.first, next);
            next = system.end();
            let full = nth + 1 < systems.len();
            assert!(!full || (16..=24).contains(&system.len()), "{}", system.len());
            assert!(!full || (system.right() - 520.0).abs() < 0.01);
        }
        assert_eq!(next, 203);
    }

    #[test]
    fn lines_break_where_groups_begin() {
        let systems = systems(&movement(&[3.0; 60], &[18, 38]), 0.0, 440.0);
        let firsts: Vec<usize> = systems.iter().map(|system| system.first).collect();
        assert_eq!(firsts, [0, 18, 38]);
    }

    #[test]
    fn odd_lengths_and_empty_movements_are_no_trouble() {
        assert!(systems(&movement(&[], &[]), 0.0, 400.0).is_empty());
        for system in systems(&movement(&[0.0, 400.0, 0.0, 4.0, 1e9], &[]), 0.0, 400.0) {
            assert!(system.edges.windows(2).all(|pair| pair[1] > pair[0]));
            assert!(system.right() <= 400.01);
        }
    }

    #[test]
    fn spans_in_one_lane_do_not_overlap() {
        let (lanes, n_lanes) = pack(&[(0.0, 5.0), (4.0, 8.0), (5.0, 9.0), (1.0, 2.0)], 2);
        assert_eq!(lanes, [Some(0), Some(1), Some(0), Some(1)]);
        assert_eq!(n_lanes, 2);
        assert_eq!(pack(&[(0.0, 5.0), (1.0, 2.0)], 1).0, [Some(0), None]);
    }
}
