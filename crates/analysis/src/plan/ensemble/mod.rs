//! What the plan says of the ensemble: a table for each question, a movement at a time.
//!
//! A table holds what a conductor wants on paper: the worst places, not all of them.

mod attacks;
mod balance;
mod changes;
mod doublings;
mod lead;
mod ranges;
mod strings;
mod texture;

use super::lists::Scene;
use super::words;
use barloom_core::bar::BarIndex;

/// A table of the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanTable {
    /// The chapter it belongs to.
    pub name: &'static str,
    /// What has to be said before it: that it is an estimate, how much was left out; possibly empty.
    pub note: String,
    /// The heads of the columns; the first is the place.
    pub heads: Vec<&'static str>,
    /// Which column takes the room that is left.
    pub wide: usize,
    /// The rows, a text for each column.
    pub rows: Vec<Vec<String>>,
}

/// The tables of a movement in the order of the chapters; empty ones are left out.
pub(super) fn tables(scene: &Scene<'_>) -> Vec<PlanTable> {
    let tables = [
        texture::table(scene),
        lead::table(scene),
        doublings::table(scene),
        balance::table(scene),
        strings::table(scene),
        changes::table(scene),
        attacks::table(scene),
        ranges::table(scene),
    ];
    tables.into_iter().filter(|table| !table.rows.is_empty()).collect()
}

/// The worst so many in order of place, and a sentence about those that are left out.
fn worst_of<T>(all: &[T], most: usize, weight: impl Fn(&T) -> f32) -> (Vec<&T>, String) {
    let mut order: Vec<usize> = (0..all.len()).collect();
    let weight_at = |idx: &usize| all.get(*idx).map_or(0.0, &weight);
    order.sort_by(|a, b| weight_at(b).total_cmp(&weight_at(a)));
    order.truncate(most);
    order.sort_unstable();
    let shown: Vec<&T> = order.into_iter().filter_map(|idx| all.get(idx)).collect();
    let note = match all.len() - shown.len() {
        0 => String::new(),
        _ => format!("The {} that need most care, of {}.", shown.len(), all.len()),
    };
    (shown, note)
}

/// The longest of many spans, in order, at most `most`, and a note on what is left out: what is
/// shorter than a number of bars.
fn longest<T>(
    all: &[T],
    most: usize,
    bars: impl Fn(&T) -> (BarIndex, BarIndex),
) -> (Vec<&T>, String) {
    let length = |one: &T| {
        let (from, to) = bars(one);
        to.0.saturating_sub(from.0) + 1
    };
    let mut shortest = 1;
    while all.iter().filter(|one| length(one) >= shortest).count() > most {
        shortest += 1;
    }
    let kept: Vec<&T> = all.iter().filter(|one| length(one) >= shortest).collect();
    let note = match all.len() - kept.len() {
        0 => String::new(),
        1 => format!("One stretch shorter than {} is left out.", words::n_bars(shortest as usize)),
        n => {
            format!("{n} stretches shorter than {} are left out.", words::n_bars(shortest as usize))
        }
    };
    (kept, note)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_many_spans_the_longest_stay_in_order() {
        let spans: Vec<(BarIndex, BarIndex)> = [(0, 0), (1, 4), (5, 6), (7, 7), (8, 12)]
            .map(|(from, to)| (BarIndex(from), BarIndex(to)))
            .to_vec();
        let (kept, note) = longest(&spans, 3, |span| *span);
        assert_eq!(kept, [&spans[1], &spans[2], &spans[4]]);
        assert_eq!(note, "2 stretches shorter than 2 bars are left out.");
        assert_eq!(longest(&spans, 5, |span| *span).1, "");
    }
}
