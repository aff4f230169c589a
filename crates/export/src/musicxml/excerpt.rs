//! Some bars of a movement as a piece of their own: what is in force at the first bar is stated there,
//! and what crosses an edge is cut cleanly.
//!
//! A sound that is cut begins anew: a head at the first bar that continues a tie from outside is a
//! first head, and a tie that leads out ends with the last bar. Slurs with an end outside are left
//! out, hairpins and dashes are shortened. A repeat stays with its endings if all of it lies inside;
//! otherwise its signs are left out, and so are the jumps, which lead elsewhere.

use super::carried;
use super::lines;
use barloom_core::arrange;
use barloom_core::bar::{Bar, BarIndex, BarTable};
use barloom_core::basis::Basis;
use barloom_core::event::NoteTraits;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// Which bars and parts of a work.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Excerpt {
    /// The place of the movement in the work, 0-based.
    pub movement: usize,
    /// The first bar.
    pub from: BarIndex,
    /// The last bar, inclusive.
    pub to: BarIndex,
    /// The parts in the order in which they are written.
    pub parts: Vec<PartIdx>,
}

/// The bars of an excerpt as a movement; `None` if the work has no such movement or the movement no
/// bars. Bars past the end count as the last.
pub(super) fn piece(basis: &Basis, excerpt: &Excerpt) -> Option<Movement> {
    let movement = basis.score.movements.get(excerpt.movement)?;
    let last = movement.bars.last_index()?;
    let (from, to) = (excerpt.from.min(last), excerpt.to.min(last));
    if from == BarIndex(0) && to == last {
        return Some(movement.as_ref().clone());
    }
    let mut piece = arrange::cut_out(movement, from, to);
    let start = movement.bars.get(from).map_or(Ticks::ZERO, |bar| bar.start);
    let window = Window { from, to, opens: from > BarIndex(0), closes: to < last };
    for (whole, part) in movement.music.iter().zip(&mut piece.music) {
        cut_slurs(whole, part, window);
        cut_ties(part, window, piece.bars.end());
    }
    carried::state(movement, &mut piece, start);
    piece.bars = BarTable::new(bars(movement, window));
    Some(piece)
}

/// The edges of an excerpt in its movement.
#[derive(Clone, Copy)]
struct Window {
    from: BarIndex,
    to: BarIndex,
    /// There is music before.
    opens: bool,
    /// There is music behind.
    closes: bool,
}

fn cut_ties(part: &mut PartMusic, window: Window, end: Ticks) {
    for note in &mut part.notes {
        if window.opens && note.onset == Ticks::ZERO {
            note.traits.clear(NoteTraits::CONTINUES);
        }
        if window.closes && note.end() >= end {
            note.traits.clear(NoteTraits::TIED_ON);
        }
    }
}

/// Takes away the beginnings and ends of slurs that have their other end outside.
fn cut_slurs(whole: &PartMusic, part: &mut PartMusic, window: Window) {
    let inside = |idx: usize| {
        whole.notes.get(idx).is_some_and(|note| (window.from..=window.to).contains(&note.bar))
    };
    let mut begins = vec![false; whole.notes.len()];
    let mut ends = vec![false; whole.notes.len()];
    for (from, to) in lines::slurs(whole) {
        if inside(from) && inside(to) {
            if let Some(flag) = begins.get_mut(from) {
                *flag = true;
            }
            if let Some(flag) = ends.get_mut(to) {
                *flag = true;
            }
        }
    }
    let kept = begins.into_iter().zip(ends).enumerate().filter(|(idx, _)| inside(*idx));
    for (note, (_, (begins, ends))) in part.notes.iter_mut().zip(kept) {
        if !begins {
            note.traits.clear(NoteTraits::SLUR_BEGINS);
        }
        if !ends {
            note.traits.clear(NoteTraits::SLUR_ENDS);
        }
    }
}

/// The bars of the excerpt with the repeats that lie inside.
fn bars(movement: &Movement, window: Window) -> Vec<Bar> {
    let all = movement.bars.as_slice();
    let (from, to) = (window.from.idx(), window.to.idx());
    let sections = sections(all);
    let mut bars = Vec::with_capacity(to - from + 1);
    for (idx, bar) in all.iter().enumerate().take(to + 1).skip(from) {
        let mut bar = bar.clone();
        let section = sections.iter().find(|(start, end)| (*start..=*end).contains(&idx));
        let whole = section.filter(|(start, end)| from <= *start && *end <= to);
        let flow = &mut bar.flow;
        match whole {
            // Without a sign the repeat would go back to the first bar of the excerpt.
            Some((start, _)) if *start == idx && idx > from => flow.repeat_start = true,
            Some(_) => {}
            None => {
                flow.repeat_start = false;
                flow.repeat_end = None;
                flow.repeat_after_jump = None;
                flow.endings.clear();
                flow.ending_stops = false;
            }
        }
        flow.jump = None;
        flow.to_coda = None;
        flow.fine = None;
        bars.push(bar);
    }
    if let Some(first) = bars.first_mut() {
        // There is no bar before of which it could be the second half.
        first.continues = false;
    }
    bars
}

/// The passages that are repeated, with their endings, as inclusive spans.
fn sections(bars: &[Bar]) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    let mut start = 0;
    let mut stated = false;
    for (idx, bar) in bars.iter().enumerate() {
        // A repeat without a beginning goes back to the middle section and no farther.
        if bar.flow.repeat_start || bar.flow.middle && !stated {
            start = idx;
            stated |= bar.flow.repeat_start;
        }
        let counted = found.last().is_some_and(|(_, end)| idx <= *end);
        if bar.flow.repeat_end.is_none() || counted {
            continue;
        }
        let behind = bars.get(idx + 1..).unwrap_or_default();
        let endings = behind
            .iter()
            .take_while(|bar| !bar.flow.endings.is_empty() && !bar.flow.repeat_start)
            .count();
        found.push((start, idx + endings));
        start = idx + endings + 1;
        stated = false;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::meter::Meter;

    fn bars(text: &str) -> Vec<Bar> {
        let bar = |word: &str| {
            let mut bar = Bar::blank(Meter::simple(4, 4), Ticks(4), "");
            bar.flow.repeat_start = word.starts_with(':');
            bar.flow.middle = word.starts_with('t');
            bar.flow.repeat_end = word.ends_with(':').then_some(2);
            bar.flow.endings = word.chars().filter_map(|letter| letter.to_digit(10)).collect();
            bar
        };
        text.split(' ').map(bar).collect()
    }

    #[test]
    fn a_repeated_passage_ends_with_its_last_ending() {
        assert_eq!(sections(&bars("- -: - :- 1: 2 - -: -")), [(0, 1), (3, 5), (6, 7)]);
        assert_eq!(sections(&bars(":- 1: 2: 3 -")), [(0, 3)]);
        assert_eq!(sections(&bars("- - -")), []);
        assert_eq!(sections(&bars("- - t - -:")), [(2, 4)]);
        assert_eq!(sections(&bars("- :- t - -:")), [(1, 4)]);
    }
}
