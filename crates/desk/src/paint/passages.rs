//! The passages that are kept or compared, marked over their bars: a bracket along the upper edge of
//! the rows, and for each bar a stroke for every aspect that differs.

use super::geometry::{Layout, View};
use super::pens::text;
use barloom_analysis::compare::Passage;
use egui::{Align2, Painter, Rangef, Shape, Stroke, pos2};

/// The longest stroke stands for so many aspects.
const MOST: usize = 8;

/// Draws the marks of the movement shown; a kept passage that is not compared yet is dotted.
pub(super) fn paint(painter: &Painter, view: &View<'_>, layout: &Layout) {
    let state = view.ctx.view;
    match (&view.ctx.status.beside, state.beside) {
        (Some(beside), Some(_)) => {
            let comparison = &beside.comparison;
            for (passage, second) in [(comparison.first, false), (comparison.second, true)] {
                bracket(painter, view, layout, passage, if second { "second" } else { "first" });
                if passage.movement != state.movement {
                    continue;
                }
                for pair in &comparison.bars {
                    let bar = if second { pair.second } else { pair.first };
                    let alone = pair.first.is_none() || pair.second.is_none();
                    let n = if alone { MOST } else { pair.changed.len().min(MOST) };
                    if let Some(bar) = bar.filter(|_| n > 0) {
                        strokes(painter, view, layout, view.bar_x(bar), n);
                    }
                }
            }
        }
        _ => {
            if let Some(passage) = state.kept {
                bracket(painter, view, layout, passage, "kept");
            }
        }
    }
}

/// A line over the bars with hooks at its ends and its name.
fn bracket(painter: &Painter, view: &View<'_>, layout: &Layout, passage: Passage, name: &str) {
    if passage.movement != view.ctx.view.movement {
        return;
    }
    let pens = view.pens;
    let (left, right) = (view.bar_x(passage.from).0, view.bar_x(passage.to).1);
    if right < view.x_range.min || left > view.x_range.max {
        return;
    }
    let y = layout.ruler.bottom() - 3.0;
    let stroke = Stroke::new(1.0, pens.ink());
    if name == "kept" {
        let ends = [pos2(left, y), pos2(right, y)];
        painter.extend(Shape::dashed_line(&ends, stroke, 2.0, 3.0));
    } else {
        painter.hline(Rangef::new(left, right), y, stroke);
    }
    for x in [left + 0.5, right - 0.5] {
        painter.vline(x, Rangef::new(y, y + 5.0), stroke);
    }
    let at = pos2(left.max(view.x_range.min) + 4.0, y - 1.0);
    if right - at.x > 4.0 * pens.em {
        text(painter, at, Align2::LEFT_BOTTOM, name, &pens.small, pens.mid());
    }
}

/// One stroke for each aspect that differs, at the beginning of the bar under the bracket.
fn strokes(
    painter: &Painter,
    view: &View<'_>,
    layout: &Layout,
    (left, right): (f32, f32),
    n: usize,
) {
    let stroke = Stroke::new(1.0, view.pens.ink());
    let y = layout.ruler.bottom();
    let step = ((right - left - 4.0) / MOST as f32).clamp(0.0, 3.0);
    if step < 1.5 {
        // Where there is no room for several, the length of one says how many.
        painter.vline(left + 2.0, Rangef::new(y, y + 1.0 + n as f32), stroke);
        return;
    }
    let lines = (0..n).map(|nth| {
        let x = left + 3.0 + step * nth as f32;
        Shape::vline(x, Rangef::new(y, y + 5.0), stroke)
    });
    painter.extend(lines);
}
