//! One line of the bar grid: all tracks above each other, part rows below, bar lines behind.

use super::canvas::{Anchor, Canvas, Drawing, Ink, Type};
use super::layout::System;
use super::{bands, beating, groups, lanes, parts, ruler};
use crate::fonts::Face;
use barloom_analysis::plan::{PlanMovement, PlanRow, StudyPlan, words};

/// Names of tracks and rows.
pub(crate) const NAME: Type = Type::new(Face::Sans, 8.0, Ink::BLACK);
/// Smallest and largest distance of part rows.
pub(crate) const ROW_PT: (f64, f64) = (8.6, 13.0);

/// What all lines of one movement share.
pub(crate) struct Frame<'a> {
    pub(crate) plan: &'a StudyPlan,
    pub(crate) movement: &'a PlanMovement,
    /// The part rows that are drawn.
    pub(crate) rows: Vec<&'a PlanRow>,
    /// Width of the column of names.
    pub(crate) names_pt: f64,
    /// Width of the whole line.
    pub(crate) width_pt: f64,
    /// Distance of part rows.
    pub(crate) row_pt: f64,
}

impl Frame<'_> {
    /// A name in the left column.
    pub(crate) fn name(&self, canvas: &mut Canvas, y: f64, kind: Type, name: &str) {
        let name = kind.fitted(name, self.names_pt - 5.0);
        canvas.text(0.0, y, Anchor::Start, kind, &name);
    }

    /// A light rule over the whole width.
    pub(crate) fn rule(&self, canvas: &mut Canvas, system: &System, y: f64, strong: bool) {
        let (width, ink) = if strong { (0.8, Ink::BLACK) } else { (0.35, Ink::LIGHT) };
        canvas.line_under((0.0, y), (system.right(), y), width, ink);
    }
}

/// Draws one track of a line from this height downward; answers its own height.
type Track = fn(&Frame<'_>, &System, &mut Canvas, f64) -> f64;

/// Draws one line.
pub(crate) fn draw(frame: &Frame<'_>, system: &System) -> Drawing {
    let mut canvas = Canvas::default();
    let lines_from = ruler::draw(frame, system, &mut canvas);
    let mut y = lines_from;
    frame.rule(&mut canvas, system, y, true);
    let tracks: [Track; 8] = [
        beating::meters,
        beating::beats,
        groups::draw,
        bands::texture,
        bands::dynamics,
        lanes::devices,
        lanes::entries,
        lanes::marks,
    ];
    for track in tracks {
        let height = track(frame, system, &mut canvas, y);
        if height > 0.0 {
            y += height;
            frame.rule(&mut canvas, system, y, false);
        }
    }
    if !frame.rows.is_empty() {
        frame.rule(&mut canvas, system, y, true);
        y += parts::draw(frame, system, &mut canvas, y);
    }
    bar_lines(frame, system, &mut canvas, lines_from, y);
    canvas.finish(frame.width_pt, y + 1.0, alt(frame, system))
}

fn alt(frame: &Frame<'_>, system: &System) -> String {
    let name = |bar: usize| frame.movement.bars.get(bar).map_or("", |bar| bar.name.as_str());
    format!(
        "Bar grid of {}, bars {} to {}. The lists after the grids hold the same in words.",
        frame.movement.heading,
        name(system.first),
        name(system.end().saturating_sub(1))
    )
}

fn bar_lines(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64, bottom: f64) {
    let mut stroke = |x: f64, width: f64, ink: Ink| {
        canvas.line_under((x, top), (x, bottom), width, ink);
    };
    stroke(system.left(), 0.6, Ink::MIDDLE);
    for (idx, bar) in system.bars(frame.movement) {
        let Some((left, right)) = system.bar(idx) else { continue };
        let next = frame.movement.bars.get(idx + 1);
        let strong_next = next.is_some_and(|next| next.rehearsal.is_some());
        if bar.final_after {
            stroke(right - 3.0, 0.6, Ink::BLACK);
            stroke(right - 0.8, 1.8, Ink::BLACK);
        } else if bar.double_after {
            stroke(right - 1.8, 0.5, Ink::DARK);
            stroke(right, 0.5, Ink::DARK);
        } else if next.is_some_and(|next| next.continues) {
            stroke(right, 0.25, Ink::PALE);
        } else {
            let (width, ink) = if strong_next { (0.7, Ink::MIDDLE) } else { (0.35, Ink::LIGHT) };
            stroke(right, width, ink);
        }
        if bar.repeat_from {
            stroke(left + 0.9, 1.8, Ink::BLACK);
        }
        if bar.repeat_to {
            stroke(right - 0.9, 1.8, Ink::BLACK);
        }
    }
}

/// Time from the first to the last bar of a line: "2:38–3:51".
pub(crate) fn time_span(frame: &Frame<'_>, system: &System) -> String {
    let at = |bar: usize| {
        let bar = frame.movement.bars.get(bar);
        bar.map_or(frame.movement.seconds, |bar| bar.seconds)
    };
    format!("{}–{}", words::clock(at(system.first)), words::clock(at(system.end())))
}
