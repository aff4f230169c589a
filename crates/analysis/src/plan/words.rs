//! Words and figures of the plan: times, places as players say them, headings.

use super::lists::Scene;
use barloom_core::bar::BarIndex;
use barloom_core::score::{Movement, Score};
use barloom_core::study::Study;

/// Minutes and seconds: "4:05"; with hours from an hour on. Rounded to the second.
pub fn clock(seconds: f64) -> String {
    let all = if seconds.is_finite() { seconds.max(0.0).round() as u64 } else { 0 };
    let (hours, minutes, seconds) = (all / 3600, all / 60 % 60, all % 60);
    if hours > 0 {
        format!("{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{minutes}:{seconds:02}")
    }
}

/// A number in capital Roman figures; 0 is empty.
pub fn roman(mut number: usize) -> String {
    const STEPS: [(usize, &str); 13] = [
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
    let mut figures = String::new();
    for (value, letters) in STEPS {
        while number >= value {
            figures.push_str(letters);
            number -= value;
        }
    }
    figures
}

/// "1 bar", "4 bars".
pub fn n_bars(count: usize) -> String {
    if count == 1 { String::from("1 bar") } else { format!("{count} bars") }
}

/// A number with at most one decimal, none when it is whole.
pub fn number(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded.fract() == 0.0 { format!("{rounded:.0}") } else { format!("{rounded:.1}") }
}

/// The first letter large.
pub fn capitalized(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Names joined as players are listed: neighbors that differ only in their number share the name,
/// "Fl. 1.2, Ob. 1".
pub fn joined_names<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let mut joined = String::new();
    let mut stem_before = None;
    for name in names {
        let numbered = name.rsplit_once(' ').filter(|(_, number)| is_number(number));
        match numbered {
            Some((stem, number)) if stem_before == Some(stem) => {
                joined.push('.');
                joined.push_str(number.trim_end_matches('.'));
            }
            _ => {
                if !joined.is_empty() {
                    joined.push_str(", ");
                }
                joined.push_str(name);
            }
        }
        stem_before = numbered.map(|(stem, _)| stem);
    }
    joined
}

fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text.chars().all(|c| c.is_ascii_digit() || c == '.')
}

pub(super) fn work_title(study: &Study, score: &Score) -> String {
    let first = || score.movements.iter().map(|movement| movement.title.as_str());
    let names = [study.title.as_str(), score.title.as_str()];
    let name = names.into_iter().chain(first()).find(|name| !name.trim().is_empty());
    name.unwrap_or("Untitled").trim().to_owned()
}

/// "III. Lock gates"; the title alone if it brings its own number; "Movement III" without a title.
pub(super) fn heading(scene: &Scene<'_>) -> String {
    let title = scene.movement.title.trim();
    let own_number = || {
        let first: String = title.chars().take_while(|c| c.is_alphanumeric()).collect();
        first == scene.numeral || first.parse::<usize>().is_ok()
    };
    match (title.is_empty(), scene.numeral.is_empty()) {
        (true, true) => work_title(scene.study, &scene.basis.score),
        (true, false) => format!("Movement {}", scene.numeral),
        (false, true) => title.to_owned(),
        (false, false) if own_number() => title.to_owned(),
        (false, false) => format!("{}. {title}", scene.numeral),
    }
}

/// A bar as players say it: "48, 1 before D"; "52" without a rehearsal mark near.
pub(super) fn bar_place(movement: &Movement, bar: BarIndex) -> String {
    let name = movement.bar_name(bar);
    match from_mark(movement, bar) {
        Some(from_mark) => format!("{name}, {from_mark}"),
        None => name,
    }
}

/// Most bars counted from a rehearsal mark: farther away the number alone is quicker to find.
const FAR: usize = 12;

/// The place as players count it from the nearest rehearsal mark: "at D", "1 before D", "3 after C";
/// `None` far from any. A bar split at a repeat counts once.
pub fn from_mark(movement: &Movement, bar: BarIndex) -> Option<String> {
    let bars = movement.bars.as_slice();
    let mark = |idx: usize| bars.get(idx).and_then(|bar| bar.rehearsal.as_deref());
    let here = bar.idx();
    if let Some(mark) = mark(here) {
        return Some(format!("at {mark}"));
    }
    // A bar split in two counts once.
    let begins = |idx: usize| usize::from(bars.get(idx).is_some_and(|bar| !bar.continues));
    // The nearest mark among places in the order of their distance, each with what it adds to it.
    let nearest = |places: &mut dyn Iterator<Item = (usize, usize)>| {
        let mut distance = 0;
        for (idx, step) in places {
            distance += step;
            // Looking on would take the whole movement, for every bar of one without marks.
            if distance > FAR {
                return None;
            }
            if let Some(mark) = mark(idx) {
                return Some((distance, mark));
            }
        }
        None
    };
    let before = nearest(&mut (0..here).rev().map(|idx| (idx, begins(idx + 1))));
    let after = nearest(&mut (here + 1..bars.len()).map(|idx| (idx, begins(idx))));
    match (before, after) {
        (Some((after_mark, mark)), Some((to_go, _))) if after_mark <= to_go => {
            Some(format!("{after_mark} after {mark}"))
        }
        (_, Some((to_go, mark))) => Some(format!("{to_go} before {mark}")),
        (Some((after_mark, mark)), None) => Some(format!("{after_mark} after {mark}")),
        (None, None) => None,
    }
}

/// The performing order in words, empty if every bar is played once in written order.
pub(super) fn performing_order(scene: &Scene<'_>) -> String {
    let movement = scene.movement;
    let played = &scene.tracks.tempo.played;
    let whole = movement.bars.last_index().map(|last| (BarIndex(0), last));
    if played.is_empty() || whole.is_some_and(|whole| played.as_slice() == [whole]) {
        return String::new();
    }
    let mut runs: Vec<((BarIndex, BarIndex), usize)> = Vec::new();
    for span in played {
        match runs.last_mut() {
            Some((last, times)) if last == span => *times += 1,
            _ => runs.push((*span, 1)),
        }
    }
    let run = |((from, to), times): &((BarIndex, BarIndex), usize)| {
        let (first, last) = (movement.bar_name(*from), movement.bar_name(*to));
        let span = if first == last { first } else { format!("{first}–{last}") };
        match times {
            1 => span,
            2 => format!("{span} twice"),
            times => format!("{span} {times} times"),
        }
    };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_and_numbers_read_as_people_write_them() {
        assert_eq!(clock(245.4), "4:05");
        assert_eq!(clock(59.6), "1:00");
        assert_eq!(clock(3661.0), "1:01:01");
        assert_eq!(clock(f64::NAN), "0:00");
        assert_eq!(roman(14), "XIV");
        assert_eq!(number(84.0), "84");
        assert_eq!(number(62.49), "62.5");
        assert_eq!(capitalized("über"), "Über");
        let names = ["Fl. 1", "Fl. 2", "Ob.", "Hn. 1.2", "Hn. 3.4", "Vn. I", "Vn. II"];
        assert_eq!(joined_names(names), "Fl. 1.2, Ob., Hn. 1.2.3.4, Vn. I, Vn. II");
    }
}
