//! Glyphs of the standard music font layout (SMuFL) that stand for note values in texts, and glyphs
//! called by their names.

use super::dynamics;
use crate::time::Quarters;

/// The glyph with this SMuFL name, if it is one that means something in a text: dynamic signs and
/// note values of metronome marks. A dot is a full stop.
pub(crate) fn named(name: &str) -> Option<char> {
    let note = name.strip_prefix("metNote").or_else(|| name.strip_prefix("note"));
    let value = note.map(|note| note.trim_end_matches("Up").trim_end_matches("Down"));
    match value {
        Some("DoubleWhole" | "DoubleWholeSquare") => Some('\u{eca0}'),
        Some("Whole") => Some('\u{eca2}'),
        Some("Half") => Some('\u{eca3}'),
        Some("Quarter") => Some('\u{eca5}'),
        Some("8th") => Some('\u{eca7}'),
        Some("16th") => Some('\u{eca9}'),
        Some("32nd") => Some('\u{ecab}'),
        Some(_) => None,
        None if name.ends_with("ugmentationDot") => Some('.'),
        None => dynamics::glyph_named(name),
    }
}

/// Whether a character is a dot behind a note: metAugmentationDot, textAugmentationDot,
/// augmentationDot, and a plain full stop.
pub(super) fn is_dot(letter: char) -> bool {
    matches!(letter, '\u{ecb7}' | '\u{e1fc}' | '\u{e1e7}' | '.')
}

/// The note value of a letter that old music text fonts drew as a note: `q` a quarter, `e` an eighth,
/// `h` a half, `w` a whole note, `x` a sixteenth (common practice of such fonts). Only before an
/// equals sign. Files carry such letters in the private range of symbol fonts too (U+F000 and on).
pub(super) fn key_value(letter: char) -> Option<Quarters> {
    let plain = match u32::from(letter) {
        code @ 0xF020..=0xF07E => char::from_u32(code - 0xF000)?,
        _ => letter,
    };
    let (num, den) = match plain {
        'w' => (4, 1),
        'h' => (2, 1),
        'q' => (1, 1),
        'e' => (1, 2),
        'x' => (1, 4),
        _ => return None,
    };
    Quarters::new(num, den)
}

/// The note value of a glyph: SMuFL 1.4 ranges "Metronome marks" and "Individual notes", and the
/// musical symbols of Unicode.
pub(super) fn value(letter: char) -> Option<Quarters> {
    let (num, den) = match letter {
        '\u{eca0}' | '\u{eca1}' | '\u{e1d0}' | '\u{e1d1}' | '\u{1d15c}' => (8, 1),
        '\u{eca2}' | '\u{e1d2}' | '\u{1d15d}' => (4, 1),
        '\u{eca3}' | '\u{eca4}' | '\u{e1d3}' | '\u{e1d4}' | '\u{1d15e}' => (2, 1),
        '\u{eca5}' | '\u{eca6}' | '\u{e1d5}' | '\u{e1d6}' | '♩' | '\u{1d15f}' => (1, 1),
        '\u{eca7}' | '\u{eca8}' | '\u{e1d7}' | '\u{e1d8}' | '♪' | '\u{1d160}' => (1, 2),
        '\u{eca9}' | '\u{ecaa}' | '\u{e1d9}' | '\u{e1da}' | '\u{1d161}' => (1, 4),
        '\u{ecab}' | '\u{ecac}' | '\u{e1db}' | '\u{e1dc}' | '\u{1d162}' => (1, 8),
        _ => return None,
    };
    Quarters::new(num, den)
}
