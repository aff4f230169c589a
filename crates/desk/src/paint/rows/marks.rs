//! The marks row: marks of the shown layers in lanes, a bar before each whose weight tells the layer.

use super::super::geometry::View;
use super::super::glyphs::{BREATH, CAESURA};
use super::super::pens::{fitted, music, text, width};
use super::super::prepared::{MarkView, StudyView};
use crate::model::camera::Zoom;
use barloom_core::study::Sign;
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

pub(super) fn paint(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, row: Rect) {
    let (from, to) = view.tick_span();
    let pens = view.pens;
    let lane_height = 1.45 * pens.em;
    let seen = |mark: &&MarkView<'_>| mark.from < to && mark.to >= from;
    let marks: Vec<&MarkView<'_>> = study.marks.iter().filter(seen).collect();
    // From right to left, to know where the next mark of each lane begins.
    let mut next = [row.right(); 4];
    let mut limits = vec![row.right(); marks.len()];
    for (mark, limit) in marks.iter().zip(&mut limits).rev() {
        if let Some(next) = next.get_mut(mark.lane) {
            *limit = std::mem::replace(next, view.tick_x(mark.from));
        }
    }
    for (mark, limit) in marks.iter().zip(limits) {
        let y = row.top() + 0.35 * pens.em + lane_height * (mark.lane as f32 + 0.5);
        draw(painter, view, mark, y, limit);
    }
}

fn draw(painter: &Painter, view: &View<'_>, mark: &MarkView<'_>, y: f32, next: f32) {
    let pens = view.pens;
    let em = pens.em;
    let x = view.tick_x(mark.from);
    let left = x.max(view.x_range.min) + 1.0;
    let tone = match mark.layer % 3 {
        0 => pens.ink(),
        1 => pens.mid(),
        _ => pens.light(),
    };
    let y_bar = Rangef::new(y - 0.55 * em, y + 0.55 * em);
    if view.zoom <= Zoom::Movement && next - left < 3.0 * em {
        painter.vline(left, y_bar, Stroke::new(1.4, tone));
        return;
    }
    painter.vline(left + 1.0, y_bar, Stroke::new(2.4, tone));
    let mut start = left + 0.5 * em;
    let end = view.tick_x(mark.to);
    if end > x {
        let y = y_bar.max + 1.0;
        painter.hline(
            Rangef::new(left, end.min(view.x_range.max)),
            y,
            Stroke::new(1.0, pens.mid()),
        );
    }
    let sign = match mark.mark.sign {
        Sign::Text => None,
        Sign::Breath => Some(BREATH),
        Sign::Caesura => Some(CAESURA),
        _ => None,
    };
    if let Some(sign) = sign {
        let at = pos2(start, y + 0.3 * em);
        start += music(painter, pens, at, &sign.to_string(), 1.6 * em, pens.ink()) + 0.3 * em;
    } else if mark.mark.sign != Sign::Text {
        let name = mark.mark.sign.name();
        if width(painter, name, &pens.small_bold) < next - start {
            let at = pos2(start, y);
            let word = text(painter, at, Align2::LEFT_CENTER, name, &pens.small_bold, pens.ink());
            start = word.right() + 0.4 * em;
        }
    }
    let words = fitted(painter, &mark.mark.text, &pens.small, next - start - 0.3 * em);
    text(painter, pos2(start, y), Align2::LEFT_CENTER, &words, &pens.small, pens.ink());
}
