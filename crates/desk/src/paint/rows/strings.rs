//! The row of manners of the string section: the patterns of the part rows with the word and the parts;
//! a question mark where something written does not fit together.

use super::super::geometry::View;
use super::super::part_bars::{Manner, PartBars, Stretch};
use super::super::parts;
use super::super::pens::{fitted, text};
use crate::model::camera::Zoom;
use barloom_analysis::MovementTracks;
use barloom_analysis::manners::{Contradiction, MannerSpan, StringManner};
use barloom_core::bar::BarIndex;
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, pos2};

/// So many manners are shown over one another; more are said when pointed at.
const LANES: usize = 3;

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let Some(tracks) = view.tracks else { return };
    let foot = 0.3 * view.pens.em;
    let height = (row.height() - 2.0 * foot) / LANES as f32;
    let lanes = lanes(&tracks.manners);
    let seen = |span: &MannerSpan| view.seen.is_some_and(|(a, b)| span.from <= b && span.to >= a);
    for (span, lane) in tracks.manners.iter().zip(lanes) {
        let Some(lane) = lane.filter(|_| seen(span)) else { continue };
        let top = row.top() + foot + lane as f32 * height;
        lane_of(painter, view, span, Rangef::new(top, top + height));
    }
    if view.zoom > Zoom::Movement {
        for found in in_view(view, &tracks.contradictions) {
            let at = pos2(view.tick_x(found.at) + 0.2 * view.pens.em, row.bottom() - 1.0);
            let font = &view.pens.small_bold;
            text(painter, at, Align2::LEFT_BOTTOM, "?", font, view.pens.ink());
        }
    }
}

/// The lane of each span: the first that is free again; `None` where all are taken.
fn lanes(spans: &[MannerSpan]) -> Vec<Option<usize>> {
    let mut free_from: [u32; LANES] = [0; LANES];
    let lane = |span: &MannerSpan| {
        let lane = free_from.iter().position(|free| *free <= span.from.0)?;
        if let Some(free) = free_from.get_mut(lane) {
            *free = span.to.0 + 1;
        }
        Some(lane)
    };
    spans.iter().map(lane).collect()
}

/// The words, and behind them the pattern to the end of the span.
fn lane_of(painter: &Painter, view: &View<'_>, span: &MannerSpan, y: Rangef) {
    let pens = view.pens;
    let (left, right) = (view.bar_x(span.from).0, view.bar_x(span.to).1 - 1.0);
    let x = Rangef::new(left.max(view.x_range.min), right.min(view.x_range.max));
    let mut from = x.min;
    if view.zoom > Zoom::Movement {
        let who = span.who(&view.ctx.basis.score);
        let all = format!("{}: {who}", span.manner.name());
        let font = &pens.words_small;
        let room = x.span() - 0.8 * pens.em;
        let whole = fitted(painter, &all, font, room);
        // The manner alone rather than names that are cut.
        let words =
            if whole == all { all } else { fitted(painter, span.manner.name(), font, room) };
        if !words.is_empty() {
            let at = pos2(x.min + 0.3 * pens.em, y.center());
            from = text(painter, at, Align2::LEFT_CENTER, &words, font, pens.dark()).right();
            from += 0.4 * pens.em;
        }
    }
    if x.max - from < 2.0 {
        return;
    }
    let (manner, muted) = pattern(span.manner);
    let axis = (view.axis(from), view.axis(x.max));
    let loudness = Some((0.45, 0.45));
    let (from, to) = (Ticks::ZERO, Ticks(1));
    let stretches = vec![Stretch { from, to, loudness, muted, manner, axis }];
    let (mut mesh, mut over) = (Mesh::default(), Vec::new());
    let place = (view.x_range, Rect::from_x_y_ranges(x, y));
    let bars = PartBars { stretches };
    parts::bars(pens, &mut mesh, &mut over, &bars, &|axis| view.x(axis), axis, place);
    painter.add(mesh);
    painter.extend(over);
}

/// The sign of the part rows for a manner, and whether it has a frame. What has no sign there is a plain
/// bar beside its word.
const fn pattern(manner: StringManner) -> (Manner, bool) {
    match manner {
        StringManner::Plucked => (Manner::Struck, false),
        StringManner::Muted => (Manner::Ordinary, true),
        StringManner::Harmonics => (Manner::Harmonics, false),
        StringManner::Tremolo => (Manner::Tremolo, false),
        StringManner::Trills => (Manner::Trill, false),
        StringManner::Bridge
        | StringManner::Fingerboard
        | StringManner::Wood
        | StringManner::Glissandi => (Manner::Ordinary, false),
    }
}

fn in_view<'a>(view: &View<'_>, found: &'a [Contradiction]) -> &'a [Contradiction] {
    let (from, to) = view.tick_span();
    let first = found.partition_point(|found| found.at < from);
    let last = found.partition_point(|found| found.at < to);
    found.get(first..last).unwrap_or_default()
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    tracks.manners.iter().map(|span| (span.from, span.to)).collect()
}

/// What the row says about a place, in one line.
pub(super) fn words(view: &View<'_>, bar: BarIndex, _at: Ticks) -> Option<String> {
    let tracks = view.tracks?;
    let score = &view.ctx.basis.score;
    let here = tracks.manners.iter().filter(|span| span.from <= bar && bar <= span.to);
    let mut said: Vec<String> =
        here.map(|span| format!("{} {}", span.manner.name(), span.who(score))).collect();
    let row = view.movement.bars.get(bar)?;
    let fits = tracks.contradictions.iter();
    let fits = fits.filter(|found| row.start <= found.at && found.at < row.end());
    said.extend(fits.map(|found| format!("does it fit? {}: {}", found.who(score), found.what)));
    let name = view.movement.bar_name(bar);
    (!said.is_empty()).then(|| format!("Bar {name}: {}", said.join("; ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn manners_at_one_time_lie_over_one_another() {
        let span = |from, to| MannerSpan {
            manner: StringManner::Plucked,
            from: BarIndex(from),
            to: BarIndex(to),
            parts: Vec::new(),
            all: false,
        };
        let spans = [span(0, 9), span(0, 2), span(1, 4), span(2, 3), span(3, 3), span(10, 11)];
        assert_eq!(lanes(&spans), [Some(0), Some(1), Some(2), None, Some(1), Some(0)]);
    }
}
