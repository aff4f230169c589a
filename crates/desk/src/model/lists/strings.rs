//! The manners of the strings, who of a section plays, and what is written that does not fit, as rows of
//! a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_analysis::seats::{SeatsEnd, SeatsSpan};
use barloom_core::bar::BarAddress;
use barloom_core::instrument::Family;
use barloom_core::time::Ticks;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let score = &env.basis.score;
    let mut rows: Vec<ListRow> = Vec::new();
    for (movement, tracks) in score.movements.iter().zip(&env.tracks.movements) {
        let place = |at: Ticks| {
            let (bar, offset) = movement.place(at);
            BarAddress { movement: movement.id, bar, offset }
        };
        let mut here: Vec<(BarAddress, ListRow)> = Vec::new();
        for span in &tracks.manners {
            let at = BarAddress::start_of(movement.id, span.from);
            let mut row = row_at(env, at, None);
            if span.to != span.from {
                row.place.push_str(&format!("–{}", movement.bar_name(span.to)));
            }
            row.head = span.manner.name().to_owned();
            row.text = span.who(score);
            here.push((at, row));
        }
        for span in &tracks.seats.spans {
            let Some(part) = score.parts.get(span.part.idx()) else { continue };
            if part.instrument.get().family != Family::Strings {
                continue;
            }
            let at = place(span.from);
            let mut row = row_at(env, at, None);
            row.head = span.in_words();
            let until = movement.bar_name(movement.place(span.to).0);
            row.text = format!("{}{}", part.name, seats_end(span, &until));
            here.push((at, row));
        }
        for found in &tracks.contradictions {
            let at = place(found.at);
            let mut row = row_at(env, at, None);
            row.head = String::from("does it fit?");
            row.text = format!("{}: {}", found.who(score), found.what);
            row.weight = 1.0;
            here.push((at, row));
        }
        here.sort_by_key(|(at, _)| *at);
        rows.extend(here.into_iter().map(|(_, row)| row));
    }
    rows
}

/// How a state of who plays ends, after the part's name.
fn seats_end(span: &SeatsSpan, until: &str) -> String {
    match span.end {
        SeatsEnd::Marking if span.end_words.is_empty() => format!(" to bar {until}"),
        SeatsEnd::Marking => format!(" to bar {until} (\u{201c}{}\u{201d})", span.end_words),
        SeatsEnd::Rest => String::from(" to its next bar of rest"),
        SeatsEnd::Nothing => String::from(", no word ends it"),
    }
}
