//! The row of who carries the line: a rule for as long as some parts lead, their short names over it, a
//! sign where the line is handed on.

use super::super::geometry::View;
use super::super::pens::{Pens, fitted, text, width};
use crate::model::camera::Zoom;
use barloom_analysis::MovementTracks;
use barloom_analysis::leading::{LeadRun, run_at, runs};
use barloom_analysis::plan::words::joined_names;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Pos2, Rect, pos2, vec2};

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let Some(tracks) = view.tracks else { return };
    let Some((first, last)) = view.seen else { return };
    let pens = view.pens;
    let foot = (row.bottom() - 0.6 * pens.em).round();
    // All rules and signs are one mesh: there may be hundreds.
    let mut mesh = Mesh::default();
    for run in runs(&tracks.leading) {
        if run.to < first || run.from > last {
            continue;
        }
        let (x0, x1) = (view.bar_x(run.from).0, view.bar_x(run.to).1);
        let (left, right) = (x0.max(view.x_range.min), x1.min(view.x_range.max));
        let handed = run.is_handed() && x0 >= view.x_range.min;
        let rule = Rect::from_min_max(pos2(left + 1.0, foot), pos2(right - 1.0, foot + 1.6));
        if rule.width() > 0.0 {
            mesh.add_colored_rect(rule, pens.mid());
        }
        if handed && right - left >= 4.0 {
            sign(&mut mesh, view.pens, pos2(left + 1.0, foot - 0.55 * pens.em));
        }
        let start = left + if handed { 0.9 } else { 0.4 } * pens.em;
        let room = right - start - 0.3 * pens.em;
        if view.zoom < Zoom::Movement || room < 1.4 * pens.em {
            continue;
        }
        let names = names(painter, view, &run, room);
        let at = pos2(start, foot - 1.5);
        text(painter, at, Align2::LEFT_BOTTOM, &names, &pens.small, pens.ink());
    }
    painter.add(mesh);
}

/// The line is handed on: a point that looks forward, the middle of its back at `at`.
pub(in super::super) fn sign(mesh: &mut Mesh, pens: &Pens<'_>, at: Pos2) {
    let size = 0.55 * pens.em;
    let base = mesh.vertices.len() as u32;
    for (dx, dy) in [(0.0, -size / 1.4), (size, 0.0), (0.0, size / 1.4)] {
        mesh.colored_vertex(at + vec2(dx, dy), pens.ink());
    }
    mesh.add_triangle(base, base + 1, base + 2);
}

/// As many names as there is room for: those that lead and, counted, those that double them.
fn names(painter: &Painter, view: &View<'_>, run: &LeadRun, room: f32) -> String {
    let font = &view.pens.small;
    let all = short(view, &run.parts);
    let most: String = run.parts.get(..2).map(|two| short(view, two)).unwrap_or_default();
    let one = run.parts.get(..1).map(|one| short(view, one)).unwrap_or_default();
    let and = |names: &str, n: usize| format!("{names} and {n} more");
    let n = run.parts.len();
    let mut ways = vec![all];
    if n > 3 {
        ways.push(and(&most, n - 2));
    }
    if n > 1 {
        ways.push(and(&one, n - 1));
    }
    // More than six names are no longer read at a glance.
    if n > 6 {
        ways.remove(0);
    }
    let fits = |names: &&String| width(painter, names, font) <= room;
    match ways.iter().find(fits) {
        Some(names) => names.clone(),
        None => fitted(painter, &one, font, room),
    }
}

fn short(view: &View<'_>, parts: &[PartIdx]) -> String {
    let all = &view.ctx.basis.score.parts;
    joined_names(parts.iter().filter_map(|part| Some(all.get(part.idx())?.short.as_str())))
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    runs(&tracks.leading).iter().map(|run| (run.from, run.to)).collect()
}

/// What the row says about a place, in one line.
pub(super) fn words(view: &View<'_>, bar: BarIndex, _at: Ticks) -> Option<String> {
    let runs = runs(&view.tracks?.leading);
    let name = view.movement.bar_name(bar);
    let run = run_at(&runs, bar)?;
    let score = &view.ctx.basis.score;
    Some(format!("Bar {name}: {}", run.words(score)))
}
