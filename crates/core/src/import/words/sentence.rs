//! A text as a row of known phrases, longest first, and what is left over.

use super::dynamics::{self, Sign};
use super::players::{self, Named};
use super::tokens::tokens;
use super::vocabulary::{self, Meaning};
use crate::event::Level;
use crate::import::limits::MAX_WORDS;
use crate::instrument::{Family, InstrumentId, recognize};

/// A piece of a text that means something.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Piece {
    /// From the table of words.
    Known(Meaning),
    /// A dynamic sign.
    Sign(Sign),
    /// Players by number.
    Named(Named),
    /// Another instrument.
    Instrument(InstrumentId),
}

/// A text understood as far as it goes.
#[derive(Clone, Debug, Default)]
pub(super) struct Sentence {
    /// The pieces in order, without words that only modify others.
    pub(super) pieces: Vec<Piece>,
    /// The number of words that are neither known nor only modify others.
    pub(super) unknown: usize,
    /// The number of words.
    pub(super) words: usize,
    /// The first piece is preceded by nothing but modifiers, one of which compares ("più").
    pub(super) compares: bool,
    /// The last modifier before the next piece asks for more (true) or less (false) of it.
    more: Option<bool>,
    /// What it says lasts until the end of the movement: "al fine".
    pub(super) to_end: bool,
}

/// What the reader of a text knows about its part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reader<'a> {
    /// The family of the instrument in hand.
    pub(super) family: Family,
    /// Instruments that the part takes up, so that their bare names mean a change.
    pub(super) doubles: &'a [InstrumentId],
}

/// Understands a text.
pub(super) fn understand(text: &str, reader: Reader<'_>) -> Sentence {
    let mut words = tokens(&dynamics::glyphs_as_letters(text));
    words.truncate(MAX_WORDS);
    let mut sentence = Sentence { words: words.len(), ..Sentence::default() };
    // Signs are lower case: a capital alone is a letter for orientation, or a crook.
    let mut letters = text.chars().filter(|letter| letter.is_alphanumeric());
    if letters.next().is_some_and(char::is_uppercase) && letters.next().is_none() {
        let player = players::may_be_numbered(reader.family) && players::named(&words).is_some();
        if !player {
            sentence.unknown = 1;
            return sentence;
        }
    }
    if let Some(instrument) = bare_name(text, &words, reader) {
        sentence.pieces.push(Piece::Instrument(instrument));
        return sentence;
    }
    let mut at = 0;
    let mut known = 0;
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        let (pieces, unknown) = (sentence.pieces.len(), sentence.unknown);
        let taken = sentence.take(rest, reader, text).max(1);
        if sentence.pieces.len() > pieces && sentence.unknown == unknown {
            known += taken;
        }
        at += taken;
    }
    // A text of strangers in which a word or two look familiar is no statement: a title, a line of
    // the libretto.
    if sentence.unknown >= 2 && sentence.unknown > known {
        sentence.pieces.clear();
    }
    sentence
}

impl Sentence {
    /// Takes the phrase at the start of `rest` and says how many words it had.
    fn take(&mut self, rest: &[String], reader: Reader<'_>, text: &str) -> usize {
        // Numbers of players stand at the start or after other phrases: "cresc. 1.", "1. solo".
        let phrase = vocabulary::longest(rest, reader.family);
        if phrase.is_none_or(|phrase| phrase.words.len() < 2)
            && players::may_be_numbered(reader.family)
            && let Some((named, taken)) = players::named(rest)
        {
            self.pieces.push(Piece::Named(named));
            return taken;
        }
        let Some(phrase) = phrase else {
            match rest.first().and_then(|word| sign_of(word, reader, text)) {
                Some(sign) => self.sign(sign),
                None => self.unknown += 1,
            }
            return 1;
        };
        let taken = phrase.words.len();
        match phrase.meaning {
            Meaning::Filler => {
                // "piano" and "forte" are no fillers; a lone letter that is a sign is one.
                if taken == 1
                    && let Some(sign) = rest.first().and_then(|word| sign_of(word, reader, text))
                {
                    self.sign(sign);
                    return taken;
                }
                let word = phrase.words.first().copied().unwrap_or_default();
                let more = ["piu", "plus", "ancora", "noch", "more", "encore"].contains(&word);
                let less = ["meno", "moins", "less", "weniger"].contains(&word);
                let comparing = more || less || ["etwas", "poco"].contains(&word);
                self.compares |= self.pieces.is_empty() && comparing;
                if more || less {
                    self.more = Some(more);
                }
                taken
            }
            Meaning::Change => {
                let behind: Vec<&str> = rest.iter().skip(taken).map(String::as_str).collect();
                match recognize::by_name(&behind.join(" ")) {
                    Some(instrument) => {
                        self.pieces.push(Piece::Instrument(instrument));
                        rest.len()
                    }
                    None => {
                        // A crook, a tuning, or something else that is taken in hand.
                        let crook = behind.iter().all(|word| word.len() <= 4);
                        if crook && !behind.is_empty() && phrase.words.first() != Some(&"to") {
                            self.pieces.push(Piece::Known(Meaning::Expression));
                            rest.len()
                        } else {
                            self.unknown += 1;
                            taken
                        }
                    }
                }
            }
            Meaning::ToEnd => {
                self.to_end = true;
                taken
            }
            meaning => {
                self.pieces.push(Piece::Known(meaning));
                self.more = None;
                taken
            }
        }
    }

    fn sign(&mut self, sign: Sign) {
        // "più f" asks for more than before, "meno p" for less: no level of its own. Loud and soft
        // pull in opposite directions: "più p" is softer.
        let piece = match (sign, self.more.take()) {
            (Sign::Level(level), Some(more)) => {
                Piece::Known(Meaning::Relative((level >= Level::Mf) == more))
            }
            (Sign::Level(_), None) if self.compares && self.pieces.is_empty() => {
                Piece::Known(Meaning::Expression)
            }
            _ => Piece::Sign(sign),
        };
        self.pieces.push(piece);
    }
}

/// The dynamic sign that a word of the text is. On a keyboard "piano" is the instrument, and a
/// capital is a key ("in F").
fn sign_of(word: &str, reader: Reader<'_>, text: &str) -> Option<Sign> {
    let name = word == "piano" && reader.family == Family::HarpAndKeyboards;
    let sign = dynamics::sign(word).filter(|_| !name)?;
    let capital = |written: &str| written.len() == 1 && written != word;
    let mut written = text.split(|letter: char| !letter.is_alphanumeric());
    let is_key =
        word.len() == 1 && written.any(|one| capital(one) && one.eq_ignore_ascii_case(word));
    (!is_key).then_some(sign)
}

/// The bare name of an instrument that the part has in reach.
fn bare_name(text: &str, words: &[String], reader: Reader<'_>) -> Option<InstrumentId> {
    let percussion = reader.family == Family::Percussion;
    if words.is_empty() || words.len() > 4 || (!percussion && reader.doubles.is_empty()) {
        return None;
    }
    // A phrase of the trade is never a name: "Solo", "Becken frei" aside.
    if vocabulary::longest(words, reader.family).is_some_and(|p| p.words.len() == words.len()) {
        return None;
    }
    let named = recognize::by_exact_name(text)?;
    let in_reach =
        reader.doubles.contains(&named) || percussion && named.get().family == Family::Percussion;
    in_reach.then_some(named)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Device, PlayersMark};

    fn read(text: &str, family: Family) -> Sentence {
        understand(text, Reader { family, doubles: &[] })
    }

    fn devices(text: &str, family: Family) -> Vec<(Device, bool)> {
        let pieces = read(text, family).pieces.into_iter();
        let device = |piece| match piece {
            Piece::Known(Meaning::Device(device, on)) => Some((device, on)),
            _ => None,
        };
        pieces.filter_map(device).collect()
    }

    /// Wording in four languages: MusicXML 4.0 documentation of `string-mute` and `stopped`,
    /// encyclopedia articles on mutes ("mettez/ôtez les sourdines"), otherwise common practice.
    #[test]
    fn mutes_are_known_in_four_languages() {
        for text in [
            "con sord.",
            "Con sordino",
            "mit Dpf.",
            "m. Dpf.",
            "mit Dämpfer",
            "sourd.",
            "mettez les sourdines",
            "avec sourdine",
            "muted",
            "with mute",
            "sord.",
        ] {
            assert_eq!(devices(text, Family::Strings), [(Device::Mute, true)], "{text}");
        }
        for text in [
            "senza sord.",
            "via sordini",
            "ohne Dämpfer",
            "Dämpfer ab",
            "o. Dpf.",
            "ôtez la sourdine",
            "ôtez les sourdines",
            "sans sourdine",
            "without mute",
        ] {
            assert_eq!(devices(text, Family::Strings), [(Device::Mute, false)], "{text}");
        }
    }

    #[test]
    fn several_statements_in_one_text_are_all_taken() {
        assert_eq!(
            devices("con sord., pizz.", Family::Strings),
            [(Device::Mute, true), (Device::Plucked, true)]
        );
        assert_eq!(
            devices("arco, sul pont.", Family::Strings),
            [(Device::Plucked, false), (Device::Bridge, true)]
        );
        let sentence = read("pp sempre, div. a 3", Family::Strings);
        assert_eq!(
            sentence.pieces,
            [
                Piece::Sign(Sign::Level(Level::Pp)),
                Piece::Known(Meaning::Players(PlayersMark::Divided(3)))
            ]
        );
    }

    #[test]
    fn what_a_word_means_depends_on_the_instrument() {
        let open = [Piece::Known(Meaning::Open)];
        assert_eq!(read("offen", Family::Brass).pieces, open);
        assert_eq!(read("open", Family::Brass).pieces, open);
        assert!(read("offen", Family::Strings).pieces.is_empty());
        assert_eq!(devices("mit Dämpfer", Family::Percussion), [(Device::Muffled, true)]);
        // On a piano the words ask for raised dampers: the pedal.
        assert_eq!(devices("senza sordini", Family::HarpAndKeyboards), []);
        assert_eq!(devices("gestopft", Family::Brass), [(Device::Stopped, true)]);
        assert_eq!(devices("+", Family::Strings), []);
        let half = read("a 2", Family::Woodwinds).pieces;
        assert_eq!(half, [Piece::Known(Meaning::Players(PlayersMark::All))]);
    }

    #[test]
    fn comparisons_are_no_levels_and_strangers_are_counted() {
        assert_eq!(read("più f", Family::Brass).pieces, [Piece::Known(Meaning::Relative(true))]);
        assert_eq!(read("più p", Family::Brass).pieces, [Piece::Known(Meaning::Relative(false))]);
        assert_eq!(read("meno p", Family::Brass).pieces, [Piece::Known(Meaning::Relative(true))]);
        let cuckoo = read("Kuckuck", Family::Woodwinds);
        assert_eq!((cuckoo.pieces.len(), cuckoo.unknown), (0, 1));
        assert_eq!(read("sempre", Family::Woodwinds).unknown, 0);
    }

    #[test]
    fn changes_of_instrument_name_the_new_one() {
        let named = |text| read(text, Family::Woodwinds).pieces;
        let to = |name| vec![Piece::Instrument(InstrumentId::by_name(name).unwrap())];
        assert_eq!(named("muta in Flauto piccolo"), to("piccolo"));
        assert_eq!(named("nimmt Englischhorn"), to("cor anglais"));
        assert_eq!(named("prend la petite flûte"), to("piccolo"));
        assert_eq!(named("take bass clarinet"), to("bass clarinet"));
        assert_eq!(named("to Picc."), to("piccolo"));
        assert_eq!(named("muta in A"), [Piece::Known(Meaning::Expression)]);
    }
}
