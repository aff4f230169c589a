//! Places in words, as players and conductors say them. Never computed on.

use barloom_core::bar::{BarAddress, BarIndex};
use barloom_core::basis::Basis;
use barloom_core::part::PartKey;
use barloom_core::score::{Movement, Score};

/// A number from 1 to 3999 in Roman figures; in ordinary figures outside.
pub fn roman(number: usize) -> String {
    const FIGURES: [(usize, &str); 13] = [
        (1000, "M"),
        (900, "CM"),
        (500, "D"),
        (400, "CD"),
        (100, "C"),
        (90, "XC"),
        (50, "L"),
        (40, "XL"),
        (10, "X"),
        (9, "IX"),
        (5, "V"),
        (4, "IV"),
        (1, "I"),
    ];
    if !(1..4000).contains(&number) {
        return number.to_string();
    }
    let mut rest = number;
    let mut text = String::new();
    for (value, figure) in FIGURES {
        while rest >= value {
            text.push_str(figure);
            rest -= value;
        }
    }
    text
}

/// The number of a Roman figure in its usual spelling, either case.
pub fn from_roman(text: &str) -> Option<usize> {
    let wanted = text.trim().to_uppercase();
    if wanted.is_empty() || !wanted.bytes().all(|b| b"IVXLCDM".contains(&b)) {
        return None;
    }
    let value = |b: u8| match b {
        b'I' => 1,
        b'V' => 5,
        b'X' => 10,
        b'L' => 50,
        b'C' => 100,
        b'D' => 500,
        _ => 1000,
    };
    let (sum, _) = wanted.bytes().rev().fold((0_usize, 0), |(sum, last), b| {
        let v = value(b);
        (if v < last { sum.saturating_sub(v) } else { sum + v }, v)
    });
    (roman(sum) == wanted).then_some(sum)
}

/// A movement in the title line: "III Lock gates", "III" without a title.
pub fn movement_name(score: &Score, idx: usize) -> String {
    let title = score.movements.get(idx).map(|movement| movement.title.as_str()).unwrap_or("");
    match (score.movements.len(), title) {
        (_, "") => roman(idx + 1),
        (1, title) => title.to_owned(),
        (_, title) => format!("{} {title}", roman(idx + 1)),
    }
}

/// "Bar 48", "Upbeat", "Bar after 12"; the last two for bars without a number.
pub fn bar_title(movement: &Movement, bar: BarIndex) -> String {
    match movement.bars.get(bar) {
        Some(row) if !row.label.is_empty() => format!("Bar {}", row.label),
        Some(row) if row.pickup => String::from("Upbeat"),
        _ => format!("Bar {}", movement.bar_name(bar)),
    }
}

/// A span of bars: "bar 48", "bars 41–60".
pub fn span_words(movement: &Movement, from: BarIndex, to: BarIndex) -> String {
    if from == to {
        return format!("bar {}", movement.bar_name(from));
    }
    format!("bars {}–{}", movement.bar_name(from), movement.bar_name(to))
}

/// The place as players count it from the rehearsal marks: "D", "1 before D", "bar 3 of C" (the bar
/// of the mark is bar 1); `None` in a movement without marks before or after.
///
/// The nearer mark is taken, the one after if both are as near.
pub fn by_rehearsal(movement: &Movement, bar: BarIndex) -> Option<String> {
    let marks = || movement.bars.iter().filter_map(|(idx, row)| Some((idx, row.rehearsal.as_ref()?)));
    let before = marks().filter(|(idx, _)| *idx <= bar).last();
    let after = marks().find(|(idx, _)| *idx > bar);
    let up = after.map(|(idx, name)| (idx.0 - bar.0, name));
    let down = before.map(|(idx, name)| (bar.0 - idx.0, name));
    match (down, up) {
        (Some((0, name)), _) => Some(name.clone()),
        (Some((down, _)), Some((up, name))) if up <= down => Some(format!("{up} before {name}")),
        (Some((down, name)), _) => Some(format!("bar {} of {name}", down + 1)),
        (None, Some((up, name))) => Some(format!("{up} before {name}")),
        (None, None) => None,
    }
}

/// An address in lists: "III 48", "48" in a work of one movement, with the beat when it is not at the
/// start of the bar: "III 48 + 3/2".
pub fn address_words(basis: &Basis, at: BarAddress) -> String {
    let Some((idx, movement)) = basis.score.movement(at.movement) else {
        return String::from("(movement gone)");
    };
    let bar = movement.bar_name(at.bar);
    let offset =
        if at.offset.is_zero() { String::new() } else { format!(" + {} quarters", at.offset) };
    match basis.score.movements.len() {
        1 => format!("{bar}{offset}"),
        _ => format!("{} {bar}{offset}", roman(idx + 1)),
    }
}

/// The printed name of a part, its permanent name when the score has no such part.
pub fn part_name(score: &Score, key: &PartKey) -> String {
    match score.part_by_key(key).and_then(|idx| score.parts.get(idx.idx())) {
        Some(part) => part.name.clone(),
        None => format!("{key} (not in the score)"),
    }
}

/// Minutes and seconds: 3:05; rounded to the nearest second.
pub fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0).round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::bar::{Bar, BarFlow, BarTable, Barline};
    use barloom_core::meter::Meter;
    use barloom_core::time::Ticks;

    #[test]
    fn roman_figures_are_read_as_they_are_written() {
        for number in 1..=120 {
            assert_eq!(from_roman(&roman(number)), Some(number));
        }
        for text in ["", "IIII", "VX", "48", "IC"] {
            assert_eq!(from_roman(text), None, "{text}");
        }
        assert_eq!((roman(4), roman(49)), (String::from("IV"), String::from("XLIX")));
    }

    #[test]
    fn places_are_counted_from_the_nearer_mark() {
        let mut bars = Vec::new();
        for idx in 0..20_u32 {
            bars.push(Bar {
                start: Ticks::ZERO,
                length: Ticks(4),
                nominal: Ticks(4),
                meter: Meter::simple(4, 4),
                label: (idx + 1).to_string(),
                pickup: false,
                continues: false,
                rehearsal: match idx {
                    4 => Some(String::from("C")),
                    10 => Some(String::from("D")),
                    _ => None,
                },
                barline: Barline::Single,
                flow: BarFlow::default(),
                line: 0,
            });
        }
        let movement = Movement { bars: BarTable::new(bars), ..Movement::default() };
        let words = |bar| by_rehearsal(&movement, BarIndex(bar)).unwrap();
        assert_eq!(words(0), "4 before C");
        assert_eq!(words(4), "C");
        assert_eq!(words(6), "bar 3 of C");
        assert_eq!(words(7), "3 before D");
        assert_eq!(words(9), "1 before D");
        assert_eq!(words(19), "bar 10 of D");
        assert_eq!(span_words(&movement, BarIndex(1), BarIndex(1)), "bar 2");
        assert_eq!(span_words(&movement, BarIndex(1), BarIndex(3)), "bars 2–4");
    }
}
