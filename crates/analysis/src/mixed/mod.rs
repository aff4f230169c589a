//! Mixed attacks: moments at which instruments that speak fast and slow begin together and exposed.
//!
//! In ensembles attacks differ by 30 to 50 ms as a rule (Rasch, *Acustica* 43, 1979); two fast sounds are
//! brought together within 9 ms, a fast and a slow one only within 30 (Lucerne HSLU, project 806). Where
//! a struck or plucked sound meets a soft one the slower class needs the earlier impulse (common
//! practice). Inside a passage that goes on the players have found each other: only its first moment
//! counts.

mod class;

pub use class::AttackClass;

use crate::devices::DevicesTrack;
use crate::dynamics::DynamicsTrack;
use crate::heard::{Heard, HeardNotes};
use crate::settings::{MixedSettings, Settings};
use barloom_core::bar::BarIndex;
use barloom_core::event::{Device, Level};
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// One moment.
#[derive(Clone, PartialEq, Debug)]
pub struct MixedAttack {
    /// When.
    pub at: Ticks,
    /// The bar.
    pub bar: BarIndex,
    /// Who begins there, fastest class first, then score order.
    pub voices: Vec<(PartIdx, AttackClass)>,
    /// How exposed and how far apart, higher is worse.
    pub weight: f32,
    /// What makes it so, in words.
    pub reasons: Vec<String>,
    /// What the trade advises.
    pub advice: String,
}

impl MixedAttack {
    /// The parts that speak fastest, in score order.
    pub fn fastest(&self) -> impl Iterator<Item = PartIdx> + '_ {
        let class = self.voices.iter().map(|(_, class)| *class).min();
        self.of_class(class)
    }

    /// The parts that speak slowest, in score order.
    pub fn slowest(&self) -> impl Iterator<Item = PartIdx> + '_ {
        let class = self.voices.iter().map(|(_, class)| *class).max();
        self.of_class(class)
    }

    fn of_class(&self, class: Option<AttackClass>) -> impl Iterator<Item = PartIdx> + '_ {
        self.voices.iter().filter(move |(_, own)| Some(*own) == class).map(|(part, _)| *part)
    }

    /// What makes it so in one line, "the xylophone with the tuba: after silence, soft".
    pub fn in_words(&self) -> String {
        match self.reasons.split_first() {
            Some((who, [])) => who.clone(),
            Some((who, why)) => format!("{who}: {}", why.join(", ")),
            None => String::new(),
        }
    }
}

/// One part at one moment.
struct Voice {
    part: PartIdx,
    instrument: InstrumentId,
    class: AttackClass,
    /// Silent before it for at least the time that makes an entry.
    enters: bool,
    level: Option<Level>,
    /// Lowest pitch class begun, for unisons of bow and finger.
    pitch: Option<i32>,
}

/// The mixed attacks of a movement by place.
pub fn of(
    movement: &Movement,
    heard: &HeardNotes,
    dynamics: &DynamicsTrack,
    devices: &DevicesTrack,
    settings: &Settings,
) -> Vec<MixedAttack> {
    let settings = &settings.mixed;
    let ticks = |quarters| movement.resolution.ticks_floor(quarters).unwrap_or(Ticks(1));
    let entry = ticks(settings.entry_rest_quarters);
    let passage = ticks(settings.passage_quarters);
    let mut onsets: BTreeMap<Ticks, Vec<Voice>> = BTreeMap::new();
    for part in heard.parts() {
        voices(movement, heard, dynamics, devices, part, entry, &mut onsets);
    }
    let mut found = Vec::new();
    // Pairs of parts that have met as fast and slow, with when they did last.
    let mut met: BTreeMap<(PartIdx, PartIdx), Ticks> = BTreeMap::new();
    let mut before: Option<Ticks> = None;
    for (at, voices) in &onsets {
        let first = before.is_none();
        let silence = before.is_some_and(|end| *at - end >= entry);
        let end = voices_end(heard, voices, *at);
        before = Some(before.map_or(end, |before| before.max(end)));
        let Some((fast, slow)) = extremes(voices) else { continue };
        let pairs = || fast.iter().flat_map(|f| slow.iter().map(move |s| (*f, *s)));
        let recent = |(f, s): (&Voice, &Voice)| {
            met.get(&(f.part, s.part)).is_some_and(|then| *at - *then <= passage)
        };
        // Who joins a passage must find its beat; those that go on have found it.
        let joins = |(f, s): (&Voice, &Voice)| f.enters || s.enters;
        let known = pairs().any(recent);
        let fresh = pairs().any(|pair| !recent(pair) && (!known || joins(pair)));
        // A pause of all asks everybody to find the beat anew.
        let anew = silence && pairs().any(joins);
        for (f, s) in pairs() {
            met.insert((f.part, s.part), *at);
        }
        if !(fresh || anew) {
            continue;
        }
        let n_sounding = heard_at(heard, *at);
        let moment = Moment { voices, fast: &fast, slow: &slow, first, silence, n_sounding };
        let (weight, reasons) = moment.weigh(settings);
        if weight < settings.least_weight {
            continue;
        }
        let Some(bar) = movement.bars.bar_at(*at) else { continue };
        let mut classes: Vec<(PartIdx, AttackClass)> =
            voices.iter().map(|voice| (voice.part, voice.class)).collect();
        classes.sort_by_key(|(part, class)| (*class, *part));
        let advice = moment.advice();
        found.push(MixedAttack { at: *at, bar, voices: classes, weight, reasons, advice });
    }
    found
}

/// The mixed attacks with the worst first, those of one weight by place.
pub fn worst_first(attacks: &[MixedAttack]) -> Vec<&MixedAttack> {
    let mut attacks: Vec<&MixedAttack> = attacks.iter().collect();
    attacks.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    attacks
}

/// Adds the attacks of one part to all onsets.
fn voices(
    movement: &Movement,
    heard: &HeardNotes,
    dynamics: &DynamicsTrack,
    devices: &DevicesTrack,
    part: PartIdx,
    entry: Ticks,
    onsets: &mut BTreeMap<Ticks, Vec<Voice>>,
) {
    let Some(music) = movement.part(part) else { return };
    let spans = devices.of_part(part);
    let mut open: Vec<usize> = Vec::new();
    let mut next = 0;
    let mut end = Ticks(i64::MIN / 2);
    for together in heard.of_part(part).chunk_by(|a, b| a.at == b.at) {
        let Some(first) = together.first() else { continue };
        let at = first.at;
        while spans.get(next).is_some_and(|span| span.from <= at) {
            open.push(next);
            next += 1;
        }
        open.retain(|idx| spans.get(*idx).is_some_and(|span| span.to > at));
        let in_force: Vec<Device> = open
            .iter()
            .filter_map(|idx| spans.get(*idx))
            .filter(|span| span.players.overlaps(first.players))
            .map(|span| span.device)
            .collect();
        let instrument =
            music.instrument_of(first.players, at).unwrap_or_else(InstrumentId::unknown);
        let level = dynamics.level_at(part, at);
        // What is held on below a new note is no part of the attack.
        let class = |sound: &Heard| class::of(instrument, sound, &in_force, level);
        let fastest = together.iter().map(class).min().unwrap_or(AttackClass::Medium);
        let voice = Voice {
            part,
            instrument,
            class: fastest,
            enters: at - end >= entry,
            level,
            pitch: first.pitch.map(|pitch| pitch.key().rem_euclid(12)),
        };
        onsets.entry(at).or_default().push(voice);
        end = together.iter().map(|sound| sound.end).max().unwrap_or(at).max(end);
    }
}

fn voices_end(heard: &HeardNotes, voices: &[Voice], at: Ticks) -> Ticks {
    let end = |voice: &Voice| {
        let begun = heard.begun_in(voice.part, at, Ticks(at.0.saturating_add(1)));
        begun.iter().map(|sound| sound.end).max()
    };
    voices.iter().filter_map(end).max().unwrap_or(at)
}

/// How many parts sound at a moment.
fn heard_at(heard: &HeardNotes, at: Ticks) -> usize {
    let sounds = |part: &PartIdx| {
        let sounds = heard.of_part(*part);
        let after = sounds.partition_point(|sound| sound.at <= at);
        let earlier = sounds.get(..after).unwrap_or_default();
        earlier.iter().rev().take(8).any(|sound| sound.end > at)
    };
    heard.parts().filter(sounds).count()
}

/// The fast and the slow side of a moment, at least two classes apart and of two families, or bow and
/// finger on one pitch class; `None` if there is no such pair.
fn extremes(voices: &[Voice]) -> Option<(Vec<&Voice>, Vec<&Voice>)> {
    let fastest = voices.iter().map(|voice| voice.class).min()?;
    let slowest = voices.iter().map(|voice| voice.class).max()?;
    if slowest.rank() < fastest.rank() + 2 || fastest > AttackClass::VeryFast {
        return None;
    }
    let fast: Vec<&Voice> = voices.iter().filter(|voice| voice.class == fastest).collect();
    let slow: Vec<&Voice> =
        voices.iter().filter(|voice| voice.class.rank() >= fastest.rank() + 2).collect();
    // Of the slow side what is slowest decides.
    let slow: Vec<&Voice> = slow.into_iter().filter(|voice| voice.class == slowest).collect();
    let family = |voice: &Voice| voice.instrument.get().family;
    let apart = fast.iter().any(|f| slow.iter().any(|s| family(f) != family(s)));
    let in_unison = fast.iter().any(|f| {
        slow.iter().any(|s| family(s) == Family::Strings && f.pitch.is_some() && f.pitch == s.pitch)
    });
    (apart || in_unison).then_some((fast, slow))
}

struct Moment<'a> {
    voices: &'a [Voice],
    fast: &'a [&'a Voice],
    slow: &'a [&'a Voice],
    /// Nothing has sounded before.
    first: bool,
    silence: bool,
    n_sounding: usize,
}

impl Moment<'_> {
    fn weigh(&self, settings: &MixedSettings) -> (f32, Vec<String>) {
        let mut reasons = Vec::new();
        let class = |voices: &[&Voice]| voices.first().map_or(3, |voice| voice.class.rank());
        let mut weight = f32::from(class(self.slow) - class(self.fast)) - 1.0;
        reasons.push(format!("{} with {}", names(self.fast, &[]), names(self.slow, self.fast)));
        let mut add = |points: f32, holds: bool, words: &str| {
            if holds {
                weight += points;
                reasons.push(words.to_owned());
            }
        };
        let entering = |voices: &[&Voice]| voices.iter().any(|voice| voice.enters);
        let both = entering(self.fast) && entering(self.slow);
        add(settings.silence, self.silence, "after silence");
        let both_words =
            if self.first { "the movement begins so" } else { "both enter after a rest" };
        add(settings.entry, both, both_words);
        let (slower, faster) = (entering(self.slow), entering(self.fast));
        add(settings.entry * 0.5, slower && !both, "the slower enter after a rest");
        let alone = self.voices.len() >= self.n_sounding;
        let few = self.voices.len() <= settings.few_parts as usize;
        add(settings.alone, alone && few, "nothing else sounds");
        add(settings.few, few && !alone, "few parts begin here");
        let levels = || self.voices.iter().filter_map(|voice| voice.level);
        let soft = levels().max().is_some_and(|level| level <= Level::P);
        add(settings.soft, soft, "soft");
        if !(slower || faster || self.silence || alone) {
            weight -= settings.inside;
            reasons.push(String::from("inside a passage"));
        }
        if self.voices.len() > settings.many_parts as usize {
            weight -= settings.many;
        }
        (weight, reasons)
    }

    /// What the trade advises (common practice).
    fn advice(&self) -> String {
        let (fast, slow) = (names(self.fast, &[]), names(self.slow, self.fast));
        let among =
            |family: Family| self.slow.iter().any(|voice| voice.instrument.get().family == family);
        let breath = [Family::Woodwinds, Family::Brass, Family::Voices].into_iter().any(among);
        let far = |voice: &&Voice| {
            matches!(voice.instrument.get().family, Family::Brass | Family::Percussion)
        };
        let what = match self.fast.first().map(|voice| (voice.class, voice.instrument.get().family))
        {
            Some((AttackClass::VeryFast, Family::Strings)) => "pizzicato",
            Some((AttackClass::Instant, _)) => "stroke",
            _ => "attack",
        };
        let back = if self.slow.iter().any(far) { ", from the back of the stage" } else { "" };
        let many = is_many(self.slow);
        let how = match (breath, among(Family::Strings), many) {
            (true, _, true) => ": breathe with them,",
            (true, _, false) => ": breathe with it,",
            (false, true, true) => ": feel their bow,",
            (false, true, false) => ": feel its bow,",
            (false, false, _) => ":",
        };
        let (they, sound) = if many { ("they", "they sound") } else { ("it", "it sounds") };
        format!(
            "Clear ictus. Give the preparation to {slow}{how} {they} must lead{back}. \
             The {what} of {fast} waits and goes where {sound}."
        )
    }
}

/// Sections whose name stands for many players.
const SECTIONS: [&str; 4] = ["violin", "viola", "cello", "double bass"];

/// Whether a side is spoken of as many.
fn is_many(voices: &[&Voice]) -> bool {
    let many = |voice: &Voice| {
        let name = voice.instrument.get().name;
        SECTIONS.contains(&name) || name == "timpani" || name.ends_with("bells")
    };
    voices.len() > 1 || voices.first().is_some_and(|voice| many(voice))
}

/// The instruments of a side: "the horns", "the violins and the flute"; "the other cellos" if `besides`
/// them some are on the other side.
fn names(voices: &[&Voice], besides: &[&Voice]) -> String {
    let mut counted: Vec<(&str, u32)> = Vec::new();
    for voice in voices {
        let name = voice.instrument.get().name;
        match counted.iter_mut().find(|(known, _)| *known == name) {
            Some((_, count)) => *count += 1,
            None => counted.push((name, 1)),
        }
    }
    let several = |(name, count): &(&str, u32)| {
        let plural = *count > 1 || SECTIONS.contains(name);
        let other = besides.iter().any(|voice| voice.instrument.get().name == *name);
        let the = if other { "the other" } else { "the" };
        match (plural, *name) {
            (true, "double bass") => format!("{the} double basses"),
            (_, name) if name.ends_with('s') || matches!(name, "timpani" | "percussion") => {
                format!("{the} {name}")
            }
            (true, name) => format!("{the} {name}s"),
            (false, name) => format!("{the} {name}"),
        }
    };
    let more = counted.len() > 3;
    let mut names: Vec<String> = counted.iter().take(3).map(several).collect();
    if more {
        names.push(String::from("others"));
    }
    crate::say::list(&names)
}

#[cfg(test)]
mod tests;
