//! What words mean: playing techniques, players, growth and expression, in Italian, German, French
//! and English. Tempo words have a table of their own.

mod table;

use crate::event::{Device, Level, PlayersMark};
use crate::instrument::Family;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What a phrase means.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Meaning {
    /// A technique begins or ends.
    Device(Device, bool),
    /// Brass: neither muted nor stopped.
    Open,
    /// Back to the ordinary way of playing.
    Ordinary,
    /// Louder or softer by degrees.
    Growing(bool),
    /// Softer by degrees until nothing sounds.
    ToNothing,
    /// Louder or softer than before.
    Relative(bool),
    /// A level in words.
    Level(Level),
    /// Until the end of the movement.
    ToEnd,
    /// Who plays.
    Players(PlayersMark),
    /// Another instrument follows.
    Change,
    /// A tempo word.
    Tempo(TempoWord),
    /// Character or manner without a state of its own.
    Expression,
    /// A word that only modifies others.
    Filler,
}

/// What a tempo word asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum TempoWord {
    /// A tempo.
    Term,
    /// A tempo when it is printed as one, otherwise a character.
    Character,
    /// Faster or slower by degrees.
    Gradual(bool),
    /// Back to the tempo.
    ATempo,
    /// Back to the first tempo.
    Primo,
    /// No clock holds.
    Free,
    /// Pairs of notes are uneven, or even again.
    Swing(bool),
}

/// For whom a phrase has its meaning.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Scope {
    /// Everyone.
    Any,
    /// Brass.
    Brass,
    /// Timpani and percussion.
    Percussion,
    /// Percussion, harp and keyboards.
    Struck,
    /// Bowed strings.
    Strings,
    /// Whoever can be muted in the ordinary sense: not percussion, not keyboards.
    Mutable,
    /// Winds and voices: those who have several players on a staff.
    Winds,
}

impl Scope {
    /// Whether the phrase holds for an instrument of this family. An unknown instrument may be
    /// anything.
    pub(super) fn covers(self, family: Family) -> bool {
        use Family::{Brass, HarpAndKeyboards, Other, Percussion, Strings, Voices, Woodwinds};
        match self {
            Self::Any => true,
            Self::Brass => matches!(family, Brass | Other),
            Self::Percussion => family == Percussion,
            Self::Struck => matches!(family, Percussion | HarpAndKeyboards),
            Self::Strings => matches!(family, Strings | Other),
            Self::Mutable => !matches!(family, Percussion | HarpAndKeyboards | Voices),
            Self::Winds => matches!(family, Woodwinds | Brass | Voices | Percussion | Other),
        }
    }
}

/// A phrase of the table.
#[derive(Debug)]
pub(super) struct Phrase {
    /// Its words.
    pub(super) words: Vec<&'static str>,
    /// For whom.
    pub(super) scope: Scope,
    /// What.
    pub(super) meaning: Meaning,
}

/// All phrases by their first word, the longest first.
static PHRASES: LazyLock<BTreeMap<&'static str, Vec<Phrase>>> = LazyLock::new(|| {
    let mut map: BTreeMap<&'static str, Vec<Phrase>> = BTreeMap::new();
    let tempo = super::tempo_terms::TABLE.iter();
    let tempo = tempo.map(|(word, phrases)| (Meaning::Tempo(*word), Scope::Any, *phrases));
    // Tempo words first: what is a character elsewhere is a tempo where it is printed as one.
    for (meaning, scope, phrases) in tempo.chain(table::TABLE.iter().copied()) {
        for phrase in phrases.split('|') {
            let words: Vec<&'static str> = phrase.split_whitespace().collect();
            if let Some(first) = words.first() {
                map.entry(first).or_default().push(Phrase { words, scope, meaning });
            }
        }
    }
    for phrases in map.values_mut() {
        // The sort is stable: of equally long phrases the row that stands first counts.
        phrases.sort_by_key(|phrase| std::cmp::Reverse(phrase.words.len()));
    }
    map
});

/// The longest phrase that begins these words and holds for the family.
pub(super) fn longest(words: &[String], family: Family) -> Option<&'static Phrase> {
    let phrases = PHRASES.get(words.first()?.as_str())?;
    phrases.iter().find(|phrase| {
        phrase.scope.covers(family)
            && phrase.words.len() <= words.len()
            && phrase.words.iter().zip(words).all(|(known, word)| known == word)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_phrase_is_spelled_as_the_tokens_are() {
        for phrase in PHRASES.values().flatten() {
            let text = phrase.words.join(" ");
            let tokens = super::super::tokens::tokens(&text);
            assert_eq!(tokens, phrase.words, "\"{text}\" can never match");
        }
    }
}
