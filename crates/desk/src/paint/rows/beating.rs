//! The beating row: for each bar the number and a stroke for each beat.
//!
//! A chosen pattern has full strokes and heavy figures, a proposal open strokes and light figures: the
//! difference is one of shape and weight, so that it survives high contrast and a photocopier.

use super::super::geometry::View;
use super::super::glyphs;
use super::super::pens::{music, text, width};
use super::super::prepared::{Prepared, StudyView};
use crate::model::camera::Zoom;
use barloom_analysis::beating;
use barloom_analysis::say;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::pattern::Pattern;
use barloom_core::study::Sign;
use barloom_core::time::{Quarters, Ticks};
use egui::epaint::CubicBezierShape;
use egui::{Align2, Color32, Painter, Rangef, Rect, Stroke, StrokeKind, pos2};

/// Below this width, in points, bars are not looked at one by one.
const NARROWEST: f32 = 4.0;

/// A pattern to be written over a bar.
struct Shown<'a> {
    pattern: &'a Pattern,
    nth: u8,
    chosen: bool,
}

/// How a bar is beaten.
pub(in super::super) struct Strokes {
    pub(in super::super) pattern: Pattern,
    /// Which bar of a joined pattern.
    pub(in super::super) nth: u8,
    pub(in super::super) chosen: bool,
    /// Offsets from the start of the bar.
    pub(in super::super) offsets: Vec<Quarters>,
}

/// The chosen pattern of a bar, which of its bars this is, and that it was chosen; else the proposed
/// one.
fn pattern_of<'a>(view: &View<'a>, idx: BarIndex) -> Option<(&'a Pattern, u8, bool)> {
    let chosen = view.ctx.study.beating(view.movement.id, idx);
    let proposal = || view.tracks.and_then(|tracks| tracks.beating.get(idx.idx()));
    match chosen {
        Some(chosen) => Some((&chosen.pattern, chosen.nth, true)),
        None => proposal().map(|proposal| (&proposal.pattern, 0, false)),
    }
}

/// The chosen beating of a bar, else the proposed one; `None` before there is any.
pub(in super::super) fn strokes_of(view: &View<'_>, idx: BarIndex) -> Option<Strokes> {
    let (pattern, nth, chosen) = pattern_of(view, idx)?;
    let proposal = view.tracks.and_then(|tracks| tracks.beating.get(idx.idx()));
    let offsets = match proposal {
        Some(proposal) if proposal.pattern == *pattern && nth == 0 => proposal.strokes.clone(),
        _ => {
            let (bars, resolution) = (&view.movement.bars, view.movement.resolution);
            let groups = proposal.map(|proposal| proposal.groups.as_slice()).unwrap_or_default();
            beating::strokes_in_bar(pattern, nth, bars, idx, resolution, groups)
        }
    };
    Some(Strokes { pattern: pattern.clone(), chosen, nth, offsets })
}

pub(super) fn paint(
    painter: &Painter,
    view: &View<'_>,
    prepared: &Prepared,
    study: &StudyView<'_>,
    row: Rect,
) {
    if view.tracks.is_none() {
        let at = pos2(row.left() + 0.8 * view.pens.em, row.center().y);
        let words = "working out the beats …";
        text(painter, at, Align2::LEFT_CENTER, words, &view.pens.small, view.pens.mid());
    }
    let mut before: Option<(&Pattern, bool)> = None;
    let mut free_from = f32::MIN;
    let mut looked_at = f32::MIN;
    for (idx, bar) in view.bars() {
        let (left, right) = view.bar_x(idx);
        // Where several bars share a few points, one stands for its neighbors.
        if right - looked_at < NARROWEST {
            continue;
        }
        looked_at = left;
        let Some((pattern, nth, chosen)) = pattern_of(view, idx) else { continue };
        let same = before == Some((pattern, chosen));
        if !(same && right - left < NARROWEST) {
            let shown = Shown { pattern, nth, chosen };
            free_from = figure(painter, view, idx, &shown, same, free_from, row);
        }
        if right - left >= NARROWEST
            && let Some(strokes) = strokes_of(view, idx)
        {
            marks(painter, view, idx, bar, &strokes, row);
        }
        before = Some((pattern, chosen));
    }
    holds(painter, view, prepared, study, row);
}

fn stroke_span(row: Rect) -> Rangef {
    Rangef::new(row.top() + row.height() * 0.54, row.top() + row.height() * 0.54 + 11.0)
}

/// The figure over the bar; answers where the next one may begin.
fn figure(
    painter: &Painter,
    view: &View<'_>,
    idx: BarIndex,
    strokes: &Shown<'_>,
    same: bool,
    free_from: f32,
    row: Rect,
) -> f32 {
    let pens = view.pens;
    let (left, right) = view.bar_x(idx);
    let joined_later = matches!(strokes.pattern, Pattern::Joined { .. }) && strokes.nth > 0;
    if joined_later {
        return free_from;
    }
    let color = if strokes.chosen { pens.ink() } else { pens.mid() };
    let face = |size: f32| {
        if strokes.chosen {
            pens.theme.face(crate::theme::SEMIBOLD, size)
        } else {
            egui::FontId::proportional(size)
        }
    };
    let large = if view.zoom == Zoom::Bar { pens.theme.sizes.large } else { pens.body.size };
    let (full, short) = say::figure_words(strokes.pattern);
    let y = row.top() + row.height() * 0.29;
    for (words, size) in [(&full, large), (&full, pens.em), (&short, pens.em)] {
        let font = face(size);
        let needed = width(painter, words, &font);
        if needed <= right - left - 3.0 {
            // In the middle of what is seen of the bar.
            let seen = (left.max(view.x_range.min), right.min(view.x_range.max));
            let x = ((seen.0 + seen.1) / 2.0).clamp(left + needed / 2.0, right);
            text(painter, pos2(x, y), Align2::CENTER_CENTER, words, &font, color);
            return right;
        }
    }
    // Too narrow for a figure in every bar: one where the beating changes, as far as there is room.
    if same || left < free_from {
        return free_from;
    }
    let at = pos2(left + 1.0, y);
    let font = face(pens.em);
    text(painter, at, Align2::LEFT_CENTER, &short, &font, color).right() + 0.5 * pens.em
}

fn marks(
    painter: &Painter,
    view: &View<'_>,
    idx: BarIndex,
    bar: &Bar,
    strokes: &Strokes,
    row: Rect,
) {
    let pens = view.pens;
    let (left, right) = view.bar_x(idx);
    let length = view.movement.resolution.as_f64(bar.length) as f32;
    if length <= 0.0 {
        return;
    }
    let per_quarter = (right - left) / length;
    let x = |offset: Quarters| left + offset.as_f64() as f32 * per_quarter;
    let n = strokes.offsets.len().max(1) as f32;
    let room = (right - left) / n;
    if room < 2.6 {
        return;
    }
    let span = stroke_span(row);
    let color = if strokes.chosen { pens.ink() } else { pens.mid() };
    for (nth, offset) in strokes.offsets.iter().enumerate() {
        let main = is_main(&strokes.pattern, nth);
        let top = if main { span.min } else { span.min + span.span() * 0.42 };
        let at = (x(*offset) + 4.0).min(x(*offset) + room * 0.3).round();
        stroke(painter, at, Rangef::new(top, span.max), room, strokes.chosen, color);
        if view.zoom == Zoom::Bar && main {
            let count = main_number(&strokes.pattern, nth).to_string();
            let at = pos2(at + 5.0, span.center());
            text(painter, at, Align2::LEFT_CENTER, &count, &pens.small, color);
        }
    }
    match &strokes.pattern {
        // The pulse that the hand passes without a stroke of its own.
        Pattern::OneTwoOfThree => {
            let at = pos2(x(bar_share(length, 2.0 / 3.0)) + 3.0, span.max - 3.0);
            painter.circle_filled(at, 1.4, color);
        }
        Pattern::Joined { bars, .. } if strokes.nth + 1 < *bars => {
            slur(painter, (left + 4.0, right + 2.0), span.max + 1.0, color);
        }
        _ => {}
    }
}

fn bar_share(length: f32, share: f32) -> Quarters {
    Quarters::new((length * share * 960.0).round() as i64, 960).unwrap_or_default()
}

/// Whether a stroke is a main beat and not one of its divisions.
fn is_main(pattern: &Pattern, nth: usize) -> bool {
    match pattern {
        Pattern::Divided { by, .. } => nth.is_multiple_of(usize::from(*by).max(1)),
        Pattern::OneHalf => nth == 0,
        _ => true,
    }
}

fn main_number(pattern: &Pattern, nth: usize) -> usize {
    match pattern {
        Pattern::Divided { by, .. } => nth / usize::from(*by).max(1) + 1,
        _ => nth + 1,
    }
}

/// One beat: full when chosen, open when proposed.
pub(in super::super) fn stroke(
    painter: &Painter,
    x: f32,
    y: Rangef,
    room: f32,
    chosen: bool,
    color: Color32,
) {
    if chosen {
        let width = if room > 7.0 { 2.4 } else { 1.6 };
        let body = Rect::from_x_y_ranges(Rangef::new(x - width / 2.0, x + width / 2.0), y);
        painter.rect_filled(body, 0.0, color);
    } else if room > 7.0 {
        let body = Rect::from_x_y_ranges(Rangef::new(x - 1.5, x + 1.5), y);
        painter.rect_stroke(body, 0.0, Stroke::new(0.8, color), StrokeKind::Inside);
    } else {
        painter.vline(x, y, Stroke::new(0.6, color));
    }
}

/// A small slur under the strokes: joined, or held.
pub(in super::super) fn slur(painter: &Painter, (x0, x1): (f32, f32), y: f32, color: Color32) {
    let sag = 4.0_f32.min((x1 - x0) * 0.3);
    let points = [
        pos2(x0, y),
        pos2(x0 + (x1 - x0) * 0.25, y + sag),
        pos2(x0 + (x1 - x0) * 0.75, y + sag),
        pos2(x1, y),
    ];
    let stroke = Stroke::new(1.2, color);
    painter.add(CubicBezierShape::from_points_stroke(points, false, Color32::TRANSPARENT, stroke));
}

/// Fermatas, breaths and lifts: written ones, and those of the conductor's own marks.
fn holds(
    painter: &Painter,
    view: &View<'_>,
    prepared: &Prepared,
    study: &StudyView<'_>,
    row: Rect,
) {
    let pens = view.pens;
    let (from, to) = view.tick_span();
    let span = stroke_span(row);
    let inside = |at: Ticks| from <= at && at < to;
    let size = 1.5 * pens.em;
    let first = prepared.fermatas.partition_point(|(at, _)| *at < from);
    for (at, shape) in prepared.fermatas.iter().skip(first).take_while(|(at, _)| inside(*at)) {
        let x = view.tick_x(*at);
        if view.zoom >= Zoom::Page {
            slur(painter, (x + 1.0, x + 15.0), span.max + 1.0, pens.ink());
        }
        let sign = glyphs::fermata(*shape).to_string();
        music(painter, pens, pos2(x, span.min - 1.0), &sign, size * 0.75, pens.ink());
    }
    if view.zoom < Zoom::Page {
        return;
    }
    let first = prepared.breaks.partition_point(|(at, _)| *at < from);
    for (at, sign) in prepared.breaks.iter().skip(first).take_while(|(at, _)| inside(*at)) {
        let at = pos2(view.tick_x(*at) - 0.7 * pens.em, span.min + 4.0);
        music(painter, pens, at, &sign.to_string(), size, pens.ink());
    }
    for mark in study.marks.iter().filter(|mark| inside(mark.from)) {
        if matches!(mark.mark.sign, Sign::Lift | Sign::Breath) {
            let x = view.tick_x(mark.from);
            let points = [(-3.0, 0.0), (0.0, 9.0), (3.0, 0.0)];
            let points = points.map(|(dx, dy)| pos2(x + dx, span.min + dy)).to_vec();
            painter.line(points, Stroke::new(1.3, pens.ink()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_figure_over_a_bar_looks_like_a_meter() {
        let words = |text: &str| say::figure_words(&text.parse().unwrap());
        for text in ["4", "3/2", "2/3", "2+2+3", "1(half)", "1(2 of 3)", "4 bars of 4"] {
            let (full, short) = words(text);
            assert!(!full.contains('/') && !short.contains('/'), "{full} {short}");
            assert!(short.len() <= full.len());
        }
        assert_eq!(words("3/2"), (String::from("3 div."), String::from("3")));
        assert_eq!(words("2+2+3").1, "2+2+3");
    }
}
