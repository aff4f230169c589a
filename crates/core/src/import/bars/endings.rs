//! Endings and coda signs over the bars of a movement: which bars an ending covers, and which of
//! two coda signs is the place to leave. It knows bars, not parts.

use crate::bar::Bar;

/// An ending covers the bars from where it begins to where it stops; one that never stops ends with
/// its repeat, or where the next begins.
pub(super) fn spread_endings(bars: &mut [Bar]) {
    let mut active: Vec<u32> = Vec::new();
    for bar in bars {
        if !bar.flow.endings.is_empty() {
            active.clone_from(&bar.flow.endings);
        } else if bar.flow.repeat_start {
            active.clear();
        }
        bar.flow.endings.clone_from(&active);
        if bar.flow.ending_stops || bar.flow.repeat_end.is_some() {
            active.clear();
        }
    }
}

/// An ending whose bracket is printed over its first bars only: the bars up to the repeat sign, behind
/// which the next ending begins, belong to it.
pub(super) fn lengthen_short_brackets(bars: &mut [Bar]) {
    let mut open: Option<(usize, Vec<u32>)> = None;
    for idx in 0..bars.len() {
        let Some(bar) = bars.get(idx) else { return };
        let begins = !bar.flow.endings.is_empty();
        let behind_repeat = idx
            .checked_sub(1)
            .and_then(|before| bars.get(before))
            .is_some_and(|before| before.flow.repeat_end.is_some());
        let next = bar.flow.endings.first().copied();
        let repeats = bar.flow.repeat_end.is_some();
        let starts = bar.flow.repeat_start;
        let numbers = bar.flow.endings.clone();
        if let Some((last, open_numbers)) = open.take() {
            if begins && behind_repeat && last + 1 < idx && next > open_numbers.last().copied() {
                for bar in bars.get_mut(last + 1..idx).unwrap_or_default() {
                    bar.flow.endings.clone_from(&open_numbers);
                }
            } else if !begins && !starts {
                open = Some((last, open_numbers));
            }
        }
        if begins {
            open = (!repeats).then_some((idx, numbers));
        }
    }
}

/// Two coda signs and nothing that says "to coda": the first is where to leave, the second where to
/// arrive (common practice).
pub(super) fn settle_codas(bars: &mut [Bar]) {
    let jumps = bars.iter().any(|bar| bar.flow.jump.is_some());
    if !jumps || bars.iter().any(|bar| bar.flow.to_coda) {
        return;
    }
    let signs: Vec<usize> =
        bars.iter().enumerate().filter(|(_, bar)| bar.flow.coda).map(|(idx, _)| idx).collect();
    if let [first, _, ..] = signs.as_slice() {
        if let Some(bar) = bars.get_mut(*first) {
            bar.flow.coda = false;
        }
        if let Some(bar) = first.checked_sub(1).and_then(|idx| bars.get_mut(idx)) {
            bar.flow.to_coda = true;
        }
    }
}
