//! The axis of the grid: bars side by side in written order, or as they are played, where a bar that
//! is repeated stands at every place where it is played.
//!
//! Everything else of the desk keeps to written bars: each stretch of the played order is a piece of
//! the written axis that lies somewhere else. Units are quarters, or equal bars.

use super::view_state::Columns;
use barloom_core::bar::BarIndex;
use barloom_core::basis::MovementPlan;
use barloom_core::play_order::play_order;
use barloom_core::score::Movement;

/// Bars along a line.
pub trait Lane {
    /// The right end.
    fn end(&self) -> f32;
    /// Left and right edge of a bar.
    fn bar(&self, bar: BarIndex) -> (f32, f32);
    /// The bar at a place, held inside; `None` if there are no bars.
    fn bar_at(&self, x: f32) -> Option<BarIndex>;
    /// The mean width of the bars between two places; `None` if there are no bars.
    fn mean_bar(&self, left: f32, right: f32) -> Option<f32> {
        let (first, last) = self.bar_at(left).zip(self.bar_at(right))?;
        let n_bars = (last.0.saturating_sub(first.0) + 1) as f32;
        Some((self.bar(last).1 - self.bar(first).0) / n_bars)
    }
}

impl Lane for Columns {
    fn end(&self) -> f32 {
        Self::end(self)
    }

    fn bar(&self, bar: BarIndex) -> (f32, f32) {
        Self::bar(self, bar)
    }

    fn bar_at(&self, x: f32) -> Option<BarIndex> {
        Self::bar_at(self, x)
    }
}

/// Bars that follow each other in writing and in playing.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// Where it begins on the axis.
    pub left: f32,
    /// Where it ends on the axis.
    pub right: f32,
    /// For each of its bars which time it is played, from 1.
    pub passes: Vec<u32>,
}

impl Stretch {
    /// Which time a bar of it is played; 1 for other bars.
    pub fn pass(&self, bar: BarIndex) -> u32 {
        let nth = bar.0.checked_sub(self.from.0);
        nth.and_then(|nth| self.passes.get(nth as usize)).copied().unwrap_or(1)
    }
}

/// The axis of a movement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Axis {
    written: Columns,
    /// The played order; empty for the written one.
    stretches: Vec<Stretch>,
}

impl Axis {
    /// The written order.
    pub fn written(written: Columns) -> Self {
        Self { written, stretches: Vec::new() }
    }

    /// The played order: repeats, endings and jumps as the plan takes them, cuts left out. Falls back
    /// to the written order when nothing is played.
    pub fn played(written: Columns, movement: &Movement, plan: &MovementPlan) -> Self {
        let (spans, _) = play_order(movement, plan);
        let mut counts = vec![0u32; movement.bars.len()];
        let mut stretches = Vec::with_capacity(spans.len());
        let mut left = 0.0;
        for (from, to) in spans {
            let width = written.bar(to).1 - written.bar(from).0;
            let mut passes = Vec::new();
            for count in counts.get_mut(from.idx()..=to.idx()).unwrap_or_default() {
                *count = count.saturating_add(1);
                passes.push(*count);
            }
            stretches.push(Stretch { from, to, left, right: left + width, passes });
            left += width;
        }
        Self { written, stretches }
    }

    /// The axis of a movement, in the order that is asked for.
    pub fn of(movement: &Movement, plan: &MovementPlan, equal: bool, played: bool) -> Self {
        let written = Columns::of(&movement.bars, movement.resolution, equal);
        if played { Self::played(written, movement, plan) } else { Self::written(written) }
    }

    /// Whether bars stand in the order in which they are played.
    pub fn is_played(&self) -> bool {
        !self.stretches.is_empty()
    }

    /// The written axis.
    pub fn columns(&self) -> &Columns {
        &self.written
    }

    /// The stretches that reach into a part of the axis, in order; none in written order.
    pub fn stretches_in(&self, left: f32, right: f32) -> &[Stretch] {
        let first = self.stretches.partition_point(|stretch| stretch.right <= left);
        let last = self.stretches.partition_point(|stretch| stretch.left < right);
        self.stretches.get(first..last.max(first)).unwrap_or_default()
    }

    /// The place on the written axis of a place here.
    pub fn to_written(&self, x: f32) -> f32 {
        match self.stretch_at(x) {
            Some(stretch) => {
                let inside = (x - stretch.left).clamp(0.0, stretch.right - stretch.left);
                self.written.bar(stretch.from).0 + inside
            }
            None => x,
        }
    }

    /// The first place here of a place on the written axis; the start if it is not played.
    pub fn from_written(&self, x: f32) -> f32 {
        if !self.is_played() {
            return x;
        }
        let Some(bar) = self.written.bar_at(x) else { return 0.0 };
        let found = self.stretches.iter().find(|stretch| holds(stretch, bar));
        found.map_or(0.0, |stretch| stretch.left + x - self.written.bar(stretch.from).0)
    }

    /// Left and right edge of the bar that stands at a place here.
    pub fn edges_at(&self, x: f32) -> Option<(f32, f32)> {
        let bar = self.bar_at(x)?;
        match self.stretch_at(x) {
            Some(stretch) => Some(self.place_in(stretch, bar)),
            None => Some(self.written.bar(bar)),
        }
    }

    /// The same axis, on which a bar stands where it is played nearest to a place.
    pub fn near(&self, x: f32) -> Near<'_> {
        Near { axis: self, x }
    }

    fn stretch_at(&self, x: f32) -> Option<&Stretch> {
        let nth = self.stretches.partition_point(|stretch| stretch.right <= x);
        self.stretches.get(nth.min(self.stretches.len().checked_sub(1)?))
    }

    fn place_in(&self, stretch: &Stretch, bar: BarIndex) -> (f32, f32) {
        let shift = stretch.left - self.written.bar(stretch.from).0;
        let (left, right) = self.written.bar(bar);
        (left + shift, right + shift)
    }
}

fn holds(stretch: &Stretch, bar: BarIndex) -> bool {
    stretch.from <= bar && bar <= stretch.to
}

impl Lane for Axis {
    fn end(&self) -> f32 {
        self.stretches.last().map_or_else(|| self.written.end(), |stretch| stretch.right)
    }

    /// Where the bar is played first.
    fn bar(&self, bar: BarIndex) -> (f32, f32) {
        self.near(0.0).bar(bar)
    }

    fn bar_at(&self, x: f32) -> Option<BarIndex> {
        let Some(stretch) = self.stretch_at(x) else { return self.written.bar_at(x) };
        let bar = self.written.bar_at(self.to_written(x))?;
        Some(bar.clamp(stretch.from, stretch.to))
    }

    fn mean_bar(&self, left: f32, right: f32) -> Option<f32> {
        if !self.is_played() {
            return self.written.mean_bar(left, right);
        }
        let seen = self.stretches_in(left, right);
        let first = seen.first()?;
        let n_bars: u32 = seen
            .iter()
            .map(|stretch| {
                let left = self.to_written(left.max(stretch.left));
                let right =
                    self.written.bar(stretch.from).0 + right.min(stretch.right) - stretch.left;
                let ends = self.written.bar_at(left).zip(self.written.bar_at(right - 1e-4));
                ends.map_or(1, |(from, to)| to.0.saturating_sub(from.0) + 1)
            })
            .sum();
        let end = seen.last().map_or(first.right, |last| last.right);
        Some((right.min(end) - left.max(first.left)) / n_bars.max(1) as f32)
    }
}

/// An axis seen from a place: see [`Axis::near`].
pub struct Near<'a> {
    axis: &'a Axis,
    x: f32,
}

impl Lane for Near<'_> {
    fn end(&self) -> f32 {
        self.axis.end()
    }

    fn bar(&self, bar: BarIndex) -> (f32, f32) {
        if !self.axis.is_played() {
            return self.axis.written.bar(bar);
        }
        let distance = |(left, right): &(f32, f32)| (left - self.x).max(self.x - right).max(0.0);
        let held = self.axis.stretches.iter().filter(|stretch| holds(stretch, bar));
        let places = held.map(|stretch| self.axis.place_in(stretch, bar));
        let nearest = places.min_by(|a, b| distance(a).total_cmp(&distance(b)));
        // A bar that is never played stands, without width, where the written one before it ends.
        nearest.unwrap_or_else(|| {
            let behind = self.axis.stretches.iter().filter(|stretch| stretch.to < bar);
            let x = behind.map(|stretch| stretch.right).fold(0.0, f32::max);
            (x, x)
        })
    }

    fn bar_at(&self, x: f32) -> Option<BarIndex> {
        self.axis.bar_at(x)
    }

    fn mean_bar(&self, left: f32, right: f32) -> Option<f32> {
        self.axis.mean_bar(left, right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;

    /// Four bars of 4, 3, 4 and 2 quarters, the second and third repeated.
    fn axis() -> Axis {
        let movement = testing::repeated_movement();
        Axis::of(&movement, &MovementPlan::default(), false, true)
    }

    #[test]
    fn a_repeated_bar_stands_at_each_place_where_it_is_played() {
        let axis = axis();
        let bars: Vec<u32> = [0.0, 4.0, 8.0, 11.5, 14.5, 18.5, 99.0]
            .into_iter()
            .map(|x| axis.bar_at(x).unwrap().0)
            .collect();
        assert_eq!(bars, [0, 1, 2, 1, 2, 3, 3]);
        assert_eq!(axis.end(), 20.0);
        let all = axis.stretches_in(0.0, 20.0);
        assert_eq!(all.len(), 2);
        assert_eq!((all[0].pass(BarIndex(1)), all[1].pass(BarIndex(1))), (1, 2));
        assert_eq!(all[1].pass(BarIndex(3)), 1);
        assert_eq!(axis.stretches_in(0.0, 11.0).len(), 1);
        // The same bar, seen from either side.
        assert_eq!(axis.bar(BarIndex(2)), (7.0, 11.0));
        assert_eq!(axis.near(19.0).bar(BarIndex(2)), (14.0, 18.0));
        assert_eq!(axis.edges_at(15.0), Some((14.0, 18.0)));
    }

    #[test]
    fn places_lead_to_the_written_axis_and_back() {
        let axis = axis();
        assert_eq!(axis.to_written(12.0), 5.0);
        assert_eq!(axis.from_written(5.0), 5.0);
        assert_eq!(axis.from_written(12.0), 19.0);
        let written = Axis::written(axis.columns().clone());
        assert!(!written.is_played() && written.stretches_in(0.0, 13.0).is_empty());
        assert_eq!((written.to_written(12.0), written.from_written(12.0)), (12.0, 12.0));
        assert_eq!(written.end(), 13.0);
    }
}
