//! The edits that arrange movements by hand. Each is one step for undo.

use crate::bar::{BarIndex, MovementId};
use crate::study::{Edit, Entry, MovementRow, Span, Study};

/// Splits a movement before a bar: the bars from there on become a movement of their own right
/// after it, and what stands on them goes with them. Groups, marks and cuts that reach over the
/// split end before it. `None` if there is no such bar inside the movement.
pub fn split_edit(study: &Study, movement: MovementId, at: BarIndex, title: &str) -> Option<Edit> {
    let place = study.movement_idx(movement)?;
    let row = study.movements.get(place)?;
    if at.idx() == 0 || at.idx() >= row.bars.len() {
        return None;
    }
    let id = study.unused_movement_id();
    let (first_spans, second_spans) = split_spans(row, at.idx());
    let (first_bars, second_bars) = row.bars.split_at(at.idx());
    let first = MovementRow { spans: first_spans, bars: first_bars.to_vec(), ..row.clone() };
    let second = MovementRow {
        id,
        title: title.to_owned(),
        spans: second_spans,
        bars: second_bars.to_vec(),
    };
    let mut movements = study.movements.clone();
    movements.splice(place..=place, [first, second]);
    let last = BarIndex(at.0 - 1);
    let shifted = |entry: &Entry| {
        let (from, (of, to)) = entry.item.place().zip(entry.item.last_bar())?;
        if of != movement || to < at {
            return None;
        }
        let mut entry = entry.clone();
        if from.bar >= at {
            entry.item.readdress(|_, bar| (id, BarIndex(bar.0 - at.0)));
        } else {
            entry.item.readdress(|_, bar| (movement, bar.min(last)));
        }
        Some(entry)
    };
    Some(arranged(study, movements, study.entries().filter_map(shifted).collect()))
}

/// The spans of a row before and from its bar `at`.
fn split_spans(row: &MovementRow, at: usize) -> (Vec<Span>, Vec<Span>) {
    let (mut first, mut second) = (Vec::new(), Vec::new());
    let mut start = 0;
    for span in closed_spans(row) {
        let n_bars = span.to.map_or(0, |to| to.idx() + 1 - span.from.idx());
        let cut = BarIndex::from(span.from.idx() + at.saturating_sub(start));
        if start + n_bars <= at {
            first.push(span);
        } else if start >= at {
            second.push(span);
        } else {
            first.push(Span { to: Some(BarIndex(cut.0.saturating_sub(1))), ..span.clone() });
            second.push(Span { from: cut, ..span });
        }
        start += n_bars;
    }
    // What was open stays open, so that bars added at the end of the file are still taken.
    if let (Some(last), Some(open)) = (second.last_mut(), row.spans.last()) {
        last.to = open.to;
    }
    (first, second)
}

/// The spans of a row with the open one closed at the last bar seen.
fn closed_spans(row: &MovementRow) -> Vec<Span> {
    let mut left = row.bars.len();
    let mut spans = Vec::new();
    for span in &row.spans {
        let stated = span.to.map(|to| (to.idx() + 1).saturating_sub(span.from.idx()));
        let n_bars = stated.unwrap_or(left).min(left);
        left -= n_bars;
        if n_bars > 0 {
            let to = Some(BarIndex::from(span.from.idx() + n_bars - 1));
            spans.push(Span { to, ..span.clone() });
        }
    }
    spans
}

/// Joins a movement to the one before it in the order; what stands in it goes with it. `None` if
/// there is no movement before.
pub fn join_edit(study: &Study, second: MovementId) -> Option<Edit> {
    let place = study.movement_idx(second)?;
    let first_place = place.checked_sub(1)?;
    let (first, row) = (study.movements.get(first_place)?, study.movements.get(place)?);
    let n_first = u32::try_from(first.bars.len()).ok()?;
    let mut spans = closed_spans(first);
    for span in &row.spans {
        let follows = |last: &Span| {
            (last.source, last.movement) == (span.source, span.movement)
                && last.to.is_some_and(|to| to.idx() + 1 == span.from.idx())
        };
        // Halves that were split from each other grow together again.
        match spans.last_mut().filter(|last| follows(last)) {
            Some(last) => last.to = span.to,
            None => spans.push(span.clone()),
        }
    }
    let bars = first.bars.iter().chain(&row.bars).cloned().collect();
    let joined = MovementRow { spans, bars, ..first.clone() };
    let id = first.id;
    let mut movements = study.movements.clone();
    movements.splice(first_place..=place, [joined]);
    let shifted = |entry: &Entry| {
        if entry.item.movement() != Some(second) {
            return None;
        }
        let mut entry = entry.clone();
        entry.item.readdress(|_, bar| (id, BarIndex(bar.0.saturating_add(n_first))));
        Some(entry)
    };
    Some(arranged(study, movements, study.entries().filter_map(shifted).collect()))
}

/// Puts the movements in another order. `None` unless `order` names each exactly once.
pub fn reorder_edit(study: &Study, order: &[MovementId]) -> Option<Edit> {
    let movements: Option<Vec<MovementRow>> =
        order.iter().map(|id| study.movement(*id).cloned()).collect();
    let movements = movements?;
    let mut sorted = order.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let complete = sorted.len() == order.len() && order.len() == study.movements.len();
    complete.then(|| arranged(study, movements, Vec::new()))
}

/// Gives a movement another title. `None` if there is no such movement.
pub fn retitle_edit(study: &Study, movement: MovementId, title: &str) -> Option<Edit> {
    let mut movements = study.movements.clone();
    movements.iter_mut().find(|row| row.id == movement)?.title = title.to_owned();
    Some(arranged(study, movements, Vec::new()))
}

fn arranged(study: &Study, movements: Vec<MovementRow>, moved: Vec<Entry>) -> Edit {
    let (sources, parts) = (study.sources.clone(), study.parts.clone());
    Edit::Arrange { sources, movements, parts, moved }
}
