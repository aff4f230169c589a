//! The facts of the ensemble: texture, doublings, who leads, strings, changes, attacks, balance, ranges.

use super::{midi, offset, part_id, place, thousandth};
use crate::MovementTracks;
use crate::changes::harp::{HarpPlan, Move, Setting, pedals_in_words};
use crate::changes::timpani::{Drum, Retuning, TimpaniPlan};
use crate::doublings::Doubling;
use crate::manners::{Contradiction, MannerSpan};
use crate::ranges::Extreme;
use crate::ranges::comfort::LongStretch;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use serde_json::{Value, json};

pub(super) fn textures(tracks: &MovementTracks) -> Vec<Value> {
    let row = |span: &crate::texture::TextureSpan| {
        json!({
            "from": span.from.0,
            "to": span.to.0,
            "class": span.class.name(),
            "relation": span.relation.name(),
            "parts": span.n_parts,
            "lines": span.n_lines,
            "synchrony": hundredth(span.synchrony),
            "together": hundredth(span.together),
            "density": hundredth(span.density),
            "weight": hundredth(span.weight),
            "lowest": span.register.map(|(low, _)| midi(low)),
            "highest": span.register.map(|(_, high)| midi(high)),
        })
    };
    tracks.textures.iter().map(row).collect()
}

/// Pairs; what three parts play together is three rows.
pub(super) fn doublings(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |doubling: &Doubling| {
        json!({
            "from": doubling.first_bar.0,
            "to": doubling.last_bar.0,
            "parts": parts(movement, &[doubling.part, doubling.by]),
            "interval": doubling.interval,
            "share": hundredth(doubling.share),
            "parallel": doubling.parallel,
            "notes": doubling.n_notes,
            "extent": doubling.extent.name(),
        })
    };
    tracks.doublings.iter().map(row).collect()
}

pub(super) fn leading(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let given = crate::leading::hand_offs(&tracks.leading);
    let row = |lead: &crate::leading::Lead| {
        let nth = given.binary_search_by_key(&lead.from, |given| given.bar);
        let from = nth.ok().and_then(|nth| given.get(nth)).map(|given| given.from.as_slice());
        json!({
            "from": lead.from.0,
            "to": lead.to.0,
            "parts": parts(movement, &lead.parts),
            "handed_from": parts(movement, from.unwrap_or_default()),
            "lead": hundredth(lead.lead),
            "reasons": lead.reasons,
        })
    };
    tracks.leading.iter().map(row).collect()
}

pub(super) fn mixed_attacks(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |attack: &crate::mixed::MixedAttack| {
        let mut classes: Vec<&str> = Vec::new();
        for (_, class) in &attack.voices {
            if !classes.contains(&class.name()) {
                classes.push(class.name());
            }
        }
        let of: Vec<PartIdx> = attack.voices.iter().map(|(part, _)| *part).collect();
        json!({
            "bar": attack.bar.0,
            "at": offset(movement, attack.bar, attack.at),
            "classes": classes,
            "parts": parts(movement, &of),
            "weight": hundredth(attack.weight),
            "reasons": attack.reasons,
            "advice": attack.advice,
        })
    };
    tracks.mixed.iter().map(row).collect()
}

pub(super) fn changes(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |change: &crate::changes::Change| {
        let (bar, at) = place(movement, change.at);
        json!({
            "part": part_id(movement, change.part),
            "players": super::instruments::numbered(change.players),
            "what": change.what,
            "bar": bar,
            "at": at,
            "available_seconds": thousandth(change.available_seconds),
            "wanted_seconds": thousandth(change.wanted_seconds),
            "verdict": change.verdict.name(),
            "words": change.words,
        })
    };
    tracks.changes.changes.iter().map(row).collect()
}

/// What harps do with their pedals.
pub(super) fn harps(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let step = |one: &Move| {
        let (bar, at) = place(movement, one.at);
        let seconds = thousandth(one.available_seconds.max(0.0));
        json!({ "bar": bar, "at": at, "pedal": one.in_words(), "available_seconds": seconds })
    };
    let said = |(at, what): &(_, String)| {
        let (bar, at) = place(movement, *at);
        json!({ "bar": bar, "at": at, "what": what })
    };
    let row = |plan: &HarpPlan| {
        let setting = |setting: &Setting| {
            let (bar, at) = place(movement, setting.at);
            json!({
                "bar": bar,
                "at": at,
                "pedals": pedals_in_words(setting.pedals),
                "instants": setting.instants,
            })
        };
        let settings: Vec<Value> = plan.settings.iter().map(setting).collect();
        let moves: Vec<Value> = plan.moves.iter().map(step).collect();
        json!({
            "part": part_id(movement, plan.part),
            "settings": settings,
            "moves": moves,
            "impossible": plan.impossible.iter().map(said).collect::<Vec<_>>(),
            "misprints": plan.misprints.iter().map(said).collect::<Vec<_>>(),
        })
    };
    tracks.changes.harps.iter().map(row).collect()
}

/// How timpani are tuned.
pub(super) fn timpani(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |plan: &TimpaniPlan| {
        let drum =
            |(drum, key): (&Drum, &Option<u8>)| json!({ "inches": drum.inches, "pitch": key });
        let tuning = |tuning: &Retuning| {
            let (bar, at) = place(movement, tuning.at);
            let inches = plan.drums.get(tuning.drum).map(|drum| drum.inches);
            json!({ "bar": bar, "at": at, "inches": inches, "from": tuning.from, "to": tuning.to })
        };
        let said = |(at, what): &(_, String)| {
            let (bar, at) = place(movement, *at);
            json!({ "bar": bar, "at": at, "what": what })
        };
        json!({
            "part": part_id(movement, plan.part),
            "drums": plan.drums.iter().zip(&plan.initial).map(drum).collect::<Vec<_>>(),
            "tunings": plan.retunings.iter().map(tuning).collect::<Vec<_>>(),
            "impossible": plan.impossible.iter().map(said).collect::<Vec<_>>(),
        })
    };
    tracks.changes.timpani.iter().map(row).collect()
}

pub(super) fn balance(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |covered: &crate::balance::Covered| {
        json!({
            "part": part_id(movement, covered.part),
            "from": covered.from.0,
            "to": covered.to.0,
            "covered_by": parts(movement, &covered.by),
            "margin_db": (f64::from(covered.margin_db) * 10.0).round() / 10.0,
        })
    };
    tracks.balance.covered.iter().map(row).collect()
}

pub(super) fn ranges(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |note: &Extreme| {
        json!({
            "part": part_id(movement, note.part),
            "bar": note.bar.0,
            "at": offset(movement, note.bar, note.at),
            "pitch": midi(note.pitch),
            "what": note.kind.name(),
            "to": note.last_bar.0,
            "notes": note.n_notes,
        })
    };
    tracks.ranges.iter().map(row).collect()
}

pub(super) fn stretches(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |stretch: &LongStretch| {
        json!({
            "part": part_id(movement, stretch.part),
            "from": stretch.from.0,
            "to": stretch.to.0,
            "without": stretch.kind.name(),
            "seconds": thousandth(stretch.seconds),
        })
    };
    tracks.stretches.iter().map(row).collect()
}

pub(super) fn manners(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |span: &MannerSpan| {
        json!({
            "from": span.from.0,
            "to": span.to.0,
            "manner": span.manner.name(),
            "parts": parts(movement, &span.parts),
            "all": span.all,
        })
    };
    tracks.manners.iter().map(row).collect()
}

pub(super) fn contradictions(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |found: &Contradiction| {
        let (bar, at) = place(movement, found.at);
        json!({ "bar": bar, "at": at, "parts": parts(movement, &found.parts), "what": found.what })
    };
    tracks.contradictions.iter().map(row).collect()
}

fn parts<'a>(movement: &'a Movement, parts: &[PartIdx]) -> Vec<&'a str> {
    parts.iter().map(|part| part_id(movement, *part)).collect()
}

fn hundredth(value: f32) -> f64 {
    (f64::from(value) * 100.0).round() / 100.0
}
