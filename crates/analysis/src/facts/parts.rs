//! The facts of parts: notes, playing, entrances, levels, devices, players, cues.

use super::{filled, instruments, marks, midi, offset, part_id, place, spans};
use crate::MovementTracks;
use crate::seats::{SeatsEnd, SeatsSpan};
use barloom_core::event::{Note, NoteTraits};
use barloom_core::part::{Part, PartIdx, PlayerSet};
use barloom_core::part_bars::{OwnMeter, RepeatedBar};
use barloom_core::pitch::{Doubling, SoundingPitch};
use barloom_core::score::{Movement, PartMusic, Score};
use barloom_core::study::Study;
use barloom_core::time::Ticks;
use serde_json::{Value, json};

pub(super) fn parts(score: &Score, movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let row = |(part, music): (PartIdx, &PartMusic)| {
        let instrument = music
            .instrument_at(Ticks::ZERO)
            .or_else(|| score.parts.get(part.idx()).map(|part| part.instrument));
        let transposition = music.transposition_at(1, Ticks::ZERO);
        let (lowest, highest) = compass(music);
        let graces = written(&music.notes).filter(|note| note.traits.any(NoteTraits::GRACE));
        let row = json!({
            "id": music.source_id,
            "name": name(score.parts.get(part.idx()), music),
            "instrument": instrument.map_or("unknown", |instrument| instrument.get().name),
            "family": instrument.map_or("other", |instrument| instrument.get().family.name()),
            "transposition": transposition.semitones(),
            "notes": music.notes.iter().filter(|note| note.is_counted()).count(),
            "graces": graces.count(),
            "lowest": lowest.map(midi),
            "highest": highest.map(midi),
            "sounding_quarters": sounding_quarters(movement, music),
            "playing": [],
            "entrances": [],
            "dynamics": [],
            "hairpins": [],
            "accents": [],
            "devices": [],
            "seats": [],
            "marks": [],
            "meters": [],
            "repeated": [],
            "part_transposition": instruments::part_transposition(music),
            "in_hand": [],
            "struck": [],
            "tunings": [],
            "pedals": [],
        });
        let lists = [
            ("playing", spans(&tracks.playing.runs(part))),
            ("entrances", entrances(movement, tracks, part)),
            ("dynamics", dynamics(movement, tracks, part)),
            ("hairpins", marks::hairpins(movement, tracks, part)),
            ("accents", marks::accents(movement, music)),
            ("devices", devices(movement, tracks, part)),
            ("seats", seats(movement, tracks, part)),
            ("marks", marks::others(movement, music)),
            ("meters", meters(music)),
            ("repeated", repeated(music)),
            ("in_hand", instruments::in_hand(movement, music)),
            ("struck", instruments::struck(music)),
            ("tunings", instruments::tunings(movement, music)),
            ("pedals", instruments::pedals(movement, music)),
        ];
        filled(row, lists)
    };
    movement.parts().map(row).collect()
}

fn name<'a>(part: Option<&'a Part>, music: &'a PartMusic) -> &'a str {
    if music.source_name.is_empty() {
        part.map_or("", |part| part.name.as_str())
    } else {
        &music.source_name
    }
}

/// The notes that are played and stand on the page themselves, without those that a repeat sign or
/// slashes stand for.
fn written(notes: &[Note]) -> impl Iterator<Item = &Note> {
    notes.iter().filter(|note| note.sounds() && !note.traits.any(NoteTraits::UNDER_SIGN))
}

/// Lowest and highest sounding pitch, grace notes and doubling octaves included.
fn compass(music: &PartMusic) -> (Option<SoundingPitch>, Option<SoundingPitch>) {
    let doubles = music.transpositions.iter().any(|mark| mark.transposition.doubled.is_some());
    let (mut lowest, mut highest) = (None, None);
    for (note, pitch) in written(&music.notes).filter_map(|note| Some((note, note.sounding?))) {
        let (mut low, mut high) = (pitch, pitch);
        if doubles {
            match music.transposition_at(note.staff, note.onset).doubled {
                Some(Doubling::Below) => low = pitch.transposed(-12),
                Some(Doubling::Above) => high = pitch.transposed(12),
                None => {}
            }
        }
        lowest = Some(lowest.map_or(low, |known: SoundingPitch| known.min(low)));
        highest = Some(highest.map_or(high, |known: SoundingPitch| known.max(high)));
    }
    (lowest, highest)
}

/// The lengths of all heads that begin or continue a sound.
fn sounding_quarters(movement: &Movement, music: &PartMusic) -> String {
    let sounding = written(&music.notes).filter(|note| !note.traits.any(NoteTraits::GRACE));
    let sum: i128 = sounding.map(|note| i128::from(note.length.0)).sum();
    let sum = i64::try_from(sum).unwrap_or(i64::MAX);
    movement.resolution.quarters(Ticks(sum)).to_string()
}

/// Meters that the part has for itself; a staff of null stands for all.
fn meters(music: &PartMusic) -> Vec<Value> {
    let row = |own: &OwnMeter| {
        json!({
            "from": own.from.0,
            "to": own.to.0,
            "staff": own.staff,
            "meter": own.meter.to_string(),
        })
    };
    music.meters.iter().map(row).collect()
}

/// Bars in which a sign stands for music, with the bar that is heard again if there is one.
fn repeated(music: &PartMusic) -> Vec<Value> {
    let row = |repeat: &RepeatedBar| {
        json!({
            "bar": repeat.bar.0,
            "staff": repeat.staff,
            "sign": repeat.sign.name(),
            "of": repeat.source.map(|bar| bar.0),
        })
    };
    music.repeated_bars.iter().map(row).collect()
}

fn entrances(movement: &Movement, tracks: &MovementTracks, part: PartIdx) -> Vec<Value> {
    let own = tracks.entrances.iter().filter(|entrance| entrance.part == part);
    own.map(|entrance| {
        json!({
            "bar": entrance.bar.0,
            "at": entrance.offset.to_string(),
            "rest_bars": entrance.rest_bars,
            "rest_quarters": entrance.rest_quarters.to_string(),
            "first": entrance.first,
            "level": entrance.level.map(barloom_core::event::Level::letters),
            "devices": entrance.devices.iter().map(|device| device.name()).collect::<Vec<_>>(),
            "off_beat": entrance.off_beat,
            "sounding": entrance.n_sounding,
            "solo": entrance.solo,
            "section": entrance.section.map(barloom_core::instrument::Family::name),
            "imitates": entrance.imitates.map(|part| part_id(movement, part)),
        })
    })
    .collect()
}

fn dynamics(movement: &Movement, tracks: &MovementTracks, part: PartIdx) -> Vec<Value> {
    let changes = tracks.dynamics.parts.get(part.idx()).map(|part| part.changes.as_slice());
    let row = |change: &crate::dynamics::LevelChange| {
        let (bar, at) = place(movement, change.at);
        json!({
            "bar": bar,
            "at": at,
            "level": change.level.letters(),
            "staff": change.staff,
            "words": change.words,
        })
    };
    // What no sign says is told with its hairpin.
    let changes = changes.unwrap_or_default().iter().filter(|change| !change.implied);
    changes.map(row).collect()
}

/// Every beginning and every written end, in order of place.
fn devices(movement: &Movement, tracks: &MovementTracks, part: PartIdx) -> Vec<Value> {
    let mut rows: Vec<(Ticks, &str, &str, &str)> = Vec::new();
    for span in tracks.devices.of_part(part) {
        rows.push((span.from, span.device.name(), "on", &span.words));
        if span.ended {
            rows.push((span.to, span.device.name(), "off", &span.end_words));
        }
    }
    // What ends at a place comes before what begins there.
    rows.sort_by_key(|(at, _, state, _)| (*at, *state == "on"));
    let row = |(at, device, state, words)| {
        let (bar, at) = place(movement, at);
        json!({ "bar": bar, "at": at, "device": device, "state": state, "words": words })
    };
    rows.into_iter().map(row).collect()
}

/// Who of the part plays, with what ends it; players are counted from 1 and listed where the part tells
/// them apart.
fn seats(movement: &Movement, tracks: &MovementTracks, part: PartIdx) -> Vec<Value> {
    let row = |span: &SeatsSpan| {
        let (bar, at) = place(movement, span.from);
        let (end_bar, end_at) = place(movement, span.to);
        let named = (0..PlayerSet::MAX_PLAYERS).filter(|player| span.players.contains(*player));
        let named: Vec<usize> = named.map(|player| player + 1).collect();
        json!({
            "bar": bar,
            "at": at,
            "until": { "bar": end_bar, "at": end_at },
            "who": span.name(),
            "number": span.number(),
            "players": if span.players.is_all() { vec![] } else { named },
            "staff": span.staff,
            "words": span.words,
            "end_words": span.end_words,
            "ended_by": match span.end {
                SeatsEnd::Marking => "marking",
                SeatsEnd::Rest => "rest",
                SeatsEnd::Nothing => "nothing",
            },
        })
    };
    tracks.seats.of_part(part).iter().map(row).collect()
}

pub(super) fn players(score: &Score, movement: &Movement) -> Vec<Value> {
    let mut rows = Vec::new();
    for (idx, music) in movement.parts() {
        let players = score.parts.get(idx.idx()).map(|part| part.players.as_slice());
        for player in players.unwrap_or_default() {
            let also: Vec<&str> = player.also.iter().map(|other| other.get().name).collect();
            rows.push(json!({ "part": music.source_id, "player": player.name, "also": also }));
        }
    }
    rows
}

pub(super) fn cues(movement: &Movement, tracks: &MovementTracks) -> Vec<Value> {
    let wanted = tracks.entrances.iter().filter(|entrance| entrance.need > 0);
    wanted
        .map(|entrance| {
            json!({
                "part": part_id(movement, entrance.part),
                "bar": entrance.bar.0,
                "at": offset(movement, entrance.bar, entrance.at),
                "need": entrance.need,
                "reasons": entrance.reasons,
            })
        })
        .collect()
}

/// Cues that fall together on different sides; without a study those that are proposed.
pub(super) fn cue_clashes(
    score: &Score,
    movement: &Movement,
    tracks: &MovementTracks,
    study: Option<&Study>,
) -> Vec<Value> {
    let empty = Study::default();
    let study = study.unwrap_or(&empty);
    let seats = crate::seating::seats(score, study);
    let cues =
        crate::seating::cues_of(score, movement, &tracks.entrances, study, tracks.cues.clash_need);
    let row = |clash: crate::seating::Clash| {
        let (bar, at) = place(movement, clash.at);
        let (then_bar, then) = place(movement, clash.then);
        let ids = |parts: &[PartIdx]| -> Vec<&str> {
            parts.iter().map(|part| part_id(movement, *part)).collect()
        };
        json!({
            "bar": bar,
            "at": at,
            "then_bar": then_bar,
            "then": then,
            "first": ids(&clash.first),
            "second": ids(&clash.second),
            "why": clash.why,
        })
    };
    crate::seating::clashes(movement, &cues, &seats, &tracks.cues).into_iter().map(row).collect()
}

/// Where every part sits: as decided, else as usual.
pub(super) fn seating(score: &Score, movement: &Movement, study: Option<&Study>) -> Vec<Value> {
    let empty = Study::default();
    let seats = crate::seating::seats(score, study.unwrap_or(&empty));
    let row = |((part, _), seat): ((PartIdx, &PartMusic), &barloom_core::study::Seat)| {
        json!({
            "part": part_id(movement, part),
            "side": seat.side.name(),
            "depth": seat.depth.name(),
        })
    };
    movement
        .parts()
        .filter_map(|(part, music)| Some(((part, music), seats.get(part.idx())?)))
        .map(row)
        .collect()
}
