//! Where jumps lead: the segno or coda that is meant, by its name or by its place.

use crate::bar::{Bar, BarFlow};

/// The sign of `kind` that a jump at bar `at` names; by name if it has one, else by number.
fn named(bars: &[Bar], kind: impl Fn(&BarFlow) -> Option<&str>, name: &str) -> Option<usize> {
    let signs = || bars.iter().enumerate().filter_map(|(idx, bar)| Some((idx, kind(&bar.flow)?)));
    let exact = signs().find(|(_, known)| known.eq_ignore_ascii_case(name));
    if let Some((idx, _)) = exact {
        return Some(idx);
    }
    let number = number_of(name)?;
    // "2" finds "coda2", and the second of signs without names.
    let by_number = signs().find(|(_, known)| number_of(known) == Some(number));
    let nth = || signs().filter(|(_, known)| known.is_empty()).nth(number.checked_sub(1)?);
    by_number.or_else(nth).map(|(idx, _)| idx)
}

/// The figures that a name ends with.
fn number_of(name: &str) -> Option<usize> {
    let letters = name.trim_end_matches(|letter: char| letter.is_ascii_digit());
    name.get(letters.len()..)?.parse().ok().filter(|number| *number > 0)
}

/// Whether a way out and a jump may belong together: one of them names nothing, or both the same.
pub(super) fn fit(a: &str, b: &str) -> bool {
    a.is_empty() || b.is_empty() || a.eq_ignore_ascii_case(b) || {
        let (a, b) = (number_of(a), number_of(b));
        a.is_some() && a == b
    }
}

fn segno(flow: &BarFlow) -> Option<&str> {
    flow.segno.as_deref()
}

fn coda(flow: &BarFlow) -> Option<&str> {
    flow.coda.as_deref()
}

/// The segno that a jump at the end of bar `at` goes to: the one it names, else the last before,
/// else the first behind. The second value says that a name was given and not found.
pub(super) fn segno_for(bars: &[Bar], at: usize, name: &str) -> (Option<usize>, bool) {
    if !name.is_empty()
        && let Some(found) = named(bars, segno, name)
    {
        return (Some(found), false);
    }
    let has = |bar: &Bar| bar.flow.segno.is_some();
    let before = bars.iter().take(at + 1).rposition(has);
    let found = before.or_else(|| bars.iter().position(has));
    // Where there is only one sign, what playback calls it does not matter.
    let several = bars.iter().filter(|bar| has(bar)).count() > 1;
    (found, several && !name.is_empty())
}

/// The coda for a way out at the end of bar `at`, taken after a jump at bar `jump`: the one it
/// names, else the first behind the jump, else the first behind the way out, else any.
pub(super) fn coda_for(bars: &[Bar], at: usize, jump: Option<usize>, name: &str) -> Option<usize> {
    if !name.is_empty()
        && let Some(found) = named(bars, coda, name)
    {
        return Some(found);
    }
    let behind = |from: usize| {
        let mut signs = bars.iter().enumerate().skip(from + 1);
        signs.find(|(_, bar)| bar.flow.coda.is_some()).map(|(idx, _)| idx)
    };
    let anywhere = || bars.iter().position(|bar| bar.flow.coda.is_some());
    jump.and_then(behind).or_else(|| behind(at)).or_else(anywhere)
}
