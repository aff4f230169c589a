//! The doublings as they are shown: groups on one line, and pairs that share only some of it or go in
//! parallel, each in words and in short signs.

use super::{Doubling, Extent, groups, interval_words, overlap};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use std::collections::BTreeMap;

/// Semitones in an octave.
const OCTAVE: i32 = 12;

/// Parts that share a line over some bars.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Shared {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The parts with semitones above the first of them: in score order where all play all of the
    /// line, else the part whose line it is and the one that goes with it.
    pub parts: Vec<(PartIdx, i32)>,
    /// In parallel thirds or sixths; else in unison and octaves.
    pub parallel: bool,
    /// What of the line is shared.
    pub extent: Extent,
    /// The least share of common notes among its pairs, 0 to 1.
    pub share: f32,
}

/// All that is shared, by first bar, then parts. A parallel or partial line that goes with several
/// parts of one group is there once.
pub fn shared(doublings: &[Doubling]) -> Vec<Shared> {
    let mut shared: Vec<Shared> = groups(doublings)
        .into_iter()
        .map(|group| Shared {
            from: group.from,
            to: group.to,
            parts: group.parts,
            share: group.share,
            ..Shared::default()
        })
        .collect();
    let is_pair = |doubling: &&Doubling| doubling.parallel || doubling.extent != Extent::Whole;
    let mut whole: BTreeMap<(PartIdx, PartIdx), Vec<&Doubling>> = BTreeMap::new();
    for doubling in doublings.iter().filter(|doubling| !is_pair(doubling)) {
        let (part, by) = (doubling.part, doubling.by);
        whole.entry((part.min(by), part.max(by))).or_default().push(doubling);
    }
    let one_line = |a: PartIdx, b: PartIdx, here: &Doubling| {
        let known = whole.get(&(a.min(b), a.max(b))).map(Vec::as_slice).unwrap_or_default();
        a == b || known.iter().any(|doubling| overlap(doubling, here))
    };
    let mut kept: Vec<&Doubling> = Vec::new();
    for pair in doublings.iter().filter(is_pair) {
        let same = |known: &&Doubling| {
            let alike = known.parallel == pair.parallel && known.extent == pair.extent;
            let lines = |a, b| one_line(known.part, a, pair) && one_line(known.by, b, pair);
            alike
                && overlap(known, pair)
                && (lines(pair.part, pair.by) || lines(pair.by, pair.part))
        };
        // Pairs of one place stand together.
        if !kept.iter().rev().take(32).any(same) {
            kept.push(pair);
        }
    }
    shared.extend(kept.into_iter().map(|pair| Shared {
        from: pair.first_bar,
        to: pair.last_bar,
        parts: vec![(pair.part, 0), (pair.by, pair.interval)],
        parallel: pair.parallel,
        extent: pair.extent,
        share: pair.share,
    }));
    shared.sort_by(|a, b| (a.from, &a.parts).cmp(&(b.from, &b.parts)));
    shared
}

impl Shared {
    /// Whether it is a group that plays all of one line.
    pub fn is_whole(&self) -> bool {
        !self.parallel && self.extent == Extent::Whole
    }

    /// "unison", "octaves", "parallel"; what of the line, where it is not all of it.
    pub fn kind(&self) -> &'static str {
        match self.extent {
            _ if self.parallel => "parallel",
            Extent::Whole if self.parts.iter().all(|(_, height)| *height == 0) => "unison",
            Extent::Whole => "octaves",
            partial => partial.name(),
        }
    }

    /// "Oboe 1 and Violin I, Flute 1 an octave above"; "Violin I, Violin II in parallel thirds below".
    pub fn words(&self, name: impl Fn(PartIdx) -> String) -> String {
        let [(first, _), rest @ ..] = self.parts.as_slice() else { return String::new() };
        if self.is_whole() {
            return on_one_line(*first, rest, name);
        }
        let with = rest.first().map_or_else(String::new, |(part, interval)| {
            format!(", {} {}", name(*part), interval_words(*interval, self.parallel))
        });
        format!("{}{with}{}", name(*first), self.extent_words())
    }

    /// " for the first notes only" and the like; empty where all of the line is shared.
    pub const fn extent_words(&self) -> &'static str {
        match self.extent {
            Extent::Whole => "",
            Extent::FirstNotes => " for the first notes only",
            Extent::StrongBeats => " on the strong beats only",
            Extent::SomeNotes => " for some notes only",
        }
    }

    /// From the top down with a sign between neighbors: "=" for unison, "8" for an octave, "8+8" for two,
    /// "3rds" and "6ths" for parallel ones: "Fl. 1 8 Ob. 1 = Vl. I". What plays only some of the line is
    /// in brackets.
    pub fn signs(&self, name: impl Fn(PartIdx) -> String) -> String {
        let mut parts: Vec<(usize, (PartIdx, i32))> =
            self.parts.iter().copied().enumerate().collect();
        parts.sort_by_key(|(_, (part, height))| (-height, *part));
        let mut signs = String::new();
        let mut before = None;
        for (nth, (part, height)) in parts {
            if let Some(above) = before.replace(height) {
                signs.push(' ');
                signs.push_str(&self.sign(above - height));
                signs.push(' ');
            }
            if nth > 0 && self.extent != Extent::Whole {
                signs.push_str(&format!("({})", name(part)));
            } else {
                signs.push_str(&name(part));
            }
        }
        signs
    }

    fn sign(&self, semitones: i32) -> String {
        if self.parallel {
            let thirds = matches!(semitones.rem_euclid(OCTAVE), 3 | 4);
            return String::from(if thirds { "3rds" } else { "6ths" });
        }
        let octaves = usize::try_from(semitones / OCTAVE).unwrap_or(0);
        if octaves == 0 { String::from("=") } else { vec!["8"; octaves].join("+") }
    }
}

/// A line with those that double it, each with semitones above it: who is on the line itself first,
/// then the nearest above and below. The names are said once for each distance.
pub fn on_one_line(
    first: PartIdx,
    others: &[(PartIdx, i32)],
    name: impl Fn(PartIdx) -> String,
) -> String {
    let mut distances: Vec<i32> = others.iter().map(|(_, height)| *height).collect();
    distances.sort_by_key(|height| (height.abs(), -height));
    distances.dedup();
    let at = |height: i32| {
        others.iter().filter(move |(_, of)| *of == height).map(|(part, _)| name(*part))
    };
    let on_line: Vec<String> = std::iter::once(name(first)).chain(at(0)).collect();
    let mut pieces = vec![crate::say::list(&on_line)];
    for height in distances.into_iter().filter(|height| *height != 0) {
        let who: Vec<String> = at(height).collect();
        pieces.push(format!("{} {}", crate::say::list(&who), interval_words(height, false)));
    }
    if pieces.len() == 1 && on_line.len() > 1 {
        pieces.push(String::from("in unison"));
        return pieces.join(" ");
    }
    pieces.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heard::HeardNotes;
    use crate::settings::Settings;
    use crate::testing::movement;

    fn said(parts: &[&str]) -> Vec<(String, String)> {
        let movement = movement(parts);
        let found = super::super::of(&movement, &HeardNotes::of(&movement), &Settings::default());
        let name = |part: PartIdx| format!("P{}", part.0 + 1);
        shared(&found).iter().map(|shared| (shared.words(name), shared.signs(name))).collect()
    }

    /// A melody over three octaves, two parts in unison in the middle: Rimsky-Korsakov, *Principles of
    /// Orchestration*, ch. II, "melody in three octaves".
    #[test]
    fn a_group_is_said_once_with_every_distance() {
        let line = |octave: u8| {
            format!(
                "4/4 c{octave}:1 d{octave} e{octave} g{octave} | f{octave} e{octave} d{octave}:2"
            )
        };
        let (high, middle, low) = (line(6), line(5), line(4));
        let said = said(&[&high, &middle, &middle, &low]);
        assert_eq!(
            said,
            [(
                String::from("P1, P2 and P3 an octave below, P4 two octaves below"),
                String::from("P1 8 P2 = P3 8 P4")
            )]
        );
    }

    /// Thirds under a line that two parts play are one thing (ch. II, "melody in thirds and sixths").
    #[test]
    fn thirds_under_a_doubled_line_are_said_once() {
        let line = "4/4 c5:1 d5 e5 f5 | g5 f5 e5 d5";
        let said = said(&[line, line, "4/4 a4:1 b4 c5 d5 | e5 d5 c5 b4"]);
        let words: Vec<&str> = said.iter().map(|(words, _)| words.as_str()).collect();
        assert_eq!(words, ["P1 and P2 in unison", "P1, P3 in parallel thirds below"]);
        assert_eq!(said[1].1, "P1 3rds P3");
    }
}
