//! Words that are spread over the bars they hold for: "cre - - scen - - do", "cresc. ... poco a poco".

use super::sentence::{self, Piece, Reader};
use super::tokens::tokens;
use super::vocabulary::{Meaning, TempoWord};
use crate::import::raw::RawWords;
use crate::instrument::recognize::fold;

/// How many bars may lie between two pieces of one statement.
const MAX_BARS_APART: u32 = 4;

/// Words that are written in syllables.
const SPREAD: [&str; 13] = [
    "crescendo",
    "decrescendo",
    "diminuendo",
    "ritardando",
    "rallentando",
    "accelerando",
    "stringendo",
    "allargando",
    "smorzando",
    "perdendosi",
    "morendo",
    "calando",
    "mancando",
];

/// Beginnings of such words that stand without a hyphen.
const BEGINNINGS: [&str; 22] = [
    "cre",
    "cres",
    "crescen",
    "de",
    "decre",
    "decrescen",
    "di",
    "dimi",
    "dimin",
    "diminu",
    "diminuen",
    "ri",
    "ritar",
    "ritardan",
    "ral",
    "rallen",
    "rallentan",
    "acce",
    "accele",
    "acceleran",
    "smor",
    "smorzan",
];

/// What goes on with a growth or a change of tempo.
const MODIFIERS: [&str; 9] = ["poco", "a", "piu", "molto", "sempre", "assai", "e", "ed", "un"];

/// The text of two neighbors as one statement, if the second goes on with the first.
pub(super) fn continued(last: &RawWords, next: &RawWords, reader: Reader<'_>) -> Option<String> {
    let near = next.pos > last.pos && next.pos.bar - last.pos.bar <= MAX_BARS_APART;
    let plain = !last.framed && !next.framed && !next.with_tempo && !next.with_jump;
    if !near || !plain || last.staff != next.staff || last.text.len() > 100 || next.text.len() > 40
    {
        return None;
    }
    syllables(&last.text, &next.text).or_else(|| modifiers(last, next, reader))
}

fn syllables(last: &str, next: &str) -> Option<String> {
    let before = letters(last);
    let after = letters(next);
    let hyphen = last.trim_end().ends_with(['-', '–', '_']) || next.trim_start().starts_with('-');
    if after.is_empty() || !(hyphen || BEGINNINGS.contains(&before.as_str())) {
        return None;
    }
    let joined = before.clone() + &after;
    let is_start = |word: &str| word.starts_with(&joined) && before.len() >= 2;
    SPREAD.iter().copied().any(is_start).then_some(joined)
}

fn letters(text: &str) -> String {
    fold(text).chars().filter(|letter| letter.is_alphabetic()).collect()
}

fn modifiers(last: &RawWords, next: &RawWords, reader: Reader<'_>) -> Option<String> {
    let words = tokens(&next.text);
    let all = !words.is_empty() && words.iter().all(|word| MODIFIERS.contains(&word.as_str()));
    if !all {
        return None;
    }
    let sentence = sentence::understand(&last.text, reader);
    let grows = |piece: &Piece| {
        matches!(piece, Piece::Known(Meaning::Growing(_) | Meaning::Tempo(TempoWord::Gradual(_))))
    };
    sentence.pieces.last().is_some_and(grows).then(|| format!("{} {}", last.text, next.text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn syllables_are_joined_as_far_as_they_make_a_word() {
        assert_eq!(syllables("cre -", "scen -").as_deref(), Some("crescen"));
        assert_eq!(syllables("crescen", "- - do").as_deref(), Some("crescendo"));
        assert_eq!(syllables("smor", "zan").as_deref(), Some("smorzan"));
        assert_eq!(syllables("cresc.", "e"), None);
        assert_eq!(syllables("dolce", "do"), None);
    }
}
