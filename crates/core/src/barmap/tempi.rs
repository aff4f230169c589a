//! The tempo marks of a bar map.

use super::items::{Map, MapTempo, MapTempoKind, is_number, place};
use super::reader::{Parsed, Reader, joined};
use super::scan::{Kind, Token};
use crate::time::Quarters;

/// Whether a word asks for faster (true) or slower (false) by degrees.
pub(super) fn gradual(token: &Token) -> Option<bool> {
    let slower = ["rit", "ritardando", "rall", "rallentando", "ritenuto", "riten", "allargando"];
    let faster = ["accel", "accelerando", "stringendo", "string"];
    let is = |words: &[&str]| words.iter().any(|word| token.is_word(word));
    if is(&slower) { Some(false) } else { is(&faster).then_some(true) }
}

/// `value = number`, `value = value`, words, words and value, or `primo`; then `at` a place.
pub(super) fn tempo(map: &mut Map, reader: &mut Reader<'_>, line: usize) -> Parsed<()> {
    if reader.take(|token| token.is_word("primo") || token.text == "I").is_some() {
        reader.word("at")?;
        let (at, words) = (place(map, reader)?, String::from("tempo primo"));
        map.tempi.push(MapTempo { at, words, kind: MapTempoKind::Primo, line });
        return Ok(());
    }
    let stop = |token: &Token| token.is_word("at") || token.is_sign("=");
    let n_words = reader.tokens.iter().position(stop).unwrap_or(reader.tokens.len());
    let (words, rest) = reader.tokens.split_at(n_words);
    if !rest.first().is_some_and(|token| token.is_sign("=")) {
        if words.is_empty() {
            return reader.fail("a tempo word or a note value");
        }
        reader.tokens = rest;
        reader.word("at")?;
        let at = place(map, reader)?;
        let kind = MapTempoKind::Term;
        map.tempi.push(MapTempo { at, words: joined(words), kind, line });
        return Ok(());
    }
    let n_value = if words.len() >= 2 && is_dotted(&words[words.len() - 2]) { 2 } else { 1 };
    let (term, value) = words.split_at(words.len().saturating_sub(n_value));
    let end = rest.first().map_or(reader.end, |token| token.spot);
    let unit = note_value(&mut Reader { tokens: value, end })?;
    reader.tokens = rest;
    reader.sign("=")?;
    let kind = tempo_value(reader, unit)?;
    reader.word("at")?;
    let at = place(map, reader)?;
    map.tempi.push(MapTempo { at, words: joined(term), kind, line });
    Ok(())
}

/// What stands behind the equals sign.
fn tempo_value(reader: &mut Reader<'_>, unit: Quarters) -> Parsed<MapTempoKind> {
    let about = ["ca", "circa", "about"];
    let about = reader.take(|token| about.iter().any(|word| token.is_word(word))).is_some();
    if !about && !is_number(reader.peek()) {
        let new = note_value(reader)?;
        return Ok(MapTempoKind::Equation { old: unit, new });
    }
    let per_minute = rate(reader)?;
    let ranged = reader.take(|token| token.is_sign("-")).is_some();
    let up_to = if ranged { Some(rate(reader)?) } else { None };
    Ok(MapTempoKind::Metronome { unit, per_minute, up_to, about })
}

fn rate(reader: &mut Reader<'_>) -> Parsed<f64> {
    let number = reader.peek().filter(|token| token.kind == Kind::Number);
    let number = number.and_then(|token| token.text.parse::<f64>().ok());
    match number.filter(|rate| *rate > 0.0 && *rate <= crate::study::MAX_PER_MINUTE) {
        Some(rate) => {
            reader.next();
            Ok(rate)
        }
        None => reader.fail("beats a minute, a note value or \"ca.\""),
    }
}

fn is_dotted(token: &Token) -> bool {
    token.is_word("dotted")
}

/// `quarter`, `dotted half`; British names too.
fn note_value(reader: &mut Reader<'_>) -> Parsed<Quarters> {
    const VALUES: [(&[&str], i64, i64); 6] = [
        (&["whole", "semibreve"], 4, 1),
        (&["half", "minim"], 2, 1),
        (&["quarter", "crotchet"], 1, 1),
        (&["eighth", "quaver"], 1, 2),
        (&["sixteenth", "semiquaver"], 1, 4),
        (&["thirtysecond", "demisemiquaver"], 1, 8),
    ];
    let dotted = reader.take(is_dotted).is_some();
    let value = reader.peek().and_then(|token| {
        VALUES.iter().find(|(names, ..)| names.iter().any(|name| token.is_word(name)))
    });
    let Some((_, num, den)) = value else {
        return reader.fail("a note value such as quarter or dotted half");
    };
    reader.next();
    let (num, den) = if dotted { (num * 3, den * 2) } else { (*num, *den) };
    Ok(Quarters::new(num, den).unwrap_or_default())
}
