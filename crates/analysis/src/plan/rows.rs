//! The rows of the bar grid: what sounds in every bar of every part, and of every instrument.

use super::lists::Scene;
use super::{PlanRow, Sound, SoundManner, spans, words};
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::event::{Device, Manner, Note};
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::part::PartIdx;
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;

/// One row for each part that is present.
pub(super) fn parts(scene: &Scene<'_>) -> Vec<PlanRow> {
    scene.movement.parts().map(|(part, music)| row(scene, part, music)).collect()
}

fn row(scene: &Scene<'_>, part: PartIdx, music: &PartMusic) -> PlanRow {
    let instrument = instrument(scene, part, music);
    let bars = scene.movement.bars.iter();
    PlanRow {
        family: instrument.get().family,
        name: scene.part_name(part).to_owned(),
        sounds: bars.map(|(bar, here)| sound(scene, part, music, bar, here)).collect(),
    }
}

fn instrument(scene: &Scene<'_>, part: PartIdx, music: &PartMusic) -> InstrumentId {
    let own = scene.basis.score.parts.get(part.idx()).map(|part| part.instrument);
    own.or_else(|| music.instrument_at(Ticks::ZERO)).unwrap_or_else(InstrumentId::unknown)
}

fn sound(
    scene: &Scene<'_>,
    part: PartIdx,
    music: &PartMusic,
    bar: BarIndex,
    here: &Bar,
) -> Option<Sound> {
    if !scene.tracks.playing.sounds(part, bar) {
        return None;
    }
    let notes = music.notes_in(here.start, here.end());
    let notes: Vec<&Note> = notes.iter().filter(|note| note.sounds()).collect();
    let length = here.length.0.max(1) as f32;
    let share = |at: Ticks| (at.since(here.start).0 as f32 / length).clamp(0.0, 1.0);
    let before = scene.movement.bars.as_slice().get(bar.idx().wrapping_sub(1));
    let held_over = before.is_some_and(|before| {
        music.notes_in(before.start, here.start).iter().any(|note| note.end() > here.start)
    });
    let from = notes.iter().map(|note| note.onset).min().filter(|_| !held_over);
    let to = notes.iter().map(|note| note.end()).max();
    let at = from.unwrap_or(here.start);
    let (muted, manner) = devices(scene, part, at);
    Some(Sound {
        from: from.map_or(0.0, share),
        to: to.map_or(1.0, share).max(from.map_or(0.0, share)),
        level: scene.tracks.dynamics.level_at(part, at),
        muted,
        manner: written_manner(&notes).or(manner).unwrap_or_else(|| {
            let instrument = music.instrument_at(at);
            ordinary(instrument.unwrap_or_else(|| instrument_of(scene, part)))
        }),
    })
}

fn instrument_of(scene: &Scene<'_>, part: PartIdx) -> InstrumentId {
    let part = scene.basis.score.parts.get(part.idx());
    part.map_or_else(InstrumentId::unknown, |part| part.instrument)
}

/// What an instrument does when nothing is written: harps, keyboards and percussion are plucked or
/// struck; timpani, like bows and breath, are drawn plain.
fn ordinary(instrument: InstrumentId) -> SoundManner {
    let row = instrument.get();
    match row.family {
        Family::Percussion if row.name != "timpani" => SoundManner::Plucked,
        Family::HarpAndKeyboards if row.name != "organ" => SoundManner::Plucked,
        _ => SoundManner::Ordinary,
    }
}

fn devices(scene: &Scene<'_>, part: PartIdx, at: Ticks) -> (bool, Option<SoundManner>) {
    let (mut muted, mut manner) = (false, None);
    for span in scene.tracks.devices.at(part, at) {
        muted |= spans::is_muting(span.device);
        manner = match span.device {
            Device::Plucked | Device::Wood => Some(SoundManner::Plucked),
            Device::Harmonics => Some(SoundManner::Harmonics),
            Device::Tremolo | Device::Flutter => Some(SoundManner::Tremolo),
            _ => manner,
        };
    }
    (muted, manner)
}

/// The manner written on at least half of the notes.
fn written_manner(notes: &[&Note]) -> Option<SoundManner> {
    let most = |is: &dyn Fn(&Note) -> bool| {
        let count = notes.iter().filter(|note| is(note)).count();
        count > 0 && count * 2 >= notes.len()
    };
    if most(&|note| note.tremolo > 0 || note.manner.has(Manner::TREMOLO_PAIR)) {
        Some(SoundManner::Tremolo)
    } else if most(&|note| note.manner.has(Manner::HARMONIC)) {
        Some(SoundManner::Harmonics)
    } else if most(&|note| note.manner.has(Manner::TRILL)) {
        Some(SoundManner::Trill)
    } else if most(&|note| note.manner.has(Manner::SNAP)) {
        Some(SoundManner::Plucked)
    } else {
        None
    }
}

/// One row for neighboring parts of one instrument: the loudest level, the widest span; muted only
/// if all of them are, and a manner only if they share it.
pub(super) fn by_instrument(scene: &Scene<'_>, parts: &[PlanRow]) -> Vec<PlanRow> {
    let present: Vec<(PartIdx, InstrumentId)> = scene
        .movement
        .parts()
        .map(|(part, music)| (part, instrument(scene, part, music)))
        .collect();
    let mut rows: Vec<PlanRow> = Vec::new();
    let mut names: Vec<(InstrumentId, Vec<&str>)> = Vec::new();
    for (row, (_, instrument)) in parts.iter().zip(&present) {
        match (rows.last_mut(), names.last_mut()) {
            (Some(last), Some((same, all)))
                if same == instrument && *same != InstrumentId::unknown() =>
            {
                all.push(&row.name);
                for (sound, other) in last.sounds.iter_mut().zip(&row.sounds) {
                    *sound = joined(*sound, *other);
                }
            }
            _ => {
                rows.push(row.clone());
                names.push((*instrument, vec![&row.name]));
            }
        }
    }
    for (row, (instrument, all)) in rows.iter_mut().zip(&names) {
        if all.len() > 1 {
            row.name = words::capitalized(&plural(instrument.get().name));
        }
    }
    rows
}

/// English plural of an instrument's name.
fn plural(name: &str) -> String {
    match name {
        name if name.ends_with("bass") => format!("{name}es"),
        "piccolo" | "cello" => format!("{name}s"),
        "timpani" | "percussion" | "brass" | "strings" => name.to_owned(),
        name if name.ends_with('s') => name.to_owned(),
        name => format!("{name}s"),
    }
}

fn joined(one: Option<Sound>, other: Option<Sound>) -> Option<Sound> {
    let (one, other) = match (one, other) {
        (Some(one), Some(other)) => (one, other),
        (one, other) => return one.or(other),
    };
    Some(Sound {
        from: one.from.min(other.from),
        to: one.to.max(other.to),
        level: one.level.max(other.level),
        muted: one.muted && other.muted,
        manner: if one.manner == other.manner { one.manner } else { SoundManner::Ordinary },
    })
}
