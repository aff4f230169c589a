//! Mutes on, off and swapped; from the bow to the finger and back.

use super::lines::Line;
use super::{Change, ChangeKind, Clock, Found};
use crate::devices::DeviceSpan;
use barloom_core::event::{Device, MarkingKind};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;

/// Mutes that are told apart, with words that name them; longer names first.
const MUTES: [(&str, &[&str]); 7] = [
    ("straight mute", &["straight", "spitz"]),
    ("cup mute", &["cup"]),
    ("harmon mute", &["harmon", "wah", "wa-wa"]),
    ("plunger", &["plunger"]),
    ("bucket mute", &["bucket", "velvet"]),
    ("hat", &["in hat", "hat over"]),
    ("practice mute", &["practice", "whisper"]),
];

/// Whether anything of a part is a matter of this module.
pub(super) fn concern(spans: &[DeviceSpan]) -> bool {
    spans.iter().any(|span| matches!(span.device, Device::Mute | Device::Plucked))
}

/// A state of one player from place to place.
struct Stretch<'a> {
    from: Ticks,
    to: Ticks,
    words: &'a str,
    end_words: &'a str,
}

/// The stretches of a device for a player, those that touch joined.
fn stretches(spans: &[DeviceSpan], device: Device, player: usize) -> Vec<Stretch<'_>> {
    let mut out: Vec<Stretch<'_>> = Vec::new();
    let own = |span: &&DeviceSpan| span.device == device && span.players.contains(player);
    for span in spans.iter().filter(own) {
        match out.last_mut() {
            Some(last) if span.from <= last.to => {
                if span.to > last.to {
                    (last.to, last.end_words) = (span.to, &span.end_words);
                }
            }
            _ => out.push(Stretch {
                from: span.from,
                to: span.to,
                words: &span.words,
                end_words: &span.end_words,
            }),
        }
    }
    out
}

/// The stretch in force at a place.
fn at<'a, 'b>(stretches: &'a [Stretch<'b>], at: Ticks) -> Option<&'a Stretch<'b>> {
    let after = stretches.partition_point(|stretch| stretch.from <= at);
    after.checked_sub(1).and_then(|idx| stretches.get(idx)).filter(|stretch| at < stretch.to)
}

/// What ended the last stretch before a place.
fn ended_by<'b>(stretches: &[Stretch<'b>], at: Ticks) -> &'b str {
    let after = stretches.partition_point(|stretch| stretch.to <= at);
    after.checked_sub(1).and_then(|idx| stretches.get(idx)).map_or("", |last| last.end_words)
}

/// The changes of mutes and bows of one line.
pub(super) fn find(
    clock: &Clock<'_>,
    part: PartIdx,
    music: &PartMusic,
    spans: &[DeviceSpan],
    line: &Line<'_>,
    out: &mut Vec<Change>,
) {
    mutes(clock, part, music, spans, line, out);
    bows(clock, part, spans, line, out);
}

fn mutes(
    clock: &Clock<'_>,
    part: PartIdx,
    music: &PartMusic,
    spans: &[DeviceSpan],
    line: &Line<'_>,
    out: &mut Vec<Change>,
) {
    let muted = stretches(spans, Device::Mute, line.player());
    if muted.is_empty() {
        return;
    }
    let kinds = kinds(music, line);
    let state = |sound: &crate::heard::Heard| {
        at(&muted, sound.at).map(|stretch| {
            let after = kinds.partition_point(|(from, ..)| *from <= sound.at);
            let last = after.checked_sub(1).and_then(|idx| kinds.get(idx));
            // A kind named before the mute was last taken off says nothing of the mute now.
            last.filter(|(from, ..)| *from >= stretch.from).and_then(|(_, kind, _)| *kind)
        })
    };
    line.changes(
        state,
        |sound, _| sound.end,
        |old, new, free_from, next| {
            let (kind, what, words) = match (old, new) {
                (None, Some(kind)) => {
                    let words = at(&muted, next).map_or("", |stretch| stretch.words);
                    (ChangeKind::MuteOn, named(kind, "on"), words)
                }
                (Some(kind), None) => {
                    (ChangeKind::MuteOff, named(kind, "off"), ended_by(&muted, next))
                }
                (Some(Some(old)), Some(Some(new))) => {
                    let after = kinds.partition_point(|(from, ..)| *from <= next);
                    let last = after.checked_sub(1).and_then(|idx| kinds.get(idx));
                    let words = last.map_or("", |(.., words)| words);
                    (ChangeKind::MuteSwap, format!("{old} to {new}"), words)
                }
                // The mute is only called by its name from here on.
                _ => return,
            };
            let instrument = music.instrument_of(line.players, next);
            let Some((wanted_seconds, breath)) = mute_seconds(clock, instrument, kind) else {
                return;
            };
            let words = words.to_owned();
            let players = line.players;
            let at = next;
            out.push(clock.measure(Found {
                part,
                players,
                kind,
                what,
                free_from,
                at,
                wanted_seconds,
                words,
                breath,
            }));
        },
    );
}

fn named(kind: Option<&str>, state: &str) -> String {
    format!("{} {state}", kind.unwrap_or("mute"))
}

/// Where which kind of mute is asked for, with the words.
fn kinds<'a>(music: &'a PartMusic, line: &Line<'_>) -> Vec<(Ticks, Option<&'static str>, &'a str)> {
    let mut kinds = Vec::new();
    for marking in &music.markings {
        let on = MarkingKind::Device { device: Device::Mute, on: true };
        if marking.kind != on || !marking.players.contains(line.player()) {
            continue;
        }
        let words = marking.words.to_lowercase();
        let called =
            |(_, words_of): &&(&str, &[&str])| words_of.iter().any(|word| words.contains(word));
        let kind = MUTES.iter().find(called).map(|(name, _)| *name);
        // A reminder without a name changes nothing.
        if kind.is_some() {
            kinds.push((marking.at, kind, &*marking.words));
        }
    }
    kinds
}

/// The seconds wanted, and whether a breath comes before the next note; `None` for players whose
/// mutes are no matter of time.
fn mute_seconds(
    clock: &Clock<'_>,
    instrument: Option<barloom_core::instrument::InstrumentId>,
    kind: ChangeKind,
) -> Option<(f64, bool)> {
    let settings = clock.settings;
    let swap = kind == ChangeKind::MuteSwap;
    let row = instrument.map(|instrument| instrument.get());
    let (family, name) = row.map_or((Family::Other, ""), |row| (row.family, row.name));
    let strings = if kind == ChangeKind::MuteOff {
        settings.string_mute_off_seconds
    } else {
        settings.string_mute_on_seconds
    };
    Some(match family {
        Family::Strings | Family::Other => (strings, false),
        Family::Brass if matches!(name, "horn" | "wagner tuba") => {
            (settings.horn_mute_seconds, true)
        }
        Family::Brass if matches!(name, "tuba" | "euphonium" | "cimbasso") => {
            (settings.tuba_mute_seconds, true)
        }
        Family::Brass if swap && name.contains("trombone") => {
            (settings.trombone_swap_seconds, true)
        }
        Family::Brass if swap => (settings.brass_swap_seconds, true),
        Family::Brass | Family::Woodwinds => (settings.brass_mute_seconds, true),
        _ => return None,
    })
}

fn bows(
    clock: &Clock<'_>,
    part: PartIdx,
    spans: &[DeviceSpan],
    line: &Line<'_>,
    out: &mut Vec<Change>,
) {
    let plucked = stretches(spans, Device::Plucked, line.player());
    if plucked.is_empty() {
        return;
    }
    let state = |sound: &crate::heard::Heard| at(&plucked, sound.at).is_some();
    // A plucked string sounds by itself: the hand is free from the attack on.
    let free = |sound: &crate::heard::Heard, plucked: bool| {
        if plucked { sound.at } else { sound.end }
    };
    // A bowed note may be left a little early: half of it. In seconds, since a tick has no half.
    let lent = |next: Ticks| {
        let after = line.sounds.partition_point(|sound| sound.at < next);
        let earlier = line.sounds.get(..after).unwrap_or_default();
        let last = earlier.chunk_by(|a, b| a.at == b.at).next_back().unwrap_or_default();
        let ends = last.iter().map(|sound| (sound.end.min(next), sound.at));
        ends.max().map_or(0.0, |(end, at)| clock.between(at, end) / 2.0)
    };
    line.changes(state, free, |_, to_plucked, free_from, next| {
        let (kind, what, wanted_seconds, words) = if to_plucked {
            let words = at(&plucked, next).map_or("", |stretch| stretch.words);
            (ChangeKind::ToPlucked, "bow to pizzicato", clock.settings.to_plucked_seconds, words)
        } else {
            let words = ended_by(&plucked, next);
            (ChangeKind::ToBowed, "pizzicato to bow", clock.settings.to_bowed_seconds, words)
        };
        let change = clock.measure(Found {
            part,
            players: line.players,
            kind,
            what: what.to_owned(),
            free_from,
            at: next,
            wanted_seconds,
            words: words.to_owned(),
            breath: false,
        });
        let lent = if to_plucked { lent(next) } else { 0.0 };
        let available_seconds = change.available_seconds + lent;
        out.push(clock.judged(Change { available_seconds, ..change }));
    });
}
