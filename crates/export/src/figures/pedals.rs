//! The diagram of the harp's pedals: a line for natural, a stroke above it for flat, below it for
//! sharp, and a long stroke between the feet. From left to right D C B | E F G A (MusicXML 4.0,
//! `harp-pedals`; the form is common practice).

use super::canvas::{Canvas, Drawing, Ink};
use barloom_analysis::changes::harp;

const HEIGHT_PT: f64 = 18.0;
/// From pedal to pedal.
const STEP_PT: f64 = 7.0;
const STROKE_PT: f64 = 6.0;
const LEFT_FOOT: usize = 3;

/// Draws a setting, in the order D C B E F G A.
pub(crate) fn draw(pedals: [i8; 7]) -> Drawing {
    let mut canvas = Canvas::default();
    let middle = HEIGHT_PT / 2.0;
    let width = STEP_PT * (pedals.len() + 2) as f64;
    canvas.line((0.0, middle), (width, middle), 0.7, Ink::BLACK);
    for (idx, position) in pedals.iter().enumerate() {
        // The stroke between the feet has a place of its own.
        let place = if idx < LEFT_FOOT { idx } else { idx + 1 };
        let x = STEP_PT * (place as f64 + 1.0) - STEP_PT / 2.0 + 3.5;
        let (top, bottom) = match position.signum() {
            -1 => (middle - STROKE_PT, middle - 0.6),
            1 => (middle + 0.6, middle + STROKE_PT),
            _ => (middle - STROKE_PT / 2.0, middle + STROKE_PT / 2.0),
        };
        canvas.line((x, top), (x, bottom), 2.0, Ink::BLACK);
    }
    let between = STEP_PT * (LEFT_FOOT as f64 + 1.0) - STEP_PT / 2.0 + 3.5;
    canvas.line((between, 0.5), (between, HEIGHT_PT - 0.5), 0.9, Ink::BLACK);
    canvas.finish(width, HEIGHT_PT, format!("Harp pedals {}", in_words(pedals)))
}

/// `D C# B | E F# G A` with the signs as they are printed.
pub(crate) fn in_words(pedals: [i8; 7]) -> String {
    harp::pedals_in_words(pedals).replace('#', "\u{266F}").replace('b', "\u{266D}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seven strokes, one line and one stroke between the feet; flats stand higher than sharps.
    #[test]
    fn every_pedal_has_a_stroke_and_flats_stand_above() {
        let drawing = draw([-1, 0, 1, 0, 0, 0, 0]);
        assert_eq!(drawing.svg.matches("<path").count(), 9);
        assert_eq!(drawing.alt, "Harp pedals D\u{266D} C B\u{266F} | E F G A");
        let all = |position| draw([position; 7]).svg;
        assert!(all(-1).contains("L7.00 8.40") && all(1).contains("M7.00 9.60"));
    }
}
