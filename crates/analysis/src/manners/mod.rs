//! The colors of the string section bar by bar: plucked, muted, at the bridge, over the fingerboard,
//! with the wood, harmonics, tremolo, trills, glissandi; and what is written and does not fit together.

mod contradictions;

pub use contradictions::{Contradiction, contradictions};

use crate::devices::DevicesTrack;
use crate::heard::{Heard, HeardNotes};
use barloom_core::bar::BarIndex;
use barloom_core::event::{Device, Manner};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, Score};

/// A way in which strings sound other than bowed and open.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum StringManner {
    /// Plucked.
    Plucked,
    /// Muted.
    Muted,
    /// At the bridge.
    Bridge,
    /// Over the fingerboard.
    Fingerboard,
    /// With the wood.
    Wood,
    /// Harmonics.
    Harmonics,
    /// Tremolo.
    Tremolo,
    /// Trills.
    Trills,
    /// Glissandi.
    Glissandi,
}

impl StringManner {
    /// All manners.
    pub const ALL: [Self; 9] = [
        Self::Plucked,
        Self::Muted,
        Self::Bridge,
        Self::Fingerboard,
        Self::Wood,
        Self::Harmonics,
        Self::Tremolo,
        Self::Trills,
        Self::Glissandi,
    ];

    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plucked => "plucked",
            Self::Muted => "muted",
            Self::Bridge => "at the bridge",
            Self::Fingerboard => "over the fingerboard",
            Self::Wood => "with the wood",
            Self::Harmonics => "harmonics",
            Self::Tremolo => "tremolo",
            Self::Trills => "trills",
            Self::Glissandi => "glissandi",
        }
    }

    const fn of_device(device: Device) -> Option<Self> {
        Some(match device {
            Device::Plucked => Self::Plucked,
            Device::Mute => Self::Muted,
            Device::Bridge => Self::Bridge,
            Device::Fingerboard => Self::Fingerboard,
            Device::Wood => Self::Wood,
            Device::Harmonics => Self::Harmonics,
            Device::Tremolo => Self::Tremolo,
            _ => return None,
        })
    }

    const fn bit(self) -> u16 {
        1 << self as u8
    }
}

/// Bars in which string parts sound in one manner.
#[derive(Clone, PartialEq, Debug)]
pub struct MannerSpan {
    /// The manner.
    pub manner: StringManner,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The string parts, in score order.
    pub parts: Vec<PartIdx>,
    /// Whether all string parts that sound are among them.
    pub all: bool,
}

impl MannerSpan {
    /// The parts: "all that play", or their short names.
    pub fn who(&self, score: &Score) -> String {
        if self.all { String::from("all that play") } else { short_names(score, &self.parts) }
    }
}

/// The short names of parts, for rows and lists.
pub(crate) fn short_names(score: &Score, parts: &[PartIdx]) -> String {
    let name = |part: &PartIdx| {
        score.parts.get(part.idx()).map_or("?", |part| {
            if part.short.trim().is_empty() { part.name.as_str() } else { part.short.as_str() }
        })
    };
    parts.iter().map(name).collect::<Vec<_>>().join(", ")
}

/// So many bars of rest in between do not end a manner that goes on behind them.
const BRIDGED_BARS: usize = 2;

/// The manners of the strings by first bar, then in the order of [`StringManner::ALL`].
pub fn of(movement: &Movement, heard: &HeardNotes, devices: &DevicesTrack) -> Vec<MannerSpan> {
    let strings: Vec<PartIdx> = heard.parts().filter(|part| is_strings(movement, *part)).collect();
    let bars: Vec<(PartIdx, Vec<u16>)> =
        strings.iter().map(|part| (*part, manners(movement, heard, devices, *part))).collect();
    let bridged: Vec<(PartIdx, Vec<u16>)> =
        bars.iter().map(|(part, sets)| (*part, bridged(sets))).collect();
    let mut spans: Vec<MannerSpan> = Vec::new();
    for manner in StringManner::ALL {
        let mut open: Option<MannerSpan> = None;
        for bar in 0..movement.bars.len() {
            let has = |sets: &[u16]| sets.get(bar).is_some_and(|set| set & manner.bit() != 0);
            let parts: Vec<PartIdx> =
                bridged.iter().filter(|(_, sets)| has(sets)).map(|(part, _)| *part).collect();
            let others = bars
                .iter()
                .any(|(_, sets)| sets.get(bar).is_some_and(|set| *set != 0) && !has(sets));
            let all = !others && parts.len() > 1;
            let here = BarIndex::from(bar);
            match &mut open {
                Some(span) if span.parts == parts => {
                    span.to = here;
                    span.all &= all;
                }
                _ => {
                    spans.extend(open.take());
                    open = (!parts.is_empty()).then_some(MannerSpan {
                        manner,
                        from: here,
                        to: here,
                        parts,
                        all,
                    });
                }
            }
        }
        spans.extend(open);
    }
    spans.sort_by_key(|span| (span.from, span.manner));
    spans
}

/// The sets of manners with short rests filled by what goes on behind them.
fn bridged(sets: &[u16]) -> Vec<u16> {
    let mut bridged = sets.to_vec();
    let mut last: Option<usize> = None;
    for (bar, set) in sets.iter().enumerate().filter(|(_, set)| **set != 0) {
        if let Some(before) = last.filter(|before| bar - before - 1 <= BRIDGED_BARS) {
            let goes_on = sets.get(before).copied().unwrap_or(0) & set;
            for slot in bridged.get_mut(before + 1..bar).unwrap_or_default() {
                *slot = goes_on;
            }
        }
        last = Some(bar);
    }
    bridged
}

fn is_strings(movement: &Movement, part: PartIdx) -> bool {
    let music = movement.part(part);
    let taken = music.and_then(|music| music.instruments.first());
    taken.is_some_and(|taken| taken.instrument.get().family == Family::Strings)
}

/// Stands for ordinary playing.
const ORDINARY: u16 = 1 << 15;

/// For each bar the manners in which a part sounds; 0 where it rests.
fn manners(
    movement: &Movement,
    heard: &HeardNotes,
    devices: &DevicesTrack,
    part: PartIdx,
) -> Vec<u16> {
    let mut bars = vec![0_u16; movement.bars.len()];
    let spans = devices.of_part(part);
    let mut next = 0;
    let mut open: Vec<usize> = Vec::new();
    for sound in heard.of_part(part) {
        while spans.get(next).is_some_and(|span| span.from <= sound.at) {
            open.push(next);
            next += 1;
        }
        open.retain(|idx| spans.get(*idx).is_some_and(|span| span.to > sound.at));
        let in_force = open.iter().filter_map(|idx| spans.get(*idx));
        let of_players = in_force.filter(|span| span.players.overlaps(sound.players));
        let mut set = of_players
            .filter_map(|span| StringManner::of_device(span.device))
            .fold(written(sound), |set, manner| set | manner.bit());
        if set == 0 {
            set = ORDINARY;
        }
        let Some(first) = movement.bars.bar_at(sound.at) else { continue };
        for bar in first.idx()..movement.bars.len() {
            let start = movement.bars.get(BarIndex::from(bar)).map(|bar| bar.start);
            if bar > first.idx() && start.is_none_or(|start| start >= sound.end) {
                break;
            }
            if let Some(slot) = bars.get_mut(bar) {
                *slot |= set;
            }
        }
    }
    bars
}

/// What stands on the note itself.
fn written(sound: &Heard) -> u16 {
    let signs = [
        (Manner::SNAP, StringManner::Plucked),
        (Manner::HARMONIC, StringManner::Harmonics),
        (Manner::TRILL, StringManner::Trills),
        (Manner::TREMOLO_PAIR, StringManner::Tremolo),
        (Manner::GLISSANDO | Manner::SLIDE, StringManner::Glissandi),
    ];
    let of_signs = signs.iter().filter(|(sign, _)| sound.manner.any(*sign));
    let set = of_signs.fold(0, |set, (_, manner)| set | manner.bit());
    // One or two strokes are measured repetition, three and more are heard as tremolo (common practice).
    if sound.tremolo >= 3 { set | StringManner::Tremolo.bit() } else { set }
}

#[cfg(test)]
mod tests;
