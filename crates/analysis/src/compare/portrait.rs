//! One bar as far as it is compared: what sounds in it, who, how loud and in what manner.

use super::Passage;
use super::figures::{self, Figure};
use crate::MovementTracks;
use crate::heard::Heard;
use crate::texture::TextureClass;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::event::{Device, Level};
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::{Quarters, Ticks};

/// Sounding pitch classes of a stretch: how long each sounds, in parts times quarters.
pub(super) type Classes = [f32; 12];

/// More beats than this in a bar are not told apart.
const MOST_BEATS: i64 = 32;

/// The attacks of a part: place in the full bar, highest pitch in quarter tones.
pub(super) type Line = Vec<(Quarters, i32)>;

/// One bar.
#[derive(Clone, Debug, Default)]
pub(super) struct Portrait {
    pub(super) bar: BarIndex,
    pub(super) meter: String,
    /// Quarters a minute at its start.
    pub(super) tempo: f64,
    pub(super) class: TextureClass,
    /// The parts that sound, in score order.
    pub(super) sounding: Vec<PartIdx>,
    /// The pitched attacks of the parts that begin any, in score order.
    pub(super) lines: Vec<(PartIdx, Line)>,
    /// The leading part, then those that double it.
    pub(super) lead: Vec<PartIdx>,
    /// By beat.
    pub(super) beats: Vec<Classes>,
    /// Of the whole bar, as shares that add up to 1; all 0 if nothing is pitched.
    pub(super) classes: Classes,
    /// The lowest and the highest pitch, in quarter tones.
    pub(super) span: Option<(i32, i32)>,
    pub(super) band: Option<(Level, Level)>,
    /// What the parts play, in score order.
    pub(super) figures: Vec<(PartIdx, Figure)>,
    /// Techniques in force for parts that sound, in score order.
    pub(super) devices: Vec<(PartIdx, Device)>,
}

impl Portrait {
    /// The attacks of a part; none if it has none.
    pub(super) fn line(&self, part: PartIdx) -> &[(Quarters, i32)] {
        let found = self.lines.iter().find(|(of, _)| *of == part);
        found.map(|(_, line)| line.as_slice()).unwrap_or_default()
    }

    /// The mean pitch of a part's attacks in quarter tones.
    pub(super) fn height(&self, part: PartIdx) -> Option<i32> {
        let line = self.line(part);
        let sum: i32 = line.iter().map(|(_, pitch)| *pitch).sum();
        i32::try_from(line.len()).ok().and_then(|n| sum.checked_div(n))
    }
}

/// The bars of a passage.
pub(super) fn of(movement: &Movement, tracks: &MovementTracks, passage: Passage) -> Vec<Portrait> {
    let bars = movement.bars.as_slice().get(passage.from.idx()..=passage.to.idx());
    let bars = bars.unwrap_or_default();
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return Vec::new() };
    let mut portraits: Vec<Portrait> = bars
        .iter()
        .enumerate()
        .map(|(nth, bar)| blank(movement, tracks, BarIndex::from(passage.from.idx() + nth), bar))
        .collect();
    for part in tracks.heard.parts() {
        let sounds = tracks.heard.of_part(part);
        let reaches = |sound: &&Heard| sound.end > first.start && sound.at < last.end();
        let mut in_bars: Vec<Vec<&Heard>> = vec![Vec::new(); bars.len()];
        for sound in sounds.iter().filter(reaches) {
            let begins = bars.partition_point(|bar| bar.end() <= sound.at);
            let in_reach = in_bars.iter_mut().zip(bars).skip(begins);
            for (here, _) in in_reach.take_while(|(_, bar)| bar.start < sound.end) {
                here.push(sound);
            }
        }
        for ((here, bar), portrait) in in_bars.iter().zip(bars).zip(&mut portraits) {
            if !here.is_empty() {
                portrait.add(movement, part, bar, here);
            }
        }
    }
    for portrait in &mut portraits {
        portrait.classes = shares(&portrait.beats);
    }
    portraits
}

/// All but what comes from the notes.
fn blank(movement: &Movement, tracks: &MovementTracks, idx: BarIndex, bar: &Bar) -> Portrait {
    let nth = tracks.leading.partition_point(|lead| lead.to < idx);
    let lead = tracks.leading.get(nth).filter(|lead| lead.from <= idx);
    let nth = tracks.textures.partition_point(|span| span.to < idx);
    let class = tracks.textures.get(nth).filter(|span| span.from <= idx);
    let sounding: Vec<PartIdx> = tracks.playing.parts_in(idx).collect();
    let in_force = |part: &PartIdx| {
        let part = *part;
        let spans = tracks.devices.of_part(part).iter();
        let here = spans.filter(|span| span.from < bar.end() && span.to > bar.start);
        here.map(move |span| (part, span.device)).collect::<Vec<_>>()
    };
    let mut devices: Vec<(PartIdx, Device)> = sounding.iter().flat_map(in_force).collect();
    devices.sort_unstable();
    devices.dedup();
    let (_, n_beats) = beats(movement, bar);
    Portrait {
        bar: idx,
        meter: bar.meter_text(),
        tempo: tracks.tempo.quarters_per_minute(bar.start),
        class: class.map(|span| span.class).unwrap_or_default(),
        lead: lead.map(|lead| lead.parts.clone()).unwrap_or_default(),
        band: tracks.dynamics.band(idx),
        beats: vec![Classes::default(); n_beats],
        sounding,
        devices,
        ..Portrait::default()
    }
}

impl Portrait {
    /// What one part sounds in the bar.
    fn add(&mut self, movement: &Movement, part: PartIdx, bar: &Bar, sounds: &[&Heard]) {
        let (beat, _) = beats(movement, bar);
        let mut line = Line::new();
        // An upbeat counts from the beginning of the full bar, so that it meets a full one.
        let missing = if bar.pickup { bar.nominal.since(bar.length).0.max(0) } else { 0 };
        for sound in sounds {
            let Some(pitch) = sound.pitch else { continue };
            let height = pitch.quarter_tones();
            let (low, high) = self.span.unwrap_or((height, height));
            self.span = Some((low.min(height), high.max(height)));
            let (from, to) = (sound.at.max(bar.start), sound.end.min(bar.end()));
            self.add_classes(movement, pitch.key(), (from - bar.start, to - bar.start), beat);
            if sound.at < bar.start {
                continue;
            }
            let at = movement.resolution.quarters(sound.at - bar.start + Ticks(missing));
            match line.last_mut() {
                Some((before, top)) if *before == at => *top = (*top).max(height),
                _ => line.push((at, height)),
            }
        }
        self.figures.push((part, figures::of(movement, bar, sounds)));
        if !line.is_empty() {
            self.lines.push((part, line));
        }
    }

    fn add_classes(&mut self, movement: &Movement, key: i32, span: (Ticks, Ticks), beat: Ticks) {
        let class = usize::try_from(key.rem_euclid(12)).unwrap_or_default();
        let n_beats = self.beats.len();
        for (nth, classes) in self.beats.iter_mut().enumerate() {
            let start = Ticks(beat.0 * nth as i64);
            let end = if nth + 1 == n_beats { span.1.max(start) } else { start + beat };
            let common = span.1.min(end).since(span.0.max(start));
            if let Some(slot) = classes.get_mut(class).filter(|_| common.0 > 0) {
                *slot += movement.resolution.as_f64(common) as f32;
            }
        }
    }
}

/// The length of a beat and how many the bar has, at least one.
fn beats(movement: &Movement, bar: &Bar) -> (Ticks, usize) {
    let unit = i64::from(bar.meter.unit());
    let of_beat = if bar.meter.is_compound() { 12 } else { 4 };
    let beat = Quarters::new(of_beat, unit).and_then(|beat| movement.resolution.ticks_floor(beat));
    let beat = beat.filter(|beat| beat.0 > 0 && !bar.meter.is_unmeasured());
    let beat = beat.unwrap_or(Ticks(bar.length.0.max(1)));
    let n_beats = (bar.length.0 + beat.0 - 1) / beat.0;
    (beat, usize::try_from(n_beats.clamp(1, MOST_BEATS)).unwrap_or(1))
}

/// The sum of beats as shares.
fn shares(beats: &[Classes]) -> Classes {
    let mut sum = Classes::default();
    for (slot, amount) in beats.iter().flat_map(|beat| beat.iter().enumerate()) {
        if let Some(slot) = sum.get_mut(slot) {
            *slot += amount;
        }
    }
    as_shares(sum)
}

/// Amounts as shares that add up to 1; all 0 where there is nothing.
pub(super) fn as_shares(mut classes: Classes) -> Classes {
    let total: f32 = classes.iter().sum();
    if total > 0.0 {
        classes.iter_mut().for_each(|slot| *slot /= total);
    }
    classes
}

/// What two shares of pitch classes have in common, 0 to 1; `shift` is the interval from the first up
/// to the second, 0 to 11.
pub(super) fn common(one: &Classes, other: &Classes, shift: usize) -> f32 {
    let moved = |nth: usize| other.get((nth + shift) % 12).copied().unwrap_or_default();
    one.iter().enumerate().map(|(nth, amount)| amount.min(moved(nth))).sum()
}
