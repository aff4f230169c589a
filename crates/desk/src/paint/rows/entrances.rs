//! The entrances row: a stroke at the entry, a tail for the rest before it, a ring where a cue is
//! wanted, and the part's short name as far as there is room, the needy ones first.

use super::super::geometry::View;
use super::super::pens::{text, width};
use super::super::prepared::StudyView;
use crate::model::camera::Zoom;
use barloom_analysis::entrances::Entrance;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

/// Something to be drawn in the row.
struct Sign {
    x: f32,
    part: PartIdx,
    rest: f32,
    need: u32,
    cue: Option<bool>,
}

pub(super) fn paint(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, row: Rect) {
    let mut signs = signs(view, study);
    tails(painter, view, &signs, row);
    for sign in &signs {
        stroke(painter, view, sign, row);
    }
    // Names: wanted cues, then the greatest need; each where two lanes leave room.
    signs.sort_by_key(|sign| (sign.cue != Some(true), u32::MAX - sign.need));
    let mut lanes: [Vec<Rangef>; 2] = Default::default();
    for sign in &signs {
        name(painter, view, sign, &mut lanes, row);
    }
}

fn seen_entrances<'a>(view: &View<'a>) -> &'a [Entrance] {
    let Some(tracks) = view.tracks else { return &[] };
    let (from, to) = view.tick_span();
    let entrances = &tracks.entrances;
    let first = entrances.partition_point(|entrance| entrance.at < from);
    let last = entrances.partition_point(|entrance| entrance.at < to);
    entrances.get(first..last).unwrap_or_default()
}

fn signs(view: &View<'_>, study: &StudyView<'_>) -> Vec<Sign> {
    let (from, to) = view.tick_span();
    let entrances = seen_entrances(view);
    let mut signs: Vec<Sign> = entrances
        .iter()
        .map(|entrance| {
            let x = view.tick_x(entrance.at);
            let start = view.movement.resolution.ticks_floor(entrance.rest_quarters);
            let start = start.map_or(entrance.at, |rest| entrance.at - rest);
            Sign {
                x,
                part: entrance.part,
                rest: x - view.tick_x(start.max(Ticks::ZERO)),
                need: entrance.need,
                cue: study.cue(entrance.at, entrance.part).map(|cue| cue.cue.wanted),
            }
        })
        .collect();
    let first = study.cues.partition_point(|cue| cue.at < from);
    let elsewhere = study.cues.iter().skip(first).take_while(|cue| cue.at < to).filter(|cue| {
        cue.cue.wanted && !entrances.iter().any(|e| e.at == cue.at && e.part == cue.part)
    });
    signs.extend(elsewhere.map(|cue| Sign {
        x: view.tick_x(cue.at),
        part: cue.part,
        rest: 0.0,
        need: 0,
        cue: Some(true),
    }));
    signs
}

fn stroke_y(row: Rect) -> Rangef {
    Rangef::new(row.top() + row.height() * 0.32, row.bottom() - row.height() * 0.16)
}

/// The longest rest at each place as one tail; tails of the same row overlap, the strokes end them.
fn tails(painter: &Painter, view: &View<'_>, signs: &[Sign], row: Rect) {
    if view.zoom <= Zoom::Movement {
        return;
    }
    let y = stroke_y(row).center();
    let stroke = Stroke::new(1.6, view.pens.light());
    for sign in signs.iter().filter(|sign| sign.rest > 2.0) {
        let left = (sign.x - sign.rest).max(view.x_range.min);
        painter.hline(Rangef::new(left, sign.x), y, stroke);
    }
}

fn stroke(painter: &Painter, view: &View<'_>, sign: &Sign, row: Rect) {
    let pens = view.pens;
    let y = stroke_y(row);
    if view.zoom <= Zoom::Movement {
        let height = if sign.cue == Some(true) { y.span() } else { y.span() * 0.5 };
        let y = Rangef::new(y.max - height, y.max);
        painter.vline(sign.x, y, Stroke::new(1.0, pens.mid()));
        return;
    }
    let (width, color) = match sign.cue {
        Some(true) => (2.2, pens.ink()),
        Some(false) => (1.0, pens.light()),
        None if sign.need > 0 => (1.4, pens.ink()),
        None => (1.0, pens.mid()),
    };
    painter.vline(sign.x + 1.0, y, Stroke::new(width, color));
}

fn name(painter: &Painter, view: &View<'_>, sign: &Sign, lanes: &mut [Vec<Rangef>; 2], row: Rect) {
    let pens = view.pens;
    let wanted = sign.cue == Some(true);
    if view.zoom <= Zoom::Movement && !wanted || sign.cue == Some(false) {
        return;
    }
    let Some(part) = view.ctx.basis.score.parts.get(sign.part.idx()) else { return };
    let font = if wanted { &pens.small_bold } else { &pens.small };
    let ring = 0.32 * pens.em;
    let ring_room = if wanted { 2.0 * ring + 0.3 * pens.em } else { 0.0 };
    let x = sign.x + 0.4 * pens.em;
    let end = x + width(painter, &part.short, font) + ring_room;
    let span = Rangef::new(sign.x - 1.0, end + 0.35 * pens.em);
    let free = lanes
        .iter()
        .position(|lane| lane.iter().all(|taken| taken.max <= span.min || span.max <= taken.min));
    let Some(lane) = free else { return };
    lanes[lane].push(span);
    let y = row.top() + row.height() * if lane == 0 { 0.29 } else { 0.71 };
    let color = if wanted { pens.ink() } else { pens.dark() };
    let end = text(painter, pos2(x, y), Align2::LEFT_CENTER, &part.short, font, color).right();
    if wanted {
        let center = pos2(end + 0.3 * pens.em + ring, y + 1.0);
        painter.circle_stroke(center, ring, Stroke::new(1.4, pens.ink()));
    }
}
