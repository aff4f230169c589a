//! The row of extremes of range and long stretches: above, a line with hooks as long as a wind player
//! has no breath or no rest; below, a stroke for extreme notes, thick where they lie outside the range,
//! upward for high and downward for low ones.

use super::super::geometry::View;
use super::super::pens::{fitted, text};
use crate::model::camera::Zoom;
use barloom_analysis::MovementTracks;
use barloom_analysis::ranges::{Extreme, RangeKind, pitch_name};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    stretches(painter, view, row);
    extremes(painter, view, row);
}

fn short<'a>(view: &View<'a>, part: PartIdx) -> &'a str {
    let ctx = view.ctx;
    ctx.basis.score.parts.get(part.idx()).map_or("", |part| part.short.as_str())
}

/// The long stretches in view; where they lie over one another the words of the longest stay.
fn stretches(painter: &Painter, view: &View<'_>, row: Rect) {
    let (Some(tracks), Some((first, last))) = (view.tracks, view.seen) else { return };
    let pens = view.pens;
    let y = (row.top() + 0.42 * row.height()).round();
    let mut taken: Vec<Rangef> = Vec::new();
    for stretch in tracks.stretches.iter().filter(|s| s.from <= last && s.to >= first) {
        let (left, right) = (view.bar_x(stretch.from).0, view.bar_x(stretch.to).1 - 1.0);
        let x = Rangef::new(left.max(view.x_range.min), right.min(view.x_range.max));
        let stroke = Stroke::new(1.0, pens.mid());
        painter.hline(x, y, stroke);
        for end in [left, right].into_iter().filter(|end| x.contains(*end)) {
            painter.vline(end, Rangef::new(y, y + 0.3 * pens.em), stroke);
        }
        if view.zoom <= Zoom::Movement || taken.iter().any(|other| other.intersects(x)) {
            continue;
        }
        let words = format!("{} {}", short(view, stretch.part), stretch.in_words());
        let words = fitted(painter, &words, &pens.small, x.span() - 0.6 * pens.em);
        let at = pos2(x.min + 0.3 * pens.em, y - 1.0);
        text(painter, at, Align2::LEFT_BOTTOM, &words, &pens.small, pens.dark());
        taken.push(x);
    }
}

/// The extreme notes in view, the worst named first where there is room.
fn extremes(painter: &Painter, view: &View<'_>, row: Rect) {
    let (Some(tracks), Some((first, last))) = (view.tracks, view.seen) else { return };
    let pens = view.pens;
    let middle = row.top() + 0.76 * row.height();
    let inside = |found: &&Extreme| found.bar <= last && found.last_bar >= first;
    let mut seen: Vec<&Extreme> = tracks.ranges.iter().filter(inside).collect();
    seen.sort_by_key(|found| (!found.kind.is_outside(), std::cmp::Reverse(found.n_notes)));
    let mut taken: Vec<Rangef> = Vec::new();
    for found in seen {
        let x = view.tick_x(found.at).round();
        let reach = 0.45 * pens.em;
        let down = matches!(found.kind, RangeKind::Below | RangeKind::LowSoft);
        let y = if down { middle..=middle + reach } else { middle - reach..=middle };
        let wide = if found.kind.is_outside() { 2.0 } else { 1.0 };
        painter.vline(x, Rangef::from(y), Stroke::new(wide, pens.dark()));
        let end = view.bar_x(found.last_bar).1 - 1.0;
        painter.hline(Rangef::new(x, end), middle, Stroke::new(1.0, pens.light()));
        if view.zoom <= Zoom::Movement {
            continue;
        }
        let words = format!("{} {}", short(view, found.part), pitch_name(found.pitch));
        let left = x + 0.25 * pens.em;
        let needed = super::super::pens::width(painter, &words, &pens.small);
        let span = Rangef::new(x - 1.0, left + needed + 0.4 * pens.em);
        if taken.iter().any(|other| other.intersects(span)) {
            continue;
        }
        text(painter, pos2(left, middle), Align2::LEFT_CENTER, &words, &pens.small, pens.dark());
        taken.push(span);
    }
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    let extremes = tracks.ranges.iter().map(|found| (found.bar, found.last_bar));
    let mut spans: Vec<_> =
        extremes.chain(tracks.stretches.iter().map(|found| (found.from, found.to))).collect();
    spans.sort_unstable();
    spans
}

/// What the row says about a place, in one line.
pub(super) fn words(view: &View<'_>, bar: BarIndex, _at: Ticks) -> Option<String> {
    let tracks = view.tracks?;
    let extremes = tracks.ranges.iter().filter(|found| found.bar <= bar && bar <= found.last_bar);
    let mut said: Vec<String> =
        extremes.map(|found| format!("{} {}", short(view, found.part), found.in_words())).collect();
    let stretches = tracks.stretches.iter().filter(|found| found.from <= bar && bar <= found.to);
    let stretches: Vec<String> = stretches
        .map(|found| format!("{} {}", short(view, found.part), found.in_words()))
        .collect();
    if !stretches.is_empty() {
        said.push(format!("{} (estimate; players know better)", stretches.join(", ")));
    }
    let name = view.movement.bar_name(bar);
    (!said.is_empty()).then(|| format!("Bar {name}: {}", said.join("; ")))
}
