//! The dynamics row: the band between the softest and the loudest part, letters where the loudest
//! level changes.

use super::super::geometry::View;
use super::super::glyphs;
use super::super::pens::{music, music_width};
use super::super::prepared::Prepared;
use crate::model::camera::Zoom;
use barloom_core::bar::BarIndex;
use barloom_core::event::Level;
use egui::epaint::Mesh;
use egui::{Painter, Pos2, Rect, Stroke, pos2};

/// Height of a level in the row: pppp and softer at the foot, ffff and louder at the top.
fn share(level: Level) -> f32 {
    ((f32::from(level as u8) - 3.0) / 9.0).clamp(0.0, 1.0)
}

/// A bar's band on the screen.
struct Step {
    bar: BarIndex,
    left: f32,
    right: f32,
    soft: f32,
    loud: f32,
    level: Level,
    low: Level,
    growing: bool,
}

pub(super) fn paint(painter: &Painter, view: &View<'_>, prepared: &Prepared, row: Rect) {
    let Some(tracks) = view.tracks else { return };
    let em = view.pens.em;
    let (foot, height) = (row.bottom() - 0.55 * em, row.height() - 1.9 * em);
    let y = |level: Level| foot - share(level) * height;
    let mut runs: Vec<Vec<Step>> = vec![Vec::new()];
    for (idx, _) in view.bars() {
        let Some((low, level)) = tracks.dynamics.band(idx) else {
            if runs.last().is_some_and(|run| !run.is_empty()) {
                runs.push(Vec::new());
            }
            continue;
        };
        let (left, right) = view.bar_x(idx);
        let growing = prepared.growing.get(idx.idx()).copied().unwrap_or(false);
        let step =
            Step { bar: idx, left, right, soft: y(low), loud: y(level), level, low, growing };
        if let Some(run) = runs.last_mut() {
            run.push(step);
        }
    }
    for run in runs.iter().filter(|run| !run.is_empty()) {
        band(painter, view, run);
    }
    if view.zoom > Zoom::Suite {
        letters(painter, view, runs.iter().flatten());
    }
}

/// A line through the levels: a step at a sudden change, a slope where something grows or fades.
fn line(run: &[Step], y: impl Fn(&Step) -> f32) -> Vec<Pos2> {
    let mut points: Vec<Pos2> = Vec::with_capacity(run.len() * 2);
    for (idx, step) in run.iter().enumerate() {
        let next = run.get(idx + 1);
        let end = match next {
            Some(next) if step.growing => y(next),
            _ => y(step),
        };
        for point in [pos2(step.left, y(step)), pos2(step.right, end)] {
            // Bars narrower than a point would only thicken the line.
            if points.last().is_none_or(|last| point.x - last.x >= 0.7 || point.y != last.y) {
                points.push(point);
            }
        }
    }
    points
}

fn band(painter: &Painter, view: &View<'_>, run: &[Step]) {
    let pens = view.pens;
    let mut mesh = Mesh::default();
    for (idx, step) in run.iter().enumerate() {
        let next = run.get(idx + 1).filter(|_| step.growing).unwrap_or(step);
        let base = mesh.vertices.len() as u32;
        for (x, y) in [
            (step.left, step.loud),
            (step.right, next.loud),
            (step.right, next.soft),
            (step.left, step.soft),
        ] {
            mesh.colored_vertex(pos2(x, y), pens.wash());
        }
        mesh.add_triangle(base, base + 1, base + 2);
        mesh.add_triangle(base, base + 2, base + 3);
    }
    painter.add(mesh);
    painter.line(line(run, |step| step.soft), Stroke::new(0.8, pens.mid()));
    painter.line(line(run, |step| step.loud), Stroke::new(1.6, pens.ink()));
}

fn letters<'a>(painter: &Painter, view: &View<'_>, steps: impl Iterator<Item = &'a Step>) {
    let pens = view.pens;
    let size = 1.5 * pens.em;
    let mut before: Option<(Level, Level)> = None;
    let mut taken = f32::MIN;
    for step in steps {
        let changed = before != Some((step.low, step.level));
        let loud_changed = before.is_none_or(|(_, level)| level != step.level);
        let low_changed = before.is_none_or(|(low, _)| low != step.low);
        before = Some((step.low, step.level));
        let x = step.left.max(view.x_range.min) + 2.0;
        if !changed || x < taken || view.bar_x(step.bar).1 < view.x_range.min + 4.0 {
            continue;
        }
        if loud_changed {
            let signs = glyphs::level(step.level);
            let at = pos2(x, step.loud - 0.42 * pens.em);
            let needed = music_width(painter, pens, &signs, size);
            music(painter, pens, at, &signs, size, pens.ink());
            taken = x + needed + 0.4 * pens.em;
        }
        let apart = step.soft - step.loud > 1.25 * pens.em;
        if low_changed && apart && view.zoom >= Zoom::Page {
            let signs = glyphs::level(step.low);
            let at = pos2(x, step.soft - 0.3 * pens.em);
            music(painter, pens, at, &signs, size * 0.82, pens.dark());
        }
    }
}
