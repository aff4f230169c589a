//! Players by number: "1.", "I.", "2.3.", "1. Solo", "I. II.".

use crate::instrument::Family;
use crate::instrument::recognize::roman;

/// Players named by their numbers, counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Named {
    /// The numbers in order.
    pub(super) numbers: Vec<u8>,
    /// "solo" stands behind them.
    pub(super) solo: bool,
}

/// The players that the texts of a part name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Mentioned {
    /// Bit n stands for player n.
    numbers: u16,
    /// "a 2" or the like stands there.
    pub(crate) together: bool,
}

impl Mentioned {
    /// Adds a player, counted from 1; no part has more than 15.
    pub(super) fn add(&mut self, number: u8) {
        if (1..16).contains(&number) {
            self.numbers |= 1 << number;
        }
    }

    /// The highest number; 2 if only "a 2" or the like stands there; 0 if nothing does.
    pub(crate) fn highest(self) -> u8 {
        let together = if self.together { 2 } else { 0 };
        self.numbers.checked_ilog2().map_or(together, |highest| together.max(highest as u8))
    }

    /// The lowest and the highest number, if there are several.
    pub(crate) fn several(self) -> Option<(u8, u8)> {
        let (lowest, highest) = (self.numbers.trailing_zeros(), self.numbers.checked_ilog2()?);
        (lowest < highest).then_some((lowest as u8, highest as u8))
    }
}

/// Whether numbers in a part of this family are players: on bowed strings they are strings or
/// desks, on keyboards fingers, under voices verses or stray syllables.
pub(super) fn may_be_numbered(family: Family) -> bool {
    matches!(family, Family::Woodwinds | Family::Brass | Family::Percussion)
}

/// Players at the start of these words, and how many words name them. Figures are not players when
/// they count something else ("2 Pulte", "3 fach").
pub(super) fn named(words: &[String]) -> Option<(Named, usize)> {
    let mut numbers: Vec<u8> = Vec::new();
    let mut taken = 0;
    for word in words {
        if let Some(number) = number(word) {
            numbers.push(number);
        } else if let Some((from, to)) = span(word) {
            numbers.extend(from..=to);
        } else if !numbers.is_empty() && matches!(word.as_str(), "e" | "u" | "und" | "and" | "et") {
            // Only between numbers.
            if words.get(taken + 1).and_then(|word| self::number(word)).is_none() {
                break;
            }
        } else {
            break;
        }
        taken += 1;
    }
    if numbers.is_empty() {
        return None;
    }
    let next = words.get(taken).map(String::as_str);
    let solo = matches!(next, Some("solo" | "sola" | "seul" | "allein" | "only"));
    taken += usize::from(solo);
    let follows = words.get(taken).map(String::as_str);
    let counts = [
        "fach", "pult", "pulte", "leggio", "leggii", "desks", "desk", "stands", "tempo", "mal",
        "volta", "times", "corda", "bar", "bars", "takte", "viol",
    ];
    if follows.is_some_and(|word| counts.contains(&word)) {
        return None;
    }
    // "1" to "8" alone, or with other words behind: a metronome figure or a bar count is longer.
    numbers.dedup();
    Some((Named { numbers, solo }, taken))
}

fn number(word: &str) -> Option<u8> {
    let number = match word {
        "1st" | "1er" | "1re" | "1o" | "1mo" | "1ma" | "1a" => 1,
        "2nd" | "2e" | "2o" | "2do" | "2da" | "2me" | "2d" | "2a" => 2,
        "3rd" | "3e" | "3o" | "3zo" | "3me" => 3,
        "4th" | "4e" | "4o" | "4to" | "4me" => 4,
        "imo" | "io" => 1,
        "iio" | "iido" | "iindo" => 2,
        word => roman(word).or_else(|| word.parse().ok())?,
    };
    (1..=8).contains(&number).then_some(number)
}

fn span(word: &str) -> Option<(u8, u8)> {
    let (from, to) = word.split_once('-')?;
    let (from, to) = (number(from)?, number(to)?);
    (from < to).then_some((from, to))
}

#[cfg(test)]
mod tests {
    use super::super::tokens::tokens;
    use super::*;

    fn check(text: &str) -> Option<(Vec<u8>, bool)> {
        named(&tokens(text)).map(|(named, _)| (named.numbers, named.solo))
    }

    #[test]
    fn numbers_of_players_are_read_in_every_spelling() {
        assert_eq!(check("1."), Some((vec![1], false)));
        assert_eq!(check("I."), Some((vec![1], false)));
        assert_eq!(check("2.3."), Some((vec![2, 3], false)));
        assert_eq!(check("I. II."), Some((vec![1, 2], false)));
        assert_eq!(check("1º solo"), Some((vec![1], true)));
        assert_eq!(check("1. u. 2."), Some((vec![1, 2], false)));
        assert_eq!(check("1-4"), Some((vec![1, 2, 3, 4], false)));
        assert_eq!(check("2 Pulte"), None);
        assert_eq!(check("3-fach"), None);
        assert_eq!(check("dolce"), None);
        assert_eq!(check("12"), None);
    }
}
