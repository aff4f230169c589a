//! Meter and beating of a line.
//!
//! Chosen and proposed differ in form, not in tone alone, so that a photocopier keeps the
//! difference: a choice is a solid stroke under a bold figure, a proposal an open stroke under a
//! light one.

use super::canvas::{Anchor, Canvas, Ink, Type};
use super::grid::{Frame, NAME};
use super::layout::System;
use super::music;
use crate::fonts::Face;
use barloom_analysis::plan::{Hold, PlanBar, PlanBeating, StrokeSign};
use barloom_core::meter::{Meter, MeterSign};

const FIGURE: Type = Type::new(Face::Music, 20.0, Ink::BLACK);
const METERS_PT: f64 = 24.0;
const BEATS_PT: f64 = 40.0;

/// Draws the meters where they change; answers the height, 0 if none changes in the line.
pub(crate) fn meters(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    if !changes(frame, system) {
        return 0.0;
    }
    let middle = top + METERS_PT / 2.0;
    frame.name(canvas, middle + 3.0, NAME, "Meter");
    let mut free_from = f64::NEG_INFINITY;
    for (idx, bar) in system.bars(frame.movement) {
        let Some((left, _)) = system.bar(idx) else { continue };
        // A line begins with the meter in force, in lighter ink when it is not new.
        let (meter, ink) = match &bar.meter {
            Some(meter) => (Some(meter), Ink::BLACK),
            None if idx == system.first => (in_force(frame, idx), Ink::MIDDLE),
            None => (None, Ink::BLACK),
        };
        if let Some(meter) = meter {
            let past_repeat = if bar.repeat_from { 3.5 } else { 0.0 };
            let x = (left + 2.5 + past_repeat).max(free_from);
            free_from = x + meter_figures(canvas, (x, middle), FIGURE.size, meter, ink) + 1.0;
        }
    }
    METERS_PT
}

fn changes(frame: &Frame<'_>, system: &System) -> bool {
    system.bars(frame.movement).any(|(_, bar)| bar.meter.is_some())
}

fn in_force<'a>(frame: &Frame<'a>, bar: usize) -> Option<&'a Meter> {
    let before = frame.movement.bars.get(..=bar).unwrap_or_default();
    before.iter().rev().find_map(|bar| bar.meter.as_ref())
}

/// Draws a time signature around a middle line; answers its width.
fn meter_figures(
    canvas: &mut Canvas,
    (x, middle): (f64, f64),
    size: f64,
    meter: &Meter,
    ink: Ink,
) -> f64 {
    let kind = Type { ink, size, ..FIGURE };
    // A hair more than a staff space, since no staff line parts the figures.
    let space = size / 4.0 + 0.3;
    if meter.is_unmeasured() {
        let words = Type::new(Face::Italic, 8.5, ink);
        return canvas.text(x, middle + 3.0, Anchor::Start, words, "senza misura");
    }
    match meter.sign {
        MeterSign::Common => return canvas.text(x, middle, Anchor::Start, kind, "\u{E08A}"),
        MeterSign::Cut => return canvas.text(x, middle, Anchor::Start, kind, "\u{E08B}"),
        _ => {}
    }
    let mut at = x;
    for (idx, term) in meter.terms.iter().enumerate() {
        if idx > 0 {
            at += 1.0 + canvas.text(at + 0.5, middle, Anchor::Start, kind, "\u{E08D}");
        }
        let groups: Vec<String> = term.groups.iter().map(u32::to_string).collect();
        let upper = music::figures(&groups.join("+"));
        let lower = music::figures(&term.unit.to_string());
        let width = kind.width(&upper).max(kind.width(&lower));
        canvas.text(at + width / 2.0, middle - space, Anchor::Middle, kind, &upper);
        canvas.text(at + width / 2.0, middle + space, Anchor::Middle, kind, &lower);
        at += width;
    }
    at - x
}

/// Draws the beating; answers the height.
pub(crate) fn beats(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    frame.name(canvas, top + 17.0, Type::new(Face::SansBold, 9.0, Ink::BLACK), "Beating");
    frame.name(canvas, top + 29.0, Type { ink: Ink::DARK, ..NAME }, "open: proposed");
    // Where no meter changes, the one in force stands before the line, as on a staff.
    if let Some(meter) = in_force(frame, system.first).filter(|_| !changes(frame, system)) {
        let narrow = meter.terms.len() == 1 && meter.beats() < 20;
        if narrow {
            let at = (frame.names_pt - 17.0, top + 19.0);
            meter_figures(canvas, at, 17.0, meter, Ink::BLACK);
        } else {
            let text = meter.to_string();
            let kind = Type::new(Face::SansBold, 8.0, Ink::BLACK);
            canvas.text(frame.names_pt - 4.0, top + 8.5, Anchor::End, kind, &text);
        }
    }
    let mut free_from = f64::NEG_INFINITY;
    for (idx, bar) in system.bars(frame.movement) {
        let Some((left, right)) = system.bar(idx) else { continue };
        if let Some(beating) = &bar.beating {
            let large = beating.changes || idx == system.first;
            let kind = figure_type(beating.chosen, large);
            let width = kind.width(&beating.text);
            let x = left + 2.0;
            // A repeated figure gives way; a changed one never does.
            let room = right - left - 2.0;
            if large || (width <= room && x >= free_from) {
                let kind = if width > room.max(24.0) { Type { size: 9.0, ..kind } } else { kind };
                canvas.text(x, top + 15.5, Anchor::Start, kind, &beating.text);
                free_from = x + kind.width(&beating.text) + 2.0;
            }
            strokes(canvas, (left, right), top + 20.0, beating);
        }
        holds(canvas, (left, right), top, bar);
    }
    BEATS_PT
}

fn figure_type(chosen: bool, large: bool) -> Type {
    let size = if large { 15.0 } else { 9.5 };
    match chosen {
        true => Type::new(Face::SansBold, size, Ink::BLACK),
        false => Type::new(Face::Sans, size, Ink::DARK),
    }
}

/// Strokes stand a little to the right of their place, clear of the bar line.
const INSET: f64 = 3.4;
const STROKE_PT: f64 = 15.0;

pub(crate) fn strokes(canvas: &mut Canvas, bar: (f64, f64), top: f64, beating: &PlanBeating) {
    let (left, right) = bar;
    let x = |share: f32| left + INSET + (right - left - 2.0) * f64::from(share);
    let bottom = top + STROKE_PT;
    let mut first = beating.nth == 0;
    for (share, sign) in &beating.strokes {
        let x = x(*share);
        match sign {
            StrokeSign::Given => {
                // The first beat stands taller.
                let top = if first { top } else { top + 4.0 };
                first = false;
                if beating.chosen {
                    canvas.line((x, top), (x, bottom), 2.2, Ink::BLACK);
                } else {
                    canvas.frame(
                        [x - 0.9, top, 1.8, bottom - top],
                        0.45,
                        Ink::DARK,
                        Some(Ink::PAPER),
                    );
                }
            }
            StrokeSign::Passed if beating.chosen => canvas.disc(x, bottom - 3.0, 1.5, Ink::BLACK),
            StrokeSign::Passed => canvas.ring(x, bottom - 3.0, 1.4, 0.5, Ink::DARK),
            StrokeSign::Held => {
                let to = (x + 9.0).min(right - 1.0).max(x + 4.0);
                let (y, low) = (bottom + 1.6, bottom + 5.0);
                canvas.path(
                    &format!("M{x:.2} {y:.2}Q{:.2} {low:.2} {to:.2} {y:.2}", (x + to) / 2.0),
                    0.9,
                    Ink::BLACK,
                );
            }
            StrokeSign::Lift => {
                let (x, y) = ((x + 4.5).min(right - 3.0), top + 4.0);
                let data =
                    format!("M{:.2} {y:.2}L{x:.2} {:.2}L{:.2} {y:.2}", x - 2.2, y + 5.5, x + 2.2);
                canvas.path(&data, 0.9, Ink::BLACK);
            }
        }
    }
}

/// Fermatas and caesuras over the strokes.
fn holds(canvas: &mut Canvas, bar: (f64, f64), top: f64, of: &PlanBar) {
    let kind = Type::new(Face::Music, 15.0, Ink::BLACK);
    for (share, hold) in &of.holds {
        let x = bar.0 + INSET + (bar.1 - bar.0 - 2.0) * f64::from(*share);
        let (glyph, y) = match hold {
            Hold::Fermata(shape) => (music::fermata(*shape), top + 18.5),
            Hold::Caesura => (music::CAESURA, top + 24.0),
            Hold::Breath => continue,
        };
        // The number stands at the left end of the bar: keep clear of it.
        let clear = if *share < 0.2 { 7.0 } else { 0.0 };
        let x = (x + clear).min(bar.1 - 4.5);
        canvas.text(x, y, Anchor::Middle, kind, glyph);
    }
}
