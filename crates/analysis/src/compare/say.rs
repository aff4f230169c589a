//! The words of a comparison.

use super::portrait::Portrait;
use super::{Aspect, Comparison, Passage, Remark};
use crate::plan::words::roman;
use crate::say;
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::event::Level;

/// A pitch class that sounds less than this share of a bar is passing.
pub(super) const LEAST_CLASS: f32 = 0.09;

/// "Horn 1 instead of Clarinet 1".
pub(super) fn instead(now: &str, before: &str) -> String {
    format!("{now} instead of {before}")
}

/// The name of an interval of at least one semitone: "a fifth", "an octave and a third".
fn interval(semitones: u32) -> String {
    const NAMES: [&str; 12] = [
        "",
        "a semitone",
        "a tone",
        "a minor third",
        "a major third",
        "a fourth",
        "a tritone",
        "a fifth",
        "a minor sixth",
        "a major sixth",
        "a minor seventh",
        "a major seventh",
    ];
    let (octaves, rest) = (semitones / 12, semitones % 12);
    let octaves = match octaves {
        0 => String::new(),
        1 => String::from("an octave"),
        n => format!("{} octaves", say::number(n as usize)),
    };
    let rest = NAMES.get(rest as usize).copied().unwrap_or_default();
    match (octaves.as_str(), rest) {
        ("", rest) => rest.to_owned(),
        (octaves, "") => octaves.to_owned(),
        (octaves, rest) => format!("{octaves} and {rest}"),
    }
}

/// "an octave lower"; `semitones` is not 0.
pub(super) fn moved(semitones: i32) -> String {
    let side = if semitones < 0 { "lower" } else { "higher" };
    format!("{} {side}", interval(semitones.unsigned_abs()))
}

/// The same in round figures, for the ends of a register.
pub(super) fn about(semitones: i32) -> String {
    let side = if semitones < 0 { "lower" } else { "higher" };
    let what = match semitones.unsigned_abs() {
        0..=4 => "a little",
        5..=9 => "about a fifth",
        10..=15 => "about an octave",
        16..=21 => "an octave and a half",
        22..=27 => "about two octaves",
        _ => "more than two octaves",
    };
    format!("{what} {side}")
}

/// "p", "p to f", nothing if no level is known.
pub(super) fn band(band: Option<(Level, Level)>) -> String {
    match band {
        Some((low, high)) if low == high => low.to_string(),
        Some((low, high)) => format!("{low} to {high}"),
        None => String::new(),
    }
}

/// The pitch classes of a bar from the bass upward: "C E♭ G".
pub(super) fn classes(bar: &Portrait) -> String {
    const NAMES: [&str; 12] = [
        "C",
        "C\u{266f}",
        "D",
        "E\u{266d}",
        "E",
        "F",
        "F\u{266f}",
        "G",
        "A\u{266d}",
        "A",
        "B\u{266d}",
        "B",
    ];
    let Some((low, _)) = bar.span else { return String::from("nothing pitched") };
    let bass = usize::try_from(low.div_euclid(2).rem_euclid(12)).unwrap_or_default();
    let here = (0..12).map(|nth| (bass + nth) % 12).filter(|class| {
        let amount = bar.classes.get(*class).copied().unwrap_or_default();
        *class == bass || amount >= LEAST_CLASS
    });
    let names: Vec<&str> = here.filter_map(|class| NAMES.get(class).copied()).collect();
    names.join(" ")
}

/// "bars 5–8", "bar 5".
pub(super) fn bars(basis: &Basis, movement: usize, from: BarIndex, to: BarIndex) -> String {
    let Some(movement) = basis.score.movements.get(movement) else { return String::new() };
    let name = |bar| movement.bar_name(bar);
    if from == to {
        return format!("bar {}", name(from));
    }
    format!("bars {}\u{2013}{}", name(from), name(to))
}

/// "III, bars 5–8"; the movement is named in works of several.
pub(super) fn passage(basis: &Basis, passage: Passage) -> String {
    let bars = bars(basis, passage.movement, passage.from, passage.to);
    if basis.score.movements.len() > 1 {
        format!("{}, {bars}", roman(passage.movement + 1))
    } else {
        bars
    }
}

/// The bars of a passage in some pairs; empty if it has none there.
pub(super) fn place(
    basis: &Basis,
    comparison: &Comparison,
    (from, to): (usize, usize),
    second: bool,
) -> String {
    let pairs = comparison.bars.get(from..=to).unwrap_or_default();
    let mut here = pairs.iter().filter_map(|pair| if second { pair.second } else { pair.first });
    let passage = if second { comparison.second } else { comparison.first };
    let Some(first) = here.next() else { return String::new() };
    bars(basis, passage.movement, first, here.next_back().unwrap_or(first))
}

/// The whole in a few sentences: how far the passages answer each other, what stays throughout, and
/// of each aspect that changes the longest change.
pub(super) fn summary(basis: &Basis, comparison: &Comparison) -> Vec<String> {
    let answered = comparison.bars.iter().filter(|b| b.first.is_some() && b.second.is_some());
    let (mut n_pairs, mut n_alike) = (0, 0);
    for pair in answered {
        n_pairs += 1;
        let other = |aspect: &Aspect| matches!(aspect, Aspect::Line | Aspect::Harmony);
        n_alike += usize::from(!pair.changed.iter().any(other));
    }
    let names = (passage(basis, comparison.first), passage(basis, comparison.second));
    let alike = match n_alike {
        0 => String::from("none of them alike in line and harmony"),
        n if n == n_pairs => String::from("all alike in line and harmony"),
        n => format!("{} of them alike in line and harmony", say::number(n)),
    };
    let n_bars = say::count(n_pairs, "bar");
    let verb = if n_pairs == 1 { "answers" } else { "answer" };
    let mut sentences =
        vec![format!("{} beside {}: {n_bars} {verb} each other, {alike}", names.0, names.1)];
    if comparison.transposition != 0 {
        let by = moved(comparison.transposition);
        sentences
            .push(format!("the second passage sounds {by}; what is said below is without that"));
    }
    let of = |aspect: Aspect| comparison.remarks.iter().filter(move |r| r.aspect == Some(aspect));
    let kept = |aspect: &Aspect| of(*aspect).next().is_some() && of(*aspect).all(|r| r.stayed);
    let kept: Vec<String> =
        Aspect::ALL.into_iter().filter(kept).map(|aspect| aspect.name().to_owned()).collect();
    if !kept.is_empty() {
        sentences.push(format!("what stays throughout: {}", say::list(&kept)));
    }
    for aspect in Aspect::ALL {
        let changed: Vec<&Remark> = of(aspect).filter(|remark| !remark.stayed).collect();
        let longest = changed.iter().max_by_key(|r| (r.to - r.from, std::cmp::Reverse(r.from)));
        let Some(longest) = longest else { continue };
        let all = longest.from == 0 && longest.to + 1 == comparison.bars.len();
        let at = place(basis, comparison, (longest.from, longest.to), false);
        let at = if all { String::new() } else { format!(" ({at} of the first passage)") };
        let more = match changed.len() - 1 {
            0 => String::new(),
            n => format!(", and {} more", say::count(n, "difference")),
        };
        sentences.push(format!("{}: {}{at}{more}", aspect.name(), longest.text));
    }
    sentences.iter().map(|text| say::capital(text) + ".").collect()
}
