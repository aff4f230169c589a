//! What was read and computed, as JSON. It never says more than the analyses know: lists that no
//! analysis fills are there and empty.
//!
//! Positions are bar indices in written order and offsets in quarters as fractions; pitches are
//! sounding MIDI numbers; seconds are rounded to a thousandth. Keys keep their order.

mod bars;
mod ensemble;
mod instruments;
mod marks;
mod parts;

use crate::{MovementTracks, Tracks};
use barloom_core::basis::Basis;
use barloom_core::diag::Diagnostic;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::{Movement, Score};
use barloom_core::study::Study;
use barloom_core::time::Ticks;
use serde_json::{Value, json};

/// All facts of a work. With a study, its chosen patterns replace the proposals.
pub fn facts(
    basis: &Basis,
    tracks: &Tracks,
    study: Option<&Study>,
    diagnostics: &[Diagnostic],
) -> Value {
    let movements: Vec<Value> = basis
        .score
        .movements
        .iter()
        .zip(&tracks.movements)
        .map(|(movement, tracks)| movement_facts(&basis.score, movement, tracks, study))
        .collect();
    let diagnostics: Vec<Value> = diagnostics.iter().map(diagnostic).collect();
    let all = json!({
        "barloom": env!("CARGO_PKG_VERSION"),
        "movements": [],
        "diagnostics": [],
    });
    filled(all, [("movements", movements), ("diagnostics", diagnostics)])
}

/// An object with lists put in the places that were kept for them. Written out in the object they
/// would be copied, with all that is in them, once for every level that they lie deep.
fn filled<const N: usize>(mut object: Value, lists: [(&str, Vec<Value>); N]) -> Value {
    for (key, list) in lists {
        if let Some(place) = object.get_mut(key) {
            *place = Value::Array(list);
        }
    }
    object
}

fn movement_facts(
    score: &Score,
    movement: &Movement,
    tracks: &MovementTracks,
    study: Option<&Study>,
) -> Value {
    let source = score.sources.get(movement.source).map_or("", |source| source.name.as_str());
    let quarters = movement.resolution.quarters(movement.bars.end());
    let all = json!({
        "title": movement.title,
        "source": source,
        "quarters": quarters.to_string(),
        "seconds": thousandth(tracks.tempo.seconds()),
        "played_quarters": tracks.tempo.played_quarters.to_string(),
        "played_seconds": thousandth(tracks.tempo.played_seconds),
        "bars": [],
        "played": [],
        "tempi": [],
        "swing": [],
        "parts": [],
        "players": [],
        "texture": [],
        "doublings": [],
        "leading": [],
        "strings": [],
        "contradictions": [],
        "mixed_attacks": [],
        "changes": [],
        "harps": [],
        "timpani": [],
        "cues": [],
        "cue_clashes": [],
        "seats": [],
        "balance": [],
        "ranges": [],
        "stretches": [],
        "keys": [],
        "chords": [],
        "cadences": [],
        "groups": [],
        "sections": [],
        "returns": [],
    });
    let lists = [
        ("bars", bars::bars(movement, tracks, study)),
        ("played", spans(&tracks.tempo.played)),
        ("tempi", bars::tempi(movement, tracks)),
        ("swing", bars::swing(movement, tracks)),
        ("parts", parts::parts(score, movement, tracks)),
        ("players", parts::players(score, movement)),
        ("cues", parts::cues(movement, tracks)),
        ("cue_clashes", parts::cue_clashes(score, movement, tracks, study)),
        ("seats", parts::seating(score, movement, study)),
        ("texture", ensemble::textures(tracks)),
        ("doublings", ensemble::doublings(movement, tracks)),
        ("leading", ensemble::leading(movement, tracks)),
        ("strings", ensemble::manners(movement, tracks)),
        ("contradictions", ensemble::contradictions(movement, tracks)),
        ("mixed_attacks", ensemble::mixed_attacks(movement, tracks)),
        ("changes", ensemble::changes(movement, tracks)),
        ("harps", ensemble::harps(movement, tracks)),
        ("timpani", ensemble::timpani(movement, tracks)),
        ("balance", ensemble::balance(movement, tracks)),
        ("ranges", ensemble::ranges(movement, tracks)),
        ("stretches", ensemble::stretches(movement, tracks)),
    ];
    filled(all, lists)
}

fn diagnostic(diagnostic: &Diagnostic) -> Value {
    let place = &diagnostic.place;
    json!({
        "severity": diagnostic.severity().name(),
        "code": diagnostic.code.name(),
        "movement": place.movement,
        "part": place.part.as_ref().map(|(id, _)| id),
        "bar": place.bar.as_ref().map(|(bar, _)| bar.0),
        "at": place.at.map(|at| at.to_string()),
        "entry": if place.entry.is_empty() { &place.file } else { &place.entry },
        "line": place.line,
        "column": place.column,
        "message": diagnostic.message,
        "more": diagnostic.more,
    })
}

/// Seconds as they are printed.
fn thousandth(seconds: f64) -> f64 {
    (seconds * 1000.0).round() / 1000.0
}

/// A MIDI number, whole unless it is a quarter tone.
fn midi(pitch: SoundingPitch) -> Value {
    if pitch.quarter_tones() % 2 == 0 { json!(pitch.key()) } else { json!(pitch.midi()) }
}

fn spans(spans: &[(barloom_core::bar::BarIndex, barloom_core::bar::BarIndex)]) -> Vec<Value> {
    spans.iter().map(|(from, to)| json!([from.0, to.0])).collect()
}

fn part_id(movement: &Movement, part: barloom_core::part::PartIdx) -> &str {
    movement.part(part).map_or("", |music| music.source_id.as_str())
}

/// The offset of a position from the start of a bar it is written in.
fn offset(movement: &Movement, bar: barloom_core::bar::BarIndex, at: Ticks) -> String {
    let start = movement.bars.get(bar).map_or(at, |bar| bar.start);
    movement.resolution.quarters(at.since(start)).to_string()
}

/// Bar and offset of a position; the end of the movement is the end of its last bar.
fn place(movement: &Movement, at: Ticks) -> (u32, String) {
    let (bar, offset) = movement.place(at);
    (bar.0, offset.to_string())
}

#[cfg(test)]
mod tests;
