//! From what was read to the movements of a study: picking spans of bars, joining them, and the
//! edits that split, join and reorder movements by hand.
//!
//! Written order inside a span is never touched. Corrections come later, in [`crate::basis`].

mod edits;
mod gather;
mod in_force;
mod slice;

pub use edits::{join_edit, reorder_edit, retitle_edit, split_edit};
pub use gather::gather;

use crate::bar::BarIndex;
use crate::diag::{Code, Diagnostic, Place};
use crate::score::{Movement, Score};
use crate::study::{MovementRow, Study};
use crate::time::Resolution;
use std::sync::Arc;

/// The movement that is number `nth` (0-based) of a source.
pub fn source_movement(read: &Score, source: usize, nth: usize) -> Option<&Arc<Movement>> {
    read.movements.iter().filter(|movement| movement.source == source).nth(nth)
}

/// The bars `from` to `to` (inclusive) of a movement as a movement of its own. It begins with what was
/// in force at its first bar: instrument, transposition, clefs, keys, tempo, time without a clock and
/// swing; techniques and levels are not carried. Hairpins that go on are shortened; ties and slurs stay as they are written.
pub fn cut_out(movement: &Movement, from: BarIndex, to: BarIndex) -> Movement {
    slice::slice(movement, from, Some(to))
}

/// The movements of a study in its order. A movement that takes one whole movement of a source
/// under the same id and title is shared, not copied. What a source no longer has is left out; a
/// movement may be empty then.
pub fn arrange(read: &Score, study: &Study) -> (Vec<Arc<Movement>>, Vec<Diagnostic>) {
    let mut diagnostics = Vec::new();
    let movements = study.movements.iter().enumerate().map(|(place, row)| {
        let (movement, rounded) = movement_of(read, row);
        if rounded {
            diagnostics.push(Diagnostic {
                code: Code::JoinRounded,
                place: Place { movement: Some(place), ..Place::default() },
                message: format!(
                    "the joined parts of \"{}\", from {}, have no common time grid",
                    row.title,
                    source_names(read, row)
                ),
                hint: None,
                more: 0,
            });
        }
        movement
    });
    let movements = movements.collect();
    (movements, diagnostics)
}

/// "a.musicxml and b.musicxml": where the bars of a movement come from.
fn source_names(read: &Score, row: &MovementRow) -> String {
    let mut names: Vec<&str> = Vec::new();
    for span in &row.spans {
        let name = read.sources.get(span.source).map_or("", |source| source.name.as_str());
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(" and ")
}

fn movement_of(read: &Score, row: &MovementRow) -> (Arc<Movement>, bool) {
    let mut pieces = Vec::new();
    for span in &row.spans {
        let Some(movement) = source_movement(read, span.source, span.movement) else { continue };
        let whole = span.from == BarIndex(0)
            && span.to.is_none_or(|to| Some(to) >= movement.bars.last_index());
        if whole {
            pieces.push(Arc::clone(movement));
        } else {
            pieces.push(Arc::new(slice::slice(movement, span.from, span.to)));
        }
    }
    let named = |movement: Arc<Movement>| {
        if movement.id == row.id && movement.title == row.title {
            return movement;
        }
        let mut movement = Arc::unwrap_or_clone(movement);
        movement.id = row.id;
        movement.title.clone_from(&row.title);
        Arc::new(movement)
    };
    let mut rest = pieces.into_iter();
    let Some(first) = rest.next() else {
        let empty = Movement {
            source: row.spans.first().map_or(0, |span| span.source),
            resolution: Resolution::default(),
            ..Movement::default()
        };
        return (named(Arc::new(empty)), false);
    };
    let mut rounded = false;
    let mut joined = first;
    for next in rest {
        let (movement, lossy) = slice::join(&joined, &next);
        rounded |= lossy;
        joined = Arc::new(movement);
    }
    (named(joined), rounded)
}

/// Says which movements of the sources the study does not use at all.
pub fn unused(read: &Score, study: &Study) -> Vec<Diagnostic> {
    let mut diagnostics = Vec::new();
    for (source, row) in read.sources.iter().enumerate() {
        let n_movements = read.movements.iter().filter(|m| m.source == source).count();
        for nth in 0..n_movements {
            let mut spans = study.movements.iter().flat_map(|row| &row.spans);
            if spans.any(|span| span.source == source && span.movement == nth) {
                continue;
            }
            let title = source_movement(read, source, nth).map(|movement| movement.title.clone());
            diagnostics.push(Diagnostic {
                code: Code::MovementUnused,
                place: Place { file: row.name.clone(), ..Place::default() },
                message: format!(
                    "movement {} of the file, \"{}\", is in no movement of the study",
                    nth + 1,
                    title.unwrap_or_default()
                ),
                hint: None,
                more: 0,
            });
        }
    }
    diagnostics
}
