//! Texts made comparable: lower case, no accents, no points, one space.

use crate::instrument::recognize::fold;

/// The words of a text. Points, commas and brackets only part words; hyphens and apostrophes part
/// them too ("coll'arco" is "coll" and "arco"), except between figures.
pub(super) fn tokens(text: &str) -> Vec<String> {
    let folded = fold(text);
    let mut out: Vec<String> = Vec::new();
    let mut word = String::new();
    let mut letters = folded.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter.is_alphanumeric() {
            // "a2" and "zu2" are two words, "1o" and "2nd" are one.
            let figure_after_letter = letter.is_ascii_digit()
                && word.chars().last().is_some_and(|last| last.is_alphabetic());
            if figure_after_letter {
                out.push(std::mem::take(&mut word));
            }
            word.push(letter);
            continue;
        }
        let joins = matches!(letter, '-' | '–')
            && word.chars().last().is_some_and(|last| last.is_ascii_digit())
            && letters.peek().is_some_and(char::is_ascii_digit);
        if joins {
            word.push('-');
            continue;
        }
        if !word.is_empty() {
            out.push(std::mem::take(&mut word));
        }
        if letter == '+' {
            out.push(String::from("+"));
        }
    }
    if !word.is_empty() {
        out.push(word);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_one_phrase_become_one() {
        for text in ["con sord.", "Con  Sord", "(con sord.)", "con-sord."] {
            assert_eq!(tokens(text), ["con", "sord"], "{text}");
        }
        assert_eq!(tokens("ôtez la sourdine"), ["otez", "la", "sourdine"]);
        assert_eq!(tokens("mit Dämpfer"), ["mit", "daempfer"]);
        assert_eq!(tokens("a2"), ["a", "2"]);
        assert_eq!(tokens("a. 2"), ["a", "2"]);
        assert_eq!(tokens("1.2."), ["1", "2"]);
        assert_eq!(tokens("1-4"), ["1-4"]);
        assert_eq!(tokens("1º solo"), ["1o", "solo"]);
        assert_eq!(tokens("coll'arco"), ["coll", "arco"]);
    }
}
