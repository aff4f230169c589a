//! What speaks for each part as the leader of a bar.

use super::Together;
use crate::dynamics::DynamicsTrack;
use crate::melody::{BarLine, BarLines};
use crate::settings::LeadingSettings;
use barloom_core::bar::Bar;
use barloom_core::event::{MarkingKind, PlayersMark};
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::score::{Movement, PartMusic};

/// One part in one bar, each kind of evidence in points.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(super) struct Weight {
    pub(super) sum: f32,
    register: f32,
    melodic: f32,
    solo: f32,
    novelty: f32,
    level: f32,
    doubling: f32,
}

impl Weight {
    /// What speaks for it, strongest first.
    pub(super) fn reasons(&self) -> Vec<String> {
        let mut reasons = [
            (self.solo, "marked as solo or principal voice"),
            (self.melodic - 0.35, "has the most of a line"),
            (if self.register >= 0.99 { 0.4 } else { 0.0 }, "highest"),
            (self.novelty, "newly entered"),
            (self.level, "louder than the rest"),
            (self.doubling, "doubled"),
        ];
        reasons.sort_by(|a, b| b.0.total_cmp(&a.0));
        let strong = reasons.into_iter().filter(|(points, _)| *points > 0.05);
        strong.map(|(_, words)| words.to_owned()).collect()
    }
}

/// The weights of all parts in all bars.
#[derive(Debug, Default)]
pub(super) struct Weighed {
    /// By bar: the parts that sound with pitch, in score order.
    bars: Vec<Vec<(usize, Weight)>>,
}

impl Weighed {
    /// One part in one bar; `None` if it does not sound.
    pub(super) fn at(&self, bar: usize, part: usize) -> Option<&Weight> {
        self.in_bar(bar).find(|(of, _)| *of == part).map(|(_, weight)| weight)
    }

    /// The parts of a bar.
    pub(super) fn in_bar(&self, bar: usize) -> impl Iterator<Item = (usize, &Weight)> {
        let bar = self.bars.get(bar).map(Vec::as_slice).unwrap_or_default();
        bar.iter().map(|(part, weight)| (*part, weight))
    }

    /// How many bars there are.
    pub(super) fn n_bars(&self) -> usize {
        self.bars.len()
    }
}

pub(super) fn all(
    movement: &Movement,
    lines: &BarLines,
    dynamics: &DynamicsTrack,
    together: &Together,
    settings: &LeadingSettings,
) -> Weighed {
    let solos: Vec<Vec<bool>> =
        movement.music.iter().map(|music| solo_bars(movement, music)).collect();
    let leaders = first_violins(movement);
    let mut silent = vec![u32::MAX; lines.n_parts()];
    let mut entered = vec![u32::MAX; lines.n_parts()];
    let mut bars = Vec::with_capacity(movement.bars.len());
    for (idx, bar) in movement.bars.iter() {
        let bar_idx = idx.idx();
        let sounding: Vec<(usize, BarLine)> = lines
            .pitched_in(bar_idx)
            .map(|part| (part, lines.at(part, bar_idx)))
            .filter(|(_, line)| line.sounding > 0.1)
            .collect();
        let mut heights: Vec<f32> = sounding.iter().map(|(_, line)| line.height).collect();
        heights.sort_by(f32::total_cmp);
        let mean = mean_level(movement, dynamics, bar, &sounding);
        let mut weights = Vec::with_capacity(sounding.len());
        for part in lines.playing() {
            let (Some(silent), Some(entered)) = (silent.get_mut(part), entered.get_mut(part))
            else {
                continue;
            };
            if lines.at(part, bar_idx).is_pitched() {
                // The first bars of the movement are nobody's entrance in particular.
                *entered = match *silent {
                    u32::MAX => u32::MAX,
                    0 => entered.saturating_add(1),
                    bars if bars >= 2 => 0,
                    _ => u32::MAX,
                };
                *silent = 0;
            } else {
                *silent = silent.saturating_add(1);
            }
        }
        for (part, line) in &sounding {
            let solo = solos.get(*part).and_then(|bars| bars.get(bar_idx)).copied();
            let n_with = together.with(bar_idx, *part).count();
            let level = level(dynamics, *part, bar).zip(mean).map_or(0.0, |(own, mean)| own - mean);
            let new = entered.get(*part).is_some_and(|bars| *bars < 2);
            let mut weight = Weight {
                sum: 0.0,
                register: rank(&heights, line.height) * settings.register,
                melodic: around(lines, *part, bar_idx) * settings.melodic,
                solo: if solo == Some(true) { settings.solo } else { 0.0 },
                novelty: if new { settings.novelty * line.melodic() } else { 0.0 },
                level: level.clamp(-3.0, 3.0) * settings.level,
                doubling: n_with.min(4) as f32 * settings.doubling,
            };
            let usual = usual(movement, *part, &leaders) * settings.instrument;
            weight.sum = weight.register
                + weight.melodic
                + weight.solo
                + weight.novelty
                + weight.level
                + weight.doubling
                + usual
                - (1.0 - line.sounding.min(1.0)) * settings.silence;
            weight.register /= settings.register.max(f32::MIN_POSITIVE);
            weights.push((*part, weight));
        }
        bars.push(weights);
    }
    Weighed { bars }
}

/// How much of a line a part has in a bar, in view of the bars beside it: a tune has bars that are no
/// more than a figure or a held note when they are looked at alone.
fn around(lines: &BarLines, part: usize, bar: usize) -> f32 {
    let own = lines.at(part, bar).melodic();
    let beside = |bar: Option<usize>| {
        let line = bar.map(|bar| lines.at(part, bar)).filter(BarLine::is_pitched);
        line.map_or(own, |line| line.melodic())
    };
    0.5 * own + 0.25 * beside(bar.checked_sub(1)) + 0.25 * beside(bar.checked_add(1))
}

/// Place of a height among all, 0 (lowest) to 1 (highest); equal heights are equally high.
fn rank(heights: &[f32], height: f32) -> f32 {
    let below = heights.partition_point(|other| *other < height - 0.01);
    let ties = heights.partition_point(|other| *other <= height + 0.01) - below;
    let highest = heights.len() - ties;
    if highest == 0 { 1.0 } else { below as f32 / highest as f32 }
}

/// The level in force at the start of the bar, or the first one in it, in steps from niente.
fn level(dynamics: &DynamicsTrack, part: usize, bar: &Bar) -> Option<f32> {
    let part = BarLines::part(part)?;
    let level = dynamics.level_at(part, bar.start)?;
    Some(f32::from(level as u8))
}

fn mean_level(
    _movement: &Movement,
    dynamics: &DynamicsTrack,
    bar: &Bar,
    sounding: &[(usize, BarLine)],
) -> Option<f32> {
    let levels: Vec<f32> =
        sounding.iter().filter_map(|(part, _)| level(dynamics, *part, bar)).collect();
    let n = levels.len() as f32;
    (n > 0.0).then(|| levels.iter().sum::<f32>() / n)
}

/// The bars over which a part stands out by its mark: from "solo" to "tutti" or a rest of a bar.
fn solo_bars(movement: &Movement, music: &PartMusic) -> Vec<bool> {
    if music.notes.is_empty() {
        return Vec::new();
    }
    let mut solos = vec![false; movement.bars.len()];
    let marks = music.markings.iter().filter_map(|marking| match &marking.kind {
        MarkingKind::Players(mark) => Some((marking.bar, *mark == PlayersMark::Solo)),
        // The sign of the principal voice says the same.
        MarkingKind::Leading { principal: true, on } => Some((marking.bar, *on)),
        _ => None,
    });
    let mut open: Option<usize> = None;
    let mut close = |open: &mut Option<usize>, end: usize| {
        if let Some(from) = open.take() {
            for bar in solos.get_mut(from..end).unwrap_or_default() {
                *bar = true;
            }
        }
    };
    for (bar, solo) in marks {
        close(&mut open, bar.idx());
        open = solo.then(|| bar.idx());
    }
    close(&mut open, movement.bars.len());
    solos
}

/// The part of first violins: the first of the violins in score order.
fn first_violins(movement: &Movement) -> Option<usize> {
    let violin = InstrumentId::by_name("violin")?;
    movement
        .music
        .iter()
        .position(|music| music.instruments.first().is_some_and(|taken| taken.instrument == violin))
}

/// How often an instrument has the line in orchestral music, -1 to 1 (common practice; first violins
/// most, low and harmonic instruments least).
fn usual(movement: &Movement, part: usize, first_violins: &Option<usize>) -> f32 {
    if *first_violins == Some(part) {
        return 1.0;
    }
    let music = movement.music.get(part);
    let taken = music.and_then(|music| music.instruments.first());
    let Some(row) = taken.map(|taken| taken.instrument.get()) else { return 0.0 };
    match (row.family, row.name) {
        (Family::Strings, "violin") => 0.0,
        (Family::Strings, "viola") => -0.4,
        (Family::Strings, "double bass") => -1.0,
        (Family::Strings, _) => -0.2,
        (Family::Woodwinds, "flute" | "oboe" | "clarinet" | "cor anglais") => 0.4,
        (Family::Woodwinds, "contrabassoon" | "bass clarinet") => -0.6,
        (Family::Woodwinds, _) => 0.1,
        (Family::Brass, "horn") => -0.2,
        (Family::Brass, "tuba" | "contrabass trombone" | "bass trombone") => -0.8,
        (Family::Brass, _) => -0.4,
        (Family::Percussion, "timpani") => -2.5,
        (Family::Percussion, _) => -0.8,
        (Family::HarpAndKeyboards, _) => -0.4,
        (Family::Voices, _) => 1.5,
        (Family::Other, _) => 0.0,
    }
}
