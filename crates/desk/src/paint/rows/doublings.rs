//! The row of who plays along with whom: two lanes for groups on one line, one for what goes in
//! parallel or shares only some of a line. Signs between the short names say how far apart they are.

use super::super::geometry::View;
use super::super::pens::{fitted, text};
use crate::model::camera::Zoom;
use barloom_analysis::MovementTracks;
use barloom_analysis::doublings::Shared;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rect, pos2};

/// Lanes of groups that play all of one line.
const GROUP_LANES: usize = 2;

/// All lanes.
const LANES: usize = GROUP_LANES + 1;

/// The hover tells at most so many.
const MOST_TOLD: usize = 4;

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let (Some(tracks), Some((first, last))) = (view.tracks, view.seen) else { return };
    let pens = view.pens;
    let lane_height = 1.27 * pens.em;
    let mut mesh = Mesh::default();
    for (lane, shared) in lanes(&tracks.shared) {
        if shared.to < first || shared.from > last {
            continue;
        }
        let y = (row.top() + 0.25 * pens.em + lane_height * (lane as f32 + 1.0)).round();
        rule(&mut mesh, view, shared, y);
        signs(painter, view, shared, y);
    }
    painter.add(mesh);
}

/// What is shown with its lane. What finds no free lane is left to the list and the hover.
fn lanes(shared: &[Shared]) -> Vec<(usize, &Shared)> {
    let mut free_from = [BarIndex(0); LANES];
    let mut placed = Vec::new();
    for one in shared {
        let lanes = if one.is_whole() { 0..GROUP_LANES } else { GROUP_LANES..LANES };
        let free = free_from.iter_mut().enumerate().skip(lanes.start).take(lanes.len());
        let mut free = free.filter(|(_, free_from)| **free_from <= one.from);
        if let Some((lane, free_from)) = free.next() {
            *free_from = BarIndex(one.to.0 + 1);
            placed.push((lane, one));
        }
    }
    placed
}

fn ends(view: &View<'_>, shared: &Shared) -> (f32, f32) {
    let x0 = view.bar_x(shared.from).0.round() + 1.0;
    (x0, (view.bar_x(shared.to).1 - 2.0).max(x0 + 1.0))
}

/// A rule with a hook at its start: plain for a whole line, dotted for parallel intervals and for what
/// shares only some notes.
fn rule(mesh: &mut Mesh, view: &View<'_>, shared: &Shared, y: f32) {
    let pens = view.pens;
    let (x0, x1) = ends(view, shared);
    let (left, right) = (x0.max(view.x_range.min), x1.min(view.x_range.max));
    let mut add = |x: f32, top: f32, to: f32, bottom: f32| {
        let rect = Rect::from_min_max(pos2(x, top), pos2(to, bottom));
        mesh.add_colored_rect(rect, pens.dark());
    };
    if shared.is_whole() {
        add(left, y, right, y + 1.0);
    } else {
        let mut x = left;
        while x < right {
            add(x, y, (x + 1.6).min(right), y + 1.2);
            x += 4.0;
        }
    }
    if x0 >= view.x_range.min && x1 - x0 > 4.0 {
        add(x0, y - 0.5 * pens.em, x0 + 1.0, y + 1.0);
    }
}

fn signs(painter: &Painter, view: &View<'_>, shared: &Shared, y: f32) {
    let pens = view.pens;
    let (x0, x1) = ends(view, shared);
    let start = x0.max(view.x_range.min) + 0.35 * pens.em;
    let room = x1.min(view.x_range.max) - start;
    let least = if view.zoom <= Zoom::Movement { 3.0 } else { 1.4 };
    if room < least * pens.em {
        return;
    }
    let signs = shared.signs(|part| short(view, part));
    let shown = fitted(painter, &signs, &pens.small, room);
    let color = if shared.is_whole() { pens.ink() } else { pens.dark() };
    text(painter, pos2(start, y - 0.5), Align2::LEFT_BOTTOM, &shown, &pens.small, color);
}

fn short(view: &View<'_>, part: PartIdx) -> String {
    let part = view.ctx.basis.score.parts.get(part.idx());
    part.map(|part| part.short.to_string()).unwrap_or_default()
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    tracks.shared.iter().map(|shared| (shared.from, shared.to)).collect()
}

/// What the row says about a place, in one line.
pub(super) fn words(view: &View<'_>, bar: BarIndex, _at: Ticks) -> Option<String> {
    let shared = &view.tracks?.shared;
    let here: Vec<&Shared> =
        shared.iter().filter(|shared| shared.from <= bar && bar <= shared.to).collect();
    let name = |part: PartIdx| {
        let part = view.ctx.basis.score.parts.get(part.idx());
        part.map(|part| part.name.to_string()).unwrap_or_default()
    };
    let mut words: Vec<String> =
        here.iter().take(MOST_TOLD).map(|shared| shared.words(name)).collect();
    if here.len() > MOST_TOLD {
        words.push(format!("{} more", here.len() - MOST_TOLD));
    }
    (!words.is_empty()).then(|| words.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shared(from: u32, to: u32, parallel: bool) -> Shared {
        Shared { from: BarIndex(from), to: BarIndex(to), parallel, ..Shared::default() }
    }

    #[test]
    fn groups_and_parallel_lines_have_lanes_of_their_own() {
        let all =
            [shared(0, 4, false), shared(0, 9, true), shared(2, 3, false), shared(4, 5, false)];
        let lanes: Vec<usize> = lanes(&all).into_iter().map(|(lane, _)| lane).collect();
        assert_eq!(lanes, [0, 2, 1, 1]);
    }

    #[test]
    fn what_finds_no_lane_is_left_out() {
        let all = [shared(0, 4, false), shared(1, 4, false), shared(2, 4, false)];
        assert_eq!(lanes(&all).len(), GROUP_LANES);
    }
}
