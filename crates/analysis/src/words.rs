//! A bar, or a few, in a musician's sentences: who plays and how loud, who comes in after how long,
//! what is muted or plucked, where it grows, what changes in meter and tempo, how it is beaten.
//!
//! Every sentence rests on the tracks alone; what is not known is not said.

use crate::dynamics::PartDynamics;
use crate::who::Roll;
use crate::{MovementTracks, Tracks, say};
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::event::{Device, Level, MarkingKind};
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// More entrances than this are summed up.
const MOST_ENTRANCES: usize = 4;

/// The bars `range` (inclusive) of a movement in sentences; of all parts, or only of those in `parts`.
/// Empty if the movement or the first bar does not exist.
pub fn bar_in_words(
    basis: &Basis,
    tracks: &Tracks,
    movement: usize,
    range: (BarIndex, BarIndex),
    parts: Option<&[PartIdx]>,
) -> Vec<String> {
    let Some(scene) = Scene::of(basis, tracks, movement, range, parts) else { return Vec::new() };
    let mut sentences = vec![scene.who_plays()];
    sentences.extend(scene.entrances());
    sentences.extend(scene.devices());
    sentences.extend(scene.growing());
    sentences.extend(scene.holds());
    sentences.extend(scene.meter());
    sentences.extend(scene.tempo());
    sentences.extend(scene.beating());
    sentences
        .into_iter()
        .filter(|text| !text.is_empty())
        .map(|text| say::capital(&text) + ".")
        .collect()
}

/// The bars in question with their tracks.
struct Scene<'a> {
    movement: &'a Movement,
    tracks: &'a MovementTracks,
    roll: Roll<'a>,
    first: BarIndex,
    last: BarIndex,
    from: Ticks,
    to: Ticks,
}

impl<'a> Scene<'a> {
    fn of(
        basis: &'a Basis,
        tracks: &'a Tracks,
        movement: usize,
        (first, last): (BarIndex, BarIndex),
        parts: Option<&[PartIdx]>,
    ) -> Option<Self> {
        let tracks = tracks.movements.get(movement)?;
        let movement = basis.score.movements.get(movement)?;
        let last = last.max(first).min(movement.bars.last_index()?);
        let from = movement.bars.get(first)?.start;
        let to = movement.bars.get(last)?.end();
        let roll = Roll::of(&basis.score, movement, &tracks.playing, parts);
        Some(Self { movement, tracks, roll, first, last, from, to })
    }

    fn bars(&self) -> impl Iterator<Item = BarIndex> {
        (self.first.idx()..=self.last.idx()).map(BarIndex::from)
    }

    fn sounding(&self) -> Vec<PartIdx> {
        let sounds = |part: &PartIdx| self.bars().any(|bar| self.tracks.playing.sounds(*part, bar));
        self.roll.parts().filter(sounds).collect()
    }

    /// "in bar 49" for a place in a longer selection, nothing for a single bar.
    fn where_(&self, bar: BarIndex) -> String {
        if self.first == self.last {
            String::new()
        } else {
            format!(" in bar {}", self.movement.bar_name(bar))
        }
    }

    fn who_plays(&self) -> String {
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

    fn entering(&self) -> impl Iterator<Item = &crate::entrances::Entrance> {
        self.tracks.entrances.iter().filter(|entrance| {
            let inside = self.first <= entrance.bar && entrance.bar <= self.last;
            inside && self.roll.parts().any(|part| part == entrance.part)
        })
    }

    /// Entrances after a rest, those of one moment and one rest together.
    fn entrances(&self) -> Vec<String> {
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

    /// Who is muted, plucks and so on while playing, or is told to here; and who stops.
    fn devices(&self) -> Vec<String> {
        let sounding = self.sounding();
        let mut sentences = Vec::new();
        for device in Device::ALL {
            let spans = self.tracks.devices.spans.iter().filter(|span| span.device == device);
            let (mut in_force, mut ended, mut words) = (Vec::new(), Vec::new(), String::new());
            for span in spans {
                let concerns = self.roll.parts().any(|part| part == span.part);
                let matters = sounding.contains(&span.part) || span.from >= self.from;
                if concerns && matters && span.from < self.to && span.to > self.from {
                    in_force.push(span.part);
                    if words.is_empty() && span.from >= self.from {
                        words.clone_from(&span.words);
                    }
                }
                if concerns && span.ended && self.from <= span.to && span.to < self.to {
                    ended.push((span.part, span.end_words.clone()));
                }
            }
            in_force.dedup();
            if !in_force.is_empty() {
                let quoted = quoted(&words);
                sentences.push(format!(
                    "{}: {}{quoted}",
                    in_words(device),
                    self.roll.words(&in_force)
                ));
            }
            if let [(_, words), ..] = ended.as_slice() {
                let mut parts: Vec<PartIdx> = ended.iter().map(|(part, _)| *part).collect();
                parts.dedup();
                let what = in_words(device);
                let who = self.roll.words(&parts);
                sentences.push(format!("no longer {what}: {who}{}", quoted(words)));
            }
        }
        sentences
    }

    /// Hairpins and cresc./dim. that begin here.
    fn growing(&self) -> Vec<String> {
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
    fn holds(&self) -> Vec<String> {
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

    fn meter(&self) -> Vec<String> {
        let bars = self.movement.bars.as_slice();
        let change = |bar: BarIndex| {
            let before = bars.get(bar.idx().checked_sub(1)?)?;
            let here = bars.get(bar.idx())?;
            (before.meter.terms != here.meter.terms)
                .then(|| format!("{}{}, {} before", here.meter, self.where_(bar), before.meter))
        };
        self.bars().filter_map(change).collect()
    }

    fn tempo(&self) -> Vec<String> {
        let segments = self.tracks.tempo.segments.iter();
        let here = segments.filter(|segment| self.from <= segment.at && segment.at < self.to);
        here.map(|segment| {
            let (bar, _) = self.movement.place(segment.at);
            let words = quoted(&segment.words);
            format!("tempo{}{words}: {}", self.where_(bar), segment.why)
        })
        .collect()
    }

    /// The pattern proposed, each change of it once.
    fn beating(&self) -> Vec<String> {
        let mut sentences: Vec<String> = Vec::new();
        let mut before = None;
        for bar in self.bars() {
            let Some(proposal) = self.tracks.beating.get(bar.idx()) else { continue };
            if before.replace(&proposal.pattern) != Some(&proposal.pattern) {
                sentences.push(format!("proposed{}: {}", self.where_(bar), proposal.reason));
            }
        }
        sentences
    }
}

fn changes_in(dynamics: &PartDynamics, from: Ticks, to: Ticks) -> impl Iterator<Item = Level> {
    let inside = move |at: Ticks| from < at && at < to;
    dynamics.changes.iter().filter(move |change| inside(change.at)).map(|change| change.level)
}

fn quoted(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!(" (\u{201c}{words}\u{201d})") }
}

/// What players do under a device.
pub(crate) const fn in_words(device: Device) -> &'static str {
    match device {
        Device::Mute => "muted",
        Device::Plucked => "plucked",
        Device::Bridge => "at the bridge",
        Device::Fingerboard => "over the fingerboard",
        Device::Wood => "with the wood",
        Device::Harmonics => "harmonics",
        Device::Tremolo => "tremolo",
        Device::Stopped => "stopped",
        Device::Brassy => "brassy",
        Device::BellsUp => "bells up",
        Device::Flutter => "flutter-tongue",
        Device::Muffled => "muffled",
        Device::LetRing => "let ring",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{self, mark, metronome};

    fn said(parts: &[&str], bar: u32, only: Option<&[PartIdx]>) -> Vec<String> {
        let mut movement = testing::movement(parts);
        mark(&mut movement, 0, "0", metronome("1", 80.0), "");
        let (basis, tracks) = testing::analyzed(movement);
        bar_in_words(&basis, &tracks, 0, (BarIndex(bar), BarIndex(bar)), only)
    }

    const PARTS: &[&str] = &[
        "flute: 4/4 !p c5:4 | r:4 | r:4 | !+mute c5:4 | c5:4",
        "flute: 4/4 !pp c5:4 | r:4 | c5:4_ | ~c5:4 | !f !-mute c5:4",
        "piccolo: 4/4 c6:4 | r:4 | r:4 | c6:4 | c6:4",
    ];

    #[test]
    fn one_bar_is_said_as_a_musician_would() {
        assert_eq!(said(PARTS, 0, None)[0], "Everyone, pp to p.");
        assert_eq!(said(PARTS, 1, None)[0], "Silence.");
        let solo = said(PARTS, 2, None);
        assert_eq!(solo[0], "Flute 2 alone, pp, after 1 bar of rest.");
        let entry = said(PARTS, 3, None);
        assert_eq!(entry[1], "Flute 1 and Piccolo 3 enter after 2 bars of rest.");
        assert!(entry.contains(&"Muted: Flute 1 (\u{201c}+mute\u{201d}).".to_owned()), "{entry:?}");
        assert_eq!(entry.last().unwrap(), "Proposed: quarter = 80: in four.");
        assert_eq!(said(PARTS, 99, None), Vec::<String>::new());
    }

    #[test]
    fn techniques_of_silent_parts_are_left_out() {
        let parts = &["flute: 4/4 !+mute c5:4 | r:4 | c5:4", "flute: 4/4 c5:4 | c5:4 | c5:4"];
        let muted = |bar| said(parts, bar, None).iter().any(|text| text.starts_with("Muted"));
        assert!(muted(0) && !muted(1) && muted(2));
    }

    #[test]
    fn only_the_chosen_parts_are_spoken_of() {
        let said = said(PARTS, 3, Some(&[PartIdx(1)]));
        assert_eq!(said[0], "Flute 2, pp.");
        assert!(said.contains(&"Held over, nobody attacks.".to_owned()), "{said:?}");
    }

    #[test]
    fn growing_meter_and_tempo_are_said_where_they_happen() {
        let parts =
            &["flute: 4/4 !p c5:4 | 3/4 !cresc c5:3 | !f c5:3", "flute: 4/4 c5:4 | c5:3 | c5:3"];
        let said = said(parts, 1, None);
        assert!(said.contains(&"Louder to f: Flute 1.".to_owned()), "{said:?}");
        assert!(said.contains(&"3/4, 4/4 before.".to_owned()), "{said:?}");
    }
}
