//! The grid's own pens and letters: strokes that follow from the theme, text and music signs placed
//! by their baseline. Knows no bars.

use crate::theme::{MUSIC, SEMIBOLD, SERIF_ITALIC, SERIF_SEMIBOLD, Theme};
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Stroke, pos2};

/// Strokes and faces for one frame.
#[derive(Clone)]
pub(super) struct Pens<'a> {
    /// The look in force.
    pub(super) theme: &'a Theme,
    /// Size of the small text: the grid's unit of measure.
    pub(super) em: f32,
    /// Sans, small.
    pub(super) small: FontId,
    /// Sans, small, heavier.
    pub(super) small_bold: FontId,
    /// Sans, ordinary.
    pub(super) body: FontId,
    /// Sans, ordinary size, heavier.
    pub(super) body_bold: FontId,
    /// Words of the score.
    pub(super) words: FontId,
    /// Words of the score, small.
    pub(super) words_small: FontId,
    /// Rehearsal marks.
    pub(super) mark: FontId,
}

impl<'a> Pens<'a> {
    pub(super) fn new(theme: &'a Theme) -> Self {
        let em = theme.sizes.small;
        Self {
            theme,
            em,
            small: theme.small(),
            small_bold: theme.face(SEMIBOLD, em),
            body: theme.body(),
            body_bold: theme.face(SEMIBOLD, theme.sizes.body),
            words: theme.face(SERIF_ITALIC, theme.sizes.body),
            words_small: theme.face(SERIF_ITALIC, em * 1.04),
            mark: theme.face(SERIF_SEMIBOLD, theme.sizes.body),
        }
    }

    pub(super) fn ink(&self) -> Color32 {
        self.theme.ink.ink
    }

    pub(super) fn paper(&self) -> Color32 {
        self.theme.ink.paper
    }

    /// The darkest tone that is not ink; text may use it.
    pub(super) fn dark(&self) -> Color32 {
        self.theme.ink.tones[0]
    }

    /// The second tone, for lesser text.
    pub(super) fn mid(&self) -> Color32 {
        self.theme.ink.tones[1]
    }

    /// A tone for tails and rules, never for text.
    pub(super) fn light(&self) -> Color32 {
        self.theme.ink.tones[2]
    }

    /// The line between bars. In high contrast, where no tone is left, a hairline of ink.
    pub(super) fn bar_line(&self) -> Stroke {
        if self.theme.contrast { Stroke::new(0.35, self.ink()) } else { self.theme.ink.bar_line() }
    }

    /// The line at a rehearsal mark.
    pub(super) fn mark_line(&self) -> Stroke {
        if self.theme.contrast { Stroke::new(0.8, self.ink()) } else { self.theme.ink.mark_line() }
    }

    /// The rule between rows.
    pub(super) fn row_rule(&self) -> Stroke {
        let width = if self.theme.contrast { 0.35 } else { 1.0 };
        let color = if self.theme.contrast { self.ink() } else { self.theme.ink.tones[3] };
        Stroke::new(width, color)
    }

    /// The faint rule between part rows.
    pub(super) fn part_rule(&self) -> Stroke {
        if self.theme.contrast {
            self.row_rule()
        } else {
            Stroke::new(1.0, self.theme.ink.tones[4])
        }
    }

    /// The rule between blocks of rows.
    pub(super) fn block_rule(&self) -> Stroke {
        Stroke::new(1.0, self.theme.ink.tones[1])
    }

    /// Ground for areas between two lines; in high contrast nothing is filled.
    pub(super) fn wash(&self) -> Color32 {
        self.theme.ink.tones[3]
    }

    /// The tone of a loudness from 0 (ppp or less) to 1 (fff or more).
    pub(super) fn loudness(&self, strength: f32) -> Color32 {
        let [dark, mid, light, ..] = self.theme.ink.tones;
        let strength = strength.clamp(0.0, 1.0);
        if strength < 0.35 {
            light.lerp_to_gamma(mid, strength / 0.35)
        } else if strength < 0.65 {
            mid.lerp_to_gamma(dark, (strength - 0.35) / 0.3)
        } else {
            dark.lerp_to_gamma(self.ink(), (strength - 0.65) / 0.35)
        }
    }
}

/// Text with its box placed by `align` at `at`; answers the box.
pub(super) fn text(
    painter: &Painter,
    at: Pos2,
    align: Align2,
    text: &str,
    font: &FontId,
    color: Color32,
) -> Rect {
    painter.text(at, align, text, font.clone(), color)
}

/// How wide a text is.
pub(super) fn width(painter: &Painter, text: &str, font: &FontId) -> f32 {
    painter.layout_no_wrap(text.to_owned(), font.clone(), Color32::PLACEHOLDER).size().x
}

/// A text shortened with "…" until it fits; empty when not even two letters do.
pub(super) fn fitted(painter: &Painter, text: &str, font: &FontId, room: f32) -> String {
    if width(painter, text, font) <= room {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let cut = |n: usize| {
        let short: String = letters.iter().take(n).collect();
        format!("{}…", short.trim_end())
    };
    let (mut fits, mut fails) = (1, letters.len());
    while fits + 1 < fails {
        let middle = (fits + fails) / 2;
        if width(painter, &cut(middle), font) <= room { fits = middle } else { fails = middle }
    }
    if fits > 1 { cut(fits) } else { String::new() }
}

/// Signs of the music font with their baseline at `at`; answers their width. One em is four staff
/// spaces (SMuFL), and the font's ascent is far larger than its signs, so boxes are of no use.
pub(super) fn music(
    painter: &Painter,
    pens: &Pens<'_>,
    at: Pos2,
    signs: &str,
    size: f32,
    color: Color32,
) -> f32 {
    let galley = painter.layout_no_wrap(signs.to_owned(), pens.theme.face(MUSIC, size), color);
    let baseline = galley
        .rows
        .first()
        .and_then(|row| row.glyphs.first().map(|glyph| row.pos.y + glyph.pos.y))
        .unwrap_or(0.0);
    let width = galley.size().x;
    painter.galley(pos2(at.x, at.y - baseline), galley, color);
    width
}

/// The width of signs of the music font.
pub(super) fn music_width(painter: &Painter, pens: &Pens<'_>, signs: &str, size: f32) -> f32 {
    width(painter, signs, &pens.theme.face(MUSIC, size))
}
