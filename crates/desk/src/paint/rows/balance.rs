//! The row of whether the lead comes through: a line for the estimated margin of the lead over the rest
//! in its register, above the rule where it stands out, below where it does not; hatched, with the part,
//! where it is likely covered.

use super::super::geometry::View;
use super::super::hatch::{self, Hatch};
use super::super::pens::{fitted, text};
use crate::model::camera::Zoom;
use crate::model::lists::covered_words;
use barloom_analysis::MovementTracks;
use barloom_analysis::balance::Covered;
use barloom_core::bar::BarIndex;
use barloom_core::time::Ticks;
use egui::{Align2, Painter, Pos2, Rangef, Rect, Stroke, pos2};

/// The margin in dB at the edges of the row.
const MOST_DB: f32 = 20.0;

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let Some(tracks) = view.tracks else { return };
    let balance = &tracks.balance;
    let pens = view.pens;
    let middle = row.center().y.round() + 0.5;
    let half = 0.5 * row.height() - 3.0;
    let y = |margin: f32| middle - (margin / MOST_DB).clamp(-1.0, 1.0) * half;
    for covered in seen(view, &balance.covered) {
        let (left, right) = (view.bar_x(covered.from).0, view.bar_x(covered.to).1);
        let x = Rangef::new(left.max(view.x_range.min), right.min(view.x_range.max));
        let rect = Rect::from_x_y_ranges(x, Rangef::new(middle, row.bottom() - 2.0));
        if view.zoom <= Zoom::Movement {
            painter.rect_filled(rect, 0.0, pens.light());
        } else {
            hatch::fill(painter, rect, Hatch::Slanted, view.x(0.0), pens.dark(), pens.mid());
        }
    }
    painter.hline(row.x_range(), middle, Stroke::new(1.0, pens.light()));
    let stroke = Stroke::new(1.4, pens.dark());
    let mut points: Vec<Pos2> = Vec::new();
    for (idx, _) in view.bars() {
        let Some(margin) = balance.margins.get(idx.idx()).copied().flatten() else {
            flush(painter, &mut points, stroke);
            continue;
        };
        let (left, right) = view.bar_x(idx);
        // Bars narrower than a point would only thicken the line.
        if points.last().is_none_or(|last| right - last.x >= 0.7) {
            points.extend([pos2(left, y(margin)), pos2(right, y(margin))]);
        }
    }
    flush(painter, &mut points, stroke);
    if view.zoom > Zoom::Movement {
        names(painter, view, &balance.covered, row, middle);
    }
}

fn flush(painter: &Painter, points: &mut Vec<Pos2>, stroke: Stroke) {
    if points.len() > 1 {
        painter.line(std::mem::take(points), stroke);
    }
}

fn seen<'a>(
    view: &View<'_>,
    covered: &'a [Covered],
) -> impl Iterator<Item = &'a Covered> + use<'a> {
    let seen = view.seen;
    let in_view =
        move |covered: &&Covered| seen.is_some_and(|(a, b)| covered.from <= b && covered.to >= a);
    covered.iter().filter(in_view)
}

/// The covered part above the hatching, as far as there is room before the next.
fn names(painter: &Painter, view: &View<'_>, covered: &[Covered], row: Rect, middle: f32) {
    let pens = view.pens;
    let mut seen = seen(view, covered).peekable();
    while let Some(covered) = seen.next() {
        let left = view.bar_x(covered.from).0.max(view.x_range.min) + 0.3 * pens.em;
        let next = seen.peek().map_or(view.x_range.max, |next| view.bar_x(next.from).0);
        let Some(part) = view.ctx.basis.score.parts.get(covered.part.idx()) else { continue };
        let words = fitted(painter, &part.short, &pens.small, next - left - 0.3 * pens.em);
        let at = pos2(left, 0.5 * (row.top() + middle));
        text(painter, at, Align2::LEFT_CENTER, &words, &pens.small, pens.dark());
    }
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    tracks.balance.covered.iter().map(|covered| (covered.from, covered.to)).collect()
}

/// What the row says about a place, in one line.
pub(super) fn words(view: &View<'_>, bar: BarIndex, _at: Ticks) -> Option<String> {
    let balance = &view.tracks?.balance;
    let score = &view.ctx.basis.score;
    let name = view.movement.bar_name(bar);
    let here = |covered: &&Covered| covered.from <= bar && bar <= covered.to;
    if let Some(covered) = balance.covered.iter().find(here) {
        let part = score.parts.get(covered.part.idx())?;
        let words = covered_words(score, covered);
        return Some(format!("Bar {name}: {} is likely covered; {words}", part.name));
    }
    let margin = balance.margins.get(bar.idx()).copied().flatten()?;
    let side = if margin < 0.0 { "below" } else { "above" };
    Some(format!(
        "Bar {name}: the line about {:.0} dB {side} the rest in its register (estimate)",
        margin.abs()
    ))
}
