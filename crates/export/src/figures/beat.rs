//! The drawn figure of a beat pattern, from the conductor's view.

use super::canvas::{Anchor, Canvas, Drawing, Ink, Type};
use crate::fonts::Face;
use barloom_analysis::figure::{self, Direction, Point};
use barloom_core::pattern::Pattern;
use std::fmt::Write;

const LARGE: Type = Type::new(Face::SansBold, 9.0, Ink::BLACK);
const SMALL: Type = Type::new(Face::Sans, 8.0, Ink::DARK);
/// Room for the numbers below the points.
const BELOW_PT: f64 = 8.0;

/// Draws a pattern in a bar with these groups, so high; many strokes make it larger.
pub(crate) fn draw(pattern: &Pattern, groups: &[u8], size_pt: f64) -> Drawing {
    let mut canvas = Canvas::default();
    let figure = figure::figure_in(pattern, 0, groups);
    let strokes = figure::strokes(pattern, groups);
    let height = if strokes.len() > 6 { size_pt * 1.25 } else { size_pt };
    let width = height * 1.5;
    let place = |point: Point| {
        (6.0 + (width - 12.0) * f64::from(point.x), 2.0 + (height - 2.0) * f64::from(point.y))
    };
    let mut data = String::new();
    for (idx, curve) in figure.path.iter().enumerate() {
        if idx == 0 {
            let (x, y) = place(curve.from);
            let _ = write!(data, "M{x:.2} {y:.2}");
        }
        let ((ax, ay), (bx, by), (x, y)) =
            (place(curve.control_1), place(curve.control_2), place(curve.to));
        let _ = write!(data, "C{ax:.2} {ay:.2} {bx:.2} {by:.2} {x:.2} {y:.2}");
    }
    canvas.path(&data, 1.1, Ink::BLACK);
    for (point, stroke) in figure.points.iter().zip(&strokes) {
        let (x, y) = place(Point { x: point.x, y: point.y });
        let (radius, kind) = if point.large { (2.1, LARGE) } else { (1.3, SMALL) };
        canvas.disc(x, y, radius, Ink::BLACK);
        // Upward strokes that stand above each other have their numbers at the side.
        if stroke.direction == Direction::Up && (strokes.len() > 7 || !point.large) {
            canvas.text(x + 6.5, y + 2.5, Anchor::Start, kind, &point.label);
        } else {
            canvas.text(x, y + 10.0, Anchor::Middle, kind, &point.label);
        }
    }
    canvas.finish(width, height + BELOW_PT, format!("Figure of the pattern {pattern}"))
}
