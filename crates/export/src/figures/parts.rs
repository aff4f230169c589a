//! Part rows of a line. One code that combines: the frame says muted (dotted) or not, the inner
//! pattern says the manner of playing, tone and thickness say the level.

use super::canvas::{Anchor, Canvas, Ink};
use super::grid::{Frame, NAME};
use super::layout::System;
use barloom_analysis::plan::{PlanRow, Sound, SoundManner};
use barloom_core::event::Level;
use std::fmt::Write;

const FAMILY_GAP_PT: f64 = 3.0;

/// Draws the rows; answers the height.
pub(crate) fn draw(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    let mut y = top + 2.0;
    let mut family = None;
    for row in &frame.rows {
        if family.is_some_and(|family| family != row.family) {
            y += FAMILY_GAP_PT / 2.0;
            canvas.line_under((0.0, y), (system.right(), y), 0.35, Ink::LIGHT);
            y += FAMILY_GAP_PT / 2.0;
        }
        family = Some(row.family);
        let middle = y + frame.row_pt / 2.0;
        let name = NAME.fitted(&row.name, frame.names_pt - 5.0);
        canvas.text(0.0, middle + 2.7, Anchor::Start, NAME, &name);
        row_bars(system, canvas, middle, frame.row_pt, row);
        y += frame.row_pt;
    }
    y + 1.5 - top
}

/// The height of so many rows in so many families.
pub(crate) fn height(rows: &[&PlanRow], row_pt: f64) -> f64 {
    let changes = rows.windows(2).filter(|pair| pair[0].family != pair[1].family).count();
    3.5 + rows.len() as f64 * row_pt + changes as f64 * FAMILY_GAP_PT
}

/// Joins what sounds alike in neighboring bars and draws each stretch once.
fn row_bars(system: &System, canvas: &mut Canvas, middle: f64, row_pt: f64, row: &PlanRow) {
    let mut open: Option<(f64, f64, Sound)> = None;
    for bar in system.first..system.end() {
        let sound = row.sounds.get(bar).copied().flatten();
        let (Some(sound), Some((left, right))) = (sound, system.bar(bar)) else { continue };
        let from = left + (right - left) * f64::from(sound.from);
        let to = left + (right - left) * f64::from(sound.to);
        match &mut open {
            Some((_, end, before)) if alike(before, &sound) && (from - *end).abs() < 0.05 => {
                *end = to;
            }
            _ => {
                if let Some((from, to, sound)) = open.take() {
                    bar_of_sound(canvas, (from, to), middle, row_pt, sound);
                }
                open = Some((from, to, sound));
            }
        }
    }
    if let Some((from, to, sound)) = open {
        bar_of_sound(canvas, (from, to), middle, row_pt, sound);
    }
}

fn alike(one: &Sound, other: &Sound) -> bool {
    (one.level, one.muted, one.manner) == (other.level, other.muted, other.manner)
}

/// Tone and thickness (as a share of the row) of a level; an unknown level is drawn open.
fn look(level: Option<Level>) -> (Ink, f64) {
    match level {
        None => (Ink(0xe6), 0.42),
        Some(level) if level <= Level::Ppp => (Ink(0xb8), 0.26),
        Some(Level::Pp) => (Ink(0xaa), 0.32),
        Some(Level::P) => (Ink(0x94), 0.40),
        Some(Level::Mp) => (Ink(0x7c), 0.47),
        Some(Level::Mf) => (Ink(0x64), 0.54),
        Some(Level::F) => (Ink(0x44), 0.64),
        Some(Level::Ff) => (Ink(0x18), 0.74),
        Some(_) => (Ink(0x00), 0.82),
    }
}

/// Draws one stretch of sound around a middle line.
pub(crate) fn bar_of_sound(
    canvas: &mut Canvas,
    (from, to): (f64, f64),
    middle: f64,
    row_pt: f64,
    sound: Sound,
) {
    let (from, to) = (from + 0.3, (to - 0.3).max(from + 1.0));
    let (ink, share) = look(sound.level);
    let height = if sound.muted { (row_pt * share).min(row_pt - 4.6) } else { row_pt * share };
    let area = [from, middle - height / 2.0, to - from, height];
    match sound.manner {
        SoundManner::Ordinary if sound.level.is_none() => {
            canvas.frame(area, 0.4, Ink::MIDDLE, Some(ink));
        }
        SoundManner::Ordinary => canvas.fill(from, area[1], to - from, height, ink),
        SoundManner::Plucked => dots(canvas, (from, to), middle, height, ink, sound.level),
        SoundManner::Tremolo => slashes(canvas, area, ink),
        SoundManner::Harmonics => rings(canvas, (from, to), middle, height, ink),
        SoundManner::Trill => wave(canvas, (from, to), middle, height, ink),
    }
    if sound.muted {
        let frame = [from, middle - height / 2.0 - 1.3, to - from, height + 2.6];
        canvas.dotted_frame(frame, 0.6, Ink::BLACK);
    }
}

/// Patterns need darker ink than areas to be seen.
fn darker(ink: Ink) -> Ink {
    Ink((f64::from(ink.0) * 0.7) as u8)
}

fn dots(
    canvas: &mut Canvas,
    (from, to): (f64, f64),
    middle: f64,
    height: f64,
    ink: Ink,
    level: Option<Level>,
) {
    let size = (height * 0.32).clamp(0.9, 1.8);
    let ink = if level.is_none() { Ink::MIDDLE } else { darker(ink) };
    let data = format!("M{:.2} {middle:.2}H{:.2}", from + size, to);
    // Round dots of one dashed line: one shape however long.
    canvas.dashed_dots(&data, size * 2.0, size * 3.4, ink);
}

fn slashes(canvas: &mut Canvas, area: [f64; 4], ink: Ink) {
    canvas.hatch(area, 2.6, 1.1, darker(ink));
}

fn rings(canvas: &mut Canvas, (from, to): (f64, f64), middle: f64, height: f64, ink: Ink) {
    let radius = (height / 2.0).clamp(1.0, 2.4);
    let mut x = from + radius;
    while x + radius <= to + 0.5 {
        canvas.ring(x, middle, radius, 0.6, darker(ink));
        x += radius * 2.0 + 1.2;
    }
}

fn wave(canvas: &mut Canvas, (from, to): (f64, f64), middle: f64, height: f64, ink: Ink) {
    let rise = height / 2.0;
    let mut data = format!("M{from:.2} {middle:.2}");
    let (mut x, mut up) = (from, true);
    while x < to {
        let end = (x + 2.4).min(to);
        let y = if up { middle - rise } else { middle + rise };
        let _ = write!(data, "Q{:.2} {y:.2} {end:.2} {middle:.2}", (x + end) / 2.0);
        (x, up) = (end, !up);
    }
    canvas.path(&data, 0.9, darker(ink));
}
