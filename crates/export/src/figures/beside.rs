//! Two passages bar by bar: for each part a row with the first passage above the second, and over
//! the bars strokes that say how much differs.

use super::canvas::{Anchor, Canvas, Drawing, Ink, Type};
use crate::fonts::Face;
use barloom_analysis::compare::{Cell, Sheet};

const LABEL: Type = Type::new(Face::Sans, 8.0, Ink::DARK);
const NAME: Type = Type::new(Face::Sans, 8.0, Ink::BLACK);

/// Bars on a line, and the widest that one becomes.
const BARS_ON_A_LINE: usize = 24;
const WIDEST_PT: f64 = 40.0;
const NAMES_PT: f64 = 104.0;
const HEAD_PT: f64 = 34.0;
const ROW_PT: f64 = 11.0;
/// A stroke for each aspect that differs, up to so many.
const MOST_STROKES: usize = 8;

/// Passages longer than this have no strips: they would be read by nobody.
const MOST_BARS: usize = 240;

/// The strips, each with as many bars as fit on a line.
pub(crate) fn draw(sheet: &Sheet, width: f64) -> Vec<Drawing> {
    let n_bars = sheet.bars.len();
    if n_bars > MOST_BARS {
        return Vec::new();
    }
    let starts = (0..n_bars).step_by(BARS_ON_A_LINE);
    starts.map(|from| line(sheet, width, from, (from + BARS_ON_A_LINE).min(n_bars))).collect()
}

fn line(sheet: &Sheet, width: f64, from: usize, to: usize) -> Drawing {
    let mut canvas = Canvas::default();
    let shown = (to - from).max(1) as f64;
    let bar_width = ((width - NAMES_PT) / shown).min(WIDEST_PT);
    let left = |nth: usize| NAMES_PT + bar_width * (nth - from) as f64;
    // Only parts that play on this line.
    let plays = |cells: &[(Cell, Cell)]| {
        let here = cells.get(from..to).unwrap_or_default();
        here.iter().any(|cells| *cells != (Cell::Silent, Cell::Silent))
    };
    let parts: Vec<_> = sheet.parts.iter().filter(|(_, cells)| plays(cells)).collect();
    let bottom = HEAD_PT + ROW_PT * parts.len() as f64;
    canvas.text(0.0, 8.0, Anchor::Start, LABEL, "First");
    canvas.text(0.0, 19.0, Anchor::Start, LABEL, "Second");
    let (mut free_above, mut free_below) = (0.0, 0.0);
    for nth in from..to {
        let x = left(nth);
        canvas.line_under((x, HEAD_PT), (x, bottom), 0.3, Ink::LIGHT);
        if let Some((first, second)) = sheet.bars.get(nth) {
            if x >= free_above {
                free_above = x + canvas.text(x + 1.0, 8.0, Anchor::Start, LABEL, first) + 4.0;
            }
            if x >= free_below {
                free_below = x + canvas.text(x + 1.0, 19.0, Anchor::Start, LABEL, second) + 4.0;
            }
        }
        let n_changed = sheet.n_changed.get(nth).copied().unwrap_or_default().min(MOST_STROKES);
        let step = ((bar_width - 3.0) / MOST_STROKES as f64).min(2.4);
        for stroke in 0..n_changed {
            let x = x + 1.5 + step * stroke as f64;
            canvas.line((x, HEAD_PT - 9.0), (x, HEAD_PT - 3.0), 0.7, Ink::BLACK);
        }
    }
    let right = left(to);
    canvas.line_under((right, HEAD_PT), (right, bottom), 0.3, Ink::LIGHT);
    canvas.line((0.0, HEAD_PT), (right, HEAD_PT), 0.6, Ink::BLACK);
    for (row, (name, cells)) in parts.iter().enumerate() {
        let top = HEAD_PT + ROW_PT * row as f64;
        let name = NAME.fitted(name, NAMES_PT - 6.0);
        canvas.text(0.0, top + 8.0, Anchor::Start, NAME, &name);
        canvas.line_under((0.0, top + ROW_PT), (right, top + ROW_PT), 0.25, Ink::PALE);
        for (nth, (first, second)) in cells.iter().enumerate().take(to).skip(from) {
            let x = left(nth);
            cell(&mut canvas, (x, top + 1.6), bar_width, *first);
            cell(&mut canvas, (x, top + 6.4), bar_width, *second);
        }
    }
    let name = |nth: usize, second: bool| {
        let bar = sheet.bars.get(nth);
        bar.map_or("", |bar| if second { bar.1.as_str() } else { bar.0.as_str() })
    };
    let alt = format!(
        "Who plays and who has the line, bars {} to {} beside bars {} to {}",
        name(from, false),
        name(to.saturating_sub(1), false),
        name(from, true),
        name(to.saturating_sub(1), true)
    );
    canvas.finish(width, bottom + 2.0, alt)
}

fn cell(canvas: &mut Canvas, (x, y): (f64, f64), width: f64, cell: Cell) {
    let (height, ink) = match cell {
        Cell::Silent => return,
        Cell::Plays => (2.2, Ink::LIGHT),
        Cell::Line => (3.6, Ink::BLACK),
    };
    canvas.fill(x + 0.5, y + (3.6 - height) / 2.0, width - 1.0, height, ink);
}
