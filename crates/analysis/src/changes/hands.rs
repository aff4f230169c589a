//! Mutes, bow and pluck, and other instruments.

use super::{Change, ChangeKind, Clock, Verdict};
use crate::devices::{DeviceSpan, DevicesTrack};
use crate::heard::{Heard, HeardNotes};
use crate::settings::ChangeSettings;
use barloom_core::event::Device;
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;

pub(super) fn add(
    clock: &Clock<'_>,
    part: PartIdx,
    music: &PartMusic,
    devices: &DevicesTrack,
    heard: &HeardNotes,
    changes: &mut Vec<Change>,
) {
    let hands = Hands { clock, part, music, sounds: heard.of_part(part) };
    for span in devices.of_part(part) {
        match span.device {
            Device::Mute => hands.mute(span, changes),
            Device::Plucked => hands.pluck(span, changes),
            _ => {}
        }
    }
    hands.instruments(changes);
}

struct Hands<'a> {
    clock: &'a Clock<'a>,
    part: PartIdx,
    music: &'a PartMusic,
    sounds: &'a [Heard],
}

impl Hands<'_> {
    /// The last sound of some players before a word and their first one from it on; `None` where
    /// there is no such pair.
    fn around(&self, players: PlayerSet, word: Ticks) -> Option<(&Heard, &Heard)> {
        let after = self.sounds.partition_point(|sound| sound.at < word);
        let (before, from) = self.sounds.split_at_checked(after)?;
        let of_them = |sound: &&Heard| sound.players.overlaps(players);
        // Of a chord the longest note; chords and voices are few at a time.
        let last = before.iter().rev().filter(of_them).take(8).max_by_key(|sound| sound.end)?;
        Some((last, from.iter().find(of_them)?))
    }

    fn family(&self, at: Ticks) -> (Family, &'static str) {
        let taken = self.music.instrument_at(at);
        taken.map_or((Family::Other, ""), |taken| (taken.get().family, taken.get().name))
    }

    fn change(
        &self,
        (kind, what): (ChangeKind, String),
        players: PlayerSet,
        (free_from, at): (Ticks, Ticks),
        wanted: f64,
        words: &str,
    ) -> Change {
        let (family, _) = self.family(at);
        let winds = matches!(family, Family::Woodwinds | Family::Brass);
        let breath = if winds { self.clock.breath(at) } else { 0.0 };
        self.clock.judged(Change {
            part: self.part,
            players,
            kind,
            what,
            free_from,
            at,
            available_seconds: (self.clock.between(free_from, at) - breath).max(0.0),
            wanted_seconds: wanted,
            verdict: Verdict::Enough,
            words: words.to_owned(),
        })
    }

    fn mute(&self, span: &DeviceSpan, changes: &mut Vec<Change>) {
        let settings = self.clock.settings;
        let mut add = |word: Ticks, kind: ChangeKind, what: &str, words: &str| {
            let Some((last, next)) = self.around(span.players, word) else { return };
            let (family, name) = self.family(next.at);
            let Some(wanted) = mute_seconds(family, name, kind, settings) else { return };
            let times = (last.end.min(next.at), next.at);
            changes.push(self.change((kind, what.to_owned()), span.players, times, wanted, words));
        };
        add(span.from, ChangeKind::MuteOn, "mute on", &span.words);
        if span.ended {
            add(span.to, ChangeKind::MuteOff, "mute off", &span.end_words);
        }
    }

    fn pluck(&self, span: &DeviceSpan, changes: &mut Vec<Change>) {
        let settings = self.clock.settings;
        if let Some((last, next)) = self.around(span.players, span.from) {
            // The last bowed note may be left a little early.
            let given_up = Ticks((last.end - last.at).0 / 2);
            let kept = last.end.min(next.at) - given_up;
            let times = (kept.max(last.at), next.at);
            let what = (ChangeKind::ToPlucked, String::from("bow to pizzicato"));
            let wanted = settings.to_plucked_seconds;
            changes.push(self.change(what, span.players, times, wanted, &span.words));
        }
        if span.ended
            && let Some((last, next)) = self.around(span.players, span.to)
        {
            // A plucked string rings by itself: the hand is free at once.
            let times = (last.at, next.at);
            let what = (ChangeKind::ToBowed, String::from("pizzicato to bow"));
            let wanted = settings.to_bowed_seconds;
            changes.push(self.change(what, span.players, times, wanted, &span.end_words));
        }
    }

    fn instruments(&self, changes: &mut Vec<Change>) {
        for (nth, taken) in self.music.instruments.iter().enumerate() {
            let earlier = self.music.instruments.get(..nth).unwrap_or_default();
            let before = earlier.iter().rev().find(|old| old.players.overlaps(taken.players));
            let Some(old) = before.filter(|old| old.instrument != taken.instrument) else {
                continue;
            };
            let Some((last, next)) = self.around(taken.players, taken.at) else { continue };
            let times = (last.end.min(next.at), next.at);
            let what = format!("{} to {}", old.instrument, taken.instrument);
            let wanted = instrument_seconds(old.instrument, taken.instrument, self.clock.settings);
            let kind = (ChangeKind::Instrument, what);
            changes.push(self.change(kind, taken.players, times, wanted, ""));
        }
    }
}

/// Seconds for a mute on or off; `None` for instruments that have none (percussion: muffling is
/// another matter).
fn mute_seconds(
    family: Family,
    name: &str,
    kind: ChangeKind,
    settings: &ChangeSettings,
) -> Option<f64> {
    let on = kind == ChangeKind::MuteOn;
    Some(match (family, name) {
        (Family::Strings, _) if on => settings.string_mute_on_seconds,
        (Family::Strings, _) => settings.string_mute_off_seconds,
        (Family::Brass, "horn" | "wagner tuba") => settings.horn_mute_seconds,
        (Family::Brass, "tuba" | "euphonium" | "cimbasso") => settings.tuba_mute_seconds,
        (Family::Brass, _) => settings.brass_mute_seconds,
        (Family::Woodwinds, _) => settings.brass_mute_seconds,
        _ => return None,
    })
}

fn instrument_seconds(from: InstrumentId, to: InstrumentId, settings: &ChangeSettings) -> f64 {
    let low = |instrument: InstrumentId| {
        matches!(instrument.get().name, "contrabassoon" | "bassoon" | "contrabass clarinet")
    };
    if low(from) || low(to) {
        return settings.low_instrument_seconds;
    }
    match to.get().family {
        Family::Percussion | Family::HarpAndKeyboards => settings.percussion_seconds,
        _ => settings.instrument_seconds,
    }
}
