//! Metronome marks: note values by name, dots, and rates in words.

use crate::score::TempoKind;
use crate::time::Quarters;

/// A rate as printed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Rate {
    /// Beats a minute, greater than 0; the lower end of a range.
    pub(crate) per_minute: f64,
    /// The upper end of a range.
    up_to: Option<f64>,
    /// "ca." or the like.
    about: bool,
}

impl Rate {
    /// The mark with this rate.
    pub(crate) fn of_unit(self, unit: Quarters) -> TempoKind {
        let Self { per_minute, up_to, about } = self;
        TempoKind::Metronome { unit, per_minute, up_to, about }
    }
}

/// The note value of a MusicXML type name.
pub(crate) fn note_value(name: &str) -> Option<Quarters> {
    let (num, den) = match name {
        "maxima" => (32, 1),
        "long" => (16, 1),
        "breve" => (8, 1),
        "whole" => (4, 1),
        "half" => (2, 1),
        "quarter" => (1, 1),
        "eighth" => (1, 2),
        "16th" => (1, 4),
        "32nd" => (1, 8),
        "64th" => (1, 16),
        "128th" => (1, 32),
        "256th" => (1, 64),
        "512th" => (1, 128),
        "1024th" => (1, 256),
        _ => return None,
    };
    Quarters::new(num, den)
}

/// A note value with dots: each adds half of what the one before added.
pub(crate) fn dotted(value: Quarters, dots: usize) -> Option<Quarters> {
    // 2 - 1/2^n times the value.
    let half = 1i64.checked_shl(u32::try_from(dots.min(8)).ok()?)?;
    value.scaled(2 * half - 1, half)
}

/// A rate in words: "72", "ca. 72", "60-66", "c. 100 – 104", `"[80]"`, "= 120 circa", "M.M. 72".
/// `None` without a number between 1 and 2000.
pub(crate) fn rate(text: &str) -> Option<Rate> {
    // "1/4 = 60": what stands before the sign is a note value.
    let text = text.rsplit(['=', '＝']).next().unwrap_or(text);
    let mut numbers: Vec<f64> = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find(|letter: char| letter.is_ascii_digit()) {
        let tail = rest.get(start..)?;
        let is_number = |letter: char| letter.is_ascii_digit() || letter == '.' || letter == ',';
        let end = tail.find(|letter| !is_number(letter)).unwrap_or(tail.len());
        let number = tail.get(..end)?.trim_end_matches(['.', ',']).replace(',', ".");
        numbers.extend(number.parse::<f64>().ok().filter(|n| (1.0..=2000.0).contains(n)));
        rest = tail.get(end..)?;
    }
    let about = says_about(text);
    let (low, high) = match numbers.as_slice() {
        [] => return None,
        [one] => (*one, None),
        [low, high, ..] if high > low => (*low, Some(*high)),
        [one, ..] => (*one, None),
    };
    Some(Rate { per_minute: low, up_to: high, about })
}

/// Printed and played tempi may differ by this share before it is said: rounding in files.
const TOLERANCE: f64 = 0.02;

/// The quarters a minute that a printed mark gives, if a playback tempo contradicts it.
pub(crate) fn contradicted(printed: &TempoKind, playback: f64) -> Option<f64> {
    let TempoKind::Metronome { unit, per_minute, up_to, .. } = printed else { return None };
    let low = per_minute * unit.as_f64();
    let high = up_to.unwrap_or(*per_minute) * unit.as_f64();
    (playback < low * (1.0 - TOLERANCE) || playback > high * (1.0 + TOLERANCE)).then_some(low)
}

/// Whether one of the words says "about", before or behind the number.
fn says_about(text: &str) -> bool {
    const ABOUT: [&str; 13] = [
        "ca",
        "c",
        "circa",
        "cca",
        "about",
        "env",
        "environ",
        "etwa",
        "ungefähr",
        "approx",
        "approximately",
        "around",
        "um",
    ];
    let mut words = text.split(|letter: char| !letter.is_alphabetic());
    text.contains(['~', '≈', '±'])
        || words.any(|word| ABOUT.iter().any(|about| about.eq_ignore_ascii_case(word)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(num: i64, den: i64) -> Quarters {
        Quarters::new(num, den).unwrap()
    }

    #[test]
    fn rates_are_read_with_their_words() {
        let read = |text: &str| rate(text).map(|rate| (rate.per_minute, rate.up_to, rate.about));
        assert_eq!(read("72"), Some((72.0, None, false)));
        assert_eq!(read("ca. 72"), Some((72.0, None, true)));
        assert_eq!(read("60-66"), Some((60.0, Some(66.0), false)));
        assert_eq!(read("c. 100 – 104"), Some((100.0, Some(104.0), true)));
        assert_eq!(read("66.5"), Some((66.5, None, false)));
        assert_eq!(read("[80]"), Some((80.0, None, false)));
        assert_eq!(read("= 120 circa"), Some((120.0, None, true)));
        assert_eq!(read("120 (ca.)"), Some((120.0, None, true)));
        assert_eq!(read("c.120"), Some((120.0, None, true)));
        assert_eq!(read("92-100"), Some((92.0, Some(100.0), false)));
        assert_eq!(read("60 à 66"), Some((60.0, Some(66.0), false)));
        assert_eq!(read("112/120"), Some((112.0, Some(120.0), false)));
        assert_eq!(read("M.M. = 72"), Some((72.0, None, false)));
        assert_eq!(read("1/4 = 60"), Some((60.0, None, false)));
        assert_eq!(read("fast"), None);
        assert_eq!(read("0"), None);
    }

    #[test]
    fn dots_add_half_of_what_was_added() {
        assert_eq!(dotted(Quarters::ONE, 0), Some(Quarters::ONE));
        assert_eq!(dotted(Quarters::ONE, 1), Some(q(3, 2)));
        assert_eq!(dotted(Quarters::ONE, 2), Some(q(7, 4)));
    }
}
