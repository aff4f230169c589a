//! Who has the line and who doubles it, who else plays one line, and what the texture is.

use super::Scene;
use crate::doublings::{Shared, interval_words, on_one_line};
use crate::leading::{self, Lead};
use crate::texture::TextureClass;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;

/// So many lines, groups or textures are told one after the other.
const MOST: usize = 4;

impl Scene<'_> {
    /// "Line: Bassoon 2, Tuba an octave below; from bar 9 Oboe 1".
    pub(super) fn line(&self) -> Option<String> {
        if self.sounding().len() < 2 && self.first == self.last {
            return None; // Said with who plays.
        }
        let leads: Vec<&Lead> = self
            .tracks
            .leading
            .iter()
            .filter(|lead| self.meets(lead.from, lead.to))
            .filter(|lead| lead.parts.iter().any(|part| self.is_asked(*part)))
            .collect();
        let mut pieces: Vec<String> = Vec::new();
        for lead in leads.iter().take(MOST) {
            let who = self.with_doublings(lead);
            if pieces.is_empty() && lead.from <= self.first {
                pieces.push(who);
            } else {
                let bar = self.movement.bar_name(lead.from);
                let now = if pieces.is_empty() { "from" } else { "then from" };
                pieces.push(format!("{now} bar {bar} {who}"));
            }
        }
        if leads.len() > MOST {
            pieces.push(String::from("and it goes on from part to part"));
        }
        (!pieces.is_empty()).then(|| format!("line: {}", pieces.join("; ")))
    }

    /// The leader of a line with those that double it, and what goes with it in thirds or in part.
    fn with_doublings(&self, lead: &Lead) -> String {
        let Some((leader, others)) = lead.parts.split_first() else { return String::new() };
        let (from, to) = (lead.from.max(self.first), lead.to.min(self.last));
        let others: Vec<(PartIdx, i32)> = others
            .iter()
            .filter_map(|other| Some((*other, self.distance(*leader, *other, (from, to))?)))
            .collect();
        let mut words = on_one_line(*leader, &others, |part| self.roll.name(part));
        let mut with: Vec<PartIdx> = Vec::new();
        for shared in self.shared_in(from, to).filter(|shared| !shared.is_whole()) {
            let [(line, _), (by, interval)] = shared.parts.as_slice() else { continue };
            let (other, interval) = if lead.parts.contains(line) {
                (*by, *interval)
            } else if shared.parallel && lead.parts.contains(by) {
                (*line, -interval)
            } else {
                continue;
            };
            if lead.parts.contains(&other) || with.contains(&other) {
                continue;
            }
            with.push(other);
            let only = shared.extent_words();
            let how = interval_words(interval, shared.parallel);
            words.push_str(&format!(", {} {how}{only}", self.roll.name(other)));
        }
        words
    }

    /// What is shared in some bars, in order.
    fn shared_in(&self, from: BarIndex, to: BarIndex) -> impl Iterator<Item = &Shared> {
        self.tracks.shared.iter().filter(move |shared| shared.from <= to && shared.to >= from)
    }

    /// Semitones from a part up to another that doubles it, where they do so longest.
    fn distance(&self, from: PartIdx, to: PartIdx, bars: (BarIndex, BarIndex)) -> Option<i32> {
        let height = |shared: &Shared, of: PartIdx| {
            shared.parts.iter().find(|(part, _)| *part == of).map(|(_, height)| *height)
        };
        self.shared_in(bars.0, bars.1)
            .filter(|shared| shared.is_whole())
            .filter_map(|shared| {
                let n_bars = shared.to.min(bars.1).0 - shared.from.max(bars.0).0;
                Some((n_bars, height(shared, to)? - height(shared, from)?))
            })
            .max_by_key(|(n_bars, _)| *n_bars)
            .map(|(_, distance)| distance)
    }

    /// "The line goes from Violin I to Oboe 1", for a single bar.
    pub(super) fn hand_off(&self) -> Option<String> {
        if self.first != self.last {
            return None; // Seen from the line.
        }
        let hand_offs = leading::hand_offs(&self.tracks.leading);
        let here = hand_offs.into_iter().find(|hand_off| hand_off.bar == self.first)?;
        let parts = || here.from.iter().chain(&here.to);
        if !parts().any(|part| self.is_asked(*part)) {
            return None;
        }
        let (from, to) = (self.names(&here.from), self.names(&here.to));
        Some(format!("the line goes from {from} to {to} here"))
    }

    /// The leader with "and others", so that a hand-off stays short.
    fn names(&self, parts: &[PartIdx]) -> String {
        match parts {
            [] => String::new(),
            [one] => self.roll.name(*one),
            [one, other] => format!("{} and {}", self.roll.name(*one), self.roll.name(*other)),
            [one, rest @ ..] => format!("{} with {} others", self.roll.name(*one), rest.len()),
        }
    }

    /// Who else plays one line, or goes in thirds and sixths: what lasts longest first.
    pub(super) fn together(&self) -> Option<String> {
        let leads: Vec<&Lead> =
            self.tracks.leading.iter().filter(|lead| self.meets(lead.from, lead.to)).collect();
        let led = |shared: &Shared| {
            let leads =
                leads.iter().filter(|lead| lead.from <= shared.to && lead.to >= shared.from);
            leads
                .flat_map(|lead| &lead.parts)
                .any(|of| shared.parts.iter().any(|(part, _)| part == of))
        };
        let n_bars = |shared: &Shared| shared.to.min(self.last).0 - shared.from.max(self.first).0;
        let mut groups: Vec<&Shared> = self
            .shared_in(self.first, self.last)
            .filter(|shared| shared.is_whole() || shared.parallel)
            .filter(|shared| shared.parts.iter().any(|(part, _)| self.is_asked(*part)))
            .filter(|shared| !led(shared))
            .collect();
        groups.sort_by_key(|shared| (std::cmp::Reverse(n_bars(shared)), shared.parallel));
        let words = |shared: &&Shared| {
            let words = shared.words(|part| self.roll.name(part));
            if shared.from <= self.first && shared.to >= self.last {
                return words;
            }
            let (from, to) = (shared.from.max(self.first), shared.to.min(self.last));
            let (first, last) = (self.movement.bar_name(from), self.movement.bar_name(to));
            if from == to && self.first == self.last {
                words
            } else if from == to {
                format!("{words} (bar {first})")
            } else {
                format!("{words} (bars {first}\u{2013}{last})")
            }
        };
        let words: Vec<String> = groups.iter().take(MOST).map(words).collect();
        (!words.is_empty()).then(|| format!("together: {}", words.join("; ")))
    }

    /// "Texture: melody and accompaniment; from bar 9 polyphony"; nothing where who plays says it all.
    pub(super) fn texture(&self) -> Option<String> {
        let spans: Vec<_> =
            self.tracks.textures.iter().filter(|span| self.meets(span.from, span.to)).collect();
        let plain =
            |class: TextureClass| matches!(class, TextureClass::Silence | TextureClass::Solo);
        if self.roll.is_chosen() || spans.iter().all(|span| plain(span.class)) {
            return None;
        }
        let mut pieces: Vec<String> = Vec::new();
        for span in spans.iter().take(MOST) {
            let class = if span.class == span.relation || plain(span.relation) {
                span.class.name().to_owned()
            } else {
                format!("{}, {}", span.class.name(), span.relation.name())
            };
            if pieces.is_empty() {
                pieces.push(class);
            } else {
                pieces.push(format!("from bar {} {class}", self.movement.bar_name(span.from)));
            }
        }
        if spans.len() > MOST {
            pieces.push(String::from("then it goes on changing"));
        }
        Some(format!("texture: {}", pieces.join("; ")))
    }
}
