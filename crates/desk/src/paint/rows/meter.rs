//! The meter row: music figures, only where the meter changes; the meter in force, lighter, at the
//! left edge.

use super::super::geometry::View;
use super::super::glyphs::{Figures, METER_PLUS, figures};
use super::super::pens::{Pens, music, music_width, text};
use barloom_core::bar::BarIndex;
use barloom_core::meter::Meter;
use egui::{Align2, Color32, Painter, Rangef, Rect, Stroke, pos2};

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let pens = view.pens;
    let size = (row.height() * 0.72).min(2.3 * pens.em);
    let mut taken = f32::MIN;
    for (idx, bar) in view.bars() {
        let (left, _) = view.bar_x(idx);
        let before = idx.0.checked_sub(1).and_then(|idx| view.movement.bars.get(BarIndex(idx)));
        let changes = before.is_none_or(|before| before.meter != bar.meter);
        let first = view.seen.is_some_and(|(first, _)| first == idx);
        if !changes && !first {
            continue;
        }
        let edge = view.x_range.min + 3.0;
        let (x, color) = if changes && left + 4.0 >= edge {
            (left + 4.0, pens.ink())
        } else {
            (edge, pens.mid())
        };
        let next_change = next_change(view, idx);
        if x < taken || x + width(painter, pens, &bar.meter, size) > next_change + 2.0 {
            let y = Rangef::new(row.center().y - 3.0, row.center().y + 3.0);
            painter.vline(left, y, Stroke::new(1.0, color));
            continue;
        }
        taken = x + draw(painter, pens, &bar.meter, x, row.center().y, size, color) + 2.0;
    }
}

/// The x where the next meter begins, looked for among the next few bars only.
fn next_change(view: &View<'_>, idx: BarIndex) -> f32 {
    let Some(here) = view.movement.bars.get(idx) else { return f32::MAX };
    for ahead in 1..4 {
        let next = BarIndex(idx.0 + ahead);
        match view.movement.bars.get(next) {
            Some(bar) if bar.meter != here.meter => return view.bar_x(next).0,
            Some(_) => {}
            None => break,
        }
    }
    f32::MAX
}

fn width(painter: &Painter, pens: &Pens<'_>, meter: &Meter, size: f32) -> f32 {
    match figures(meter) {
        Figures::Sign(sign) => music_width(painter, pens, &sign.to_string(), size),
        Figures::Pairs(pairs) => pairs
            .iter()
            .map(|(upper, lower)| {
                let upper = music_width(painter, pens, upper, size);
                upper.max(music_width(painter, pens, lower, size))
            })
            .sum(),
        Figures::Nothing => 0.0,
    }
}

/// Draws a meter around a middle line, left edge at `x`; answers its width. The font's figures are
/// centered on their baseline and two staff spaces high; one em is four spaces (SMuFL).
pub(super) fn draw(
    painter: &Painter,
    pens: &Pens<'_>,
    meter: &Meter,
    x: f32,
    middle: f32,
    size: f32,
    color: Color32,
) -> f32 {
    // More than two spaces apart: on a screen, touching figures run into each other.
    let space = size / 4.0 * 1.2;
    match figures(meter) {
        Figures::Sign(sign) => {
            music(painter, pens, pos2(x, middle), &sign.to_string(), size, color)
        }
        Figures::Pairs(pairs) => {
            let mut right = x;
            for (idx, (upper, lower)) in pairs.iter().enumerate() {
                if idx > 0 {
                    let plus = METER_PLUS.to_string();
                    right += music(painter, pens, pos2(right, middle), &plus, size, color);
                }
                let wide = music_width(painter, pens, upper, size);
                let narrow = music_width(painter, pens, lower, size);
                let column = wide.max(narrow);
                let at = pos2(right + (column - wide) / 2.0, middle - space);
                music(painter, pens, at, upper, size, color);
                let at = pos2(right + (column - narrow) / 2.0, middle + space);
                music(painter, pens, at, lower, size, color);
                right += column;
            }
            right - x
        }
        Figures::Nothing if meter.is_unmeasured() => {
            let at = pos2(x, middle);
            let words = "senza misura";
            text(painter, at, Align2::LEFT_CENTER, words, &pens.words_small, color).width()
        }
        Figures::Nothing => 0.0,
    }
}
