//! Aspect by aspect what two bars have in common, and the same said over the bars that follow.

use super::align::{self, Pair};
use super::carriers::{Carried, Carriers, On};
use super::figures::Figure;
use super::portrait::{self, Classes, Portrait};
use super::say::{self, instead};
use super::{Aspect, BarPair, Passage, Remark};
use crate::settings::CompareSettings;
use crate::who::Roll;
use crate::{Tracks, doublings, words};
use barloom_core::basis::Basis;
use barloom_core::event::Device;
use barloom_core::part::PartIdx;
use std::collections::BTreeMap;

/// Everything that is compared.
pub(super) struct Scene<'a> {
    pub(super) basis: &'a Basis,
    pub(super) tracks: &'a Tracks,
    pub(super) first: Passage,
    pub(super) second: Passage,
    pub(super) one: &'a [Portrait],
    pub(super) other: &'a [Portrait],
    pub(super) pairs: &'a [Pair],
    pub(super) carriers: &'a Carriers,
    /// Semitones from the first up to the second, 0 to 11.
    pub(super) shift: usize,
    pub(super) settings: &'a CompareSettings,
}

/// What is said about one aspect of one pair.
struct Saying {
    stayed: bool,
    /// Pairs that follow each other with the same key are one remark.
    key: String,
    text: String,
    evidence: String,
}

impl Saying {
    fn stayed(text: impl Into<String>) -> Option<Self> {
        Self::new(true, text.into())
    }

    fn changed(text: impl Into<String>) -> Option<Self> {
        Self::new(false, text.into())
    }

    fn new(stayed: bool, text: String) -> Option<Self> {
        Some(Self { stayed, key: text.clone(), text, evidence: String::new() })
    }
}

/// Adds the evidence to what is said.
fn because(saying: Option<Saying>, evidence: String) -> Option<Saying> {
    saying.map(|saying| Saying { evidence, ..saying })
}

impl Scene<'_> {
    /// The pairs with what differs, and all remarks by aspect, then place.
    pub(super) fn remarks(&self) -> (Vec<BarPair>, Vec<Remark>) {
        let rolls = (self.roll(self.first), self.roll(self.second));
        let mut bars = Vec::with_capacity(self.pairs.len());
        let mut open: BTreeMap<Option<Aspect>, Vec<(String, Remark)>> = BTreeMap::new();
        let mut say = |nth: usize, aspect: Option<Aspect>, saying: Saying| {
            let Saying { stayed, key, text, evidence } = saying;
            let remarks = open.entry(aspect).or_default();
            match remarks.last_mut() {
                Some((of, remark))
                    if remark.to + 1 == nth && remark.stayed == stayed && *of == key =>
                {
                    remark.to = nth;
                }
                _ => {
                    let remark = Remark { aspect, stayed, from: nth, to: nth, text, evidence };
                    remarks.push((key, remark));
                }
            }
        };
        for (nth, pair) in self.pairs.iter().enumerate() {
            let one = pair.0.and_then(|idx| self.one.get(idx));
            let other = pair.1.and_then(|idx| self.other.get(idx));
            let carried = self.carriers.pairs.get(nth).and_then(Option::as_ref);
            let mut changed = Vec::new();
            let mut likeness = 0.0;
            if let (Some(one), Some(other)) = (one, other) {
                likeness = align::likeness(one, other, self.shift);
                for aspect in Aspect::ALL {
                    let Some(saying) = self.saying(aspect, one, other, carried, &rolls) else {
                        continue;
                    };
                    if !saying.stayed {
                        changed.push(aspect);
                    }
                    say(nth, Some(aspect), saying);
                }
            } else {
                let which = if one.is_some() { "first" } else { "second" };
                let alone = Saying::changed(format!("only in the {which} passage"));
                alone.into_iter().for_each(|alone| say(nth, None, alone));
            }
            let on = |on: &On| on.iter().map(|(part, _)| *part).collect::<Vec<_>>();
            let leads = |bar: &Portrait| bar.lead.clone();
            let first_line = carried.map(|carried| on(&carried.first));
            let second_line = carried.map(|c| on(&c.second)).filter(|line| !line.is_empty());
            bars.push(BarPair {
                first: one.map(|bar| bar.bar),
                second: other.map(|bar| bar.bar),
                likeness,
                changed,
                first_line: first_line.or(one.map(leads)).unwrap_or_default(),
                second_line: second_line.or(other.map(leads)).unwrap_or_default(),
            });
        }
        let remarks = open.into_values().flatten().map(|(_, remark)| remark).collect();
        (bars, remarks)
    }

    fn roll(&self, passage: Passage) -> Option<Roll<'_>> {
        let movement = self.basis.score.movements.get(passage.movement)?;
        let tracks = self.tracks.movements.get(passage.movement)?;
        Some(Roll::of(&self.basis.score, movement, &tracks.playing, None))
    }

    fn saying(
        &self,
        aspect: Aspect,
        one: &Portrait,
        other: &Portrait,
        carried: Option<&Carried>,
        rolls: &(Option<Roll<'_>>, Option<Roll<'_>>),
    ) -> Option<Saying> {
        let (first, second) = (rolls.0.as_ref()?, rolls.1.as_ref()?);
        match aspect {
            Aspect::Line => self.line(carried?),
            Aspect::Carrier => carrier(carried?, first, second),
            Aspect::Doubling => doubling(carried?, first, second),
            Aspect::Accompaniment => accompaniment(one, other, carried),
            Aspect::Harmony => self.harmony(one, other),
            Aspect::Texture => plain(one.class.name(), other.class.name()),
            Aspect::Forces => forces(one, other, first, second),
            Aspect::Level => plain(&say::band(one.band), &say::band(other.band)),
            Aspect::Manner => manner(one, other, first, second),
            Aspect::Register => self.register(one, other),
            Aspect::Tempo => self.tempo(one, other),
            Aspect::Meter => plain(&one.meter, &other.meter),
        }
    }

    fn line(&self, carried: &Carried) -> Option<Saying> {
        let evidence =
            format!("{} of {} attacks of the line found", carried.found, carried.attacks);
        let saying = match carried.second.first() {
            Some((_, interval)) => {
                match (interval - self.carriers.transposition, carried.more_notes) {
                    (0, false) => Saying::stayed("the same notes"),
                    (0, true) => Saying::changed("ornamented"),
                    (by, false) => Saying::changed(say::moved(by)),
                    (by, true) => Saying::changed(format!("{}, ornamented", say::moved(by))),
                }
            }
            None if carried.same_rhythm => Saying::changed("other notes in the same rhythm"),
            None => Saying::changed("another line"),
        };
        because(saying, evidence)
    }

    fn harmony(&self, one: &Portrait, other: &Portrait) -> Option<Saying> {
        let silent = |bar: &Portrait| bar.span.is_none();
        if silent(one) && silent(other) {
            return None;
        }
        let share = self.common_beats(one, other);
        let evidence = format!("{:.0} % of the pitch classes in common", share * 100.0);
        let saying = if share >= self.settings.harmony_share {
            Saying::stayed("the same")
        } else {
            Saying::changed(instead(&say::classes(other), &say::classes(one)))
        };
        because(saying, evidence)
    }

    /// The mean over the beats of what they have in common; of the whole bars if they have different
    /// numbers of beats.
    fn common_beats(&self, one: &Portrait, other: &Portrait) -> f32 {
        let whole = portrait::common(&one.classes, &other.classes, self.shift);
        if one.beats.len() != other.beats.len() {
            return whole;
        }
        let sounds = |classes: &Classes| classes.iter().any(|amount| *amount > 0.0);
        let both = one.beats.iter().zip(&other.beats).filter(|(a, b)| sounds(a) || sounds(b));
        let shares: Vec<f32> = both
            .map(|(a, b)| {
                let (a, b) = (portrait::as_shares(*a), portrait::as_shares(*b));
                portrait::common(&a, &b, self.shift)
            })
            .collect();
        let beats = shares.iter().sum::<f32>() / shares.len().max(1) as f32;
        // Doubling and spacing shift the shares of a chord's notes without changing the chord.
        let kinds = kinds_in_common(&one.classes, &other.classes, self.shift);
        beats.max(kinds.min(whole + 0.25))
    }

    fn register(&self, one: &Portrait, other: &Portrait) -> Option<Saying> {
        let ((low, high), (other_low, other_high)) = (one.span?, other.span?);
        let by = 2 * self.carriers.transposition;
        let (bottom, top) = ((other_low - low - by) / 2, (other_high - high - by) / 2);
        let least = self.settings.register_semitones;
        let end = |name: &str, moved: i32| {
            (moved.unsigned_abs() >= least).then(|| format!("{name} {}", say::about(moved)))
        };
        let moved: Vec<String> =
            [end("the top", top), end("the bottom", bottom)].into_iter().flatten().collect();
        let evidence = format!("top {top:+} and bottom {bottom:+} semitones");
        let saying = if moved.is_empty() {
            Saying::stayed("the same")
        } else {
            Saying::changed(moved.join(", "))
        };
        because(saying, evidence)
    }

    fn tempo(&self, one: &Portrait, other: &Portrait) -> Option<Saying> {
        if one.tempo <= 0.0 || other.tempo <= 0.0 {
            return None;
        }
        let ratio = other.tempo / one.tempo;
        if (ratio - 1.0).abs() < f64::from(self.settings.tempo_share) {
            return Saying::stayed("the same");
        }
        let key = if ratio > 1.0 { "faster" } else { "slower" };
        let rate = crate::say::rate;
        let (now, before) = (rate(other.tempo), rate(one.tempo));
        let text = format!("{key}: quarter = {now} instead of {before}");
        Saying::changed(text).map(|saying| Saying { key: String::from(key), ..saying })
    }
}

/// Something that has one name in each passage; nothing is said where it has none in either.
fn plain(one: &str, other: &str) -> Option<Saying> {
    match (one, other) {
        ("", "") => None,
        (one, other) if one == other => Saying::stayed(one),
        (one, other) => Saying::changed(instead(other, one)),
    }
}

fn carrier(carried: &Carried, first: &Roll<'_>, second: &Roll<'_>) -> Option<Saying> {
    let (before, _) = carried.first.first()?;
    let now = carried.second.first().map(|(part, _)| *part).or(carried.leads)?;
    if now == *before {
        return Saying::stayed(first.name(now));
    }
    Saying::changed(instead(&second.name(now), &first.name(*before)))
}

fn doubling(carried: &Carried, first: &Roll<'_>, second: &Roll<'_>) -> Option<Saying> {
    if carried.second.is_empty() {
        return None;
    }
    let (before, now) = (along(&carried.first, first), along(&carried.second, second));
    // Said the other way round it is the same group: only who counts as first has changed.
    let members = |on: &On| {
        let mut parts: Vec<PartIdx> = on.iter().map(|(part, _)| *part).collect();
        parts.sort_unstable();
        parts
    };
    if before == now || members(&carried.first) == members(&carried.second) {
        return Saying::stayed(before);
    }
    Saying::changed(instead(&now, &before))
}

/// Who plays along with the first of them: "with Bassoon 1 an octave below", "alone".
fn along(on: &On, roll: &Roll<'_>) -> String {
    let Some(((_, base), others)) = on.split_first() else { return String::new() };
    let mut by_interval: BTreeMap<i32, Vec<PartIdx>> = BTreeMap::new();
    for (part, interval) in others {
        by_interval.entry(interval - base).or_default().push(*part);
    }
    if by_interval.is_empty() {
        return String::from("alone");
    }
    let mut groups: Vec<(i32, Vec<PartIdx>)> = by_interval.into_iter().collect();
    groups.sort_by_key(|(interval, _)| (interval.abs(), *interval));
    let words = |(interval, parts): &(i32, Vec<PartIdx>)| {
        format!("{} {}", roll.words(parts), doublings::interval_words(*interval, false))
    };
    let groups: Vec<String> = groups.iter().map(words).collect();
    format!("with {}", crate::say::list(&groups))
}

fn accompaniment(one: &Portrait, other: &Portrait, carried: Option<&Carried>) -> Option<Saying> {
    let of = |bar: &Portrait, on: Option<&On>| {
        let in_line = |part: PartIdx| match on {
            Some(on) => on.iter().any(|(of, _)| *of == part),
            None => bar.lead.contains(&part),
        };
        let mut counts: BTreeMap<Figure, usize> = BTreeMap::new();
        let others = bar.figures.iter().filter(|(part, _)| !in_line(*part));
        for (_, figure) in others.filter(|(_, figure)| *figure != Figure::Unpitched) {
            *counts.entry(*figure).or_default() += 1;
        }
        let most = counts.iter().max_by_key(|(figure, n)| (**n, std::cmp::Reverse(**figure)));
        most.map(|(figure, n)| (*figure, *n))
    };
    let before = of(one, carried.map(|carried| &carried.first));
    let now = of(other, carried.map(|c| &c.second).filter(|second| !second.is_empty()));
    let words = |figure: Option<(Figure, usize)>| {
        figure.map_or_else(|| String::from("nothing"), |(figure, _)| figure.words())
    };
    let n_parts = |figure: Option<(Figure, usize)>| figure.map_or(0, |(_, n)| n);
    let evidence = format!("in {} and in {} parts", n_parts(before), n_parts(now));
    match (before, now) {
        (None, None) => None,
        (before, now) if words(before) == words(now) => {
            because(Saying::stayed(words(before)), evidence)
        }
        (before, now) => because(Saying::changed(instead(&words(now), &words(before))), evidence),
    }
}

fn forces(one: &Portrait, other: &Portrait, first: &Roll<'_>, second: &Roll<'_>) -> Option<Saying> {
    let only = |here: &[PartIdx], there: &[PartIdx]| -> Vec<PartIdx> {
        here.iter().filter(|part| !there.contains(part)).copied().collect()
    };
    let come = only(&other.sounding, &one.sounding);
    let gone = only(&one.sounding, &other.sounding);
    let evidence = format!("{} and {} parts sound", one.sounding.len(), other.sounding.len());
    let with = (!come.is_empty()).then(|| format!("also {}", second.words(&come)));
    let without = (!gone.is_empty()).then(|| format!("without {}", first.words(&gone)));
    let words: Vec<String> = with.into_iter().chain(without).collect();
    let saying = if words.is_empty() {
        Saying::stayed("the same parts")
    } else {
        Saying::changed(words.join(", "))
    };
    because(saying, evidence)
}

fn manner(one: &Portrait, other: &Portrait, first: &Roll<'_>, second: &Roll<'_>) -> Option<Saying> {
    let both = |part: &PartIdx| one.sounding.contains(part) && other.sounding.contains(part);
    let of = |bar: &Portrait, roll: &Roll<'_>| {
        let mut by_device: BTreeMap<Device, Vec<PartIdx>> = BTreeMap::new();
        for (part, device) in bar.devices.iter().filter(|(part, _)| both(part)) {
            by_device.entry(*device).or_default().push(*part);
        }
        let said = |(device, parts): (&Device, &Vec<PartIdx>)| {
            format!("{} {}", roll.words(parts), words::in_words(*device))
        };
        by_device.iter().map(said).collect::<Vec<_>>().join(", ")
    };
    let (before, now) = (of(one, first), of(other, second));
    let ordinary = |words: &str| String::from(if words.is_empty() { "ordinary" } else { words });
    match (before.as_str(), now.as_str()) {
        ("", "") => None,
        (before, now) if before == now => Saying::stayed(before),
        (before, now) => Saying::changed(instead(&ordinary(now), &ordinary(before))),
    }
}

/// Pitch classes that sound more than in passing in both, as a share of those in either.
fn kinds_in_common(one: &Classes, other: &Classes, shift: usize) -> f32 {
    let sounds = |amount: f32| amount >= say::LEAST_CLASS;
    let (mut both, mut either) = (0_u32, 0_u32);
    for (nth, amount) in one.iter().enumerate() {
        let moved = other.get((nth + shift) % 12).copied().unwrap_or_default();
        both += u32::from(sounds(*amount) && sounds(moved));
        either += u32::from(sounds(*amount) || sounds(moved));
    }
    if either == 0 { 1.0 } else { both as f32 / either as f32 }
}
