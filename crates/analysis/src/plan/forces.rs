//! The forces of a work: the short line of orchestra libraries, parts by family with their
//! doublings, and what parts need beside their instrument.

use super::{FamilyRow, NeedRow, SeatRow, words};
use crate::{Tracks, seating};
use barloom_core::basis::Basis;
use barloom_core::event::Device;
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::part::{Part, PartIdx};
use barloom_core::score::Score;
use barloom_core::study::{Depth, Side, Study};
use std::collections::BTreeMap;

/// The places of the short line: woodwinds and brass by kind, as orchestra libraries count them
/// (common practice). The first name of a place is the plain one.
const PLACES: [(Family, &[&str]); 8] = [
    (Family::Woodwinds, &["flute", "piccolo"]),
    (Family::Woodwinds, &["oboe", "cor anglais", "english horn", "heckelphone"]),
    (Family::Woodwinds, &["clarinet", "basset"]),
    (Family::Woodwinds, &["bassoon", "dulcian"]),
    (Family::Brass, &["horn"]),
    (Family::Brass, &["trumpet", "cornet", "flugelhorn"]),
    (Family::Brass, &["trombone"]),
    (Family::Brass, &["tuba", "ophicleide", "euphonium", "cimbasso"]),
];

fn place(instrument: InstrumentId) -> Option<usize> {
    let row = instrument.get();
    // "flugelhorn" is no horn, "basset horn" no horn by family: longer names are tried first.
    let fits = |(idx, (family, names)): (usize, &(Family, &[&str]))| {
        let longest = names.iter().filter(|name| row.name.contains(**name)).map(|name| name.len());
        (*family == row.family).then(|| longest.max().map(|length| (length, idx)))?
    };
    PLACES.iter().enumerate().filter_map(fits).max().map(|(_, idx)| idx)
}

/// "3(3.=piccolo) 2 2 3(1 contrabassoon) – 4 3 3 1 – timpani, percussion – harp – strings".
pub(super) fn line(score: &Score) -> String {
    let mut counts: [(usize, Vec<String>); PLACES.len()] = Default::default();
    for part in &score.parts {
        let Some((count, notes)) = place(part.instrument).and_then(|at| counts.get_mut(at)) else {
            continue;
        };
        let plain = place(part.instrument).and_then(|at| PLACES.get(at)).map(|(_, names)| names[0]);
        for player in &part.players {
            *count += 1;
            let number = *count;
            if plain.is_some_and(|plain| plain != part.instrument.get().name) {
                notes.push(format!("{number}.={}", part.instrument.get().short));
            }
            notes.extend(player.also.iter().map(|also| format!("{number}.={}", also.get().short)));
        }
    }
    let figure = |(count, notes): &(usize, Vec<String>)| match notes.as_slice() {
        [] => count.to_string(),
        notes => format!("{count}({})", notes.join(", ")),
    };
    let figures: Vec<String> = counts.iter().map(figure).collect();
    let any = |range: std::ops::Range<usize>| {
        counts.get(range).is_some_and(|counts| counts.iter().any(|(count, _)| *count > 0))
    };
    let mut sections: Vec<String> = Vec::new();
    if any(0..8) {
        sections.push(figures[..4].join(" "));
        sections.push(figures[4..].join(" "));
    }
    sections.extend(others(score));
    sections.join(" – ")
}

/// What the figures do not count: other winds, percussion, harp and keyboards, voices, strings.
fn others(score: &Score) -> Vec<String> {
    let mut sections = Vec::new();
    for family in Family::ALL {
        let parts = score.parts.iter().filter(|part| part.instrument.get().family == family);
        let mut names: Vec<(String, usize)> = Vec::new();
        for part in parts.filter(|part| place(part.instrument).is_none()) {
            let name = match family {
                Family::Strings => String::from("strings"),
                Family::Other => part.name.clone(),
                _ => part.instrument.get().name.to_owned(),
            };
            match names.iter_mut().find(|(known, _)| *known == name) {
                Some((_, count)) => *count += part.players.len(),
                None => names.push((name, part.players.len())),
            }
        }
        let named = |(name, count): &(String, usize)| {
            if *count > 1 && name != "strings" { format!("{count} {name}") } else { name.clone() }
        };
        if !names.is_empty() {
            sections.push(names.iter().map(named).collect::<Vec<_>>().join(", "));
        }
    }
    sections
}

/// The parts by family.
pub(super) fn families(score: &Score) -> Vec<FamilyRow> {
    let row = |family: Family| {
        let of = |part: &&Part| part.instrument.get().family == family;
        let parts: Vec<String> = score.parts.iter().filter(of).map(with_doublings).collect();
        (!parts.is_empty()).then(|| FamilyRow { family: words::capitalized(family.name()), parts })
    };
    Family::ALL.into_iter().filter_map(row).collect()
}

fn with_doublings(part: &Part) -> String {
    let several = part.players.len() > 1;
    let doubling = |player: &barloom_core::part::Player| {
        // "Flute 3 (Piccolo)" says it already.
        let known = part.name.to_lowercase();
        let new = player.also.iter().map(|also| also.get().name);
        let also: Vec<&str> = new.filter(|also| !known.contains(also)).collect();
        let who = if several { format!("{} ", player.name) } else { String::new() };
        (!also.is_empty()).then(|| format!("{who}also {}", also.join(", ")))
    };
    let doublings: Vec<String> = part.players.iter().filter_map(doubling).collect();
    if doublings.is_empty() {
        part.name.clone()
    } else {
        format!("{} ({})", part.name, doublings.join("; "))
    }
}

/// The devices of each part with the movements they are needed in, parts with the same needs apart.
pub(super) fn needs(basis: &Basis, tracks: &Tracks) -> Vec<NeedRow> {
    let several = basis.score.movements.len() > 1;
    let mut rows = Vec::new();
    for (part, named) in basis.score.parts() {
        let mut needed: BTreeMap<Device, Vec<String>> = BTreeMap::new();
        for (idx, movement) in tracks.movements.iter().enumerate() {
            for span in movement.devices.of_part(part) {
                let movements = needed.entry(span.device).or_default();
                let numeral = words::roman(idx + 1);
                if !movements.contains(&numeral) {
                    movements.push(numeral);
                }
            }
        }
        let what = |(device, movements): (Device, Vec<String>)| {
            let in_movements =
                if several { format!(" ({})", movements.join(", ")) } else { String::new() };
            format!("{}{in_movements}", device_words(basis, part, device))
        };
        let what: Vec<String> = needed.into_iter().map(what).collect();
        if !what.is_empty() {
            rows.push(NeedRow { part: named.name.clone(), what });
        }
    }
    rows
}

fn device_words(basis: &Basis, part: PartIdx, device: Device) -> &'static str {
    let family = basis.score.parts.get(part.idx()).map(|part| part.instrument.get().family);
    match (device, family) {
        (Device::Bridge, _) => "at the bridge",
        (Device::Fingerboard, _) => "over the fingerboard",
        (Device::Wood, _) => "with the wood of the bow",
        (Device::Flutter, _) => "flutter-tongue",
        (Device::Plucked, Some(Family::Strings)) => "pizzicato",
        (other, _) => other.name(),
    }
}

/// Where the parts sit, the back of the stage first, as the conductor looks at it.
pub(super) fn seats(score: &Score, study: &Study) -> Vec<SeatRow> {
    let seats = seating::seats(score, study);
    let row = |depth: Depth| {
        let on = |side: Side| {
            let here = score.parts.iter().zip(&seats);
            let here = here.filter(|(_, seat)| (seat.side, seat.depth) == (side, depth));
            let short = |part: &Part| {
                if part.short.trim().is_empty() { part.name.clone() } else { part.short.clone() }
            };
            here.map(|(part, _)| short(part)).collect::<Vec<_>>().join(", ")
        };
        SeatRow { depth: depth.name(), sides: Side::ALL.into_iter().map(on).collect() }
    };
    let rows = Depth::ALL.into_iter().rev().map(row);
    rows.filter(|row| row.sides.iter().any(|side| !side.is_empty())).collect()
}
