//! What attribute values of MEI say: note values, alterations, key signatures, meters, places in
//! time. Pure functions; nothing here knows a score.

use crate::import::xml::decimal;
use crate::meter::{Meter, MeterSign, MeterTerm};
use crate::pitch::Step;
use crate::time::Quarters;

/// The most groups in a count, and the most terms of a signature: no music has more, and sums stay
/// small.
const MAX_GROUPS: usize = 32;
pub(super) const MAX_TERMS: usize = 8;
/// The most dots that are told apart.
const MAX_DOTS: u32 = 8;

/// A note value: MEI 5, data.DURATION.cmn.
pub(super) fn note_value(text: &str) -> Option<Quarters> {
    match text.trim() {
        "maxima" => Quarters::new(32, 1),
        "long" | "longa" => Quarters::new(16, 1),
        "breve" | "brevis" => Quarters::new(8, 1),
        figure => {
            let figure: i64 = figure.parse().ok()?;
            let known = (1..=2048).contains(&figure) && figure & (figure - 1) == 0;
            known.then(|| Quarters::new(4, figure)).flatten()
        }
    }
}

/// A note value with dots.
pub(super) fn dotted(value: Quarters, dots: u32) -> Option<Quarters> {
    let half = 1i64 << dots.min(MAX_DOTS);
    value.scaled(2 * half - 1, half)
}

/// An alteration in quarter tones: MEI 5, data.ACCIDENTAL.WRITTEN and data.ACCIDENTAL.GESTURAL. The
/// signs for eighths and commas of a tone are taken as the nearest quarter tone; `None` for what is
/// none.
pub(super) fn alteration(text: &str) -> Option<i8> {
    Some(match text.trim() {
        "n" => 0,
        "s" | "ns" => 2,
        "f" | "nf" => -2,
        "ss" | "x" => 4,
        "ff" => -4,
        "xs" | "sx" | "ts" => 6,
        "tf" => -6,
        "su" | "3qs" => 3,
        "sd" | "1qs" | "nu" | "sori" => 1,
        "fu" | "1qf" | "nd" | "koron" => -1,
        "fd" | "3qf" => -3,
        "xu" => 5,
        "xd" => 3,
        "ffu" => -3,
        "ffd" => -5,
        _ => return None,
    })
}

/// A key signature as a place on the circle of fifths: MEI 5, data.KEYFIFTHS: "0", "3f", "2s".
/// `None` for mixed signatures and what is none.
pub(super) fn fifths(text: &str) -> Option<i8> {
    let text = text.trim();
    if text == "0" {
        return Some(0);
    }
    let (count, sign) = match text.strip_suffix('s') {
        Some(count) => (count, 1),
        None => (text.strip_suffix('f')?, -1),
    };
    let count: i8 = count.parse().ok()?;
    (0..=30).contains(&count).then_some(sign * count)
}

/// What a signature alters, in quarter tones, in the order C D E F G A B: sharps in the order
/// F C G D A E B, flats the other way round (common practice).
pub(super) fn altered_by(fifths: i8) -> [i8; 7] {
    const SHARPS: [usize; 7] = [3, 0, 4, 1, 5, 2, 6];
    let mut altered = [0i8; 7];
    for nth in 0..usize::from(fifths.unsigned_abs()) {
        let place = if fifths > 0 { nth % 7 } else { 6 - nth % 7 };
        let step = SHARPS.get(place).and_then(|step| altered.get_mut(*step));
        if let Some(alter) = step {
            *alter += if fifths > 0 { 2 } else { -2 };
        }
    }
    altered
}

/// The step of a pitch name.
pub(super) fn step(text: &str) -> Option<Step> {
    let mut letters = text.trim().chars();
    let letter = letters.next()?;
    letters.next().is_none().then(|| Step::from_letter(letter.to_ascii_uppercase())).flatten()
}

/// A signature from what its attributes say; `None` if they say nothing of a meter, the text in
/// question if it is no meter.
pub(super) fn meter(
    count: Option<&str>,
    unit: Option<&str>,
    symbol: Option<&str>,
    hidden: bool,
) -> Result<Option<Meter>, String> {
    let sign = match symbol {
        _ if hidden => MeterSign::Hidden,
        Some("common") => MeterSign::Common,
        Some("cut") => MeterSign::Cut,
        _ => MeterSign::Figures,
    };
    let (count, unit) = match (count, unit, symbol) {
        (Some(count), unit, _) => (count, unit.unwrap_or("4")),
        (None, _, Some("common")) => ("4", "4"),
        (None, _, Some("cut")) => ("2", "2"),
        (None, ..) => return Ok(None),
    };
    let unreadable = || format!("{count}/{unit}");
    let groups = groups(count).ok_or_else(unreadable)?;
    let unit = figure(unit).ok_or_else(unreadable)?;
    Ok(Some(Meter { terms: vec![MeterTerm { groups, unit }], sign }))
}

/// `4`, `3+2`, `2*3`: MEI 5 allows plus signs and asterisks in a count. An asterisk stands for
/// groups of the same size.
fn groups(text: &str) -> Option<Vec<u32>> {
    let mut out = Vec::new();
    for piece in text.split('+').take(MAX_GROUPS + 1) {
        match piece.split_once('*') {
            Some((times, size)) => {
                let times = figure(times)? as usize;
                out.extend(std::iter::repeat_n(figure(size)?, times.min(MAX_GROUPS + 1)));
            }
            None => out.push(figure(piece)?),
        }
    }
    (out.len() <= MAX_GROUPS).then_some(out)
}

fn figure(text: &str) -> Option<u32> {
    text.trim().parse().ok().filter(|figure| (1..=999).contains(figure))
}

/// A place in a bar as a fraction of its beats, the first at 1: MEI 5, data.BEAT.
pub(super) fn beat(text: &str) -> Option<(i64, i64)> {
    decimal(text).filter(|(num, den)| *num >= 0 && *num <= 1_000_000 * *den)
}

/// Bars onward and the place there: MEI 5, data.MEASUREBEAT, "2m+3". The bars may be missing.
pub(super) fn measure_beat(text: &str) -> Option<(u32, (i64, i64))> {
    let Some((bars, place)) = text.split_once('m') else { return Some((0, beat(text)?)) };
    let bars = bars.trim().parse().ok().filter(|bars| *bars <= 100_000)?;
    Some((bars, beat(place.trim().trim_start_matches('+'))?))
}

/// Strokes through a stem: MEI 5, data.STEMMODIFIER.
pub(super) fn strokes(text: &str) -> Option<u8> {
    match text.trim() {
        // The z on a stem is a buzz roll or an unmeasured tremolo.
        "z" => Some(255),
        text => text.strip_suffix("slash")?.parse().ok().filter(|count| (1..=8).contains(count)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(num: i64, den: i64) -> Option<Quarters> {
        Quarters::new(num, den)
    }

    /// MEI 5 guidelines, chapter 4 "Common Music Notation", basic usage of notes: the values of dur.
    #[test]
    fn note_values_are_parts_of_a_whole_note() {
        assert_eq!(note_value("4"), q(1, 1));
        assert_eq!(note_value("breve"), q(8, 1));
        assert_eq!(note_value("long"), q(16, 1));
        assert_eq!(note_value("2048"), q(4, 2048));
        for text in ["3", "0", "-4", "x", "4096", ""] {
            assert_eq!(note_value(text), None, "{text}");
        }
        assert_eq!(dotted(Quarters::ONE, 2), q(7, 4));
    }

    #[test]
    fn signatures_alter_steps_in_their_order() {
        assert_eq!(fifths("3f"), Some(-3));
        assert_eq!(fifths("1s"), Some(1));
        assert_eq!(fifths("mixed"), None);
        assert_eq!(altered_by(2), [2, 0, 0, 2, 0, 0, 0]);
        assert_eq!(altered_by(-3), [0, 0, -2, 0, 0, -2, -2]);
        assert_eq!(altered_by(8)[3], 4);
        assert_eq!(altered_by(0), [0; 7]);
    }

    #[test]
    fn meters_are_read_with_their_groups_and_signs() {
        let text = |count, unit, symbol| {
            meter(count, unit, symbol, false).map(|meter| meter.map(|meter| meter.to_string()))
        };
        assert_eq!(text(Some("3+2"), Some("8"), None), Ok(Some(String::from("3+2/8"))));
        assert_eq!(text(Some("2*3"), Some("8"), None), Ok(Some(String::from("3+3/8"))));
        assert_eq!(text(None, None, Some("cut")), Ok(Some(String::from("2/2"))));
        assert_eq!(text(None, None, None), Ok(None));
        assert_eq!(text(Some("x"), Some("4"), None), Err(String::from("x/4")));
    }

    /// MEI 5 guidelines, chapter 4, "Timestamps and Durations": "1m+1.5" ends on the second eighth
    /// of the bar after.
    #[test]
    fn places_are_beats_from_one() {
        assert_eq!(measure_beat("1m+1.5"), Some((1, (15, 10))));
        assert_eq!(measure_beat("0m + 3"), Some((0, (3, 1))));
        assert_eq!(measure_beat("2.5"), Some((0, (25, 10))));
        assert_eq!(measure_beat("m+1"), None);
        assert_eq!(beat("-1"), None);
    }

    #[test]
    fn alterations_and_strokes_are_known_by_their_names() {
        assert_eq!(alteration("s"), Some(2));
        assert_eq!(alteration("ff"), Some(-4));
        assert_eq!(alteration("1qf"), Some(-1));
        assert_eq!(alteration("?"), None);
        assert_eq!(strokes("3slash"), Some(3));
        assert_eq!(strokes("z"), Some(255));
        assert_eq!(strokes("sprech"), None);
    }
}
