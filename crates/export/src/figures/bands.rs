//! Texture and dynamics of a line, as bands over the bars.

use super::canvas::{Anchor, Canvas, Ink, Type};
use super::grid::{Frame, NAME};
use super::layout::System;
use super::music;
use crate::fonts::Face;
use barloom_analysis::plan::PlanHairpin;
use barloom_core::event::Level;
use std::fmt::Write;

const TEXTURE_PT: f64 = 28.0;
const DYNAMICS_PT: f64 = 30.0;
/// Room for hairpins below the band, where a line has any.
const HAIRPINS_PT: f64 = 7.0;
const COUNT: Type = Type::new(Face::Sans, 8.0, Ink::DARK);
const LETTERS: Type = Type::new(Face::Music, 15.0, Ink::BLACK);

/// Draws the share of the orchestra that sounds, with the number of parts where it changes much;
/// answers the height, 0 if nothing is known.
pub(crate) fn texture(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    if frame.movement.bars.iter().all(|bar| bar.n_sounding == 0) {
        return 0.0;
    }
    frame.name(canvas, top + 15.0, NAME, "Texture");
    frame.name(canvas, top + 24.5, Type { ink: Ink::DARK, ..NAME }, "parts sounding");
    let bottom = top + TEXTURE_PT - 2.0;
    let full = TEXTURE_PT - 13.0;
    let mut outline = String::new();
    let mut said: Option<u32> = None;
    let mut free_from = f64::NEG_INFINITY;
    // Neighboring bars of one height are one area.
    let bars: Vec<_> = system.bars(frame.movement).collect();
    for run in bars.chunk_by(|(_, a), (_, b)| a.n_sounding == b.n_sounding && a.share == b.share) {
        let (Some((first, bar)), Some((last, _))) = (run.first(), run.last()) else { continue };
        let (Some((left, _)), Some((_, right))) = (system.bar(*first), system.bar(*last)) else {
            continue;
        };
        let y = bottom - full * f64::from(bar.share.clamp(0.0, 1.0));
        canvas.hatch([left, y, right - left, bottom - y], 3.0, 0.4, Ink::MIDDLE);
        let step = if outline.is_empty() { 'M' } else { 'L' };
        let _ = write!(outline, "{step}{left:.2} {y:.2}L{right:.2} {y:.2}");
        let differs = said.is_none_or(|said| said.abs_diff(bar.n_sounding) * 4 > said.max(4));
        let text =
            if bar.n_sounding == 0 { String::from("silence") } else { bar.n_sounding.to_string() };
        if differs && left >= free_from && COUNT.width(&text) <= (right - left).max(14.0) {
            let width = canvas.text(left + 1.5, y - 2.0, Anchor::Start, COUNT, &text);
            free_from = left + width + 4.0;
            said = Some(bar.n_sounding);
        }
    }
    canvas.path(&outline, 0.9, Ink::BLACK);
    canvas.line((system.left(), bottom), (system.right(), bottom), 0.4, Ink::MIDDLE);
    TEXTURE_PT
}

/// Draws the band between the softest and the loudest part with letters where the loudest changes;
/// answers the height, 0 if no level is known.
pub(crate) fn dynamics(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    if frame.movement.bars.iter().all(|bar| bar.band.is_none()) {
        return 0.0;
    }
    frame.name(canvas, top + 16.0, NAME, "Dynamics");
    frame.name(canvas, top + 25.5, Type { ink: Ink::DARK, ..NAME }, "loudest, softest");
    let y = |level: Level| top + DYNAMICS_PT - 4.0 - (DYNAMICS_PT - 16.0) * height(level);
    let bars: Vec<_> = system.bars(frame.movement).collect();
    let mut said = (None, f64::NEG_INFINITY);
    for run in bars.chunk_by(|(_, a), (_, b)| a.band.is_some() == b.band.is_some()) {
        let (mut upper, mut lower) = (Vec::new(), Vec::new());
        for (idx, bar) in run {
            let (Some((left, right)), Some((soft, loud))) = (system.bar(*idx), bar.band) else {
                continue;
            };
            upper.extend([(left, y(loud)), (right, y(loud))]);
            lower.extend([(left, y(soft)), (right, y(soft))]);
            let text = music::dynamics(loud.letters());
            if said.0 != Some(loud) && left >= said.1 {
                let width = canvas.text(left + 1.5, y(loud) - 2.5, Anchor::Start, LETTERS, &text);
                said = (Some(loud), left + width + 2.0);
            }
        }
        let back: Vec<(f64, f64)> = lower.iter().rev().copied().collect();
        canvas.area(&format!("{}{}Z", polyline(&upper, 'M'), polyline(&back, 'L')), Ink::PALE);
        canvas.path(&polyline(&lower, 'M'), 0.4, Ink::MIDDLE);
        canvas.path(&polyline(&upper, 'M'), 1.0, Ink::BLACK);
    }
    DYNAMICS_PT + hairpins(frame, system, canvas, top + DYNAMICS_PT - 2.0)
}

/// Draws hairpins, those of most parts first and where there is room; a heavy one stands for at
/// least half of the rows. Answers the height, 0 if the line has none.
fn hairpins(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    let here =
        |hairpin: &&PlanHairpin| hairpin.from.bar < system.end() && hairpin.to.bar >= system.first;
    let mut hairpins: Vec<&PlanHairpin> = frame.movement.hairpins.iter().filter(here).collect();
    hairpins.sort_by_key(|hairpin| std::cmp::Reverse(hairpin.n_parts));
    let middle = top + HAIRPINS_PT / 2.0 - 0.5;
    let mut placed: Vec<(f64, f64)> = Vec::new();
    for hairpin in &hairpins {
        let (from, to) = (system.x(hairpin.from) + 1.0, system.x(hairpin.to) - 1.0);
        let is_free = placed.iter().all(|(a, b)| to <= *a || from >= *b);
        if to - from < 3.0 || !is_free {
            continue;
        }
        placed.push((from, to));
        // Of a hairpin cut by the line's end, the cut end stays open.
        let rise = 2.6;
        let narrow = 0.8;
        let (left, right) = match hairpin.louder {
            true if system.holds(hairpin.from) => (0.0, rise),
            true => (narrow, rise),
            false if system.holds(hairpin.to) => (rise, 0.0),
            false => (rise, narrow),
        };
        let width = if hairpin.n_parts * 2 >= frame.movement.rows.len() { 1.1 } else { 0.6 };
        for side in [-1.0, 1.0] {
            let start = (from, middle + side * left);
            canvas.line(start, (to, middle + side * right), width, Ink::BLACK);
        }
    }
    if placed.is_empty() { 0.0 } else { HAIRPINS_PT }
}

/// Levels between pppp and ffff spread over the band's height; what lies outside stays at the edge.
fn height(level: Level) -> f64 {
    let (low, high) = (Level::P4.height(), Level::F4.height());
    f64::from(((level.height() - low) / (high - low)).clamp(0.0, 1.0))
}

fn polyline(points: &[(f64, f64)], first: char) -> String {
    let mut data = String::new();
    for (idx, (x, y)) in points.iter().enumerate() {
        let step = if idx == 0 { first } else { 'L' };
        let _ = write!(data, "{step}{x:.2} {y:.2}");
    }
    data
}
