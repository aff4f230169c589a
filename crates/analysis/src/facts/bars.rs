//! The facts of bars, beats and tempo.

use super::{filled, place, thousandth};
use crate::beating::{self, Proposal};
use crate::tempo::{Origin, Segment};
use crate::{MovementTracks, beats};
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use barloom_core::study::Study;
use serde_json::{Value, json};

pub(super) fn bars(
    movement: &Movement,
    tracks: &MovementTracks,
    study: Option<&Study>,
) -> Vec<Value> {
    let row = |(idx, bar): (BarIndex, &Bar)| {
        let proposal = tracks.beating.get(idx.idx());
        let beaten = Beaten::of(movement, idx, proposal, study);
        let alternatives = proposal.map(|proposal| proposal.alternatives.as_slice());
        let alternatives: Vec<String> =
            alternatives.unwrap_or_default().iter().map(Pattern::to_string).collect();
        let quarters = |ticks| movement.resolution.quarters(ticks).to_string();
        let row = json!({
            "index": idx.0,
            "label": bar.label,
            "start": quarters(bar.start),
            "length": quarters(bar.length),
            "nominal": quarters(bar.nominal),
            "meter": bar.meter.to_string(),
            "other_meter": bar.other_meter.as_ref().map(ToString::to_string),
            "pickup": bar.pickup,
            "continues": bar.continues,
            "rehearsal": bar.rehearsal,
            "seconds": thousandth(tracks.tempo.bar_length(idx)),
            "pattern": beaten.pattern.to_string(),
            "pattern_origin": if beaten.chosen { "chosen" } else { "proposed" },
            "alternatives": alternatives,
            "beat_groups": beaten.groups,
            "beats": [],
        });
        filled(row, [("beats", beaten.beats(movement, tracks, idx))])
    };
    movement.bars.iter().map(row).collect()
}

/// How a bar is beaten: as chosen, else as proposed.
struct Beaten {
    pattern: Pattern,
    nth: u8,
    chosen: bool,
    groups: Vec<u8>,
}

impl Beaten {
    fn of(
        movement: &Movement,
        idx: BarIndex,
        proposal: Option<&Proposal>,
        study: Option<&Study>,
    ) -> Self {
        let proposed = proposal.map(|proposal| proposal.groups.clone()).unwrap_or_default();
        if let Some(choice) = study.and_then(|study| study.beating(movement.id, idx)) {
            let groups = chosen_groups(&choice.pattern, &proposed);
            return Self { pattern: choice.pattern.clone(), nth: choice.nth, chosen: true, groups };
        }
        let pattern = proposal.map_or(Pattern::Beats(1), |proposal| proposal.pattern.clone());
        Self { pattern, nth: 0, chosen: false, groups: proposed }
    }

    fn beats(&self, movement: &Movement, tracks: &MovementTracks, idx: BarIndex) -> Vec<Value> {
        let (bars, resolution) = (&movement.bars, movement.resolution);
        let groups = &self.groups;
        let strokes =
            beating::strokes_in_bar(&self.pattern, self.nth, bars, idx, resolution, groups);
        let beats = beats::of_bar(&tracks.sounds, bars, resolution, idx, &self.pattern, &strokes);
        let row = |beat: beats::Beat| {
            json!({
                "at": beat.at.to_string(),
                "beat": beat.kind.name(),
                "attacks": beat.attacks,
                "stroke": beat.stroke,
            })
        };
        beats.into_iter().map(row).collect()
    }
}

/// The groups of a chosen pattern in units of the lower figure: its own, else even ones where they
/// fit the bar, else those of the proposal.
fn chosen_groups(pattern: &Pattern, proposed: &[u8]) -> Vec<u8> {
    let sum: usize = proposed.iter().map(|group| usize::from(*group)).sum();
    match pattern {
        Pattern::Groups(groups) => groups.clone(),
        Pattern::Beats(beats) | Pattern::Divided { beats, .. }
            if usize::from(*beats) <= proposed.len() && sum.is_multiple_of((*beats).into()) =>
        {
            vec![(sum / usize::from(*beats)) as u8; usize::from(*beats)]
        }
        Pattern::OneHalf | Pattern::OneTwoOfThree => vec![sum as u8],
        _ => proposed.to_vec(),
    }
}

pub(super) fn tempi(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let tempo = &tracks.tempo;
    let row = |(idx, segment): (usize, &Segment)| {
        let (bar, at) = place(movement, segment.at);
        let until = segment.to.map(|_| {
            let (bar, at) = place(movement, tempo.segment_end(idx));
            json!({ "bar": bar, "at": at })
        });
        json!({
            "bar": bar,
            "at": at,
            "quarters_per_minute": thousandth(segment.quarters_per_minute),
            "origin": segment.origin.name(),
            "words": segment.words,
            "until": until,
            "to": segment.to.map(thousandth),
            "assumed": assumed(segment),
            "free": segment.free,
        })
    };
    tempo.segments.iter().enumerate().map(row).collect()
}

/// The keys of a tempo whose values are not written.
fn assumed(segment: &Segment) -> Vec<&'static str> {
    let mut keys = Vec::new();
    if segment.origin == Origin::Assumed {
        keys.push("quarters_per_minute");
    }
    if segment.assumed.end {
        keys.push("until");
    }
    if segment.assumed.goal {
        keys.push("to");
    }
    keys
}

pub(super) fn swing(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |change: &crate::tempo::swing::SwingChange| {
        let (bar, at) = place(movement, change.at);
        json!({
            "bar": bar,
            "at": at,
            "swing": change.on,
            "ratio": change.ratio.map(|(first, second)| [first, second]),
            "unit": change.unit.to_string(),
            "words": change.words,
        })
    };
    tracks.tempo.swing.iter().map(row).collect()
}
