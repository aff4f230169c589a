//! The key: every sign of the bar grid drawn once, with its meaning.

use super::beating::strokes;
use super::canvas::{Anchor, Canvas, Drawing, Ink, Type};
use super::parts::bar_of_sound;
use crate::fonts::Face;
use barloom_analysis::plan::{PlanBeating, Sound, SoundManner, StrokeSign};
use barloom_core::event::Level;
use barloom_core::pattern::Pattern;

const TEXT: Type = Type::new(Face::Sans, 8.5, Ink::BLACK);
const TITLE: Type = Type::new(Face::SansBold, 8.5, Ink::BLACK);
const ROW_PT: f64 = 15.0;
const SAMPLE_PT: f64 = 46.0;

/// Draws the key over a width.
pub(crate) fn draw(width: f64) -> Drawing {
    let mut canvas = Canvas::default();
    let column = width / 3.0;
    let heights = [
        beating(&mut canvas, 0.0),
        entrances(&mut canvas, column * 0.95),
        parts(&mut canvas, column * 2.2),
    ];
    let height = heights.into_iter().fold(0.0, f64::max);
    canvas.finish(width, height, String::from("Key to the signs of the bar grid"))
}

fn row(canvas: &mut Canvas, x: f64, y: f64, text: &str) {
    canvas.text(x + SAMPLE_PT + 6.0, y + 3.0, Anchor::Start, TEXT, text);
}

fn beating(canvas: &mut Canvas, x: f64) -> f64 {
    canvas.text(x, 9.0, Anchor::Start, TITLE, "Beating");
    let all = [StrokeSign::Given; 3];
    let samples: [(bool, &[StrokeSign], &str); 5] = [
        (true, &all, "chosen"),
        (false, &all, "proposed"),
        (true, &[StrokeSign::Passed; 3], "passed: no sound asked for"),
        (true, &[StrokeSign::Given, StrokeSign::Held], "held: fermata"),
        (true, &[StrokeSign::Given, StrokeSign::Lift], "lift or breath"),
    ];
    let mut y = 25.0;
    for (chosen, signs, text) in samples {
        let strokes_of = signs.iter().enumerate().map(|(idx, sign)| {
            let pair = matches!(sign, StrokeSign::Held | StrokeSign::Lift);
            (if pair { 0.0 } else { idx as f32 / 3.0 }, *sign)
        });
        let sample = PlanBeating {
            pattern: Pattern::Beats(3),
            nth: 0,
            chosen,
            text: String::new(),
            changes: false,
            strokes: strokes_of.collect(),
        };
        strokes(canvas, (x, x + SAMPLE_PT), y - 8.0, &sample);
        row(canvas, x, y, text);
        y += ROW_PT + 4.0;
    }
    y - 6.0
}

fn entrances(canvas: &mut Canvas, x: f64) -> f64 {
    canvas.text(x, 9.0, Anchor::Start, TITLE, "Entrances, techniques, bands");
    let to = x + SAMPLE_PT;
    let mut y = 25.0;
    for (ring, text) in [
        (None, "entrance; its tail is the rest before"),
        (Some((1.5, Ink::BLACK)), "cue wanted"),
        (Some((0.5, Ink::DARK)), "cue proposed"),
    ] {
        let weight = if ring.is_some_and(|(width, _)| width > 1.0) { 1.9 } else { 1.1 };
        canvas.line((x, y + 4.4), (x + 20.0, y + 4.4), 0.9, Ink::LIGHT);
        canvas.line((x + 20.0, y - 4.0), (x + 20.0, y + 5.0), weight, Ink::BLACK);
        if let Some((width, ink)) = ring {
            canvas.ring(x + 28.0, y, 2.7, width, ink);
        }
        row(canvas, x, y, text);
        y += ROW_PT;
    }
    canvas.dotted((x, y), (to, y), 1.1, Ink::BLACK);
    row(canvas, x, y, "muted, stopped or muffled");
    y += ROW_PT;
    canvas.line((x, y), (to, y), 0.5, Ink::MIDDLE);
    row(canvas, x, y, "another technique in force");
    y += ROW_PT;
    canvas.hatch([x, y - 5.0, SAMPLE_PT, 10.0], 3.0, 0.4, Ink::MIDDLE);
    canvas.line((x, y - 5.0), (to, y - 5.0), 0.9, Ink::BLACK);
    row(canvas, x, y, "share of the orchestra sounding");
    y + ROW_PT
}

fn parts(canvas: &mut Canvas, x: f64) -> f64 {
    canvas.text(x, 9.0, Anchor::Start, TITLE, "Part rows");
    let plain = |level, muted, manner| Sound { from: 0.0, to: 1.0, level, muted, manner };
    let mut y = 25.0;
    let levels = [Level::Pp, Level::P, Level::Mf, Level::F, Level::Ff];
    for (idx, level) in levels.into_iter().enumerate() {
        let from = x + idx as f64 * SAMPLE_PT / 5.0;
        let sound = plain(Some(level), false, SoundManner::Ordinary);
        bar_of_sound(canvas, (from, from + SAMPLE_PT / 5.0), y, 11.0, sound);
    }
    row(canvas, x, y, "from pp to ff");
    y += ROW_PT;
    let f = Some(Level::F);
    for (sound, text) in [
        (plain(None, false, SoundManner::Ordinary), "level not known"),
        (plain(f, true, SoundManner::Ordinary), "muted: dotted frame"),
        (plain(f, false, SoundManner::Plucked), "plucked or struck"),
        (plain(f, true, SoundManner::Plucked), "plucked and muted"),
        (plain(f, false, SoundManner::Tremolo), "tremolo or roll"),
        (plain(f, false, SoundManner::Harmonics), "harmonics"),
        (plain(f, false, SoundManner::Trill), "trill"),
    ] {
        bar_of_sound(canvas, (x, x + SAMPLE_PT), y, 11.0, sound);
        row(canvas, x, y, text);
        y += ROW_PT;
    }
    y
}
