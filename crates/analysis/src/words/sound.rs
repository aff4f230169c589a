//! How it sounds: who is muted, plucks, rolls or trills, where it grows, what is held.

use super::{Scene, in_words, quoted};
use barloom_core::event::{Device, Level, Manner, MarkingKind, Note};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// From so many strokes through the stem on a tremolo is not counted out (common practice).
const TREMOLO_STROKES: u8 = 3;

impl Scene<'_> {
    /// "Viola tremolo at the bridge; Timpani roll on D": who plays in a way that is not the ordinary
    /// one, or is told to here. Parts that do the same are named together.
    pub(super) fn techniques(&self) -> Option<String> {
        let mut groups: Vec<(String, Vec<PartIdx>, Vec<&str>)> = Vec::new();
        let sounding = self.sounding();
        for part in self.roll.parts() {
            let sounds = sounding.contains(&part);
            let (mut ways, mut printed): (Vec<String>, Vec<&str>) = (Vec::new(), Vec::new());
            for span in self.tracks.devices.of_part(part) {
                let matters = sounds || span.from >= self.from;
                if matters && span.from < self.to && span.to > self.from {
                    let way = in_words(span.device);
                    if !ways.iter().any(|known| known == way) {
                        ways.push(way.to_owned());
                    }
                    if span.from >= self.from && !span.words.is_empty() {
                        printed.push(&span.words);
                    }
                }
            }
            ways.extend(self.repercussion(part));
            if ways.is_empty() {
                continue;
            }
            let ways = in_order(ways);
            match groups.iter_mut().find(|(known, ..)| *known == ways) {
                Some((_, parts, _)) => parts.push(part),
                None => groups.push((ways, vec![part], printed)),
            }
        }
        let words = |(ways, parts, printed): &(String, Vec<PartIdx>, Vec<&str>)| {
            format!("{} {ways}{}", self.roll.words(parts), quoted(&unlike(printed).join(", ")))
        };
        let words: Vec<String> = groups.iter().map(words).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }

    /// Tremolo, roll, trill or harmonics, when most notes of a part are written so.
    fn repercussion(&self, part: PartIdx) -> Option<String> {
        let music = self.movement.part(part)?;
        let notes: Vec<&Note> = music
            .notes_in(self.from, self.to)
            .iter()
            .filter(|note| note.sounds() && note.length > Ticks::ZERO)
            .collect();
        let most = |is: &dyn Fn(&Note) -> bool| {
            let n = notes.iter().filter(|note| is(note)).count();
            n > 0 && n * 2 > notes.len()
        };
        let tremolo =
            |note: &Note| note.tremolo >= TREMOLO_STROKES || note.manner.has(Manner::TREMOLO_PAIR);
        let trill = |note: &Note| note.manner.has(Manner::TRILL);
        let first = notes.first()?;
        let instrument = music.instrument_of(first.players, first.onset);
        let struck =
            instrument.is_some_and(|instrument| instrument.get().family == Family::Percussion);
        if struck && most(&|note| tremolo(note) || trill(note)) {
            return Some(format!("roll{}", on_pitches(&notes)));
        }
        if most(&tremolo) {
            return Some(String::from("tremolo"));
        }
        if most(&trill) {
            return Some(String::from("trill"));
        }
        most(&|note| note.manner.has(Manner::HARMONIC)).then(|| String::from("harmonics"))
    }

    /// Who stops being muted, plucked and so on here.
    pub(super) fn no_longer(&self) -> Vec<String> {
        let mut sentences = Vec::new();
        for device in Device::ALL {
            let ended: Vec<_> = self
                .tracks
                .devices
                .spans
                .iter()
                .filter(|span| span.device == device && span.ended && self.is_asked(span.part))
                .filter(|span| self.from <= span.to && span.to < self.to)
                .collect();
            let Some(first) = ended.first() else { continue };
            let mut parts: Vec<PartIdx> = ended.iter().map(|span| span.part).collect();
            parts.dedup();
            let who = self.roll.words(&parts);
            let words = quoted(&first.end_words);
            sentences.push(format!("no longer {}: {who}{words}", in_words(device)));
        }
        sentences
    }

    /// Hairpins and cresc./dim. that begin here.
    pub(super) fn growing(&self) -> Vec<String> {
        let mut groups: BTreeMap<(bool, Option<Level>), Vec<PartIdx>> = BTreeMap::new();
        for part in self.roll.parts() {
            let Some(dynamics) = self.tracks.dynamics.parts.get(part.idx()) else { continue };
            let inside = |from: Ticks| self.from <= from && from < self.to;
            for hairpin in dynamics.hairpins.iter().filter(|hairpin| inside(hairpin.from)) {
                let parts = groups.entry((!hairpin.louder, hairpin.target)).or_default();
                if parts.last() != Some(&part) {
                    parts.push(part);
                }
            }
        }
        let sentence = |((softer, target), parts): (&(bool, Option<Level>), &Vec<PartIdx>)| {
            let what = if *softer { "softer" } else { "louder" };
            let target = target.map(|level| format!(" to {level}")).unwrap_or_default();
            format!("{what}{target}: {}", self.roll.words(parts))
        };
        groups.iter().map(sentence).collect()
    }

    /// Held notes without an attack, and fermatas.
    pub(super) fn holds(&self) -> Vec<String> {
        let mut sentences = Vec::new();
        let sounding = self.sounding();
        let attacks: usize = sounding
            .iter()
            .map(|part| self.tracks.sounds.n_attacks_of(*part, self.from, self.to))
            .sum();
        let repeats = |part: &PartIdx| {
            let music = self.movement.part(*part);
            music.is_some_and(|music| self.bars().any(|bar| !music.repeats_in(bar).is_empty()))
        };
        if attacks == 0 && !sounding.is_empty() && !sounding.iter().any(repeats) {
            sentences.push(String::from("held over, nobody attacks"));
        }
        let fermata = self.roll.parts().find_map(|part| {
            let markings = self.movement.part(part)?.markings_in(self.from, self.to);
            markings.iter().find(|marking| matches!(marking.kind, MarkingKind::Fermata(..)))
        });
        if let Some(fermata) = fermata {
            sentences.push(format!("fermata{}", self.where_(fermata.bar)));
        }
        sentences
    }
}

/// Each text once, in order.
fn unlike<'a>(texts: &[&'a str]) -> Vec<&'a str> {
    let mut unlike: Vec<&str> = Vec::new();
    for text in texts {
        if !unlike.contains(text) {
            unlike.push(text);
        }
    }
    unlike
}

/// Ways of playing as one says them: "muted, tremolo at the bridge".
fn in_order(mut ways: Vec<String>) -> String {
    let place = |way: &String| way.starts_with("at ") || way.starts_with("over ");
    ways.dedup();
    ways.sort_by_key(|way| (place(way), way != in_words(Device::Mute)));
    let mut words = String::new();
    for way in ways {
        if !words.is_empty() {
            words.push_str(if place(&way) { " " } else { ", " });
        }
        words.push_str(&way);
    }
    words
}

/// " on D", " on D and A"; nothing for more pitches or for unpitched notes.
fn on_pitches(notes: &[&Note]) -> String {
    let mut names: Vec<String> = Vec::new();
    for note in notes.iter().filter(|note| note.sounding.is_some()) {
        let Some(written) = note.written else { continue };
        let sign = match written.alter_quarter_tones {
            2 => " sharp",
            -2 => " flat",
            0 => "",
            _ => return String::new(),
        };
        let name = format!("{:?}{sign}", written.step);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.is_empty() || names.len() > 2 {
        return String::new();
    }
    format!(" on {}", crate::say::list(&names))
}
