//! Words for numbers, note values, rates and lists, so that every reason and sentence says the same
//! thing in the same way.

use barloom_core::pattern::Pattern;
use barloom_core::time::Quarters;

/// "one" to "twelve", figures above.
pub(crate) fn number(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

/// "1 bar", "7 bars".
pub(crate) fn count(n: usize, thing: &str) -> String {
    if n == 1 { format!("1 {thing}") } else { format!("{n} {thing}s") }
}

/// Seconds for reading: one decimal below ten, none for whole ones.
pub fn seconds(seconds: f64) -> String {
    let tenths = (seconds * 10.0).round() / 10.0;
    if tenths >= 10.0 || tenths.fract() == 0.0 {
        format!("{tenths:.0}")
    } else {
        format!("{tenths:.1}")
    }
}

/// A rate without useless digits: "96", "76.8".
pub(crate) fn rate(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    if (rounded - rounded.round()).abs() < 0.05 {
        format!("{rounded:.0}")
    } else {
        format!("{rounded:.1}")
    }
}

/// The name of a note value: "quarter", "dotted half"; other lengths as "5/4 of a quarter".
pub fn note_value(length: Quarters) -> String {
    const NAMES: [(i64, i64, &str); 8] = [
        (8, 1, "breve"),
        (4, 1, "whole"),
        (2, 1, "half"),
        (1, 1, "quarter"),
        (1, 2, "eighth"),
        (1, 4, "sixteenth"),
        (1, 8, "thirty-second"),
        (1, 16, "sixty-fourth"),
    ];
    for (num, den, name) in NAMES {
        let plain = Quarters::new(num, den).unwrap_or_default();
        let triplet = plain.scaled(2, 3).unwrap_or_default();
        if length == plain {
            return name.to_owned();
        }
        if Some(length) == plain.scaled(3, 2) {
            return format!("dotted {name}");
        }
        if Some(length) == plain.scaled(7, 4) {
            return format!("double-dotted {name}");
        }
        if length == triplet {
            return format!("triplet {name}");
        }
    }
    format!("{length} of a quarter")
}

/// "a", "a and b", "a, b and c".
pub(crate) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// The text with a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// What is written over a bar that is beaten so, in full and where there is little room. A stroke
/// between figures would look like a meter, so divided beats say so in words.
pub fn figure_words(pattern: &Pattern) -> (String, String) {
    let full = match pattern {
        Pattern::Divided { beats, by: 2 } => format!("{beats} div."),
        Pattern::Divided { beats, by } => format!("{beats} div. by {by}"),
        Pattern::OneHalf => String::from("1, half"),
        Pattern::OneTwoOfThree => String::from("1, 2 of 3"),
        other => other.to_string(),
    };
    let short = match pattern {
        Pattern::Divided { beats, .. } | Pattern::Joined { beats, .. } => beats.to_string(),
        Pattern::OneHalf | Pattern::OneTwoOfThree => String::from("1"),
        _ => full.clone(),
    };
    (full, short)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_and_numbers_are_said_as_musicians_say_them() {
        let q = |text: &str| text.parse::<Quarters>().unwrap();
        assert_eq!(note_value(q("3/2")), "dotted quarter");
        assert_eq!(note_value(q("2")), "half");
        assert_eq!(note_value(q("1/3")), "triplet eighth");
        assert_eq!(note_value(q("5/4")), "5/4 of a quarter");
        assert_eq!(rate(76.8), "76.8");
        assert_eq!(rate(66.96), "67");
        assert_eq!(number(3), "three");
        assert_eq!(number(13), "13");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
