//! Who plays and how loud, who comes in and which entrance wants a cue.

use super::Scene;
use crate::dynamics::PartDynamics;
use crate::entrances::Entrance;
use crate::say;
use barloom_core::event::Level;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// More entrances than this are summed up.
const MOST_ENTRANCES: usize = 4;

/// So many cues are named, those most needed.
const MOST_CUES: usize = 3;

impl Scene<'_> {
    pub(super) fn who_plays(&self) -> String {
        let sounding = self.sounding();
        let level = self.level_words(&sounding);
        let level = if level.is_empty() { level } else { format!(", {level}") };
        match sounding.as_slice() {
            [] if self.roll.n_parts() == 0 => String::new(),
            [] => String::from("silence"),
            [one] if self.roll.n_parts() > 1 => {
                let rest = self.sole_rest(*one);
                format!("{} alone{level}{rest}", self.roll.name(*one))
            }
            some => {
                let who = self.roll.words(some);
                let count = if who.contains(" of ") {
                    format!("; {} of {} parts", some.len(), self.roll.n_parts())
                } else {
                    String::new()
                };
                format!("{who}{level}{count}")
            }
        }
    }

    /// ", after 47 bars of rest" for a part that enters alone.
    fn sole_rest(&self, part: PartIdx) -> String {
        let own = self.entering().find(|entrance| entrance.part == part);
        own.filter(|entrance| entrance.rest_bars > 0).map_or_else(String::new, |entrance| {
            format!(", after {} of rest", say::count(entrance.rest_bars as usize, "bar"))
        })
    }

    /// "p", "pp to f" over the parts that sound.
    fn level_words(&self, sounding: &[PartIdx]) -> String {
        let mut levels: Vec<Level> = Vec::new();
        for part in sounding {
            let Some(dynamics) = self.tracks.dynamics.parts.get(part.idx()) else { continue };
            let notes = self.movement.part(*part).map(|music| music.notes_in(self.from, self.to));
            let first = notes.unwrap_or_default().iter().find(|note| note.sounds());
            let begin = first.map_or(self.from, |note| note.onset);
            levels.extend(dynamics.level_at(begin));
            levels.extend(changes_in(dynamics, begin, self.to));
        }
        match (levels.iter().min(), levels.iter().max()) {
            (Some(low), Some(high)) if low == high => low.to_string(),
            (Some(low), Some(high)) => format!("{low} to {high}"),
            _ => String::new(),
        }
    }

    fn entering(&self) -> impl Iterator<Item = &Entrance> {
        self.tracks.entrances.iter().filter(|entrance| {
            let inside = self.first <= entrance.bar && entrance.bar <= self.last;
            inside && self.roll.parts().any(|part| part == entrance.part)
        })
    }

    /// Entrances after a rest, those of one moment and one rest together.
    pub(super) fn entrances(&self) -> Vec<String> {
        if let [_] = self.sounding().as_slice()
            && self.roll.n_parts() > 1
            && self.first == self.last
        {
            return Vec::new(); // Said with who plays.
        }
        let mut groups: BTreeMap<(Ticks, u32), Vec<PartIdx>> = BTreeMap::new();
        for entrance in self.entering().filter(|entrance| entrance.rest_bars > 0) {
            groups.entry((entrance.at, entrance.rest_bars)).or_default().push(entrance.part);
        }
        let n_more: usize = groups.values().skip(MOST_ENTRANCES).map(Vec::len).sum();
        let sentence = |((at, rest), parts): (&(Ticks, u32), &Vec<PartIdx>)| {
            let verb = if parts.len() == 1 { "enters" } else { "enter" };
            let (bar, _) = self.movement.place(*at);
            let rest = say::count(*rest as usize, "bar");
            format!("{} {verb}{} after {rest} of rest", self.roll.words(parts), self.where_(bar))
        };
        let mut sentences: Vec<String> = groups.iter().take(MOST_ENTRANCES).map(sentence).collect();
        if n_more > 0 {
            sentences.push(format!("{} follow", say::count(n_more, "more part")));
        }
        sentences
    }

    /// The entrances that most need a cue, those with the same reasons together. That they rest so long
    /// is said with the entrance.
    pub(super) fn cues(&self) -> Option<String> {
        let mut groups: Vec<(u32, String, Vec<PartIdx>)> = Vec::new();
        for entrance in self.entering().filter(|entrance| entrance.need > 0) {
            let reasons = entrance.reasons.iter().filter(|reason| !reason.ends_with("of rest"));
            let reasons: Vec<&str> = reasons.map(String::as_str).collect();
            let reasons = reasons.join(", ");
            match groups.iter_mut().find(|(_, known, _)| *known == reasons) {
                Some((need, _, parts)) => {
                    *need = entrance.need.max(*need);
                    parts.push(entrance.part);
                }
                None => groups.push((entrance.need, reasons, vec![entrance.part])),
            }
        }
        groups.sort_by_key(|(need, ..)| std::cmp::Reverse(*need));
        let words = |(_, reasons, parts): &(u32, String, Vec<PartIdx>)| {
            let mut parts = parts.clone();
            parts.sort_unstable();
            parts.dedup();
            let who = self.roll.words(&parts);
            if reasons.is_empty() { who } else { format!("{who} ({reasons})") }
        };
        let named: Vec<String> = groups.iter().take(MOST_CUES).map(words).collect();
        (!named.is_empty()).then(|| format!("cue proposed: {}", named.join("; ")))
    }
}

fn changes_in(dynamics: &PartDynamics, from: Ticks, to: Ticks) -> impl Iterator<Item = Level> {
    let inside = move |at: Ticks| from < at && at < to;
    dynamics.changes.iter().filter(move |change| inside(change.at)).map(|change| change.level)
}
