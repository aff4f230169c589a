//! The figure that the hand draws, as a drawing in the side panel.

use crate::theme::{self, Theme};
use barloom_analysis::figure::{Point, figure_in};
use barloom_core::pattern::Pattern;
use egui::epaint::CubicBezierShape;
use egui::{Align2, Color32, Pos2, Rect, Sense, Stroke, Ui, vec2};

/// Draws the figure of a pattern; of a pattern over several bars the points of this bar are filled.
pub(super) fn figure_ui(ui: &mut Ui, theme: &Theme, pattern: &Pattern, nth: u8, groups: &[u8]) {
    let figure = figure_in(pattern, nth, groups);
    let width = ui.available_width();
    let side = (width * 0.62).min(170.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, side + 24.0), Sense::hover());
    let strokes = figure.points.len();
    response.widget_info(|| {
        let text = format!("Figure of beating {pattern}, {strokes} strokes");
        egui::WidgetInfo::labeled(egui::Role::Image, true, text)
    });
    let square = Rect::from_center_size(rect.center(), vec2(side, side));
    let place = |point: Point| -> Pos2 { square.min + vec2(point.x, point.y) * side };
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
