//! Metronome marks: note values by name and by glyph, rates in words, and marks written as text.

use crate::score::TempoKind;
use crate::time::Quarters;

/// A rate as printed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Rate {
    /// Beats a minute, greater than 0; the lower end of a range.
    pub(crate) per_minute: f64,
    /// The upper end of a range.
    up_to: Option<f64>,
    /// "ca." or the like.
    about: bool,
}

impl Rate {
    /// The mark with this rate.
    pub(crate) fn of_unit(self, unit: Quarters) -> TempoKind {
        let Self { per_minute, up_to, about } = self;
        TempoKind::Metronome { unit, per_minute, up_to, about }
    }
}

/// The note value of a MusicXML type name.
pub(crate) fn note_value(name: &str) -> Option<Quarters> {
    let (num, den) = match name {
        "maxima" => (32, 1),
        "long" => (16, 1),
        "breve" => (8, 1),
        "whole" => (4, 1),
        "half" => (2, 1),
        "quarter" => (1, 1),
        "eighth" => (1, 2),
        "16th" => (1, 4),
        "32nd" => (1, 8),
        "64th" => (1, 16),
        "128th" => (1, 32),
        "256th" => (1, 64),
        "512th" => (1, 128),
        "1024th" => (1, 256),
        _ => return None,
    };
    Quarters::new(num, den)
}

/// A note value with dots: each adds half of what the one before added.
pub(crate) fn dotted(value: Quarters, dots: usize) -> Option<Quarters> {
    // 2 - 1/2^n times the value.
    let half = 1i64.checked_shl(u32::try_from(dots.min(8)).ok()?)?;
    value.scaled(2 * half - 1, half)
}

/// A rate in words: "72", "ca. 72", "60-66", "c. 100 – 104", `"[80]"`. `None` without a number
/// between 1 and 2000.
pub(crate) fn rate(text: &str) -> Option<Rate> {
    let mut numbers: Vec<f64> = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find(|letter: char| letter.is_ascii_digit()) {
        let tail = rest.get(start..)?;
        let is_number = |letter: char| letter.is_ascii_digit() || letter == '.' || letter == ',';
        let end = tail.find(|letter| !is_number(letter)).unwrap_or(tail.len());
        let number = tail.get(..end)?.trim_end_matches(['.', ',']).replace(',', ".");
        numbers.extend(number.parse::<f64>().ok().filter(|n| (1.0..=2000.0).contains(n)));
        rest = tail.get(end..)?;
    }
    let lower = text.to_lowercase();
    let about = ["ca", "c.", "circa", "about", "env", "etwa", "~", "≈", "approx"]
        .iter()
        .any(|word| lower.trim_start_matches(['(', '[', ' ']).starts_with(word));
    let (low, high) = match numbers.as_slice() {
        [] => return None,
        [one] => (*one, None),
        [low, high, ..] if high > low => (*low, Some(*high)),
        [one, ..] => (*one, None),
    };
    Some(Rate { per_minute: low, up_to: high, about })
}

/// Printed and played tempi may differ by this share before it is said: rounding in files.
const TOLERANCE: f64 = 0.02;

/// The quarters a minute that a printed mark gives, if a playback tempo contradicts it.
pub(crate) fn contradicted(printed: &TempoKind, playback: f64) -> Option<f64> {
    let TempoKind::Metronome { unit, per_minute, up_to, .. } = printed else { return None };
    let low = per_minute * unit.as_f64();
    let high = up_to.unwrap_or(*per_minute) * unit.as_f64();
    (playback < low * (1.0 - TOLERANCE) || playback > high * (1.0 + TOLERANCE)).then_some(low)
}

/// A metronome mark or an equation of note values inside a text, and the text without it. `None` if
/// there is none.
pub(crate) fn written_mark(text: &str) -> Option<(TempoKind, String)> {
    let mut old: Option<(usize, Quarters)> = None;
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    let mut idx = 0;
    while let Some((at, letter)) = letters.get(idx).copied() {
        let lone = idx.checked_sub(1).and_then(|before| letters.get(before));
        let lone = lone.is_none_or(|(_, before)| matches!(before, ' ' | '(' | '['));
        let Some(value) = glyph_value(letter).or_else(|| lone.then(|| key_value(letter)).flatten())
        else {
            idx += 1;
            continue;
        };
        let mut dots = 0;
        idx += 1;
        while letters.get(idx).is_some_and(|(_, letter)| is_dot(*letter)) {
            dots += 1;
            idx += 1;
        }
        let value = dotted(value, dots)?;
        let end = letters.get(idx).map_or(text.len(), |(at, _)| *at);
        let after = text.get(end..)?.trim_start();
        if let Some((from, old)) = old.take() {
            let kind = TempoKind::Equation { old, new: value };
            return Some((kind, without(text, from, end)));
        }
        let Some(after) = after.strip_prefix('=').map(str::trim_start) else { continue };
        if after.chars().next().and_then(glyph_value).is_some() {
            old = Some((at, value));
            continue;
        }
        // A number: it ends where its figures and what goes with them end.
        let is_rate = |letter: char| letter.is_ascii_digit() || " .,-–ca~[]".contains(letter);
        let length = after.find(|letter| !is_rate(letter)).unwrap_or(after.len());
        let rate = rate(after.get(..length)?)?;
        let end = text.len() - after.len() + length;
        return Some((rate.of_unit(value), without(text, at, end)));
    }
    None
}

/// A text without a stretch and without the brackets around it.
fn without(text: &str, from: usize, to: usize) -> String {
    let before = text.get(..from).unwrap_or_default().trim_end().trim_end_matches(['(', '[']);
    let after = text.get(to..).unwrap_or_default().trim_start().trim_start_matches([')', ']']);
    format!("{} {}", before.trim(), after.trim()).trim().to_owned()
}

fn is_dot(letter: char) -> bool {
    // SMuFL: metAugmentationDot, textAugmentationDot, augmentationDot; and a plain full stop.
    matches!(letter, '\u{ecb7}' | '\u{e1fc}' | '\u{e1e7}' | '.')
}

/// The note value of a letter that old music text fonts drew as a note: `q` a quarter, `e` an eighth,
/// `h` a half, `w` a whole note (common practice of such fonts). Only before an equals sign.
fn key_value(letter: char) -> Option<Quarters> {
    let (num, den) = match letter {
        'w' => (4, 1),
        'h' => (2, 1),
        'q' => (1, 1),
        'e' => (1, 2),
        _ => return None,
    };
    Quarters::new(num, den)
}

/// The note value of a glyph: SMuFL 1.4 ranges "Metronome marks" and "Individual notes", and the
/// musical symbols of Unicode.
fn glyph_value(letter: char) -> Option<Quarters> {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn q(num: i64, den: i64) -> Quarters {
        Quarters::new(num, den).unwrap()
    }

    #[test]
    fn rates_are_read_with_their_words() {
        let read = |text: &str| rate(text).map(|rate| (rate.per_minute, rate.up_to, rate.about));
        assert_eq!(read("72"), Some((72.0, None, false)));
        assert_eq!(read("ca. 72"), Some((72.0, None, true)));
        assert_eq!(read("60-66"), Some((60.0, Some(66.0), false)));
        assert_eq!(read("c. 100 – 104"), Some((100.0, Some(104.0), true)));
        assert_eq!(read("66.5"), Some((66.5, None, false)));
        assert_eq!(read("[80]"), Some((80.0, None, false)));
        assert_eq!(read("fast"), None);
        assert_eq!(read("0"), None);
    }

    #[test]
    fn dots_add_half_of_what_was_added() {
        assert_eq!(dotted(Quarters::ONE, 0), Some(Quarters::ONE));
        assert_eq!(dotted(Quarters::ONE, 1), Some(q(3, 2)));
        assert_eq!(dotted(Quarters::ONE, 2), Some(q(7, 4)));
    }

    #[test]
    fn marks_in_texts_are_found_and_taken_out() {
        let (kind, rest) = written_mark("Molto Adagio. (\u{eca5} = 84)").unwrap();
        assert_eq!(kind, rate("84").unwrap().of_unit(Quarters::ONE));
        assert_eq!(rest, "Molto Adagio.");
        let (kind, rest) = written_mark("Presto (\u{eca5} = \u{eca3})").unwrap();
        assert_eq!(kind, TempoKind::Equation { old: Quarters::ONE, new: q(2, 1) });
        assert_eq!(rest, "Presto");
        let (kind, rest) = written_mark("♩.=♩ più mosso").unwrap();
        assert_eq!(kind, TempoKind::Equation { old: q(3, 2), new: Quarters::ONE });
        assert_eq!(rest, "più mosso");
        let (kind, _) = written_mark("♪ = ca. 100").unwrap();
        assert!(matches!(kind, TempoKind::Metronome { about: true, .. }), "{kind:?}");
        let (kind, rest) = written_mark("Allegro q =165").unwrap();
        assert_eq!(kind, rate("165").unwrap().of_unit(Quarters::ONE));
        assert_eq!(rest, "Allegro");
        assert_eq!(written_mark("quasi e poco = x"), None);
        assert_eq!(written_mark("Andante"), None);
        assert_eq!(written_mark("♩"), None);
    }
}
