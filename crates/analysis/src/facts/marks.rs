//! The facts of what is written in a part besides notes: hairpins, accents, holds, words.

use super::place;
use crate::MovementTracks;
use crate::dynamics::Hairpin;
use barloom_core::event::{Level, Marking, MarkingKind};
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};
use serde_json::{Value, json};

pub(super) fn hairpins(movement: &Movement, tracks: &MovementTracks, part: PartIdx) -> Vec<Value> {
    let hairpins = tracks.dynamics.parts.get(part.idx()).map(|part| part.hairpins.as_slice());
    let row = |hairpin: &Hairpin| {
        let (bar, at) = place(movement, hairpin.from);
        let (end_bar, end_at) = place(movement, hairpin.to);
        json!({
            "bar": bar,
            "at": at,
            "until": { "bar": end_bar, "at": end_at },
            "louder": hairpin.louder,
            "to": hairpin.target.map(Level::letters),
            "assumed": if hairpin.end_written { vec![] } else { vec!["until"] },
            "staff": hairpin.staff,
            "words": hairpin.words,
        })
    };
    hairpins.unwrap_or_default().iter().map(row).collect()
}

/// Accents of the sf family with the level behind them, if the sign says one.
pub(super) fn accents(movement: &Movement, music: &PartMusic) -> Vec<Value> {
    let row = |marking: &Marking| {
        let MarkingKind::Accent { then } = marking.kind else { return None };
        let (bar, at) = place(movement, marking.at);
        Some(json!({
            "bar": bar,
            "at": at,
            "then": then.map(Level::letters),
            "staff": marking.staff,
        }))
    };
    music.markings.iter().filter_map(row).collect()
}

/// What has no list of its own: holds, who plays, character, and words nobody knows.
pub(super) fn others(movement: &Movement, music: &PartMusic) -> Vec<Value> {
    let row = |marking: &Marking| {
        let what = what(&marking.kind)?;
        let (bar, at) = place(movement, marking.at);
        Some(json!({
            "bar": bar,
            "at": at,
            "what": what,
            "staff": marking.staff,
            "words": marking.words,
        }))
    };
    music.markings.iter().filter_map(row).collect()
}

fn what(kind: &MarkingKind) -> Option<&'static str> {
    Some(match kind {
        MarkingKind::Relative { louder: true } => "louder",
        MarkingKind::Relative { louder: false } => "softer",
        MarkingKind::Players(_) => "players",
        MarkingKind::Instrument(_) => "instrument",
        MarkingKind::Fermata(..) => "fermata",
        MarkingKind::Breath(_) => "breath",
        MarkingKind::Caesura(_) => "caesura",
        MarkingKind::Watch => "watch",
        MarkingKind::Leading { principal: true, on: true } => "principal voice",
        MarkingKind::Leading { principal: false, on: true } => "secondary voice",
        MarkingKind::Leading { on: false, .. } => "voice ends",
        MarkingKind::HarpPedals(_) => "harp pedals",
        MarkingKind::Scordatura(_) => "scordatura",
        MarkingKind::Expression => "expression",
        MarkingKind::Words => "words",
        _ => return None,
    })
}
