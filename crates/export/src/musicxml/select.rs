//! Which bars and parts are meant, from what people type: printed labels and names of parts.

use super::excerpt::Excerpt;
use barloom_core::bar::{BarIndex, BarTable};
use barloom_core::part::{Part, PartIdx};
use barloom_core::score::{Movement, Score};

/// What was typed means nothing, or more than one thing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SelectError {
    /// The work has no bars at all.
    #[error("the score has no bars")]
    NoBars,
    /// A file holds one movement only, and no movement was named.
    #[error(
        "the work has {} movements and a file holds one: choose with --bars MOVEMENT:FIRST..LAST, \
         or --bars MOVEMENT: for all its bars\n{}", .0.len(), .0.join("\n")
    )]
    WhichMovement(Vec<String>),
    /// The movement that was named does not exist.
    #[error("there is no movement {number}; the work has\n{}", .have.join("\n"))]
    NoMovement {
        /// As typed.
        number: String,
        /// The movements that there are.
        have: Vec<String>,
    },
    /// No bar is called so.
    #[error("no bar is labeled \"{label}\" in movement {movement}, which has {have}{}", .hint.unwrap_or_default())]
    NoLabel {
        /// As typed.
        label: String,
        /// Its place, counted from 1.
        movement: usize,
        /// Which labels there are.
        have: String,
        /// What may have been meant, to be read behind the rest.
        hint: Option<&'static str>,
    },
    /// The movement has fewer bars, or bars are counted from 1.
    #[error("there is no bar {label} in movement {movement}, which has {n_bars}, #1 to #{n_bars}")]
    NoPlace {
        /// As typed.
        label: String,
        /// Its place, counted from 1.
        movement: usize,
        /// How many bars it has.
        n_bars: usize,
    },
    /// Several bars are called so.
    #[error(
        "{} bars are labeled \"{label}\" in movement {movement}: say which by its place in the file, \
         {}", .places.len(), .places.join(", ")
    )]
    ManyLabels {
        /// As typed.
        label: String,
        /// The movement's place, counted from 1.
        movement: usize,
        /// Their places, as they can be typed.
        places: Vec<String>,
    },
    /// The last bar comes before the first.
    #[error("bar \"{last}\" comes before bar \"{first}\"")]
    Backward {
        /// As typed.
        first: String,
        /// As typed.
        last: String,
    },
    /// No part is called so.
    #[error("there is no part \"{name}\"; the movement has\n{}", .have.join("\n"))]
    NoPart {
        /// As typed.
        name: String,
        /// The parts that there are.
        have: Vec<String>,
    },
    /// Several parts are called so.
    #[error("\"{name}\" may be any of\n{}", .have.join("\n"))]
    ManyParts {
        /// As typed.
        name: String,
        /// The parts that it may be.
        have: Vec<String>,
    },
}

/// The excerpt that is meant by `[MOVEMENT:]FIRST..LAST` and a list of parts.
///
/// The movement is a number counted from 1 and may be left out in a work of one movement. First and
/// last are printed labels, inclusive; one that is left out is the first or last bar, and one label
/// alone is one bar. `upbeat` and `after 12` name bars without a number, `#7` the seventh bar of the
/// movement. The second half of a bar that is split belongs to its first. Without `bars` the whole
/// work is meant, without `parts` all parts of the movement.
///
/// # Errors
/// See [`SelectError`].
pub fn select(score: &Score, bars: Option<&str>, parts: &[String]) -> Result<Excerpt, SelectError> {
    let (place, span) = movement_of(score, bars.unwrap_or_default())?;
    let movement = score.movements.get(place).ok_or(SelectError::NoBars)?;
    let last = movement.bars.last_index().ok_or(SelectError::NoBars)?;
    let (first_label, last_label) = span.split_once("..").unwrap_or((span, span));
    let (first_label, last_label) = (first_label.trim(), last_label.trim());
    let from = match first_label {
        "" => BarIndex(0),
        label => label_of(movement, place, label)?.0,
    };
    let to = match last_label {
        "" => last,
        label => label_of(movement, place, label)?.1,
    };
    if to < from {
        let (first, last) = (first_label.to_owned(), last_label.to_owned());
        return Err(SelectError::Backward { first, last });
    }
    Ok(Excerpt { movement: place, from, to, parts: parts_of(score, movement, parts)? })
}

/// The place of the movement that is meant, and what is left of the text.
fn movement_of<'a>(score: &Score, bars: &'a str) -> Result<(usize, &'a str), SelectError> {
    let list = || score.movements.iter().enumerate().map(|(idx, m)| name_of(idx, m)).collect();
    if let Some((number, span)) = bars.split_once(':') {
        let place = number.trim().parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        return match place.filter(|place| *place < score.movements.len()) {
            Some(place) => Ok((place, span.trim())),
            None => Err(SelectError::NoMovement { number: number.trim().to_owned(), have: list() }),
        };
    }
    match score.movements.len() {
        0 => Err(SelectError::NoBars),
        1 => Ok((0, bars.trim())),
        _ => Err(SelectError::WhichMovement(list())),
    }
}

/// A movement as a row of a list: "2: Andante, bars 1 to 87".
fn name_of(idx: usize, movement: &Movement) -> String {
    let title = if movement.title.is_empty() { "(no title)" } else { movement.title.as_str() };
    format!("  {}: {title}, {}", idx + 1, labels(&movement.bars))
}

fn labels(bars: &BarTable) -> String {
    let mut labels = bars.as_slice().iter().map(|bar| &bar.label).filter(|label| !label.is_empty());
    match (labels.next(), labels.next_back()) {
        (Some(first), Some(last)) => format!("bars {first} to {last}"),
        (Some(only), None) => format!("bar {only}"),
        _ => format!("{} bars without labels, #1 to #{}", bars.len(), bars.len()),
    }
}

/// The bars that a label stands for: the bar, and the last of the pieces it is split into.
fn label_of(
    movement: &Movement,
    place: usize,
    label: &str,
) -> Result<(BarIndex, BarIndex), SelectError> {
    if let Some(number) = label.strip_prefix('#')
        && number.bytes().all(|digit| digit.is_ascii_digit())
        && !number.is_empty()
    {
        return bar_in_file(movement, place, label, number);
    }
    let bars = movement.bars.as_slice();
    let printed = |idx: &usize| bars.get(*idx).is_some_and(|bar| bar.label == label);
    let named = |idx: &usize| movement.bar_name(BarIndex::from(*idx)) == label;
    let mut found: Vec<usize> = (0..bars.len()).filter(printed).collect();
    if found.is_empty() {
        found = (0..bars.len()).filter(named).collect();
    }
    // A bar that is split at a repeat is one bar: its second half goes on with the first, or carries
    // the same label.
    let same = |idx: usize| idx > 0 && found.contains(&(idx - 1)) && found.contains(&idx);
    let goes_on = |idx: usize| same(idx) || bars.get(idx).is_some_and(|bar| bar.continues);
    let mut begins = found.iter().copied().filter(|idx| !goes_on(*idx));
    let (movement, label) = (place + 1, label.to_owned());
    match (begins.next().or(found.first().copied()), begins.next()) {
        (Some(first), None) => {
            let halves = (first + 1..bars.len()).take_while(|idx| goes_on(*idx)).count();
            Ok((BarIndex::from(first), BarIndex::from(first + halves)))
        }
        (Some(_), Some(_)) => {
            let places = found.iter().map(|idx| format!("#{}", idx + 1)).collect();
            Err(SelectError::ManyLabels { label, movement, places })
        }
        (None, _) => {
            let table = labels(&BarTable::new(bars.to_vec()));
            let hint =
                label.contains(['-', '\u{2013}']).then_some("; a range is typed as FIRST..LAST");
            Err(SelectError::NoLabel { label, movement, have: table, hint })
        }
    }
}

/// The bar at a place in the movement, counted from 1; half a bar if it is split there.
fn bar_in_file(
    movement: &Movement,
    place: usize,
    label: &str,
    number: &str,
) -> Result<(BarIndex, BarIndex), SelectError> {
    let n_bars = movement.bars.len();
    let idx = number.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    match idx.filter(|idx| *idx < n_bars) {
        Some(idx) => Ok((BarIndex::from(idx), BarIndex::from(idx))),
        None => Err(SelectError::NoPlace { label: label.to_owned(), movement: place + 1, n_bars }),
    }
}

fn parts_of(
    score: &Score,
    movement: &Movement,
    names: &[String],
) -> Result<Vec<PartIdx>, SelectError> {
    let present: Vec<(PartIdx, &Part)> =
        score.parts().filter(|(idx, _)| movement.part(*idx).is_some_and(|m| m.present)).collect();
    let names: Vec<&str> =
        names.iter().map(|name| name.trim()).filter(|name| !name.is_empty()).collect();
    if names.is_empty() {
        return Ok(present.into_iter().map(|(idx, _)| idx).collect());
    }
    let mut wanted = Vec::with_capacity(names.len());
    for name in names {
        let lower = name.to_lowercase();
        let exact = |(idx, part): &&(PartIdx, &Part)| {
            let printed = movement.part(*idx).map_or("", |music| music.source_name.as_str());
            let id = movement.part(*idx).map_or("", |music| music.source_id.as_str());
            [part.name.as_str(), part.short.as_str(), part.key.0.as_str(), printed, id]
                .iter()
                .any(|known| known.to_lowercase() == lower)
        };
        let begins = |(_, part): &&(PartIdx, &Part)| part.name.to_lowercase().starts_with(&lower);
        let mut found: Vec<&(PartIdx, &Part)> = present.iter().filter(exact).collect();
        if found.is_empty() {
            found = present.iter().filter(begins).collect();
        }
        let row = |part: &Part| format!("  {} ({})", part.name, part.key);
        match found.as_slice() {
            [(idx, _)] => wanted.push(*idx),
            [] => {
                let have = present.iter().map(|(_, part)| row(part)).collect();
                return Err(SelectError::NoPart { name: name.to_owned(), have });
            }
            many => {
                let have = many.iter().map(|(_, part)| row(part)).collect();
                return Err(SelectError::ManyParts { name: name.to_owned(), have });
            }
        }
    }
    // In score order, each once.
    wanted.sort_unstable();
    wanted.dedup();
    Ok(wanted)
}
