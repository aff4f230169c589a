//! Music signs as letters of the music font (SMuFL code points), and tempo marks made of them.

use super::canvas::{Ink, Run, Type};
use crate::fonts::Face;
use barloom_analysis::plan::PlanTempo;
use barloom_core::event::FermataShape;
use barloom_core::study::Sign;
use barloom_core::time::Quarters;

/// A fermata over a note.
pub(crate) const fn fermata(shape: FermataShape) -> &'static str {
    match shape {
        FermataShape::Angled => "\u{E4C4}",
        FermataShape::Square => "\u{E4C6}",
        FermataShape::Normal | FermataShape::Other => "\u{E4C0}",
    }
}

/// A breath comma.
pub(crate) const BREATH: &str = "\u{E4CE}";
/// A caesura.
pub(crate) const CAESURA: &str = "\u{E4D1}";

/// A metronome note with its dot, if it has one; for values without one, nothing.
pub(crate) fn note(value: Quarters, size: f64, ink: Ink) -> Option<Run> {
    // Dotted values are three halves of a plain one.
    let plain = |value: Quarters| match (value.numerator(), value.denominator()) {
        (8, 1) => Some("\u{ECA0}"),
        (4, 1) => Some("\u{ECA2}"),
        (2, 1) => Some("\u{ECA3}"),
        (1, 1) => Some("\u{ECA5}"),
        (1, 2) => Some("\u{ECA7}"),
        (1, 4) => Some("\u{ECA9}"),
        (1, 8) => Some("\u{ECAB}"),
        _ => None,
    };
    let music = Type::new(Face::Music, size * 1.2, ink);
    let gap = Type::new(Face::Sans, size * 0.5, ink);
    if let Some(note) = plain(value) {
        return Some(vec![(music, note.to_owned())]);
    }
    let note = value.scaled(2, 3).and_then(plain)?;
    let dot = String::from("\u{ECB7}");
    Some(vec![(music, note.to_owned()), (gap, String::from(" ")), (music, dot)])
}

/// Dynamic letters in the music font.
pub(crate) fn dynamics(letters: &str) -> String {
    let glyph = |letter: char| match letter {
        'p' => '\u{E520}',
        'm' => '\u{E521}',
        'f' => '\u{E522}',
        'n' => '\u{E526}',
        other => other,
    };
    letters.chars().map(glyph).collect()
}

/// Figures of a time signature.
pub(crate) fn figures(text: &str) -> String {
    let glyph = |letter: char| match letter {
        '0'..='9' => char::from_u32(0xE080 + letter as u32 - '0' as u32).unwrap_or(letter),
        '+' => '\u{E08D}',
        other => other,
    };
    text.chars().map(glyph).collect()
}

/// The sign of a mark in the music font, where one exists.
pub(crate) const fn sign(sign: Sign) -> Option<&'static str> {
    match sign {
        Sign::Breath => Some(BREATH),
        Sign::Caesura => Some(CAESURA),
        Sign::Watch => Some("\u{EC62}"),
        _ => None,
    }
}

fn note_or_words(value: Quarters, size: f64, ink: Ink) -> Run {
    let words = || vec![(Type::new(Face::Sans, size, ink), format!("{value} quarters"))];
    note(value, size, ink).unwrap_or_else(words)
}

/// A metronome mark: the note, then the figure; with brackets where the score does not print it.
pub(crate) fn metronome(unit: Quarters, rate: &str, printed: bool, size: f64, ink: Ink) -> Run {
    let sans = Type::new(Face::Sans, size, ink);
    let mut run = Run::new();
    if !printed {
        run.push((sans, String::from("[")));
    }
    run.extend(note_or_words(unit, size, ink));
    run.push((sans, format!(" = {rate}{}", if printed { "" } else { "]" })));
    run
}

/// A tempo mark: words in italic, metronome or equation.
pub(crate) fn tempo(tempo: &PlanTempo, size: f64) -> Run {
    let mut run = Run::new();
    let ink = if tempo.origin.is_empty() { Ink::BLACK } else { Ink::DARK };
    if !tempo.words.is_empty() {
        run.push((Type::new(Face::Italic, size + 0.5, Ink::BLACK), tempo.words.clone()));
    }
    let gap = |run: &mut Run| {
        if !run.is_empty() {
            run.push((Type::new(Face::Sans, size, ink), String::from("  ")));
        }
    };
    if let Some((old, new)) = tempo.equation {
        gap(&mut run);
        run.extend(metronome(old, "", true, size, ink));
        run.extend(note_or_words(new, size, ink));
    }
    if let Some((unit, rate)) = &tempo.metronome {
        gap(&mut run);
        run.extend(metronome(*unit, rate, tempo.origin.is_empty(), size, ink));
    }
    run
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Code points of the Standard Music Font Layout, tables "Metronome marks" and "Dynamics".
    #[test]
    fn signs_are_those_of_the_standard() {
        let signs = |num, den| {
            let run = note(Quarters::new(num, den).unwrap(), 9.0, Ink::BLACK)?;
            Some(run.into_iter().map(|(_, sign)| sign).collect::<String>())
        };
        assert_eq!(signs(1, 1).unwrap(), "\u{ECA5}");
        assert_eq!(signs(3, 2).unwrap(), "\u{ECA5} \u{ECB7}");
        assert_eq!(signs(5, 2), None);
        assert_eq!(dynamics("mf"), "\u{E521}\u{E522}");
        assert_eq!(figures("12"), "\u{E081}\u{E082}");
    }
}
