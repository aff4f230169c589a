//! Words that send the play elsewhere: D.C., D.S., Fine, To Coda, and what they say about repeats
//! and times.

use super::tokens::tokens;
use crate::bar::{BarFlow, Jump, JumpTo, Until, WayOut};

/// What the words of one direction say about the order of play.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(crate) struct Said {
    /// Jumps, ways out and the word "Coda" for the sign.
    pub(crate) flow: BarFlow,
    /// "3x", "play 4 times": how often the repeat that ends here is played.
    pub(crate) times: Option<u32>,
}

/// Reads a text; `signs` are the segno and coda drawn beside it, which belong to the sentence.
/// `None` if it says nothing about the order of play.
pub(crate) fn read(text: &str, signs: (bool, bool)) -> Option<Said> {
    let text: String = text.chars().map(spelled).collect::<Vec<_>>().concat();
    let words = tokens(&text);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let sentence = Sentence { words: &words, signs };
    let mut said = Said::default();
    if let Some(to) = sentence.jump() {
        said.flow.jump = Some(sentence.jump_of(to));
    } else if sentence.leaves_for_coda() {
        let name = sentence.name_after(CODA);
        said.flow.to_coda = Some(WayOut { name, passes: sentence.passes() });
    } else if sentence.is_fine() {
        let passes = sentence.passes();
        said.flow.fine = Some(WayOut { name: String::new(), passes });
    } else if words.first().is_some_and(|word| CODA.contains(word)) && words.len() <= 2 {
        let name = sentence.name_after(CODA);
        if words.len() == 2 && name.is_empty() {
            return None;
        }
        said.flow.coda = Some(name);
    } else {
        said.times = Some(times(&words)?);
    }
    Some(said)
}

/// Whether a text at the start of a bar is the heading of a middle section: "Trio. Vivace".
pub(crate) fn begins_middle(text: &str) -> bool {
    tokens(text).first().is_some_and(|word| word == "trio")
}

const CODA: &[&str] = &["coda", "kopf", "codasign"];
const SEGNO: &[&str] = &["segno", "sign", "zeichen", "signe", "segnosign", "s"];
const FINE: &[&str] = &["fine", "fin", "ende", "end", "schluss"];
const UP_TO: &[&str] = &["al", "alla", "bis", "zum", "zur", "to", "au", "a", "until", "till"];
const TIME: &[&str] = &["time", "times", "volta", "volte", "mal", "fois", "vez", "x"];

/// Signs drawn as letters, as words.
fn spelled(letter: char) -> String {
    match letter {
        '\u{1d10b}' | '\u{e047}' | '\u{e04a}' => String::from(" segno "),
        '\u{1d10c}' | '\u{e048}' | '\u{e049}' => String::from(" coda "),
        '\u{1d109}' | '\u{e045}' => String::from(" dal segno "),
        '\u{1d10a}' | '\u{e046}' => String::from(" da capo "),
        other => other.to_string(),
    }
}

struct Sentence<'a> {
    words: &'a [&'a str],
    /// A segno and a coda sign are drawn beside the words.
    signs: (bool, bool),
}

impl Sentence<'_> {
    fn has(&self, phrase: &[&str]) -> bool {
        self.words.windows(phrase.len()).any(|window| window == phrase)
    }

    fn has_any(&self, phrases: &[&[&str]]) -> bool {
        phrases.iter().any(|phrase| self.has(phrase))
    }

    fn jump(&self) -> Option<JumpTo> {
        let capo: &[&[&str]] = &[
            &["d", "c"],
            &["dc"],
            &["da", "capo"],
            &["dacapo"],
            &["von", "vorn"],
            &["von", "vorne"],
            &["from", "the", "beginning"],
            &["depuis", "le", "debut"],
            &["au", "debut"],
        ];
        let segno: &[&[&str]] = &[
            &["d", "s"],
            &["ds"],
            &["d", "s", "s"],
            &["dss"],
            &["dal", "segno"],
            &["del", "segno"],
            &["dalsegno"],
            &["vom", "zeichen"],
            &["from", "the", "sign"],
            &["from", "sign"],
            &["du", "signe"],
        ];
        let at = |phrases: &[&[&str]]| {
            let find = |phrase: &&[&str]| {
                self.words.windows(phrase.len()).position(|window| window == *phrase)
            };
            phrases.iter().filter_map(find).min()
        };
        // In the middle of a longer sentence ("come prima, poi da capo") it is still an order.
        match (at(capo), at(segno)) {
            (None, None) => None,
            // "Da capo dal segno": to the sign.
            (_, Some(_)) => Some(JumpTo::Segno),
            (Some(_), None) => Some(JumpTo::Beginning),
        }
    }

    fn jump_of(&self, to: JumpTo) -> Jump {
        let poi = self.has_any(&[&["poi"], &["then"], &["dann"], &["puis"]]);
        let names_coda = self.words.iter().any(|word| CODA.contains(word)) || self.signs.1;
        let then_coda = poi && names_coda;
        let until = if self.goes_up_to(FINE) {
            Until::Fine
        } else if self.goes_up_to(CODA) || names_coda && !then_coda {
            Until::Coda
        } else if self.goes_up_to(SEGNO) {
            Until::Segno
        } else {
            Until::Unstated
        };
        let doubled = self.has_any(&[&["d", "s", "s"], &["dss"]]);
        let segno = match to {
            JumpTo::Segno if doubled => String::from("2"),
            JumpTo::Segno => self.name_after(SEGNO),
            JumpTo::Beginning => String::new(),
        };
        let coda = self.name_after(CODA);
        Jump { to, segno, coda, until, then_coda, repeats: self.repeats(), passes: self.passes() }
    }

    /// "al Fine": one of `goals` right behind a word that means "up to", or the article after it.
    fn goes_up_to(&self, goals: &[&str]) -> bool {
        let article = |word: &&str| matches!(*word, "the" | "la" | "il" | "das" | "signe");
        self.words.iter().enumerate().any(|(idx, word)| {
            let mut rest = self.words.get(idx + 1..).unwrap_or_default();
            if rest.first().is_some_and(article) {
                rest = rest.get(1..).unwrap_or_default();
            }
            // "al" of "D.S. al", not the "s" of "D.S.".
            let goal = rest.first().is_some_and(|next| *next != "s" && goals.contains(next));
            UP_TO.contains(word) && goal
        })
    }

    fn leaves_for_coda(&self) -> bool {
        let leads = |word: &&str| {
            matches!(*word, "to" | "al" | "alla" | "zur" | "zum" | "a" | "go" | "jump" | "vers")
        };
        let word = self.words.iter().any(|word| CODA.contains(word)) || self.signs.1;
        word && self.words.len() <= 7 && self.words.iter().any(leads) || self.has(&["tocoda"])
    }

    fn is_fine(&self) -> bool {
        let bare: Vec<&&str> = self.words.iter().filter(|word| !self.is_of_time(word)).collect();
        matches!(bare.as_slice(), [word] if matches!(**word, "fine" | "fin" | "ende"))
    }

    /// Whether repeats are taken after the jump.
    fn repeats(&self) -> Option<bool> {
        let repeat = |word: &str| {
            word.starts_with("rep")
                || word.starts_with("ritorn")
                || word.starts_with("wiederh")
                || word == "wdh"
        };
        let place = self.words.iter().position(|word| repeat(word))?;
        let before = self.words.get(..place).unwrap_or_default();
        let near = before.iter().rev().take(3);
        for word in near {
            match *word {
                "senza" | "no" | "not" | "without" | "ohne" | "sans" | "sin" => return Some(false),
                "con" | "with" | "mit" | "avec" => return Some(true),
                _ => {}
            }
        }
        None
    }

    fn is_of_time(&self, word: &str) -> bool {
        TIME.contains(&word) || ordinal(word).is_some() || matches!(word, "only" | "on" | "the")
    }

    /// "2nd time", "2a volta", "beim 2. Mal": the times at which something holds.
    fn passes(&self) -> Vec<u32> {
        let pairs = self.words.windows(2);
        pairs
            .filter(|pair| pair.get(1).is_some_and(|word| TIME.contains(word)))
            .filter_map(|pair| ordinal(pair.first()?))
            .collect()
    }

    /// The number behind a word, as text: "Coda 2", "Coda II", "Segno 2".
    fn name_after(&self, of: &[&str]) -> String {
        let place = self.words.iter().position(|word| of.contains(word) && word.len() > 1);
        let behind = place.and_then(|place| self.words.get(place + 1));
        // "To Coda 2nd time" numbers the time, not the coda.
        let time = place.and_then(|place| self.words.get(place + 2));
        if time.is_some_and(|word| TIME.contains(word)) {
            return String::new();
        }
        match behind.copied() {
            Some("1" | "i") => String::from("1"),
            Some("2" | "ii") => String::from("2"),
            Some("3" | "iii") => String::from("3"),
            Some("4" | "iv") => String::from("4"),
            _ => String::new(),
        }
    }
}

/// "2", "2nd", "2a", "seconda".
fn ordinal(word: &str) -> Option<u32> {
    match word {
        "first" | "prima" | "erstes" | "ersten" | "premiere" => return Some(1),
        "second" | "seconda" | "zweites" | "zweiten" | "deuxieme" => return Some(2),
        "third" | "terza" | "drittes" | "dritten" | "troisieme" => return Some(3),
        _ => {}
    }
    let figures = word.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
    let ending = word.get(figures.len()..).unwrap_or_default();
    let known = matches!(ending, "" | "st" | "nd" | "rd" | "th" | "a" | "o" | "e" | "da" | "ra");
    figures.parse().ok().filter(|n| known && (1..=20).contains(n))
}

/// "3x", "play 4 times", "4 mal", "ter": how often a repeat is played, if that is all that is said.
fn times(words: &[&str]) -> Option<u32> {
    let spare =
        |word: &&&str| matches!(**word, "play" | "repeat" | "spielen" | "jouer" | "in" | "all");
    let bare: Vec<&str> = words.iter().filter(|word| !spare(word)).copied().collect();
    let figure = match bare.as_slice() {
        ["ter"] => "3",
        ["quater"] => "4",
        [one] => one.strip_suffix('x')?,
        [figure, "times" | "mal" | "volte" | "fois" | "x"] => figure,
        ["x", figure] => figure,
        _ => return None,
    };
    figure.parse().ok().filter(|n| (2..=100).contains(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str) -> BarFlow {
        read(text, (false, false)).map(|said| said.flow).unwrap_or_default()
    }

    fn jump(text: &str) -> Jump {
        check(text).jump.unwrap_or_else(|| panic!("\"{text}\" is no jump"))
    }

    #[test]
    fn jumps_are_known_in_the_usual_languages() {
        let rows = [
            ("D.C.", "D.C."),
            ("D. C. al Fine", "D.C. al Fine"),
            ("Da Capo", "D.C."),
            ("da capo al coda", "D.C. al Coda"),
            ("D.C. sin' al Fine", "D.C. al Fine"),
            ("Da capo bis zum Ende", "D.C. al Fine"),
            ("D.S. al Coda", "D.S. al Coda"),
            ("D.S. al \u{1d10c}", "D.S. al Coda"),
            ("\u{e045} al Fine", "D.S. al Fine"),
            ("Da capo al segno, e poi la Coda", "D.C. al Segno e poi la Coda"),
            ("D.C. e poi la Coda", "D.C. e poi la Coda"),
            ("Dal segno senza repetizione", "D.S."),
            ("Vom Zeichen bis Schluss", "D.S. al Fine"),
            ("come prima, poi da capo", "D.C."),
        ];
        for (text, printed) in rows {
            assert_eq!(jump(text).to_string(), printed, "{text}");
        }
    }

    #[test]
    fn what_the_words_say_about_repeats_is_read() {
        for text in ["D.C. senza rep.", "D.C. al Fine (no repeats)", "D.S. ohne Wiederholungen"] {
            assert_eq!(jump(text).repeats, Some(false), "{text}");
        }
        for text in ["D.C. con rep.", "D.C. al Fine, with repeats", "D.C. avec reprises"] {
            assert_eq!(jump(text).repeats, Some(true), "{text}");
        }
        assert_eq!(jump("D.C. al Fine").repeats, None);
    }

    #[test]
    fn ways_out_and_their_times() {
        let way = |name: &str, passes: &[u32]| {
            Some(WayOut { name: name.to_owned(), passes: passes.to_vec() })
        };
        assert_eq!(check("To Coda").to_coda, way("", &[]));
        assert_eq!(check("to Coda II").to_coda, way("2", &[]));
        assert_eq!(check("To Coda 2nd time").to_coda, way("", &[2]));
        assert_eq!(check("To \u{e048}").to_coda, way("", &[]));
        assert_eq!(read("To", (false, true)).unwrap().flow.to_coda, way("", &[]));
        assert_eq!(check("Fine").fine, way("", &[]));
        assert_eq!(check("Fine (2a volta)").fine, way("", &[2]));
        assert_eq!(check("Coda").coda.as_deref(), Some(""));
        assert_eq!(check("Coda 2").coda.as_deref(), Some("2"));
        assert_eq!(jump("D.S. al Coda 2").coda, "2");
        assert_eq!(jump("D.S.S. al Coda").segno, "2");
        assert_eq!(jump("D.C. 2nd time").passes, [2]);
    }

    #[test]
    fn times_of_a_repeat() {
        for (text, n) in [("3x", 3), ("play 4 times", 4), ("(4 mal)", 4), ("ter", 3)] {
            assert_eq!(read(text, (false, false)).unwrap().times, Some(n), "{text}");
        }
        for text in ["dolce", "c. d.", "fine ad lib.", "1x", "a 2", "tempo", "2. Flute", "to C"] {
            assert_eq!(read(text, (false, false)), None, "{text}");
        }
    }
}
