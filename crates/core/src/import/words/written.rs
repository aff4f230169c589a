//! Metronome marks and equations of note values that files write as text: "♩ = 72", "(quarter =
//! 72)", "M.M. 72", with the notes as glyphs, as letters of old fonts, or by their names.

use super::glyphs;
use super::tempo::{dotted, rate};
use crate::instrument::recognize::fold;
use crate::score::TempoKind;
use crate::time::Quarters;

/// A metronome mark or an equation of note values inside a text, and the text without it. `None` if
/// there is none. `beat` is what the meter counts, for marks that name no note.
pub(crate) fn written_mark(
    text: &str,
    beat: impl FnOnce() -> Quarters,
) -> Option<(TempoKind, String)> {
    let has_number = text.bytes().any(|byte| byte.is_ascii_digit());
    let has_sign = text.contains(['=', '＝']);
    if !has_sign && !has_number {
        return None;
    }
    if has_sign && let Some(mark) = with_glyphs(text).or_else(|| with_names(text)) {
        return Some(mark);
    }
    if has_number { by_maelzel(text, beat) } else { None }
}

fn with_glyphs(text: &str) -> Option<(TempoKind, String)> {
    let mut old: Option<(usize, Quarters)> = None;
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    let mut idx = 0;
    while let Some((at, letter)) = letters.get(idx).copied() {
        let lone = idx.checked_sub(1).and_then(|before| letters.get(before));
        let lone = lone.is_none_or(|(_, before)| matches!(before, ' ' | '(' | '[' | '=' | '＝'));
        let Some(value) =
            glyphs::value(letter).or_else(|| lone.then(|| glyphs::key_value(letter)).flatten())
        else {
            idx += 1;
            continue;
        };
        let mut dots = 0;
        idx += 1;
        // The dot may stand apart from its note.
        let apart = letters.get(idx).is_some_and(|(_, letter)| *letter == ' ')
            && letters.get(idx + 1).is_some_and(|(_, letter)| glyphs::is_dot(*letter));
        idx += usize::from(apart);
        while letters.get(idx).is_some_and(|(_, letter)| glyphs::is_dot(*letter)) {
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
        let Some(after) = after.strip_prefix(['=', '＝']).map(str::trim_start) else { continue };
        let next = after.chars().next();
        let is_note = next.is_some_and(|next| {
            let letter = after.chars().nth(1).is_none_or(|behind| !behind.is_alphabetic());
            glyphs::value(next).is_some() || letter && glyphs::key_value(next).is_some()
        });
        if is_note {
            old = Some((at, value));
            continue;
        }
        let length = length_of_rate(after);
        let rate = rate(after.get(..length)?)?;
        let end = text.len() - after.len() + length;
        return Some((rate.of_unit(value), without(text, at, end)));
    }
    None
}

/// A number with what goes with it: how many bytes that are.
fn length_of_rate(text: &str) -> usize {
    const WITH: &str = " .,-–—/()[]~≈±";
    let figures = |from: usize| {
        let rest = text.get(from..).unwrap_or_default();
        let is_rate = |letter: char| letter.is_ascii_digit() || WITH.contains(letter);
        from + rest.find(|letter| !is_rate(letter)).unwrap_or(rest.len())
    };
    let about = |from: usize| {
        let rest = text.get(from..).unwrap_or_default();
        let end = rest.find(|letter: char| !letter.is_alphabetic()).unwrap_or(rest.len());
        let word = rest.get(..end).unwrap_or_default();
        let known = ["ca", "c", "circa", "env", "environ", "about", "etwa", "à"];
        if known.contains(&word) { from + end } else { from }
    };
    let mut length = figures(about(figures(0)));
    // "100 circa": a word behind the number.
    let behind = about(length);
    if behind > length {
        length = figures(behind);
    }
    // A bracket that opens here belongs to what follows.
    let taken = text.get(..length).unwrap_or_default();
    let trimmed = taken.trim_end_matches(['(', '[', ' ']);
    trimmed.len()
}

/// Notes by name: "quarter = 72", "dotted quarter = quarter", "Viertel = 100", "1/4 = 60".
fn with_names(text: &str) -> Option<(TempoKind, String)> {
    let sign = text.find(['=', '＝'])?;
    let before = text.get(..sign)?;
    let after = text.get(sign..)?.trim_start_matches(['=', '＝', ' ']);
    let (start, unit) = unit_at_end(before)?;
    if let Some((length, new)) = unit_at_start(after) {
        let end = text.len() - after.len() + length;
        return Some((TempoKind::Equation { old: unit, new }, without(text, start, end)));
    }
    let length = length_of_rate(after);
    let rate = rate(after.get(..length)?)?;
    let end = text.len() - after.len() + length;
    Some((rate.of_unit(unit), without(text, start, end)))
}

/// The note value that the last words of a text name, and where they begin.
fn unit_at_end(text: &str) -> Option<(usize, Quarters)> {
    let trimmed = text.trim_end();
    let starts = trimmed.char_indices().rev().filter(|(at, letter)| {
        let before = trimmed.get(..*at).and_then(|before| before.chars().next_back());
        !is_apart(*letter) && before.is_none_or(is_apart)
    });
    let starts: Vec<usize> = starts.map(|(at, _)| at).take(3).collect();
    // The longest name first: "dotted quarter note" before "note".
    let named = |start: &usize| Some((*start, unit(trimmed.get(*start..)?)?));
    starts.iter().rev().find_map(named)
}

/// The note value that the first words of a text name, and how many bytes they have.
fn unit_at_start(text: &str) -> Option<(usize, Quarters)> {
    let mut ends: Vec<usize> = text
        .char_indices()
        .filter(|(at, letter)| *at > 0 && is_apart(*letter))
        .map(|(at, _)| at)
        .take(3)
        .collect();
    if ends.len() < 3 {
        ends.push(text.len());
    }
    let named = |end: &usize| Some((*end, unit(text.get(..*end)?)?));
    ends.iter().rev().find_map(named)
}

fn is_apart(letter: char) -> bool {
    letter.is_whitespace() || matches!(letter, '(' | '[' | ')' | ']' | ',' | ';' | ':')
}

/// The note value with this name in English, American, German, French or Italian, with its dot; or a
/// fraction of a whole note.
fn unit(name: &str) -> Option<Quarters> {
    let name = fold(name.trim());
    if let Some((num, den)) = name.split_once('/') {
        let (num, den): (i64, i64) = (num.trim().parse().ok()?, den.trim().parse().ok()?);
        let sane = (1..=16).contains(&num) && [1, 2, 4, 8, 16, 32].contains(&den);
        return Quarters::new(4 * num, den).filter(|_| sane);
    }
    let mut dots = 0;
    let mut value: Option<(i64, i64)> = None;
    for word in name.split_whitespace() {
        let plain = word.trim_end_matches('.');
        // "crotchet." is an abbreviation's or the note's own dot: only names are dotted so.
        match plain {
            "dotted" | "punktierte" | "punkt" | "pointee" | "puntata" => dots += 1,
            "note" | "notes" | "m" | "mm" | "m.m" => {}
            "double" if value.is_none() => value = Some((1, 4)),
            _ => {
                let named = named_value(plain)?;
                let halved = value.is_some() && named == (1, 2);
                value = Some(if halved { (1, 4) } else { named });
                dots += word.len() - plain.len();
            }
        }
    }
    let (num, den) = value?;
    dotted(Quarters::new(num, den)?, dots)
}

fn named_value(name: &str) -> Option<(i64, i64)> {
    Some(match name {
        "whole" | "semibreve" | "ganze" | "ronde" => (4, 1),
        "half" | "minim" | "halbe" | "blanche" | "minima" => (2, 1),
        "quarter" | "crotchet" | "viertel" | "noire" | "semiminima" => (1, 1),
        "eighth" | "8th" | "quaver" | "achtel" | "croche" | "croma" => (1, 2),
        "sixteenth" | "16th" | "semiquaver" | "sechzehntel" | "semicroma" => (1, 4),
        _ => return None,
    })
}

/// "M.M. 72" and "M.M. = 72": beats of the meter.
fn by_maelzel(text: &str, beat: impl FnOnce() -> Quarters) -> Option<(TempoKind, String)> {
    let signs = ["M.M.", "M. M.", "MM", "M.M"];
    let (at, sign) = signs.iter().find_map(|sign| Some((text.find(sign)?, *sign)))?;
    let alone = text.get(..at)?.chars().next_back().is_none_or(is_apart);
    let behind = text.get(at + sign.len()..)?;
    let after = behind.trim_start_matches(['.', '=', '＝', ' ', ':']);
    if !alone || !after.starts_with(|letter: char| letter.is_ascii_digit() || letter == 'c') {
        return None;
    }
    let length = length_of_rate(after);
    let rate = rate(after.get(..length)?)?;
    let end = text.len() - after.len() + length;
    Some((rate.of_unit(beat()), without(text, at, end)))
}

/// A text without a stretch and without the brackets around it.
fn without(text: &str, from: usize, to: usize) -> String {
    let before = text.get(..from).unwrap_or_default().trim_end();
    let before = before.strip_suffix("M.M.").unwrap_or(before).trim_end();
    let before = before.trim_end_matches(['(', '[']);
    let after = text.get(to..).unwrap_or_default().trim_start().trim_start_matches([')', ']']);
    format!("{} {}", before.trim(), after.trim()).trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::super::tempo::rate;
    use super::*;

    fn q(num: i64, den: i64) -> Quarters {
        Quarters::new(num, den).unwrap()
    }

    fn read(text: &str) -> Option<(TempoKind, String)> {
        written_mark(text, || q(3, 2))
    }

    #[track_caller]
    fn check(text: &str, unit: Quarters, per_minute: &str, rest: &str) {
        let (kind, found) = read(text).unwrap_or_else(|| panic!("nothing in {text}"));
        assert_eq!(kind, rate(per_minute).unwrap().of_unit(unit), "{text}");
        assert_eq!(found, rest, "{text}");
    }

    #[test]
    fn marks_in_texts_are_found_and_taken_out() {
        check("Molto Adagio. (\u{eca5} = 84)", q(1, 1), "84", "Molto Adagio.");
        check("♪ = ca. 100", q(1, 2), "ca. 100", "");
        check("Allegro q =165", q(1, 1), "165", "Allegro");
        check("Allegro (\u{f071} = 120 circa)", q(1, 1), "120 circa", "Allegro");
        check("♩. = 92–100 con moto", q(3, 2), "92-100", "con moto");
        let (kind, rest) = read("Presto (\u{eca5} = \u{eca3})").unwrap();
        assert_eq!(kind, TempoKind::Equation { old: Quarters::ONE, new: q(2, 1) });
        assert_eq!(rest, "Presto");
        let (kind, rest) = read("♩.=♩ più mosso").unwrap();
        assert_eq!(kind, TempoKind::Equation { old: q(3, 2), new: Quarters::ONE });
        assert_eq!(rest, "più mosso");
        for text in ["quasi e poco = x", "Andante", "♩", "a 2", "fuga a 3 voci", "MM", "12"] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    /// American, British, German, French and Italian names of note values: common practice.
    #[test]
    fn notes_may_be_named() {
        check("(quarter = 72)", q(1, 1), "72", "");
        check("Allegro (dotted quarter = 100)", q(3, 2), "100", "Allegro");
        check("crotchet = c. 60", q(1, 1), "c. 60", "");
        check("Langsam, Viertel = 52", q(1, 1), "52", "Langsam,");
        check("noire pointée = 66", q(3, 2), "66", "");
        check("half note = 50", q(2, 1), "50", "");
        check("1/8 = 144", q(1, 2), "144", "");
        let (kind, rest) = read("quarter = dotted quarter").unwrap();
        assert_eq!(kind, TempoKind::Equation { old: q(1, 1), new: q(3, 2) });
        assert_eq!(rest, "");
        assert_eq!(read("Fl. 2 = Picc."), None);
    }

    #[test]
    fn a_mark_without_a_note_counts_the_beat_of_the_meter() {
        check("Andante M.M. 72", q(3, 2), "72", "Andante");
        check("M. M. = 60-66", q(3, 2), "60-66", "");
        check("M.M. ♩ = 88", q(1, 1), "88", "");
    }
}
