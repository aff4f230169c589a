//! Places in words, as players and conductors say them. Never computed on.

pub use barloom_analysis::plan::words::{clock, from_mark, roman};
use barloom_core::bar::{BarAddress, BarIndex};
use barloom_core::basis::Basis;
use barloom_core::part::PartKey;
use barloom_core::score::{Movement, Score};
use std::path::{Path, PathBuf};

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

/// Where passages side by side are printed to, beside a study.
pub fn sheet_path(study: &Path) -> PathBuf {
    let name = study.file_stem().and_then(|name| name.to_str()).unwrap_or("study");
    study.with_file_name(format!("{name}, side by side.pdf"))
}

/// A span of bars: "bar 48", "bars 41–60".
pub fn span_words(movement: &Movement, from: BarIndex, to: BarIndex) -> String {
    if from == to {
        return format!("bar {}", movement.bar_name(from));
    }
    format!("bars {}–{}", movement.bar_name(from), movement.bar_name(to))
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

#[cfg(test)]
mod tests {
    use super::*;

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
    fn places_and_movements_are_named_as_people_name_them() {
        let basis = crate::testing::basis();
        let movement = &basis.score.movements[1];
        assert_eq!(span_words(movement, BarIndex(1), BarIndex(1)), "bar 2");
        assert_eq!(span_words(movement, BarIndex(1), BarIndex(3)), "bars 2–4");
        assert_eq!(bar_title(movement, BarIndex(4)), "Bar 5");
        assert_eq!(movement_name(&basis.score, 1), "II Lock gates");
        let at = BarAddress::start_of(movement.id, BarIndex(4));
        assert_eq!(address_words(&basis, at), "II 5");
        assert_eq!(part_name(&basis.score, &PartKey("horn".into())), "Horn");
        assert_eq!(part_name(&basis.score, &PartKey("tuba".into())), "tuba (not in the score)");
    }
}
