//! Where and how large the grid is shown: pan and zoom as plain arithmetic.
//!
//! Knows nothing of windows: widths come in as points of the screen, the axis as a [`Lane`]. Every
//! function answers a camera that is held inside the movement.

use super::axis::Lane;
use barloom_core::bar::BarIndex;

/// Position and zoom. Lengths in points of the screen.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Camera {
    /// Points per quarter note; 0 means "fit the whole movement".
    pub points_per_quarter: f32,
    /// The left edge of the grid, in quarters from the start of the movement.
    pub left_quarters: f32,
    /// How far the part rows are scrolled, in points.
    pub top: f32,
    /// All movements side by side, each fitted; the two values above wait until one is entered again.
    pub whole: bool,
}

/// How far out a movement can be zoomed below its fit before the whole work is shown: room to reach
/// the fit without falling through it.
const OUT_OF_MOVEMENT: f32 = 0.75;
/// The fewest quarters that fill the grid.
const NARROWEST_QUARTERS: f32 = 1.0;

/// What can be read at a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Zoom {
    /// All movements: sections, meters as ticks, density.
    Suite,
    /// A movement: groups, tempo, dynamics band, part bars.
    Movement,
    /// Some ten to forty bars: everything that holds for whole bars.
    Page,
    /// One to eight bars: beats, attacks, words at their place.
    Bar,
}

/// Below this width of a mean bar, in ems of the small text, figures for single bars cannot be read.
const PAGE_BAR_EMS: f32 = 1.7;
/// From this width of a mean bar on, beats can be read.
const CLOSE_BAR_EMS: f32 = 9.5;

impl Camera {
    /// The points per quarter in force: the stored ones, or what fits the movement into `width`.
    pub fn scale(&self, columns: &impl Lane, width: f32) -> f32 {
        if self.points_per_quarter > 0.0 {
            self.points_per_quarter
        } else {
            fit_scale(columns, width)
        }
    }

    /// The camera with its left edge and scale held to what the movement allows; the fit stays a fit.
    #[must_use]
    pub fn held(self, columns: &impl Lane, width: f32) -> Self {
        let fit = fit_scale(columns, width);
        let mut held = self;
        if self.points_per_quarter > 0.0 {
            let largest = (width / NARROWEST_QUARTERS).max(fit);
            held.points_per_quarter = self.points_per_quarter.clamp(fit * OUT_OF_MOVEMENT, largest);
        }
        let seen = width / held.scale(columns, width);
        let room = (columns.end() - seen).max(0.0);
        held.left_quarters =
            if self.left_quarters.is_finite() { self.left_quarters.clamp(0.0, room) } else { 0.0 };
        held
    }

    /// The part of the axis that is in view: left and right, in quarters.
    pub fn span(&self, columns: &impl Lane, width: f32) -> (f32, f32) {
        let left = self.left_quarters;
        (left, left + width / self.scale(columns, width))
    }

    /// What can be read, from the mean width of the bars in view; `em` is the size of the small text.
    pub fn zoom(&self, columns: &impl Lane, width: f32, em: f32) -> Zoom {
        if self.whole {
            return Zoom::Suite;
        }
        let (left, right) = self.span(columns, width);
        let Some(mean) = columns.mean_bar(left, right) else { return Zoom::Page };
        let mean = mean * self.scale(columns, width);
        if mean < PAGE_BAR_EMS * em {
            Zoom::Movement
        } else if mean < CLOSE_BAR_EMS * em {
            Zoom::Page
        } else {
            Zoom::Bar
        }
    }
}

fn fit_scale(columns: &impl Lane, width: f32) -> f32 {
    if columns.end() > 0.0 && width > 0.0 { width / columns.end() } else { 1.0 }
}

/// Shows the bars `from` to `to`, inclusive and in either order, filling `width`.
#[must_use]
pub fn fit_bars(
    camera: Camera,
    columns: &impl Lane,
    from: BarIndex,
    to: BarIndex,
    width: f32,
) -> Camera {
    let (from, to) = (from.min(to), from.max(to));
    let (left, right) = (columns.bar(from).0, columns.bar(to).1);
    if right <= left || width <= 0.0 {
        return camera.held(columns, width);
    }
    let points_per_quarter = width / (right - left);
    Camera { points_per_quarter, left_quarters: left, whole: false, ..camera }.held(columns, width)
}

/// Shows the whole movement.
#[must_use]
pub fn fit_movement(camera: Camera) -> Camera {
    Camera { points_per_quarter: 0.0, left_quarters: 0.0, whole: false, ..camera }
}

/// Shows all movements side by side.
#[must_use]
pub fn show_whole(camera: Camera) -> Camera {
    Camera { whole: true, ..camera }
}

/// Moves as little as needed to have the bars `from` to `to` in view with one bar of room at either
/// side; when they do not fit, the beginning is shown.
#[must_use]
pub fn scroll_into_view(
    camera: Camera,
    columns: &impl Lane,
    from: BarIndex,
    to: BarIndex,
    width: f32,
) -> Camera {
    let (from, to) = (from.min(to), from.max(to));
    let (seen_left, seen_right) = camera.span(columns, width);
    let seen = seen_right - seen_left;
    let (from_left, to_right) = (columns.bar(from).0, columns.bar(to).1);
    // Room beside the bars may take half of what they leave: wide bars would push each other out.
    let spare = ((seen - (to_right - from_left)) / 2.0).max(0.0);
    let bar_before = BarIndex(from.0.saturating_sub(1));
    let bar_after = BarIndex(to.0.saturating_add(1));
    let left = columns.bar(bar_before).0.max(from_left - spare);
    let right = columns.bar(bar_after).1.min(to_right + spare);
    let left_quarters = if left < seen_left || right - left > seen {
        left
    } else if right > seen_right {
        right - seen
    } else {
        seen_left
    };
    Camera { left_quarters, ..camera }.held(columns, width)
}

/// Zooms by a factor (above 1: closer) and keeps the place under `around` (points from the left edge
/// of the grid) where it is. Zooming out past the movement shows the whole work; zooming in from there
/// shows the movement.
#[must_use]
pub fn zoom_by(
    camera: Camera,
    columns: &impl Lane,
    width: f32,
    factor: f32,
    around: f32,
) -> Camera {
    if !(factor.is_finite() && factor > 0.0) {
        return camera;
    }
    if camera.whole {
        return if factor > 1.0 { fit_movement(camera) } else { camera };
    }
    let before = camera.scale(columns, width);
    let wanted = before * factor;
    if wanted < fit_scale(columns, width) * OUT_OF_MOVEMENT {
        return show_whole(camera);
    }
    let points_per_quarter = wanted.min((width / NARROWEST_QUARTERS).max(before));
    let place = camera.left_quarters + around / before;
    let left_quarters = place - around / points_per_quarter;
    Camera { points_per_quarter, left_quarters, ..camera }.held(columns, width)
}

/// Moves the music by so many points: positive shows what lies further left.
#[must_use]
pub fn pan_by(camera: Camera, columns: &impl Lane, width: f32, points: f32) -> Camera {
    let left_quarters = camera.left_quarters - points / camera.scale(columns, width);
    Camera { left_quarters, ..camera }.held(columns, width)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::view_state::Columns;
    use barloom_core::bar::{Bar, BarFlow, BarTable, Barline};
    use barloom_core::meter::Meter;
    use barloom_core::time::{Resolution, Ticks};

    /// Bars of 4, 3, 4, 3, ... quarters.
    fn columns(n_bars: usize) -> Columns {
        let bars = (0..n_bars)
            .map(|idx| {
                let beats = if idx % 2 == 0 { 4 } else { 3 };
                Bar {
                    start: Ticks::ZERO,
                    length: Ticks(beats),
                    nominal: Ticks(beats),
                    meter: Meter::simple(beats as u32, 4),
                    other_meter: None,
                    label: (idx + 1).to_string(),
                    pickup: false,
                    continues: false,
                    rehearsal: None,
                    barline: Barline::Single,
                    flow: BarFlow::default(),
                    line: 0,
                }
            })
            .collect();
        Columns::of(&BarTable::new(bars), Resolution::default(), false)
    }

    #[test]
    fn the_place_under_the_pointer_stays_when_zooming() {
        let columns = columns(100);
        let mut camera = fit_bars(Camera::default(), &columns, BarIndex(40), BarIndex(59), 1000.0);
        for factor in [1.3, 1.3, 0.9, 2.0, 0.7] {
            let place = camera.left_quarters + 420.0 / camera.scale(&columns, 1000.0);
            camera = zoom_by(camera, &columns, 1000.0, factor, 420.0);
            let after = camera.left_quarters + 420.0 / camera.scale(&columns, 1000.0);
            assert!((place - after).abs() < 1e-3, "{place} {after}");
        }
    }

    #[test]
    fn bars_fill_the_width_and_the_camera_stays_inside() {
        let columns = columns(100);
        let camera = fit_bars(Camera::default(), &columns, BarIndex(19), BarIndex(10), 800.0);
        assert_eq!(camera.left_quarters, 35.0);
        assert!((camera.points_per_quarter - 800.0 / 35.0).abs() < 1e-4);
        let end = pan_by(camera, &columns, 800.0, -1e9);
        assert!((end.span(&columns, 800.0).1 - 350.0).abs() < 1e-3);
        assert_eq!(pan_by(end, &columns, 800.0, 1e9).left_quarters, 0.0);
        let broken = Camera { left_quarters: f32::NAN, ..camera };
        assert_eq!(broken.held(&columns, 800.0).left_quarters, 0.0);
    }

    #[test]
    fn zooming_out_goes_through_the_fit_to_the_whole_work_and_back() {
        let columns = columns(100);
        let mut camera = Camera { points_per_quarter: 4.0, ..Camera::default() };
        let mut steps = 0;
        while !camera.whole {
            camera = zoom_by(camera, &columns, 700.0, 0.9, 350.0);
            steps += 1;
            assert!(steps < 40, "the whole work is never reached");
        }
        assert!(zoom_by(camera, &columns, 700.0, 0.9, 0.0).whole);
        let back = zoom_by(camera, &columns, 700.0, 1.1, 0.0);
        assert!(!back.whole);
        assert_eq!(back.span(&columns, 700.0), (0.0, 350.0));
    }

    #[test]
    fn what_can_be_read_follows_the_width_of_bars() {
        let columns = columns(200);
        let zoom = |n_bars: u32| {
            fit_bars(Camera::default(), &columns, BarIndex(0), BarIndex(n_bars - 1), 1060.0)
                .zoom(&columns, 1060.0, 11.5)
        };
        assert_eq!(zoom(200), Zoom::Movement);
        assert_eq!(zoom(40), Zoom::Page);
        assert_eq!(zoom(10), Zoom::Page);
        assert_eq!(zoom(8), Zoom::Bar);
        assert_eq!(zoom(1), Zoom::Bar);
        assert_eq!(show_whole(Camera::default()).zoom(&columns, 1060.0, 11.5), Zoom::Suite);
    }

    #[test]
    fn walking_keeps_the_bar_in_view_with_room_and_moves_only_when_needed() {
        let columns = columns(100);
        let camera = fit_bars(Camera::default(), &columns, BarIndex(20), BarIndex(39), 900.0);
        let inside = scroll_into_view(camera, &columns, BarIndex(30), BarIndex(30), 900.0);
        assert_eq!(inside.left_quarters, camera.left_quarters);
        let after = scroll_into_view(camera, &columns, BarIndex(40), BarIndex(40), 900.0);
        let (left, right) = after.span(&columns, 900.0);
        assert!(left > camera.left_quarters && right >= columns.bar(BarIndex(41)).1 - 1e-3);
        let before = scroll_into_view(camera, &columns, BarIndex(3), BarIndex(3), 900.0);
        assert!((before.left_quarters - columns.bar(BarIndex(2)).0).abs() < 1e-3);
        let one = fit_bars(camera, &columns, BarIndex(5), BarIndex(5), 900.0);
        let next = scroll_into_view(one, &columns, BarIndex(7), BarIndex(7), 900.0);
        let (left, right) = next.span(&columns, 900.0);
        let (from, to) = columns.bar(BarIndex(7));
        assert!(left <= from && to <= right + 1e-3, "{left} {right} {from} {to}");
    }
}
