//! Hatching and patterns as cheap meshes and line lists. Knows rectangles and colors, no music.

use egui::epaint::Mesh;
use egui::{Color32, Painter, Rect, Shape, Stroke, pos2};

/// How an area is filled.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Hatch {
    /// Not at all.
    Empty,
    /// Slanted lines.
    Slanted,
    /// Slanted lines both ways.
    Crossed,
    /// Level lines.
    Level,
    /// Upright lines.
    Upright,
    /// A tone.
    Solid,
}

/// Fills a rectangle. Lines hang on a grid of the screen's, shifted by `origin_x`, so that neighbors
/// join and the pattern moves with the music.
pub(super) fn fill(
    painter: &Painter,
    rect: Rect,
    hatch: Hatch,
    origin_x: f32,
    ink: Color32,
    tone: Color32,
) {
    if rect.width() <= 0.0 || rect.height() <= 0.0 {
        return;
    }
    match hatch {
        Hatch::Empty => {}
        Hatch::Solid => {
            painter.rect_filled(rect, 0.0, tone);
        }
        Hatch::Slanted => slanted(painter, rect, 5.0, false, origin_x, ink),
        Hatch::Level => level(painter, rect, ink),
        Hatch::Upright => upright(painter, rect, origin_x, ink),
        Hatch::Crossed => {
            slanted(painter, rect, 5.0, false, origin_x, ink);
            slanted(painter, rect, 5.0, true, origin_x, ink);
        }
    }
}

/// Level lines hang on the foot of the area.
fn level(painter: &Painter, rect: Rect, ink: Color32) {
    let mut y = rect.bottom() - 4.0;
    while y > rect.top() {
        painter.hline(rect.x_range(), y, Stroke::new(0.8, ink));
        y -= 4.0;
    }
}

fn upright(painter: &Painter, rect: Rect, origin_x: f32, ink: Color32) {
    let gap = 5.0;
    let mut x = rect.left() + gap - (rect.left() - origin_x).rem_euclid(gap);
    while x < rect.right() {
        painter.vline(x, rect.y_range(), Stroke::new(0.8, ink));
        x += gap;
    }
}

fn slanted(painter: &Painter, rect: Rect, gap: f32, falling: bool, origin_x: f32, ink: Color32) {
    let stroke = Stroke::new(0.8, ink);
    let (width, height) = (rect.width(), rect.height());
    // A rising line meets the bottom at x = k * gap; it is cut at all four sides.
    let phase = (rect.left() - origin_x).rem_euclid(gap);
    let mut foot = -phase - height;
    let mut shapes = Vec::new();
    while foot < width {
        foot += gap;
        let (from, to) = (foot.max(0.0), (foot + height).min(width));
        if to <= from {
            continue;
        }
        let y = |x: f32| {
            let rise = x - foot;
            if falling { rect.top() + rise } else { rect.bottom() - rise }
        };
        let ends = [from, to].map(|x| pos2(rect.left() + x, y(x)));
        shapes.push(Shape::line_segment(ends, stroke));
    }
    painter.extend(shapes);
}

/// A quad with level ends whose heights and colors may differ: a part bar that grows or fades.
pub(super) fn wedge(
    mesh: &mut Mesh,
    (x0, x1): (f32, f32),
    middle: f32,
    (h0, h1): (f32, f32),
    (c0, c1): (Color32, Color32),
) {
    let base = mesh.vertices.len() as u32;
    mesh.colored_vertex(pos2(x0, middle - h0 / 2.0), c0);
    mesh.colored_vertex(pos2(x1, middle - h1 / 2.0), c1);
    mesh.colored_vertex(pos2(x1, middle + h1 / 2.0), c1);
    mesh.colored_vertex(pos2(x0, middle + h0 / 2.0), c0);
    mesh.add_triangle(base, base + 1, base + 2);
    mesh.add_triangle(base, base + 2, base + 3);
}

/// A slanted stroke as a parallelogram.
pub(super) fn slash(mesh: &mut Mesh, x: f32, middle: f32, height: f32, width: f32, color: Color32) {
    let lean = height * 0.35;
    let base = mesh.vertices.len() as u32;
    mesh.colored_vertex(pos2(x + lean, middle - height / 2.0), color);
    mesh.colored_vertex(pos2(x + lean + width, middle - height / 2.0), color);
    mesh.colored_vertex(pos2(x - lean + width, middle + height / 2.0), color);
    mesh.colored_vertex(pos2(x - lean, middle + height / 2.0), color);
    mesh.add_triangle(base, base + 1, base + 2);
    mesh.add_triangle(base, base + 2, base + 3);
}
