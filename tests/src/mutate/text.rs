//! Damage to texts of lines and words, such as study files: lines dropped, doubled and exchanged,
//! numbers and names replaced. What comes out is well-formed much more often than damaged bytes.

use super::{Chance, splice};
use std::ops::Range;

/// Changes a text once to four times; the result has at most `max` bytes.
pub fn change(input: &[u8], chance: &mut Chance, max: usize) -> Vec<u8> {
    let mut text = input.to_vec();
    for _ in 0..=chance.below(4) {
        text = if chance.once_in(2) { lines(&text, chance) } else { words(&text, chance) };
        text.truncate(max);
    }
    text
}

/// Drops, doubles, exchanges or moves whole lines.
fn lines(text: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut lines: Vec<&[u8]> = text.split_inclusive(|byte| *byte == b'\n').collect();
    if lines.is_empty() {
        return Vec::new();
    }
    let (line, other) = (chance.below(lines.len()), chance.below(lines.len()));
    match chance.below(4) {
        0 => {
            lines.remove(line);
        }
        1 => {
            let copies = if chance.once_in(8) { chance.below(200) } else { 1 };
            let copied = lines[line];
            lines.splice(other..other, std::iter::repeat_n(copied, copies));
        }
        2 => lines.swap(line, other),
        _ => {
            let moved = lines.remove(line);
            lines.insert(other.min(lines.len()), moved);
        }
    }
    lines.concat()
}

/// Replaces a word or number by an extreme value or by another word of the same text.
fn words(text: &[u8], chance: &mut Chance) -> Vec<u8> {
    let words = spans(text);
    let Some(word) = chance.pick(&words).cloned() else { return text.to_vec() };
    let is_number = text.get(word.start).is_some_and(u8::is_ascii_digit);
    match chance.below(6) {
        0 => splice(text, word, &[]),
        1 | 2 if is_number => splice(text, word, chance.extreme().as_bytes()),
        1 => splice(text, word.start..word.start, chance.extreme().as_bytes()),
        2 => {
            let long = "long ".repeat(chance.below(2000));
            splice(text, word, long.as_bytes())
        }
        _ => {
            // A number for a number and a name for a name is read more often.
            let digit = |span: &&Range<usize>| {
                text.get(span.start).is_some_and(u8::is_ascii_digit) == is_number
            };
            let alike: Vec<&Range<usize>> = words.iter().filter(digit).collect();
            let other = chance.pick(&alike).and_then(|span| text.get((*span).clone()));
            splice(text, word, other.unwrap_or_default())
        }
    }
}

fn spans(text: &[u8]) -> Vec<Range<usize>> {
    let inside = |byte: &u8| byte.is_ascii_alphanumeric() || *byte >= 0x80;
    let mut spans = Vec::new();
    let mut at = 0;
    for word in text.split(|byte| !inside(byte)) {
        if !word.is_empty() {
            spans.push(at..at + word.len());
        }
        at += word.len() + 1;
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_where_they_stand() {
        assert_eq!(spans(b"ab, 12(c)"), [0..2, 4..6, 7..8]);
        assert!(spans(b"").is_empty());
    }
}
