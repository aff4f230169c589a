//! The figure that the hand draws, as a drawing in the side panel.

use crate::theme::{self, Theme};
use barloom_analysis::figure::{Figure, Point, figure_in};
use barloom_core::pattern::Pattern;
use egui::epaint::CubicBezierShape;
use egui::{Align2, Color32, Pos2, Rect, Sense, Stroke, Ui, vec2};

/// Draws the figure of a pattern; of a pattern over several bars the points of this bar are filled.
pub(super) fn figure_ui(ui: &mut Ui, theme: &Theme, pattern: &Pattern, nth: u8, groups: &[u8]) {
    let figure = figure_in(pattern, nth, groups);
    let drawn = extent(&figure);
    let width = ui.available_width();
    // Figures differ in height; all have the same scale.
    let side = (width * 0.5).min(140.0);
    let height = drawn.height() * side;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height + 34.0), Sense::hover());
    let strokes = figure.points.len();
    response.widget_info(|| {
        let text = format!("Figure of beating {pattern}, {strokes} strokes");
        egui::WidgetInfo::labeled(egui::Role::Image, true, text)
    });
    let place = |point: Point| -> Pos2 {
        rect.center() + (egui::pos2(point.x, point.y) - drawn.center()) * side
    };
    let ink = theme.ink.ink;
    let painter = ui.painter();
    for curve in &figure.path {
        let points = [curve.from, curve.control_1, curve.control_2, curve.to].map(place);
        let stroke = Stroke::new(1.4, ink);
        painter.add(CubicBezierShape::from_points_stroke(
            points,
            false,
            Color32::TRANSPARENT,
            stroke,
        ));
    }
    let font = theme.face(theme::SEMIBOLD, theme.sizes.body);
    for point in &figure.points {
        let at = place(Point { x: point.x, y: point.y });
        let radius = if point.large { 4.0 } else { 2.5 };
        let fill = if point.here { ink } else { theme.ink.panel };
        painter.circle(at, radius, fill, Stroke::new(1.2, ink));
        let outward = if point.x < 0.5 { -1.0 } else { 1.0 };
        let anchor = if point.x < 0.5 { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        let at = at + vec2(outward * 8.0, 5.0);
        painter.text(at, anchor, &point.label, font.clone(), ink);
    }
}

/// What the figure covers of its unit square.
fn extent(figure: &Figure) -> Rect {
    let curves = figure.path.iter().flat_map(|c| [c.from, c.control_1, c.control_2, c.to]);
    let points = curves.map(|point| egui::pos2(point.x, point.y));
    let rect = points.fold(Rect::NOTHING, |rect, at| rect.union(Rect::from_min_max(at, at)));
    if rect.is_finite() { rect } else { Rect::from_min_max(Pos2::ZERO, egui::pos2(1.0, 1.0)) }
}
