//! Tracks of words in lanes: techniques, entrances, and the conductor's marks by layer.

use super::canvas::{Anchor, Canvas, Ink, Type};
use super::grid::{Frame, NAME};
use super::layout::{System, pack};
use super::music;
use crate::fonts::Face;
use barloom_analysis::plan::{CueState, PlanDevice, PlanEntry, PlanMark, Spot};

const LANE_PT: f64 = 12.0;
const ENTRY_LANE_PT: f64 = 12.5;
const WORDS: Type = Type::new(Face::Italic, 8.5, Ink::BLACK);
const MARK: Type = Type::new(Face::Italic, 9.5, Ink::BLACK);
const MOST_LANES: usize = 6;

/// Draws techniques in force: words as printed, a dotted rule where muted, a plain one otherwise;
/// answers the height, 0 if the line has none.
pub(crate) fn devices(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    let here =
        |device: &&PlanDevice| device.from.bar < system.end() && device.to.bar >= system.first;
    let devices: Vec<&PlanDevice> = frame.movement.devices.iter().filter(here).collect();
    if devices.is_empty() {
        return 0.0;
    }
    let room = system.right() - system.left();
    let words = |device: &PlanDevice| WORDS.fitted(&device.words, room * 0.45);
    let span = |device: &&PlanDevice| {
        let from = system.x(device.from);
        let words_to = from + WORDS.width(&words(device)) + 5.0;
        (from, system.x(device.to).max(words_to) + 2.0)
    };
    let mut spans: Vec<(f64, f64)> = devices.iter().map(span).collect();
    for span in &mut spans {
        // Words at the right end move left, into the line.
        let over = (span.1 - 2.0 - system.right()).max(0.0);
        span.0 = (span.0 - over).max(system.left());
    }
    let (lanes, n_lanes) = pack(&spans, MOST_LANES);
    frame.name(canvas, top + 9.5, NAME, "Mutes, bows");
    for ((device, span), lane) in devices.iter().zip(&spans).zip(lanes) {
        let Some(lane) = lane else { continue };
        let y = top + LANE_PT * (lane + 1) as f64 - 1.5;
        let (from, to) = (system.x(device.from), system.x(device.to));
        if device.muted {
            canvas.dotted((from + 1.0, y), (to, y), 1.1, Ink::BLACK);
        } else {
            canvas.line((from, y), (to, y), 0.5, Ink::MIDDLE);
        }
        if system.holds(device.from) {
            canvas.line((from + 0.4, y - 7.5), (from + 0.4, y), 0.6, Ink::BLACK);
        }
        if device.ended && system.holds(device.to) {
            canvas.line((to, y - 4.0), (to, y), 0.6, Ink::BLACK);
        }
        canvas.label(span.0 + 2.5, y - 2.6, WORDS, &words(device));
    }
    LANE_PT * n_lanes as f64 + 2.0
}

/// Draws entrances: a stroke at the entry with the rest before it as its tail, and a ring where a
/// cue is wanted (heavy) or proposed (light); answers the height, 0 if the movement has none.
pub(crate) fn entries(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    if frame.movement.entries.is_empty() {
        return 0.0;
    }
    frame.name(canvas, top + 10.0, NAME, "Entrances");
    let here = |entry: &&PlanEntry| system.holds(entry.at);
    let entries: Vec<&PlanEntry> = frame.movement.entries.iter().filter(here).collect();
    let room = system.right() - system.left();
    let text = |entry: &PlanEntry| entry_type(entry.cue).fitted(&entry.who, room * 0.3);
    let label = |entry: &&PlanEntry| {
        let x = system.x(entry.at);
        let ring = if entry.cue == CueState::None { 0.0 } else { 9.0 };
        (x - 1.0, x + 4.0 + entry_type(entry.cue).width(&text(entry)) + ring + 3.0)
    };
    let spans: Vec<(f64, f64)> = entries.iter().map(label).collect();
    // Labels that would run over the right end stand left of their stroke.
    let flipped: Vec<bool> = spans.iter().map(|span| span.1 > system.right() + 2.0).collect();
    let spans: Vec<(f64, f64)> = spans
        .iter()
        .zip(&flipped)
        .map(|(span, flipped)| match flipped {
            true => (2.0 * span.0 + 2.0 - span.1, span.0 + 2.0),
            false => *span,
        })
        .collect();
    let (lanes, n_lanes) = pack(&spans, MOST_LANES);
    let n_lanes = n_lanes.max(1);
    let mut tail_from = vec![system.left(); n_lanes];
    for ((entry, flipped), lane) in entries.iter().zip(flipped).zip(lanes) {
        let x = system.x(entry.at);
        let bottom = |lane: usize| top + ENTRY_LANE_PT * (lane + 1) as f64;
        let Some(lane) = lane else {
            canvas.line((x, bottom(n_lanes - 1) - 4.0), (x, bottom(n_lanes - 1)), 1.2, Ink::BLACK);
            continue;
        };
        let y = bottom(lane);
        if let Some(free) = tail_from.get_mut(lane) {
            let from = system.x(entry.rest_from).max(*free + 2.0);
            if entry.rest_from < entry.at && from < x - 2.0 {
                canvas.line((from, y - 0.6), (x, y - 0.6), 0.9, Ink::LIGHT);
            }
            *free = x;
        }
        entry_label(canvas, entry, x, y, flipped, &text(entry));
    }
    ENTRY_LANE_PT * n_lanes as f64 + 2.5
}

const fn entry_type(cue: CueState) -> Type {
    match cue {
        CueState::Wanted => Type::new(Face::SansBold, 8.5, Ink::BLACK),
        CueState::Proposed | CueState::None => Type::new(Face::Sans, 8.5, Ink::BLACK),
    }
}

fn entry_label(canvas: &mut Canvas, entry: &PlanEntry, x: f64, y: f64, flipped: bool, text: &str) {
    let kind = entry_type(entry.cue);
    let weight = if entry.cue == CueState::Wanted { 1.9 } else { 1.1 };
    canvas.line((x, y - 9.5), (x, y), weight, Ink::BLACK);
    let ring_room = if entry.cue == CueState::None { 0.0 } else { 9.0 };
    let start = if flipped { x - 3.0 - ring_room - kind.width(text) } else { x + 3.0 };
    let width = canvas.label(start, y - 3.0, kind, text);
    match entry.cue {
        CueState::Wanted => canvas.ring(start + width + 5.0, y - 5.8, 2.7, 1.5, Ink::BLACK),
        CueState::Proposed => canvas.ring(start + width + 5.0, y - 5.8, 2.6, 0.5, Ink::DARK),
        CueState::None => {}
    }
}

/// Draws the conductor's marks, one block of lanes a layer under the layer's name; answers the
/// height, 0 if the line has none.
pub(crate) fn marks(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    let mut y = top;
    for (idx, layer) in frame.plan.layers.iter().enumerate() {
        let here = |mark: &&PlanMark| {
            let last = mark.to.unwrap_or(mark.from.bar);
            mark.layer == idx && mark.from.bar < system.end() && last >= system.first
        };
        let marks: Vec<&PlanMark> = frame.movement.marks.iter().filter(here).collect();
        if marks.is_empty() {
            continue;
        }
        frame.name(canvas, y + 9.5, Type { face: Face::Italic, ..NAME }, &layer.name);
        let room = system.right() - system.left();
        let texts: Vec<(Option<&str>, String)> =
            marks.iter().map(|mark| mark_text(mark, room * 0.8)).collect();
        let width = |(sign, text): &(Option<&str>, String)| {
            sign.map_or(0.0, |sign| SIGN.width(sign) + 2.0) + MARK.width(text)
        };
        let span = |(mark, text): (&&PlanMark, &(Option<&str>, String))| {
            let width = width(text) + 5.0;
            let from = system.x(mark.from).min(system.right() - width).max(system.left());
            let to = mark.to.map_or(from, |bar| system.x(Spot { bar, share: 1.0 }));
            (from, to.max(from + width))
        };
        let spans: Vec<(f64, f64)> = marks.iter().zip(&texts).map(span).collect();
        let (lanes, n_lanes) = pack(&spans, 12);
        for (((mark, text), span), lane) in marks.iter().zip(&texts).zip(&spans).zip(lanes) {
            let Some(lane) = lane else { continue };
            draw_mark(system, canvas, y + (LANE_PT + 1.0) * (lane + 1) as f64, (mark, text, *span));
        }
        y += (LANE_PT + 1.0) * n_lanes as f64 + 1.5;
    }
    y - top
}

const SIGN: Type = Type::new(Face::Music, 13.0, Ink::BLACK);

fn mark_text(mark: &PlanMark, room: f64) -> (Option<&'static str>, String) {
    let sign = music::sign(mark.sign);
    let mut text = String::new();
    if sign.is_none() && mark.sign != barloom_core::study::Sign::Text {
        text.push_str(mark.sign.name());
        if !mark.text.is_empty() {
            text.push_str(": ");
        }
    }
    text.push_str(mark.text.trim());
    if !mark.parts.is_empty() {
        text.push_str(&format!(" ({})", mark.parts));
    }
    (sign, MARK.fitted(&text.replace(['\n', '\r', '\t'], " "), room))
}

fn draw_mark(
    system: &System,
    canvas: &mut Canvas,
    y: f64,
    (mark, (sign, text), span): (&PlanMark, &(Option<&str>, String), (f64, f64)),
) {
    let place = system.x(mark.from);
    if system.holds(mark.from) {
        canvas.line((place + 0.6, y - 9.0), (place + 0.6, y), 1.1, Ink::BLACK);
    }
    if let Some(bar) = mark.to {
        let to = system.x(Spot { bar, share: 1.0 }) - 1.0;
        canvas.line((place + 0.6, y), (to, y), 0.6, Ink::BLACK);
        if bar < system.end() {
            canvas.line((to, y - 3.0), (to, y), 0.6, Ink::BLACK);
        }
    }
    let mut x = span.0 + 3.0;
    if let Some(sign) = sign {
        x += canvas.text(x, y - 3.5, Anchor::Start, SIGN, sign) + 2.0;
    }
    canvas.label(x, y - 2.8, MARK, text);
}
