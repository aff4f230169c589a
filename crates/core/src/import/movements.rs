//! Where one file holds several movements: the bars of each.

use super::bars::lead;
use super::log::Log;
use super::raw::{Pos, RawBar, RawPart, RawScore};
use crate::diag::Code;
use std::ops::Range;

/// The movements of a document as ranges of its bars, in order, none empty.
///
/// A movement ends with a thick barline; the next begins where numbering starts again at 1 (or at
/// an upbeat before it), or where a title stands at the head of the bar.
pub(super) fn split(score: &RawScore, log: &mut Log) -> Vec<Range<usize>> {
    let parts = &score.parts;
    let n_bars = parts.iter().map(|part| part.bars.len()).max().unwrap_or(0);
    let mut ranges = Vec::new();
    let mut start = 0;
    // The highest number in the movement so far.
    let mut reached = lead(parts, 0).and_then(number).unwrap_or(0);
    for idx in 1..n_bars {
        let Some(bar) = lead(parts, idx) else { continue };
        let reached_before = reached;
        reached = reached.max(number(bar).unwrap_or(0));
        let ended = parts.iter().filter_map(|part| part.bars.get(idx - 1)).any(|bar| bar.heavy_end);
        if !ended {
            continue;
        }
        let heading = parts.iter().find_map(|part| part.bars.get(idx)?.heading.as_deref());
        let why = match heading {
            Some(heading) => format!("a thick barline and the title \"{heading}\""),
            None if reached_before >= 2 && renumbers(parts, idx, bar) => {
                String::from("a thick barline, and the bars are numbered from 1 again")
            }
            None => continue,
        };
        let pos = Pos { bar: idx as u32, offset: 0 };
        log.add(Code::MovementSplit, pos, bar.byte, || {
            format!("a new movement begins here: before it stands {why}")
        });
        ranges.push(start..idx);
        start = idx;
        reached = number(bar).unwrap_or(0);
    }
    ranges.push(start..n_bars);
    ranges
}

/// Whether numbering begins again at this bar: it is number 1, or an upbeat right before number 1.
fn renumbers(parts: &[RawPart], idx: usize, bar: &RawBar) -> bool {
    let is_one = |bar: &RawBar| number(bar) == Some(1);
    let next_is_one = || lead(parts, idx + 1).is_some_and(is_one);
    let unnumbered = bar.implicit || bar.number.is_empty() || bar.number.starts_with('X');
    is_one(bar) || number(bar) == Some(0) || unnumbered && next_is_one()
}

fn number(bar: &RawBar) -> Option<u32> {
    bar.number.parse().ok()
}
