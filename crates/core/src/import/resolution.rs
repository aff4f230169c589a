//! One resolution for a whole document: the least number of ticks in a quarter at which every
//! division, decimal duration and bar length is whole. Found in the text before it is read, so that
//! the music can be turned into ticks in one pass.

use super::error::ImportError;
use super::xml::{Sheet, decimal};
use crate::time::Resolution;
use memchr::memmem;

/// Ticks in a quarter that are always divided further, so that halves and quarters of a beat are
/// whole even in files that only need quarters.
const BASE: u64 = 4;

/// How many bytes behind the name of an element its number is looked for.
const MAX_VALUE: usize = 512;

/// The resolution of a document in which durations are whole numbers of divisions, or halves and
/// quarters that are whole ticks. Others are met while reading, and then [`exact`] is needed.
///
/// # Errors
/// The lengths have no common measure inside [`Resolution::MAX`].
pub(super) fn of(sheet: &Sheet<'_>) -> Result<u32, ImportError> {
    match divisions(sheet) {
        Ok((ticks, _)) => with_beats(sheet, ticks),
        Err(refusal) => with_beats(sheet, used(sheet.text).ok_or(refusal)?),
    }
}

/// The resolution of a document in which durations are decimal fractions of divisions.
///
/// # Errors
/// The lengths have no common measure inside [`Resolution::MAX`].
pub(super) fn exact(sheet: &Sheet<'_>) -> Result<u32, ImportError> {
    let (mut ticks, seen) = match divisions(sheet) {
        Ok(found) => found,
        Err(refusal) => return with_beats(sheet, used(sheet.text).ok_or(refusal)?),
    };
    // The denominators multiply the divisions in force, whichever those are.
    let mut fractions: Vec<i64> = Vec::new();
    for (at, value) in values(sheet.text, "<duration") {
        if !value.contains('.') {
            continue;
        }
        let Some((num, den)) = decimal(value).filter(|(num, den)| num % den != 0) else { continue };
        let den = den / gcd(num.unsigned_abs(), den.unsigned_abs()) as i64;
        if fractions.contains(&den) {
            continue;
        }
        fractions.push(den);
        for (num, _) in &seen {
            let finer = num.unsigned_abs().saturating_mul(den.unsigned_abs());
            // A resolution that cannot be reached is no loss here: such lengths are rounded, with
            // a finding each.
            ticks = joined(sheet, at, ticks, finer).unwrap_or(ticks);
        }
    }
    with_beats(sheet, ticks)
}

/// The ticks that all divisions need, and the divisions.
fn divisions(sheet: &Sheet<'_>) -> Result<(u64, Vec<(i64, i64)>), ImportError> {
    let mut ticks = BASE;
    let mut seen: Vec<(i64, i64)> = Vec::new();
    for (at, value) in values(sheet.text, "<divisions") {
        let Some((num, den)) = decimal(value).filter(|(num, _)| *num > 0) else { continue };
        if !seen.contains(&(num, den)) {
            seen.push((num, den));
            ticks = joined(sheet, at, ticks, num.unsigned_abs())?;
        }
    }
    Ok((ticks, seen))
}

/// The ticks that the durations need, where the divisions have no common multiple: programs state
/// finer ones than they use. `None` if the durations have none either, or where it is not certain
/// which divisions a duration is in.
fn used(text: &str) -> Option<u64> {
    if !text.contains("<score-partwise") {
        return None;
    }
    let mut ticks = BASE;
    let mut divisions = (1, 1);
    for (at, _) in text.match_indices('<') {
        let rest = text.get(at..)?;
        if rest.starts_with("<part ") || rest.starts_with("<part>") {
            divisions = (1, 1);
        } else if let Some(value) = value(rest, "<divisions") {
            divisions = decimal(value).filter(|(num, _)| *num > 0).unwrap_or(divisions);
        } else if let Some(value) = value(rest, "<duration") {
            let Some((num, den)) = decimal(value).filter(|(num, _)| *num > 0) else { continue };
            let over = num.unsigned_abs().checked_mul(divisions.1.unsigned_abs())?;
            let under = den.unsigned_abs().checked_mul(divisions.0.unsigned_abs())?;
            let need = under / gcd(over, under);
            ticks = (ticks / gcd(ticks, need)).checked_mul(need)?;
            if ticks > u64::from(Resolution::MAX) {
                return None;
            }
        }
    }
    Some(ticks)
}

fn with_beats(sheet: &Sheet<'_>, mut ticks: u64) -> Result<u32, ImportError> {
    for (at, value) in values(sheet.text, "<beat-type") {
        let unit = value.trim().parse::<u64>().ok().filter(|unit| (1..=999).contains(unit));
        if let Some(unit) = unit {
            ticks = joined(sheet, at, ticks, unit / gcd(unit, 4))?;
        }
    }
    u32::try_from(ticks).map_err(|_| ImportError::Resolution { spot: sheet.spot(0) })
}

/// The ticks that `ticks` and `other` both divide; `at` is where `other` stands.
///
/// # Errors
/// They have no common measure inside [`Resolution::MAX`].
pub(super) fn joined(
    sheet: &Sheet<'_>,
    at: usize,
    ticks: u64,
    other: u64,
) -> Result<u64, ImportError> {
    let joined = (ticks / gcd(ticks, other)).checked_mul(other);
    joined
        .filter(|ticks| *ticks <= u64::from(Resolution::MAX))
        .ok_or_else(|| ImportError::Resolution { spot: sheet.spot(at) })
}

/// The texts of all elements whose start tag begins with `tag`, with their positions.
fn values<'a>(text: &'a str, tag: &'static str) -> impl Iterator<Item = (usize, &'a str)> {
    let finder = memmem::Finder::new(tag).into_owned();
    let mut from = 0;
    let places = std::iter::from_fn(move || {
        let at = from + finder.find(text.as_bytes().get(from..)?)?;
        from = at + tag.len();
        Some(at)
    });
    places.filter_map(move |at| Some((at, value(text.get(at..)?, tag)?)))
}

/// The text of the element that begins with `tag` here; `None` if another one begins here.
fn value<'a>(text: &'a str, tag: &str) -> Option<&'a str> {
    let rest = text.strip_prefix(tag)?;
    // A number is short; looking for the end of a tag that has none would take the whole text, for
    // every tag of a damaged file.
    let mut end = rest.len().min(MAX_VALUE);
    while !rest.is_char_boundary(end) {
        end -= 1;
    }
    let rest = rest.get(..end)?;
    let open = rest.find('>')?;
    // "<divisions/>" and "<beat-type-of-something>" are not meant.
    if !rest.get(..open)?.is_empty() && !rest.starts_with([' ', '\t', '\n', '\r']) {
        return None;
    }
    let rest = rest.get(open + 1..)?;
    rest.get(..rest.find('<')?)
}

fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str) -> Option<u32> {
        of(&Sheet::new("a", "a", text)).ok()
    }

    #[test]
    fn everything_written_is_whole() {
        assert_eq!(check("<a/>"), Some(4));
        assert_eq!(check("<divisions>6</divisions><divisions >4</divisions>"), Some(12));
        assert_eq!(check("<divisions>1</divisions><beat-type>32</beat-type>"), Some(8));
        assert_eq!(check("<divisions>2</divisions><duration>1.5</duration>"), Some(4));
        let exactly = |text: &str| exact(&Sheet::new("a", "a", text)).ok();
        assert_eq!(exactly("<divisions>2</divisions><duration>1.5</duration>"), Some(4));
        assert_eq!(exactly("<divisions>1</divisions><duration>0.2</duration>"), Some(20));
        assert_eq!(check("<divisions>x</divisions><divisions/><divisions>-3</divisions>"), Some(4));
    }

    #[test]
    fn what_cannot_be_held_is_refused_with_its_place() {
        let text = "<divisions>2147483647</divisions>\n<divisions>2147483629</divisions>";
        let error = of(&Sheet::new("a", "a", text)).unwrap_err();
        assert!(error.to_string().contains("a:1:1"), "{error}");
    }

    /// Two divisions of 31 bits have no common multiple that could be held; what is written in them
    /// may need no more than quarters.
    #[test]
    fn divisions_finer_than_what_is_written_in_them_do_no_harm() {
        let score = |first: &str, second: &str| {
            format!(
                "<score-partwise><part id=\"a\"><divisions>2147483647</divisions>\
                 <duration>{first}</duration></part><part id=\"b\">\
                 <divisions>2147483629</divisions><duration>{second}</duration></part>\
                 </score-partwise>"
            )
        };
        assert_eq!(check(&score("4294967294", "2147483629")), Some(4));
        assert_eq!(check(&score("1", "1")), None);
    }
}
