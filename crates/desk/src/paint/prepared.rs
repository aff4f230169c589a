//! What is worked out once for a revision of basis and tracks, and what is picked from the study for
//! one movement. Painting only looks things up here.

use super::part_bars::{self, PartBars};
use crate::ctx::Ctx;
use crate::model::axis::Axis;
use crate::model::view_state::Columns;
use barloom_analysis::MovementTracks;
pub(super) use barloom_analysis::plan::words::roman;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Device, FermataShape, MarkingKind, NoteTraits};
use barloom_core::instrument::Family;
use barloom_core::part::{PartIdx, PartKey};
use barloom_core::score::{Movement, Score};
use barloom_core::study::{Entry, Group, Item, Mark};
use barloom_core::time::Ticks;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Everything worked out for the movement shown, and the axis of every movement.
#[derive(Default)]
pub(super) struct Prepared {
    key: Option<Key>,
    /// Kept so that an address in memory cannot come to mean another movement.
    score: Vec<Arc<Movement>>,
    /// The axis of the movement shown, as written.
    pub(super) written: Axis,
    /// The axis of the movement shown, in the order that is asked for.
    pub(super) axis: Axis,
    /// The families with their parts, in score order: those of the movement shown, or all parts of
    /// the work when the whole is shown.
    pub(super) families: Vec<(Family, Vec<PartIdx>)>,
    /// The bars of each part of the work in the movement shown.
    pub(super) parts: Vec<PartBars>,
    /// Fermatas by place, each place once.
    pub(super) fermatas: Vec<(Ticks, FermataShape)>,
    /// Breath marks and caesuras by place.
    pub(super) breaks: Vec<(Ticks, char)>,
    /// Techniques, those that begin together with the same words as one, by place.
    pub(super) devices: Vec<DeviceRun>,
    /// Lanes that the techniques need.
    pub(super) n_device_lanes: usize,
    /// For each bar whether a part grows or fades in it.
    pub(super) growing: Vec<bool>,
    /// Names of parts in studies.
    pub(super) part_keys: BTreeMap<PartKey, PartIdx>,
    /// Every movement's axis, and its part bars once the whole has been shown.
    pub(super) suite: Vec<SuiteMovement>,
}

/// A movement inside the whole work.
#[derive(Default)]
pub(super) struct SuiteMovement {
    /// Its axis.
    pub(super) columns: Columns,
    /// How much room it deserves: its seconds, or its quarters while no tempo is known.
    pub(super) weight: f32,
    /// The bars of its parts; `None` until needed.
    pub(super) parts: Option<Vec<PartBars>>,
}

/// Parts that do the same from the same place on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DeviceRun {
    pub(super) device: Device,
    pub(super) from: Ticks,
    pub(super) to: Ticks,
    pub(super) ended: bool,
    pub(super) words: String,
    pub(super) end_words: String,
    pub(super) parts: Vec<PartIdx>,
    pub(super) lane: usize,
    /// Left and right edge on the axis.
    pub(super) axis: (f32, f32),
}

#[derive(Clone, PartialEq)]
struct Key {
    basis: u64,
    tracks: (u64, usize, usize),
    movement: usize,
    equal: bool,
    played: bool,
    whole: bool,
}

/// Most lanes of techniques.
const MAX_DEVICE_LANES: usize = 3;
/// Most lanes of marks.
const MAX_MARK_LANES: usize = 4;

impl Prepared {
    /// Brings everything up to the basis, tracks and movement in force; free when nothing changed.
    pub(super) fn refresh(&mut self, ctx: &Ctx<'_>) {
        let tracks = &ctx.tracks.movements;
        let key = Key {
            basis: ctx.basis.revision,
            tracks: (ctx.tracks.revision, tracks.len(), tracks.as_ptr() as usize),
            movement: ctx.view.movement,
            equal: ctx.view.equal_bars,
            played: ctx.view.played_order,
            whole: ctx.view.camera.whole,
        };
        let movements = &ctx.basis.score.movements;
        let same_score = self.score.len() == movements.len()
            && self.score.iter().zip(movements).all(|(a, b)| Arc::ptr_eq(a, b));
        if same_score && self.key.as_ref() == Some(&key) {
            return;
        }
        let keep_suite = same_score
            && self.key.as_ref().is_some_and(|old| {
                (old.basis, &old.tracks, old.equal) == (key.basis, &key.tracks, key.equal)
            });
        let suite = std::mem::take(&mut self.suite);
        *self = Self { key: Some(key), score: movements.clone(), ..Self::default() };
        self.suite = if keep_suite { suite } else { suite_of(ctx) };
        self.part_keys =
            ctx.basis.score.parts().map(|(idx, part)| (part.key.clone(), idx)).collect();
        self.families = families(ctx);
        if let Some(movement) = ctx.movement() {
            self.fill(ctx, movement);
        }
        if ctx.view.camera.whole {
            self.fill_suite(ctx);
        }
    }

    fn fill(&mut self, ctx: &Ctx<'_>, movement: &Movement) {
        let tracks = ctx.movement_tracks();
        let written = Columns::of(&movement.bars, movement.resolution, ctx.view.equal_bars);
        self.axis = match ctx.plan().filter(|_| ctx.view.played_order) {
            Some(plan) => Axis::played(written.clone(), movement, plan),
            None => Axis::written(written.clone()),
        };
        self.parts = part_bars::of(&ctx.basis.score, movement, tracks, &written);
        (self.fermatas, self.breaks) = holds(movement);
        if let Some(tracks) = tracks {
            self.devices = device_runs(tracks);
            for run in &mut self.devices {
                let x = |at| written.x(at, &movement.bars);
                run.axis = (x(run.from), x(run.to));
            }
            self.growing = growing(movement, tracks);
        }
        self.written = Axis::written(written);
        self.n_device_lanes =
            self.devices.iter().map(|run| run.lane + 1).max().unwrap_or(0).min(MAX_DEVICE_LANES);
    }

    fn fill_suite(&mut self, ctx: &Ctx<'_>) {
        let score = &ctx.basis.score;
        for (idx, (shown, movement)) in self.suite.iter_mut().zip(&score.movements).enumerate() {
            if shown.parts.is_none() {
                let tracks = ctx.tracks.movements.get(idx);
                shown.parts = Some(part_bars::of(score, movement, tracks, &shown.columns));
            }
        }
    }
}

fn suite_of(ctx: &Ctx<'_>) -> Vec<SuiteMovement> {
    let movements = ctx.basis.score.movements.iter().enumerate();
    // Seconds only when every movement has them: the two measures do not mix.
    let seconds: Vec<f32> = movements
        .clone()
        .map(|(idx, _)| ctx.tracks.movements.get(idx).map_or(0.0, |t| t.tempo.seconds() as f32))
        .collect();
    let timed = seconds.iter().all(|seconds| *seconds > 0.0);
    movements
        .zip(&seconds)
        .map(|((_, movement), seconds)| {
            let columns = Columns::of(&movement.bars, movement.resolution, ctx.view.equal_bars);
            let weight = if timed { *seconds } else { columns.end() };
            SuiteMovement { columns, weight, parts: None }
        })
        .collect()
}

fn families(ctx: &Ctx<'_>) -> Vec<(Family, Vec<PartIdx>)> {
    let score: &Score = &ctx.basis.score;
    let mut families: Vec<(Family, Vec<PartIdx>)> = Vec::new();
    for (idx, part) in score.parts() {
        let present =
            ctx.movement().is_some_and(|m| m.part(idx).is_some_and(|music| music.present));
        if !present && !ctx.view.camera.whole {
            continue;
        }
        let family = part.instrument.get().family;
        match families.iter_mut().find(|(known, _)| *known == family) {
            Some((_, members)) => members.push(idx),
            None => families.push((family, vec![idx])),
        }
    }
    families
}

/// Signs by place.
type Places<T> = Vec<(Ticks, T)>;

/// Fermatas, breaths and caesuras of all parts; each place once.
fn holds(movement: &Movement) -> (Places<FermataShape>, Places<char>) {
    let mut fermatas: BTreeMap<Ticks, FermataShape> = BTreeMap::new();
    let mut breaks: BTreeMap<Ticks, char> = BTreeMap::new();
    for (_, music) in movement.parts() {
        for note in music.notes.iter().filter(|note| note.traits.has(NoteTraits::FERMATA)) {
            fermatas.entry(note.onset).or_default();
        }
        for rest in music.rests.iter().filter(|rest| rest.fermata) {
            fermatas.entry(rest.onset).or_default();
        }
        for marking in &music.markings {
            match marking.kind {
                MarkingKind::Fermata(shape, _) => {
                    fermatas.insert(marking.at, shape);
                }
                MarkingKind::Breath(_) => {
                    breaks.entry(marking.at).or_insert(super::glyphs::BREATH);
                }
                MarkingKind::Caesura(_) => {
                    breaks.insert(marking.at, super::glyphs::CAESURA);
                }
                _ => {}
            }
        }
    }
    (fermatas.into_iter().collect(), breaks.into_iter().collect())
}

fn device_runs(tracks: &MovementTracks) -> Vec<DeviceRun> {
    let mut runs: BTreeMap<(Ticks, Device, String), DeviceRun> = BTreeMap::new();
    for span in &tracks.devices.spans {
        let words =
            if span.words.is_empty() { span.device.name().to_owned() } else { span.words.clone() };
        let run = runs.entry((span.from, span.device, words.to_lowercase())).or_insert_with(|| {
            DeviceRun {
                device: span.device,
                from: span.from,
                to: span.to,
                ended: span.ended,
                words,
                end_words: span.end_words.clone(),
                parts: Vec::new(),
                lane: 0,
                axis: (0.0, 0.0),
            }
        });
        run.to = run.to.max(span.to);
        if run.parts.last() != Some(&span.part) {
            run.parts.push(span.part);
        }
    }
    let mut runs: Vec<DeviceRun> = runs.into_values().collect();
    let mut ends = [Ticks(i64::MIN); MAX_DEVICE_LANES];
    for run in &mut runs {
        run.lane = free_lane(&ends, run.from);
        ends[run.lane] = ends[run.lane].max(run.to);
    }
    runs
}

/// The first lane that is free at a place, else the one that is free soonest.
fn free_lane(ends: &[Ticks], from: Ticks) -> usize {
    let free = ends.iter().position(|end| *end <= from);
    let soonest = || ends.iter().enumerate().min_by_key(|(_, end)| **end).map_or(0, |(idx, _)| idx);
    free.unwrap_or_else(soonest)
}

fn growing(movement: &Movement, tracks: &MovementTracks) -> Vec<bool> {
    let mut growing = vec![false; movement.bars.len()];
    let hairpins = tracks.dynamics.parts.iter().flat_map(|part| &part.hairpins);
    for hairpin in hairpins.filter(|hairpin| hairpin.from < hairpin.to) {
        let last_tick = hairpin.to - Ticks(1);
        let (from, to) = (movement.bars.bar_at(hairpin.from), movement.bars.bar_at(last_tick));
        if let (Some(from), Some(to)) = (from, to)
            && let Some(bars) = growing.get_mut(from.idx()..=to.idx())
        {
            bars.fill(true);
        }
    }
    growing
}

/// What the study holds for one movement, picked afresh for a frame.
#[derive(Default)]
pub(super) struct StudyView<'a> {
    /// By level from the largest, then place.
    pub(super) groups: Vec<(&'a Entry, &'a Group)>,
    /// The levels in use, from the largest.
    pub(super) levels: Vec<u8>,
    /// How many.
    pub(super) n_levels: usize,
    /// Bars where a group begins.
    pub(super) group_starts: BTreeSet<BarIndex>,
    /// Marks of the shown layers by place.
    pub(super) marks: Vec<MarkView<'a>>,
    /// Lanes that the marks need.
    pub(super) n_mark_lanes: usize,
    /// Places and parts of cues, wanted or dropped, by place.
    pub(super) cues: Vec<CueView<'a>>,
}

/// A mark with its place on the page.
pub(super) struct MarkView<'a> {
    pub(super) mark: &'a Mark,
    pub(super) from: Ticks,
    /// Where its line ends; where it begins for a mark at one place.
    pub(super) to: Ticks,
    /// Place of its layer among all layers.
    pub(super) layer: usize,
    pub(super) layer_name: &'a str,
    pub(super) lane: usize,
}

/// A cue with its place.
pub(super) struct CueView<'a> {
    pub(super) at: Ticks,
    pub(super) part: PartIdx,
    pub(super) cue: &'a barloom_core::study::Cue,
}

impl<'a> StudyView<'a> {
    /// What the study says about a movement.
    pub(super) fn of(ctx: &Ctx<'a>, movement: &Movement, prepared: &Prepared) -> Self {
        let mut view = Self::default();
        let layers = ctx.study.layers();
        for entry in ctx.study.entries() {
            match &entry.item {
                Item::Group(group) if group.movement == movement.id => {
                    view.groups.push((entry, group));
                }
                Item::Mark(mark) if mark.from.movement == movement.id => {
                    let layer = layers.iter().position(|(layer, _)| layer.id == mark.layer);
                    if let Some(layer_idx) = layer.filter(|idx| layers[*idx].1.shown) {
                        let name = layers[layer_idx].1.name.as_str();
                        view.marks.extend(mark_view(movement, mark, layer_idx, name));
                    }
                }
                Item::Cue(cue) if cue.at.movement == movement.id => {
                    let part = prepared.part_keys.get(&cue.part).copied();
                    if let (Some(at), Some(part)) = (movement.ticks(cue.at), part) {
                        view.cues.push(CueView { at, part, cue });
                    }
                }
                _ => {}
            }
        }
        view.arrange();
        view
    }

    fn arrange(&mut self) {
        self.groups.sort_by_key(|(_, group)| (std::cmp::Reverse(group.level), group.from));
        self.levels = self.groups.iter().map(|(_, group)| group.level).collect();
        self.levels.dedup();
        self.n_levels = self.levels.len();
        self.group_starts = self.groups.iter().map(|(_, group)| group.from).collect();
        self.cues.sort_by_key(|cue| (cue.at, cue.part));
        self.marks.sort_by_key(|mark| (mark.from, mark.layer));
        let mut ends = [Ticks(i64::MIN); MAX_MARK_LANES];
        for mark in &mut self.marks {
            mark.lane = free_lane(&ends, mark.from);
            // A mark at one place still needs room for its words; its neighbor decides how much.
            ends[mark.lane] = ends[mark.lane].max(mark.to.max(mark.from + Ticks(1)));
        }
        self.n_mark_lanes = self.marks.iter().map(|mark| mark.lane + 1).max().unwrap_or(0);
    }

    /// The cue decided for a part at a place.
    pub(super) fn cue(&self, at: Ticks, part: PartIdx) -> Option<&CueView<'a>> {
        let idx = self.cues.binary_search_by_key(&(at, part), |cue| (cue.at, cue.part)).ok()?;
        self.cues.get(idx)
    }
}

fn mark_view<'a>(
    movement: &Movement,
    mark: &'a Mark,
    layer: usize,
    layer_name: &'a str,
) -> Option<MarkView<'a>> {
    let from = movement.ticks(mark.from)?;
    let end = mark.to.and_then(|bar| movement.bars.get(bar)).map_or(from, |bar| bar.end());
    Some(MarkView { mark, from, to: end.max(from), layer, layer_name, lane: 0 })
}
