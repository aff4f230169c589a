//! What is written and does not fit together: techniques that hardly sound at the level they are asked
//! for or against what plays beside them, and levels that differ between parts of one line or one attack.
//!
//! That pizzicato, the wood of the bow and harmonics are easily covered is Rimsky-Korsakov's (*Principles
//! of Orchestration*, ch. I); the rest is common practice. Each is a question to the score, not an error.

use crate::devices::DevicesTrack;
use crate::doublings::{Doubling, Extent};
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::seats::SeatsTrack;
use crate::settings::ContradictionSettings;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Device, Level};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, Score};
use barloom_core::time::Ticks;

/// Something written that does not fit together.
#[derive(Clone, PartialEq, Debug)]
pub struct Contradiction {
    /// Where.
    pub at: Ticks,
    /// The parts, in score order.
    pub parts: Vec<PartIdx>,
    /// What does not fit, in words.
    pub what: String,
}

impl Contradiction {
    /// The parts by their short names.
    pub fn who(&self, score: &Score) -> String {
        super::short_names(score, &self.parts)
    }
}

/// The contradictions by place, then score order. Techniques that no word begins or ends are among the
/// problems of [`DevicesTrack`], which sees over the ends of movements.
pub fn contradictions(
    movement: &Movement,
    heard: &HeardNotes,
    dynamics: &DynamicsTrack,
    devices: &DevicesTrack,
    seats: &SeatsTrack,
    doublings: &[Doubling],
    settings: &ContradictionSettings,
) -> Vec<Contradiction> {
    let scene = Scene { movement, heard, dynamics, settings };
    let mut found = Vec::new();
    scene.techniques(devices, &mut found);
    scene.lines(doublings, &mut found);
    scene.attacks(&mut found);
    found.extend(seats.never_ended(movement).map(|span| Contradiction {
        at: span.from,
        parts: vec![span.part],
        what: format!("\u{201c}{}\u{201d}: no tutti follows", span.words),
    }));
    merged(movement, found)
}

struct Scene<'a> {
    movement: &'a Movement,
    heard: &'a HeardNotes,
    dynamics: &'a DynamicsTrack,
    settings: &'a ContradictionSettings,
}

impl Scene<'_> {
    fn family(&self, part: PartIdx) -> Option<Family> {
        let music = self.movement.part(part)?;
        music.instruments.first().map(|taken| taken.instrument.get().family)
    }

    /// Techniques against their own level and against loud brass.
    fn techniques(&self, devices: &DevicesTrack, found: &mut Vec<Contradiction>) {
        let brass = self.loud_brass();
        for span in &devices.spans {
            let begun = self.heard.begun_in(span.part, span.from, span.to);
            let strings = self.family(span.part) == Some(Family::Strings);
            let weak = match span.device {
                Device::Plucked if strings => Some("pizzicato"),
                Device::Wood => Some("with the wood"),
                Device::Harmonics if strings => Some("harmonics"),
                Device::Fingerboard => Some("over the fingerboard"),
                _ => None,
            };
            let strong = match span.device {
                Device::Brassy => Some("brassy"),
                Device::BellsUp => Some("bells up"),
                _ => None,
            };
            let level = |at: Ticks| self.dynamics.level_at(span.part, at);
            if let Some(name) = weak {
                let mut covered: Vec<Ticks> =
                    begun.iter().map(|sound| sound.at).filter(|at| brass.is_loud(*at)).collect();
                covered.dedup();
                if let Some(first) = covered.first().filter(|_| covered.len() >= COVERED_NOTES) {
                    let what = format!("{name} against loud brass: hardly heard");
                    found.push(Contradiction { at: *first, parts: vec![span.part], what });
                    continue;
                }
                // A forceful pizzicato is common; the others have no such force.
                let own = begun.iter().find(|sound| level(sound.at) >= Some(Level::Ff));
                if let Some(sound) = own.filter(|_| span.device != Device::Plucked) {
                    let what = format!("{name} at {}", words(level(sound.at)));
                    found.push(Contradiction { at: sound.at, parts: vec![span.part], what });
                }
            }
            if let Some(name) = strong {
                let soft = begun
                    .iter()
                    .find(|sound| level(sound.at).is_some_and(|level| level <= Level::P));
                if let Some(sound) = soft {
                    let what = format!("{name} at {}", words(level(sound.at)));
                    found.push(Contradiction { at: sound.at, parts: vec![span.part], what });
                }
            }
        }
    }

    /// Where brass sounds f or louder.
    fn loud_brass(&self) -> LoudBrass {
        let mut edges: Vec<(Ticks, i64)> = Vec::new();
        let brass = self.heard.parts().filter(|part| self.family(*part) == Some(Family::Brass));
        for part in brass {
            let music = self.movement.part(part);
            let taken = music.and_then(|music| music.instruments.first());
            let horn = taken.is_some_and(|taken| taken.instrument.get().name == "horn");
            let weight = if horn { 1 } else { 2 };
            let loud = |at| self.dynamics.level_at(part, at) >= Some(Level::F);
            for sound in self.heard.of_part(part).iter().filter(|sound| loud(sound.at)) {
                edges.extend([(sound.at, weight), (sound.end, -weight)]);
            }
        }
        edges.sort_unstable();
        let mut sum = 0;
        let mut steps: Vec<(Ticks, i64)> = Vec::new();
        for (at, change) in edges {
            sum += change;
            match steps.last_mut() {
                Some(last) if last.0 == at => last.1 = sum,
                _ => steps.push((at, sum)),
            }
        }
        LoudBrass { steps, least: 2 * i64::from(self.settings.loud_brass_parts) }
    }

    /// Parts on one line in unison whose levels, written here or just before, are far apart.
    fn lines(&self, doublings: &[Doubling], found: &mut Vec<Contradiction>) {
        let unison = |doubling: &&Doubling| {
            !doubling.parallel && doubling.extent == Extent::Whole && doubling.interval == 0
        };
        for doubling in doublings.iter().filter(unison) {
            let level = |part| self.fresh_level(part, doubling.from);
            let (Some(one), Some(other)) = (level(doubling.part), level(doubling.by)) else {
                continue;
            };
            if apart(one, other) < self.settings.line_degrees {
                continue;
            }
            let parts = vec![doubling.part.min(doubling.by), doubling.part.max(doubling.by)];
            let what = format!("one line in unison, from {} to {}", one.min(other), one.max(other));
            found.push(Contradiction { at: doubling.from, parts, what });
        }
    }

    /// The level of a part if it was written in this bar or the one before: an old one may only have
    /// been left standing.
    fn fresh_level(&self, part: PartIdx, at: Ticks) -> Option<Level> {
        let changes = &self.dynamics.parts.get(part.idx())?.changes;
        let after = changes.partition_point(|change| change.at <= at);
        let last = changes.get(..after)?.iter().rev().find(|change| !change.implied)?;
        let bar = self.movement.bars.bar_at(at)?;
        let before = BarIndex::from(bar.idx().saturating_sub(1));
        let since = self.movement.bars.get(before)?.start;
        self.dynamics.level_at(part, at).filter(|_| last.at >= since)
    }

    /// Levels written for one attack of one family that are far apart.
    fn attacks(&self, found: &mut Vec<Contradiction>) {
        let mut written: Vec<(Ticks, Family, PartIdx, Level)> = Vec::new();
        for (idx, part) in self.dynamics.parts.iter().enumerate() {
            let Ok(idx) = u16::try_from(idx) else { break };
            let part_idx = PartIdx(idx);
            let Some(family) = self.family(part_idx) else { continue };
            let signs = part.changes.iter().filter(|change| !change.implied);
            let attacks = |at: Ticks| {
                !self.heard.begun_in(part_idx, at, Ticks(at.0.saturating_add(1))).is_empty()
            };
            let here = signs.filter(|change| attacks(change.at));
            written.extend(here.map(|change| (change.at, family, part_idx, change.level)));
        }
        written.sort_unstable();
        for together in written.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            let low = together.iter().min_by_key(|(.., level)| *level);
            let high = together.iter().max_by_key(|(.., level)| *level);
            let (Some(low), Some(high)) = (low, high) else { continue };
            if apart(low.3, high.3) < self.settings.attack_degrees {
                continue;
            }
            let mut parts: Vec<PartIdx> = together.iter().map(|(_, _, part, _)| *part).collect();
            parts.dedup();
            // One part above all others is a solo over its accompaniment.
            let near_high = |level: Level| apart(level, high.3) < apart(level, low.3);
            let n_loud = together.iter().filter(|(.., level)| near_high(*level)).count();
            if parts.len() < 2 || parts.len() > 2 && n_loud == 1 {
                continue;
            }
            let what = format!("one attack, from {} to {}", low.3, high.3);
            found.push(Contradiction { at: low.0, parts, what });
        }
    }
}

/// So many plucked notes against loud brass are a passage, fewer a stroke.
const COVERED_NOTES: usize = 3;

/// How much loud brass sounds from place to place: a horn counts one, other brass two, as in forte a horn
/// is half as strong (Rimsky-Korsakov, *Principles of Orchestration*, ch. I).
struct LoudBrass {
    /// From where the sum holds; ascending.
    steps: Vec<(Ticks, i64)>,
    /// From which sum on brass covers.
    least: i64,
}

impl LoudBrass {
    fn is_loud(&self, at: Ticks) -> bool {
        let after = self.steps.partition_point(|(from, _)| *from <= at);
        let step = after.checked_sub(1).and_then(|idx| self.steps.get(idx));
        step.is_some_and(|(_, sum)| *sum >= self.least)
    }
}

/// What is said of several parts in one bar is said once.
fn merged(movement: &Movement, mut found: Vec<Contradiction>) -> Vec<Contradiction> {
    let bar = |found: &Contradiction| movement.bars.bar_at(found.at);
    found.sort_by(|a, b| (bar(a), &a.what, a.at).cmp(&(bar(b), &b.what, b.at)));
    let mut merged: Vec<Contradiction> = Vec::with_capacity(found.len());
    for one in found {
        match merged.last_mut() {
            Some(last) if bar(last) == bar(&one) && last.what == one.what => {
                last.parts.extend(one.parts);
            }
            _ => merged.push(one),
        }
    }
    for one in &mut merged {
        one.parts.sort_unstable();
        one.parts.dedup();
    }
    merged.sort_by(|a, b| (a.at, &a.parts).cmp(&(b.at, &b.parts)));
    // One line of the same parts that begin together is one attack.
    merged.dedup_by(|later, first| {
        let levels = |found: &Contradiction| found.what.starts_with("one ");
        (later.at, &later.parts) == (first.at, &first.parts) && levels(later) && levels(first)
    });
    merged
}

fn apart(one: Level, other: Level) -> u8 {
    (one as u8).abs_diff(other as u8)
}

fn words(level: Option<Level>) -> String {
    level.map_or_else(|| String::from("no level"), |level| level.to_string())
}
