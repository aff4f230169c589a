//! The entrances row: a stroke at the entry, a tail for the rest before it, a ring where a cue is
//! wanted, and the part's short name as far as there is room, the needy ones first.

use super::super::geometry::View;
use super::super::pens::{text, width};
use super::super::prepared::StudyView;
use crate::model::camera::Zoom;
use barloom_analysis::entrances::Entrance;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
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
    if view.zoom <= Zoom::Movement {
        columns(painter, view, study, row);
    }
    let mut signs = signs(view, study);
    // Names: wanted cues, then the greatest need; each where two lanes leave room.
    signs.sort_by_key(|sign| (sign.cue != Some(true), u32::MAX - sign.need));
    let mut lanes: [Vec<Rangef>; 2] = Default::default();
    let placed: Vec<(&Sign, Option<usize>)> =
        signs.iter().map(|sign| (sign, name(painter, view, sign, &mut lanes, row))).collect();
    for (sign, lane) in placed {
        if let Some(lane) = lane {
            tail(painter, view, sign, &lanes[lane], lane_y(row, lane));
        }
        if view.zoom > Zoom::Movement {
            stroke(painter, view, sign, lane, row);
        }
    }
}

/// Seen from afar: for each column of the screen how many parts enter there.
fn columns(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, row: Rect) {
    let mut mesh = Mesh::default();
    let foot = row.bottom() - 4.0;
    let mut add = |x: f32, height: f32, width: f32, color| {
        let y = Rangef::new(foot - height.min(row.height() * 0.7), foot);
        mesh.add_colored_rect(Rect::from_x_y_ranges(Rangef::new(x, x + width), y), color);
    };
    let mut column: Option<(f32, f32)> = None;
    for entrance in seen_entrances(view) {
        let x = view.tick_x(entrance.at).round();
        match &mut column {
            Some((shared, height)) if *shared == x => *height += 1.5,
            _ => {
                if let Some((x, height)) = column.replace((x, 3.5)) {
                    add(x, height, 1.0, view.pens.mid());
                }
            }
        }
    }
    if let Some((x, height)) = column {
        add(x, height, 1.0, view.pens.mid());
    }
    let (from, to) = view.tick_span();
    for cue in study.cues.iter().filter(|cue| cue.cue.wanted && from <= cue.at && cue.at < to) {
        add(view.tick_x(cue.at).round() - 0.5, row.height() * 0.5, 2.0, view.pens.ink());
    }
    painter.add(mesh);
}

/// The middle of a lane of names.
fn lane_y(row: Rect, lane: usize) -> f32 {
    row.top() + row.height() * if lane == 0 { 0.29 } else { 0.73 }
}

fn seen_entrances<'a>(view: &View<'a>) -> &'a [Entrance] {
    let Some(tracks) = view.tracks else { return &[] };
    let (from, to) = view.tick_span();
    let entrances = &tracks.entrances;
    let first = entrances.partition_point(|entrance| entrance.at < from);
    let last = entrances.partition_point(|entrance| entrance.at < to);
    entrances.get(first..last).unwrap_or_default()
}

/// What is named: from afar only the cues that are wanted.
fn signs(view: &View<'_>, study: &StudyView<'_>) -> Vec<Sign> {
    let (from, to) = view.tick_span();
    let entrances = if view.zoom > Zoom::Movement { seen_entrances(view) } else { &[] };
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

/// The rest before the entry, as far back as the lane is free.
fn tail(painter: &Painter, view: &View<'_>, sign: &Sign, lane: &[Rangef], y: f32) {
    if view.zoom <= Zoom::Movement || sign.rest < 2.0 {
        return;
    }
    let before = lane.iter().map(|taken| taken.max).filter(|end| *end <= sign.x);
    let free_from = before.fold(view.x_range.min, f32::max);
    let left = (sign.x - sign.rest).max(free_from);
    painter.hline(Rangef::new(left, sign.x), y, Stroke::new(1.6, view.pens.light()));
}

fn stroke(painter: &Painter, view: &View<'_>, sign: &Sign, lane: Option<usize>, row: Rect) {
    let pens = view.pens;
    let (width, color) = match sign.cue {
        Some(true) => (2.4, pens.ink()),
        Some(false) => (1.0, pens.light()),
        None if sign.need > 0 => (1.4, pens.ink()),
        None => (1.0, pens.mid()),
    };
    // An entry without room for its name keeps a short stroke at the foot of the row.
    let y = match lane {
        Some(lane) => Rangef::point(lane_y(row, lane)).expand(0.62 * pens.em),
        None => Rangef::new(row.bottom() - 4.0, row.bottom() - 0.5),
    };
    painter.vline(sign.x + 1.0, y, Stroke::new(width, color));
}

/// Writes the name in the first lane with room; answers the lane.
fn name(
    painter: &Painter,
    view: &View<'_>,
    sign: &Sign,
    lanes: &mut [Vec<Rangef>; 2],
    row: Rect,
) -> Option<usize> {
    let pens = view.pens;
    let wanted = sign.cue == Some(true);
    if view.zoom <= Zoom::Movement && !wanted || sign.cue == Some(false) {
        return None;
    }
    let part = view.ctx.basis.score.parts.get(sign.part.idx())?;
    let font = if wanted { &pens.small_bold } else { &pens.small };
    let ring = 0.32 * pens.em;
    let ring_room = if wanted { 2.0 * ring + 0.3 * pens.em } else { 0.0 };
    let x = sign.x + 0.4 * pens.em;
    let end = x + width(painter, &part.short, font) + ring_room;
    let span = Rangef::new(sign.x - 1.0, end + 0.35 * pens.em);
    let apart = |taken: &Rangef| taken.max <= span.min || span.max <= taken.min;
    let lane = lanes.iter().position(|lane| lane.iter().all(apart))?;
    lanes[lane].push(span);
    let y = lane_y(row, lane);
    let color = if wanted { pens.ink() } else { pens.dark() };
    let end = text(painter, pos2(x, y), Align2::LEFT_CENTER, &part.short, font, color).right();
    if wanted {
        let center = pos2(end + 0.3 * pens.em + ring, y + 1.0);
        painter.circle_stroke(center, ring, Stroke::new(1.4, pens.ink()));
    }
    Some(lane)
}
