//! What is written and does not fit together: techniques that hardly sound at the level they are asked
//! for or against what plays beside them, and levels that differ between parts of one line or one attack.
//!
//! That pizzicato, the wood of the bow and harmonics are easily covered is Rimsky-Korsakov's (*Principles
//! of Orchestration*, ch. I); the rest is common practice. Each is a question to the score, not an error.

use crate::devices::DevicesTrack;
use crate::doublings::{Doubling, Extent};
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
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
    doublings: &[Doubling],
    settings: &ContradictionSettings,
) -> Vec<Contradiction> {
    let scene = Scene { movement, heard, dynamics, settings };
    let mut found = Vec::new();
    scene.techniques(devices, &mut found);
    scene.lines(doublings, &mut found);
    scene.attacks(&mut found);
    found.sort_by(|a, b| (a.at, &a.parts).cmp(&(b.at, &b.parts)));
    found.dedup_by(|later, first| later.at == first.at && later.parts == first.parts);
    found
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
        let loud_brass = self.loud_brass();
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
                let brass = begun.iter().find(|sound| {
                    let bar = self.movement.bars.bar_at(sound.at).map(BarIndex::idx);
                    bar.and_then(|bar| loud_brass.get(bar)).copied().unwrap_or(false)
                });
                if let Some(sound) = brass {
                    let what = format!("{name} against loud brass: hardly heard");
                    found.push(Contradiction { at: sound.at, parts: vec![span.part], what });
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

    /// The bars in which at least so many brass parts play f or louder.
    fn loud_brass(&self) -> Vec<bool> {
        let mut counts = vec![0_u32; self.movement.bars.len()];
        let brass = self.heard.parts().filter(|part| self.family(*part) == Some(Family::Brass));
        for part in brass {
            let mut last: Option<BarIndex> = None;
            for sound in self.heard.of_part(part) {
                let Some(bar) = self.movement.bars.bar_at(sound.at) else { continue };
                if last == Some(bar) {
                    continue;
                }
                if self.dynamics.level_at(part, sound.at) >= Some(Level::F) {
                    last = Some(bar);
                    if let Some(count) = counts.get_mut(bar.idx()) {
                        *count += 1;
                    }
                }
            }
        }
        counts.into_iter().map(|count| count >= self.settings.loud_brass_parts).collect()
    }

    /// Parts on one line in unison whose levels are far apart from the first note on.
    fn lines(&self, doublings: &[Doubling], found: &mut Vec<Contradiction>) {
        let unison = |doubling: &&Doubling| {
            !doubling.parallel && doubling.extent == Extent::Whole && doubling.interval == 0
        };
        for doubling in doublings.iter().filter(unison) {
            let level = |part| self.dynamics.level_at(part, doubling.from);
            let (Some(one), Some(other)) = (level(doubling.part), level(doubling.by)) else {
                continue;
            };
            if apart(one, other) < self.settings.line_degrees {
                continue;
            }
            let parts = vec![doubling.part.min(doubling.by), doubling.part.max(doubling.by)];
            let (first, second) =
                if doubling.part < doubling.by { (one, other) } else { (other, one) };
            let what = format!("one line in unison, {first} and {second}");
            found.push(Contradiction { at: doubling.from, parts, what });
        }
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
            if parts.len() < 2 {
                continue;
            }
            let what = format!("one attack, from {} to {}", low.3, high.3);
            found.push(Contradiction { at: low.0, parts, what });
        }
    }
}

fn apart(one: Level, other: Level) -> u8 {
    (one as u8).abs_diff(other as u8)
}

fn words(level: Option<Level>) -> String {
    level.map_or_else(|| String::from("no level"), |level| level.to_string())
}
