//! The work at a glance: one strip a movement, all at one scale of time.

use super::canvas::{Anchor, Canvas, Drawing, Ink, Type};
use crate::fonts::Face;
use barloom_analysis::plan::{PlanMovement, words};
use std::fmt::Write;

const TICK: Type = Type::new(Face::Sans, 8.0, Ink::DARK);
const MARK: Type = Type::new(Face::SansBold, 8.5, Ink::BLACK);
const GROUP: Type = Type::new(Face::Serif, 8.5, Ink::BLACK);
const DENSITY_PT: f64 = 30.0;

/// Draws a movement as a strip; `longest` is the duration, in seconds, that fills the width.
pub(crate) fn draw(movement: &PlanMovement, width: f64, longest: f64) -> Drawing {
    let mut canvas = Canvas::default();
    let edges = edges(movement, width, longest);
    let right = edges.last().copied().unwrap_or(0.0);
    let mut y = marks(movement, &edges, &mut canvas);
    density(movement, &edges, &mut canvas, y);
    y += DENSITY_PT;
    canvas.line((0.0, y), (right, y), 0.6, Ink::BLACK);
    y += meters(movement, &edges, &mut canvas, y);
    y += groups(movement, &edges, &mut canvas, y);
    let alt = format!(
        "{} at a glance: {}, {}",
        movement.heading,
        words::n_bars(movement.n_bars),
        words::clock(movement.seconds)
    );
    canvas.finish(width, y + 2.0, alt)
}

/// Left edges of the bars in proportion to time, and the right end. Without times, to length.
fn edges(movement: &PlanMovement, width: f64, longest: f64) -> Vec<f64> {
    let timed = movement.seconds > 0.0 && longest > 0.0;
    let share = if timed { (movement.seconds / longest).clamp(0.25, 1.0) } else { 1.0 };
    let quarters: f64 = movement.bars.iter().map(|bar| bar.quarters).sum();
    let scale = width * share / if timed { movement.seconds } else { quarters.max(1e-6) };
    let mut edges = Vec::with_capacity(movement.bars.len() + 1);
    let mut length = 0.0;
    for bar in &movement.bars {
        edges.push(scale * if timed { bar.seconds } else { length });
        length += bar.quarters;
    }
    edges.push(width * share);
    edges
}

/// Rehearsal marks and the first bar's label, as far as there is room.
fn marks(movement: &PlanMovement, edges: &[f64], canvas: &mut Canvas) -> f64 {
    let mut free_from = 0.0;
    for (bar, x) in movement.bars.iter().zip(edges) {
        let Some(mark) = &bar.rehearsal else { continue };
        canvas.line((*x, 10.0), (*x, 12.0 + DENSITY_PT), 0.5, Ink::MIDDLE);
        let mark = MARK.fitted(mark, 60.0);
        if *x >= free_from {
            free_from = x + canvas.text(*x, 8.5, Anchor::Start, MARK, &mark) + 4.0;
        }
    }
    12.0
}

/// Sounding share of every bar; neighbors of one height are one area.
fn density(movement: &PlanMovement, edges: &[f64], canvas: &mut Canvas, top: f64) {
    let mut data = String::new();
    let columns: Vec<_> = movement.bars.iter().zip(edges.windows(2)).collect();
    for run in columns.chunk_by(|(a, _), (b, _)| a.share == b.share) {
        let (Some((bar, [left, _])), Some((_, [_, right]))) = (run.first(), run.last()) else {
            continue;
        };
        let height = (DENSITY_PT - 2.0) * f64::from(bar.share.clamp(0.0, 1.0));
        let bottom = top + DENSITY_PT;
        let _ =
            write!(data, "M{left:.2} {bottom:.2}V{:.2}H{right:.2}V{bottom:.2}Z", bottom - height);
    }
    canvas.area(&data, Ink::MIDDLE);
}

/// A tick at every change of meter, with the figures where there is room.
fn meters(movement: &PlanMovement, edges: &[f64], canvas: &mut Canvas, top: f64) -> f64 {
    let mut free_from = f64::NEG_INFINITY;
    for (bar, x) in movement.bars.iter().zip(edges) {
        let Some(meter) = &bar.meter else { continue };
        canvas.line((*x + 0.3, top), (*x + 0.3, top + 4.0), 0.6, Ink::BLACK);
        if *x >= free_from {
            let text = meter.to_string();
            free_from = x + canvas.text(*x + 1.5, top + 9.5, Anchor::Start, TICK, &text) + 5.0;
        }
    }
    12.0
}

/// The two highest levels of groups.
fn groups(movement: &PlanMovement, edges: &[f64], canvas: &mut Canvas, top: f64) -> f64 {
    let mut levels: Vec<u8> = movement.groups.iter().map(|group| group.level).collect();
    levels.sort_unstable_by(|a, b| b.cmp(a));
    levels.dedup();
    levels.truncate(2);
    for group in &movement.groups {
        let Some(row) = levels.iter().position(|level| *level == group.level) else { continue };
        let (Some(from), Some(to)) = (edges.get(group.from), edges.get(group.to + 1)) else {
            continue;
        };
        let y = top + 3.0 + 13.0 * row as f64;
        let line = if row == 0 { 1.4 } else { 0.7 };
        canvas.line((*from + 0.6, y), (*to - 1.2, y), line, Ink::BLACK);
        canvas.line((*from + 0.6, y), (*from + 0.6, y + 5.0), line, Ink::BLACK);
        let text = if group.name.is_empty() {
            group.text.clone()
        } else {
            format!("{} {}", group.name, group.text)
        };
        let text = GROUP.fitted(&text, to - from - 4.0);
        canvas.text(*from + 3.0, y + 9.0, Anchor::Start, GROUP, &text);
    }
    if levels.is_empty() { 0.0 } else { 3.0 + 13.0 * levels.len() as f64 }
}
