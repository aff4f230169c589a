//! The class of the texture of every bar, from how the attacks of the lines fall together and how
//! their pitches move.
//!
//! The two measures are those of Huron, "Characterizing musical textures" (ICMC 1989): onset
//! synchronization and semblant pitch motion. High in both is homophony, low in both polyphony; where
//! one line moves and the others hold or repeat, it is a melody with its accompaniment. Parts that
//! double each other are one line first. The limits between the classes are settings.

use super::BarTexture;
use super::smooth::smooth;
use crate::balance::strength;
use crate::doublings::{Doubling, Extent};
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::melody::{BarLine, BarLines};
use crate::playing::PlayingTrack;
use crate::settings::TextureSettings;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::event::Level;
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// How the parts that sound relate to each other.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub enum TextureClass {
    /// Nobody sounds.
    #[default]
    Silence,
    /// One part alone.
    Solo,
    /// All in unison or octaves.
    Octaves,
    /// A line and what accompanies it.
    Melody,
    /// All in one rhythm.
    Homophony,
    /// Several lines of their own.
    Polyphony,
    /// Nearly everyone.
    Tutti,
}

impl TextureClass {
    /// All classes.
    pub const ALL: [Self; 7] = [
        Self::Silence,
        Self::Solo,
        Self::Octaves,
        Self::Melody,
        Self::Homophony,
        Self::Polyphony,
        Self::Tutti,
    ];

    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Silence => "silence",
            Self::Solo => "solo",
            Self::Octaves => "octaves",
            Self::Melody => "melody and accompaniment",
            Self::Homophony => "homophony",
            Self::Polyphony => "polyphony",
            Self::Tutti => "tutti",
        }
    }
}

/// Bars of one texture.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct TextureSpan {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The class.
    pub class: TextureClass,
    /// What it would be called if it were not for the number of parts: the class of a tutti.
    pub relation: TextureClass,
    /// The most parts that sound in one of its bars.
    pub n_parts: u32,
    /// The most lines in one of its bars, doublings counted once.
    pub n_lines: u32,
    /// How far attacks of different lines fall together, 0 (never) to 1 (always); mean of the bars.
    pub synchrony: f32,
    /// Share of the moves that lines make together and in one direction, 0 to 1; mean of the bars.
    pub together: f32,
    /// Share of the parts that play in the movement at all, 0 to 1; mean of the bars.
    pub density: f32,
    /// Strength in woodwinds: a loud horn is as strong as two, a loud trumpet as four
    /// (Rimsky-Korsakov, *Principles of Orchestration*, ch. I); each part once; mean of the bars.
    pub weight: f32,
    /// Lowest and highest sounding pitch, if any is pitched.
    pub register: Option<(SoundingPitch, SoundingPitch)>,
}

/// One bar before smoothing.
#[derive(Clone, Copy, Debug, Default)]
struct Measured {
    relation: TextureClass,
    tutti: bool,
    n_parts: u32,
    n_lines: u32,
    synchrony: f32,
    together: f32,
    density: f32,
    weight: f32,
    register: Option<(SoundingPitch, SoundingPitch)>,
}

/// Everything that the classes are measured from.
pub(crate) struct Scene<'a> {
    pub(crate) movement: &'a Movement,
    pub(crate) playing: &'a PlayingTrack,
    pub(crate) dynamics: &'a DynamicsTrack,
    pub(crate) heard: &'a HeardNotes,
    pub(crate) lines: &'a BarLines,
    pub(crate) doublings: &'a [Doubling],
    pub(crate) texture: &'a [BarTexture],
}

/// The texture in spans of bars that cover the movement without gaps.
pub(crate) fn spans(scene: &Scene<'_>, settings: &TextureSettings) -> Vec<TextureSpan> {
    let merged = merged_lines(scene);
    let forces = Forces::of(scene);
    let bars: Vec<Measured> = scene
        .movement
        .bars
        .iter()
        .map(|(idx, bar)| {
            let lines = merged.get(idx.idx()).map(Vec::as_slice).unwrap_or_default();
            measure(scene, &forces, idx, bar, lines, settings)
        })
        .collect();
    let bars = through_tutti(bars, scene, settings);
    let measured: Vec<TextureClass> = bars.iter().map(|bar| bar.relation).collect();
    let relations = smooth(&measured, settings);
    let mut spans: Vec<TextureSpan> = Vec::new();
    for (idx, (bar, relation)) in bars.iter().zip(relations).enumerate() {
        let quiet = matches!(relation, TextureClass::Silence);
        let class = if bar.tutti && !quiet { TextureClass::Tutti } else { relation };
        let here = BarIndex::from(idx);
        match spans.last_mut() {
            Some(span) if span.class == class && span.relation == relation => span.grow(here, bar),
            _ => spans.push(TextureSpan {
                from: here,
                to: here,
                class,
                relation,
                n_parts: bar.n_parts,
                n_lines: bar.n_lines,
                synchrony: bar.synchrony,
                together: bar.together,
                density: bar.density,
                weight: bar.weight,
                register: bar.register,
            }),
        }
    }
    spans
}

impl TextureSpan {
    /// The bar after its last becomes part of it.
    fn grow(&mut self, here: BarIndex, bar: &Measured) {
        self.to = here;
        self.n_parts = self.n_parts.max(bar.n_parts);
        self.n_lines = self.n_lines.max(bar.n_lines);
        let n_bars = (here.0 - self.from.0 + 1) as f32;
        for (mean, value) in [
            (&mut self.synchrony, bar.synchrony),
            (&mut self.together, bar.together),
            (&mut self.density, bar.density),
            (&mut self.weight, bar.weight),
        ] {
            *mean += (value - *mean) / n_bars;
        }
        self.register = match (self.register, bar.register) {
            (Some(own), Some(new)) => Some((own.0.min(new.0), own.1.max(new.1))),
            (own, new) => own.or(new),
        };
    }
}

/// A tutti goes on through a bar or two in which a few players breathe.
fn through_tutti(
    mut bars: Vec<Measured>,
    scene: &Scene<'_>,
    settings: &TextureSettings,
) -> Vec<Measured> {
    let share = |idx: usize| scene.texture.get(idx).map_or(0.0, |texture| texture.share);
    let full: Vec<usize> =
        bars.iter().enumerate().filter(|(_, bar)| bar.tutti).map(|(idx, _)| idx).collect();
    for pair in full.windows(2) {
        let [before, after] = pair else { continue };
        let between = before + 1..*after;
        if between.len() <= 2 && between.clone().all(|idx| share(idx) >= settings.tutti_keeps_share)
        {
            for bar in bars.get_mut(between).unwrap_or_default() {
                bar.tutti = true;
            }
        }
    }
    bars
}

/// For each bar the lines in it: the parts that sound with pitch, those that double each other
/// together. Of each the first part speaks for all.
fn merged_lines(scene: &Scene<'_>) -> Vec<Vec<usize>> {
    let n_bars = scene.movement.bars.len();
    let mut doubled: Vec<Vec<(usize, usize)>> = vec![Vec::new(); n_bars];
    let whole = |doubling: &&Doubling| !doubling.parallel && doubling.extent == Extent::Whole;
    for doubling in scene.doublings.iter().filter(whole) {
        for bar in doubling.first_bar.idx()..=doubling.last_bar.idx() {
            if let Some(pairs) = doubled.get_mut(bar) {
                pairs.push((doubling.part.idx(), doubling.by.idx()));
            }
        }
    }
    let of_bar = |(bar, pairs): (usize, Vec<(usize, usize)>)| {
        if pairs.is_empty() {
            return scene.lines.pitched_in(bar).collect();
        }
        let mut line_of: Vec<usize> = (0..scene.lines.n_parts()).collect();
        for (one, other) in pairs {
            let (a, b) = (line_of.get(one).copied(), line_of.get(other).copied());
            if let (Some(a), Some(b)) = (a, b) {
                let (low, high) = (a.min(b), a.max(b));
                line_of.iter_mut().filter(|line| **line == high).for_each(|line| *line = low);
            }
        }
        let mut seen: Vec<usize> = Vec::new();
        let mut lines = Vec::new();
        for part in scene.lines.pitched_in(bar) {
            let line = line_of.get(part).copied().unwrap_or(part);
            if !seen.contains(&line) {
                seen.push(line);
                lines.push(part);
            }
        }
        lines
    };
    doubled.into_iter().enumerate().map(of_bar).collect()
}

fn measure(
    scene: &Scene<'_>,
    forces: &Forces,
    idx: BarIndex,
    bar: &Bar,
    lines: &[usize],
    settings: &TextureSettings,
) -> Measured {
    let n_parts = scene.playing.n_sounding(idx) as u32;
    let share = scene.texture.get(idx.idx()).map_or(0.0, |texture| texture.share);
    let tutti =
        share >= settings.tutti_share && !forces.small && forces.all_sound(scene.playing, idx);
    let synchrony = synchrony(scene, bar, lines);
    let together = semblant(scene, bar, lines);
    let at = |part: &usize| scene.lines.at(*part, idx.idx());
    let n_lines = lines.len() as u32;
    let chords = |part: &usize| at(part).chord > 1;
    let relation = match (n_parts, lines) {
        (0, _) => TextureClass::Silence,
        (1, [only]) if !chords(only) => TextureClass::Solo,
        (1, []) => TextureClass::Solo,
        (_, [only]) if !chords(only) => TextureClass::Octaves,
        (_, [_] | []) => TextureClass::Homophony,
        _ => related(lines.iter().map(at).collect(), synchrony, together, settings),
    };
    let weight = weight(scene, idx, bar);
    let register = scene.texture.get(idx.idx()).and_then(|texture| texture.span);
    let density = share;
    Measured { relation, tutti, n_parts, n_lines, synchrony, together, density, weight, register }
}

/// Strength of all that sound, in woodwinds. A part without a written level is taken as soft.
fn weight(scene: &Scene<'_>, idx: BarIndex, bar: &Bar) -> f32 {
    let of_part = |part: barloom_core::part::PartIdx| {
        let music = scene.movement.part(part)?;
        let (loud, soft) = strength(music.instruments.first()?.instrument);
        let level = scene.dynamics.level_at(part, bar.start);
        Some(if level.is_some_and(|level| level >= Level::F) { loud } else { soft })
    };
    scene.playing.parts_in(idx).filter_map(of_part).sum()
}

/// How two or more lines relate.
fn related(
    lines: Vec<BarLine>,
    synchrony: f32,
    together: f32,
    settings: &TextureSettings,
) -> TextureClass {
    let moving: Vec<&BarLine> = lines.iter().filter(|line| line.moves > 0).collect();
    if synchrony >= settings.synchrony {
        return TextureClass::Homophony;
    }
    let of_own = |line: &&&BarLine| line.melodic() >= settings.melodic;
    let independent = moving.iter().filter(of_own).count();
    // Lines that move apart from each other; two under one accompaniment are still a melody with
    // its counterpart unless they are most of what there is.
    let most = independent * 2 > lines.len();
    if independent >= 2 && most && together < settings.together {
        TextureClass::Polyphony
    } else if independent >= 1 || !moving.is_empty() {
        TextureClass::Melody
    } else {
        TextureClass::Homophony
    }
}

/// Onset synchronization: how many lines begin at each moment at which any begins, 0 (always one) to
/// 1 (always all that begin anything in the bar).
fn synchrony(scene: &Scene<'_>, bar: &Bar, lines: &[usize]) -> f32 {
    let mut onsets: Vec<Ticks> = Vec::new();
    let mut n_lines = 0;
    for part in lines.iter().filter_map(|part| BarLines::part(*part)) {
        let before = onsets.len();
        let begun = scene.heard.begun_in(part, bar.start, bar.end());
        for sound in begun.iter().filter(|sound| sound.pitch.is_some()) {
            if onsets.get(before..).and_then(<[Ticks]>::last) != Some(&sound.at) {
                onsets.push(sound.at);
            }
        }
        n_lines += u32::from(onsets.len() > before);
    }
    if n_lines < 2 {
        return 0.0;
    }
    let all = onsets.len() as f32;
    onsets.sort_unstable();
    onsets.dedup();
    let mean = all / onsets.len().max(1) as f32;
    ((mean - 1.0) / (n_lines - 1) as f32).clamp(0.0, 1.0)
}

/// Semblant motion: of the moves of neighboring lines that fall together, the share in one direction.
fn semblant(scene: &Scene<'_>, bar: &Bar, lines: &[usize]) -> f32 {
    let moves = |part: &usize| -> Vec<(Ticks, bool)> {
        let Some(part) = BarLines::part(*part) else { return Vec::new() };
        let begun = scene.heard.begun_in(part, bar.start, bar.end());
        let mut tops: Vec<(Ticks, i32)> = Vec::new();
        for sound in begun {
            let Some(pitch) = sound.pitch else { continue };
            match tops.last_mut() {
                Some(top) if top.0 == sound.at => top.1 = top.1.max(pitch.quarter_tones()),
                _ => tops.push((sound.at, pitch.quarter_tones())),
            }
        }
        let moved = tops.windows(2).filter_map(|pair| match pair {
            [before, now] if before.1 != now.1 => Some((now.0, now.1 > before.1)),
            _ => None,
        });
        moved.collect()
    };
    let all: Vec<Vec<(Ticks, bool)>> = lines.iter().map(moves).collect();
    let (mut common, mut alike) = (0_u32, 0_u32);
    for pair in all.windows(2) {
        let [one, other] = pair else { continue };
        for (at, up) in one {
            if let Ok(nth) = other.binary_search_by_key(at, |(at, _)| *at) {
                common += 1;
                alike += u32::from(other.get(nth).is_some_and(|(_, other)| other == up));
            }
        }
    }
    if common == 0 { 0.0 } else { alike as f32 / common as f32 }
}

/// The parts of the woodwinds, the brass and the strings that play in the movement; looked up once, since
/// every bar asks.
struct Forces {
    /// Too few parts to speak of a tutti.
    small: bool,
    /// The families that play at all, each with its parts that do.
    families: Vec<Vec<PartIdx>>,
}

impl Forces {
    fn of(scene: &Scene<'_>) -> Self {
        let family = |part: PartIdx| {
            let music = scene.movement.part(part)?;
            music.instruments.first().map(|taken| taken.instrument.get().family)
        };
        let playing: Vec<PartIdx> =
            scene.heard.parts().filter(|part| scene.playing.plays(*part)).collect();
        let of =
            |wanted| playing.iter().copied().filter(|part| family(*part) == Some(wanted)).collect();
        let families = [Family::Woodwinds, Family::Brass, Family::Strings].map(of);
        let families = families.into_iter().filter(|parts: &Vec<PartIdx>| !parts.is_empty());
        Self { small: playing.len() < 5, families: families.collect() }
    }

    /// Whether every family that plays in the movement sounds in a bar.
    fn all_sound(&self, playing: &PlayingTrack, bar: BarIndex) -> bool {
        let sounds = |parts: &Vec<PartIdx>| parts.iter().any(|part| playing.sounds(*part, bar));
        self.families.iter().all(sounds)
    }
}
