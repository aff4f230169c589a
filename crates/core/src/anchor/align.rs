//! Which bar of an old table is which bar of a new one: the best monotone pairing of the two.
//!
//! Pairs are weighed by what they share (music first, then label, meter, length), and the pairing
//! with the greatest sum is taken (dynamic programming after Needleman and Wunsch 1970, gaps free).

use super::seen::SILENT;
use crate::bar::BarIndex;
use crate::study::BarSeen;

/// How a bar of the old table was found in the new one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Found {
    /// The bar of the new table, or the nearest one when the bar is gone. `None` only if the new
    /// table is empty.
    pub(super) bar: Option<BarIndex>,
    /// How sure that is.
    pub(super) how: How,
}

/// How sure a bar was found again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum How {
    /// The same music, or the same silence under the same label.
    Same,
    /// The same music at another pitch, or most parts the same.
    Changed,
    /// Nothing but its label or place speaks for it.
    Doubtful,
    /// No bar of the new table fits.
    Gone,
}

/// More cells than this are not compared one by one: 5,000 by 5,000 bars.
const MAX_CELLS: usize = 25_000_000;
/// A pair below this weight is no pair.
const MIN_WEIGHT: u32 = 3;

/// One answer for each bar of the old table.
pub(super) fn align(old: &[BarSeen], new: &[BarSeen]) -> Vec<Found> {
    let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let rest = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take(rest).take_while(|(a, b)| a == b);
    let tail = tail.count();
    let middle_old = old.get(head..old.len() - tail).unwrap_or_default();
    let middle_new = new.get(head..new.len() - tail).unwrap_or_default();
    let middle = if middle_old.len().saturating_mul(middle_new.len()) <= MAX_CELLS {
        best_pairs(middle_old, middle_new)
    } else {
        pairs_by_label(middle_old, middle_new)
    };
    let mut pairs: Vec<Option<usize>> = (0..head).map(Some).collect();
    pairs.extend(middle.into_iter().map(|pair| pair.map(|place| place + head)));
    pairs.extend((new.len() - tail..new.len()).map(Some));
    found_from(old, new, &pairs)
}

fn found_from(old: &[BarSeen], new: &[BarSeen], pairs: &[Option<usize>]) -> Vec<Found> {
    let mut nearest = 0;
    let mut found = Vec::with_capacity(old.len());
    for (bar, pair) in old.iter().zip(pairs) {
        found.push(match pair.and_then(|place| Some((place, new.get(place)?))) {
            Some((place, other)) => {
                nearest = (place + 1).min(new.len().saturating_sub(1));
                Found { bar: Some(BarIndex::from(place)), how: how(bar, other) }
            }
            None => {
                let bar = (!new.is_empty()).then(|| BarIndex::from(nearest));
                Found { bar, how: How::Gone }
            }
        });
    }
    found
}

fn is_silent(bar: &BarSeen) -> bool {
    bar.exact == SILENT
}

fn how(old: &BarSeen, new: &BarSeen) -> How {
    let same = old.exact == new.exact && old.length == new.length;
    if same && (!is_silent(old) || old.label == new.label) {
        return How::Same;
    }
    if (old.shape == new.shape && !is_silent(old)) || share_of_parts(old, new) >= 0.5 {
        return How::Changed;
    }
    How::Doubtful
}

/// The share of parts that sound in either bar and sound the same.
fn share_of_parts(old: &BarSeen, new: &BarSeen) -> f32 {
    let sounding = old.parts.iter().zip(&new.parts).filter(|(a, b)| **a != 0 || **b != 0);
    let (mut n_sounding, mut n_same) = (0_u16, 0_u16);
    for (a, b) in sounding {
        n_sounding = n_sounding.saturating_add(1);
        n_same = n_same.saturating_add(u16::from(a == b));
    }
    if n_sounding == 0 { 0.0 } else { f32::from(n_same) / f32::from(n_sounding) }
}

/// What speaks for a pair. The weights are ours: music outweighs everything else together, so that
/// a bar put in at the beginning moves all others although every label changes.
fn weight(old: &BarSeen, new: &BarSeen) -> u32 {
    let music = match (is_silent(old), is_silent(new)) {
        (true, true) if old.length == new.length => 3,
        (true, _) | (_, true) => 0,
        _ if old.exact == new.exact => 12,
        _ if old.shape == new.shape => 8,
        _ => (share_of_parts(old, new) * 8.0) as u32,
    };
    let label = if !old.label.is_empty() && old.label == new.label { 2 } else { 0 };
    music + label + u32::from(old.meter == new.meter) + u32::from(old.length == new.length)
}

fn best_pairs(old: &[BarSeen], new: &[BarSeen]) -> Vec<Option<usize>> {
    let width = new.len() + 1;
    // Best sum for the tails from (row, column) on; filled from the end so that walking forward
    // takes the earliest of equal pairings.
    let mut take = vec![false; old.len() * new.len()];
    let mut below = vec![0_u32; width];
    let mut rows = vec![0_u8; old.len() * new.len()];
    for (row, bar) in old.iter().enumerate().rev() {
        let mut here = vec![0_u32; width];
        for (column, other) in new.iter().enumerate().rev() {
            let weight = weight(bar, other);
            let paired = if weight < MIN_WEIGHT { 0 } else { below[column + 1] + weight };
            let skip = below[column].max(here[column + 1]);
            let cell = row * new.len() + column;
            take[cell] = paired > 0 && paired >= skip;
            rows[cell] = u8::from(below[column] >= here[column + 1]);
            here[column] = paired.max(skip);
        }
        below = here;
    }
    let mut pairs = vec![None; old.len()];
    let (mut row, mut column) = (0, 0);
    while row < old.len() && column < new.len() {
        let cell = row * new.len() + column;
        if take[cell] {
            pairs[row] = Some(column);
            row += 1;
            column += 1;
        } else if rows[cell] == 1 {
            row += 1;
        } else {
            column += 1;
        }
    }
    pairs
}

/// For tables too long to compare cell by cell: the next bar with the same label, in order.
fn pairs_by_label(old: &[BarSeen], new: &[BarSeen]) -> Vec<Option<usize>> {
    let mut from = 0;
    old.iter()
        .map(|bar| {
            let rest = new.get(from..).unwrap_or_default();
            let at = rest.iter().position(|other| other.label == bar.label)?;
            from += at + 1;
            Some(from - 1)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::Quarters;

    fn bar(label: &str, music: u64) -> BarSeen {
        let hash = if music == 0 { SILENT } else { music };
        BarSeen {
            label: label.into(),
            length: Quarters::whole(4),
            meter: "4/4".into(),
            exact: hash,
            shape: hash,
            parts: vec![music],
        }
    }

    fn found(old: &[BarSeen], new: &[BarSeen]) -> Vec<(u32, How)> {
        align(old, new).into_iter().map(|f| (f.bar.unwrap().0, f.how)).collect()
    }

    #[test]
    fn a_bar_put_in_moves_the_rest_although_all_labels_change() {
        let old = [bar("1", 10), bar("2", 20), bar("3", 30)];
        let new = [bar("1", 5), bar("2", 10), bar("3", 20), bar("4", 30)];
        assert_eq!(found(&old, &new), [(1, How::Same), (2, How::Same), (3, How::Same)]);
    }

    #[test]
    fn a_bar_taken_out_is_gone_and_stands_at_its_neighbor() {
        let old = [bar("1", 10), bar("2", 20), bar("3", 30), bar("4", 40)];
        let new = [bar("1", 10), bar("2", 30), bar("3", 40)];
        let expected = [(0, How::Same), (1, How::Gone), (1, How::Same), (2, How::Same)];
        assert_eq!(found(&old, &new), expected);
    }

    #[test]
    fn a_bar_with_new_music_under_its_old_label_is_doubtful() {
        let old = [bar("1", 10), bar("2", 20), bar("3", 30)];
        let new = [bar("1", 10), bar("2", 99), bar("3", 30)];
        assert_eq!(found(&old, &new)[1], (1, How::Doubtful));
    }

    #[test]
    fn nothing_is_found_in_an_empty_table() {
        let answer = align(&[bar("1", 10)], &[]);
        assert_eq!(answer, [Found { bar: None, how: How::Gone }]);
    }
}
