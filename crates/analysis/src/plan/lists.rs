//! What all chapters of one movement look at, and the lists of marks and of places to look at.

use super::{LookRow, MarkRow, PlanLayer, PlanMark, PlanOptions, Spot, spans, words};
use crate::oddities::oddities;
use crate::{MovementTracks, Tracks};
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::diag::{self, Diagnostic, Group, Severity};
use barloom_core::part::{PartIdx, PartKey};
use barloom_core::score::Movement;
use barloom_core::study::{Entry, EntryId, Mark, Study};
use barloom_core::time::Ticks;

/// One movement with everything that is known about it.
pub(super) struct Scene<'a> {
    pub(super) basis: &'a Basis,
    pub(super) movement: &'a Movement,
    pub(super) tracks: &'a MovementTracks,
    pub(super) study: &'a Study,
    pub(super) idx: usize,
    /// Empty in a work of one movement.
    pub(super) numeral: String,
    /// Whether a score stands behind the bars; a typed bar map has none.
    pub(super) has_music: bool,
}

impl<'a> Scene<'a> {
    pub(super) fn new(
        basis: &'a Basis,
        tracks: &'a Tracks,
        study: &'a Study,
        idx: usize,
    ) -> Option<Self> {
        let movements = &basis.score.movements;
        let movement = movements.get(idx)?;
        Some(Self {
            basis,
            movement,
            tracks: tracks.movements.get(idx)?,
            study,
            idx,
            numeral: if movements.len() > 1 { words::roman(idx + 1) } else { String::new() },
            has_music: movement.music.iter().any(|music| !music.notes.is_empty()),
        })
    }

    /// A position for drawing.
    pub(super) fn spot(&self, at: Ticks) -> Spot {
        let Some(bar) = self.movement.bars.bar_at(at) else { return Spot::default() };
        self.spot_in(bar, at)
    }

    /// An end for drawing: at a bar line it belongs to the bar before.
    pub(super) fn end_spot(&self, at: Ticks) -> Spot {
        let spot = self.spot(at);
        match spot.bar.checked_sub(1) {
            Some(before) if spot.share == 0.0 => Spot { bar: before, share: 1.0 },
            _ => spot,
        }
    }

    fn spot_in(&self, bar: BarIndex, at: Ticks) -> Spot {
        let share = self.movement.bars.get(bar).map_or(0.0, |bar| {
            let length = bar.length.0.max(1) as f64;
            (at.since(bar.start).0 as f64 / length).min(1.0)
        });
        Spot { bar: bar.idx(), share: share as f32 }
    }

    /// A bar as players say it, with the movement before it.
    pub(super) fn place(&self, bar: BarIndex) -> String {
        let place = words::bar_place(self.movement, bar);
        if self.numeral.is_empty() { place } else { format!("{}, {place}", self.numeral) }
    }

    /// The name of a part of the work.
    pub(super) fn part_name(&self, part: PartIdx) -> &str {
        self.basis.score.parts.get(part.idx()).map_or("?", |part| part.name.as_str())
    }

    /// The short name of a part of the work.
    pub(super) fn part_short(&self, part: PartIdx) -> &str {
        self.basis.score.parts.get(part.idx()).map_or("?", |part| {
            if part.short.trim().is_empty() { part.name.as_str() } else { part.short.as_str() }
        })
    }
}

/// A layer that is printed.
pub(super) struct ShownLayer {
    id: EntryId,
    name: String,
}

pub(super) fn layers(study: &Study, options: &PlanOptions) -> Vec<ShownLayer> {
    let shown = |(entry, layer): (&Entry, &barloom_core::study::Layer)| {
        (layer.shown || options.with_hidden_layers)
            .then(|| ShownLayer { id: entry.id, name: layer.name.clone() })
    };
    study.layers().into_iter().filter_map(shown).collect()
}

/// The marks of one movement in order of place, then the user's order.
fn sorted_marks<'a>(study: &'a Study, movement: &Movement) -> Vec<(&'a Entry, &'a Mark)> {
    let mut marks: Vec<_> =
        study.marks().filter(|(_, mark)| mark.from.movement == movement.id).collect();
    marks.sort_by(|(a, one), (b, other)| {
        (one.from, &a.order, a.id).cmp(&(other.from, &b.order, b.id))
    });
    marks
}

pub(super) fn marks(scene: &Scene<'_>, layers: &[ShownLayer]) -> Vec<PlanMark> {
    let mark = |(_, mark): (&Entry, &Mark)| {
        let layer = layers.iter().position(|layer| layer.id == mark.layer)?;
        let at = scene.movement.ticks(mark.from)?;
        let last = scene.movement.bars.last_index()?;
        Some(PlanMark {
            layer,
            from: scene.spot(at),
            to: mark.to.map(|to| to.min(last).idx()),
            sign: mark.sign,
            text: mark.text.clone(),
            parts: part_names(scene, &mark.parts, |part| scene.part_short(part)),
        })
    };
    sorted_marks(scene.study, scene.movement).into_iter().filter_map(mark).collect()
}

fn part_names<'a>(
    scene: &'a Scene<'_>,
    keys: &'a [PartKey],
    name: impl Fn(PartIdx) -> &'a str,
) -> String {
    let named = |key: &'a PartKey| scene.basis.score.part_by_key(key).map_or(&*key.0, &name);
    keys.iter().map(named).collect::<Vec<_>>().join(", ")
}

pub(super) fn layer_rows(
    basis: &Basis,
    tracks: &Tracks,
    study: &Study,
    layers: &[ShownLayer],
) -> Vec<PlanLayer> {
    let scenes: Vec<Scene<'_>> = (0..basis.score.movements.len())
        .filter_map(|idx| Scene::new(basis, tracks, study, idx))
        .collect();
    let rows = |layer: &ShownLayer| {
        let in_scene = |scene: &Scene<'_>| {
            let marks = sorted_marks(study, scene.movement);
            let here = marks.into_iter().filter(|(_, mark)| mark.layer == layer.id);
            here.map(|(_, mark)| mark_row(scene, mark)).collect::<Vec<_>>()
        };
        PlanLayer { name: layer.name.clone(), marks: scenes.iter().flat_map(in_scene).collect() }
    };
    layers.iter().map(rows).filter(|layer| !layer.marks.is_empty()).collect()
}

fn mark_row(scene: &Scene<'_>, mark: &Mark) -> MarkRow {
    let place = scene.place(mark.from.bar);
    let place = match mark.to {
        Some(to) if to > mark.from.bar => format!("{place} to {}", scene.movement.bar_name(to)),
        _ => place,
    };
    MarkRow {
        place,
        parts: part_names(scene, &mark.parts, |part| scene.part_name(part)),
        sign: mark.sign,
        text: mark.text.clone(),
    }
}

/// What the analyses find odd and the reader has not reported (`known`), groups whose sums do not
/// fill their bars, and cues for places where the part does not enter.
pub(super) fn looks(scene: &Scene<'_>, known: &[Diagnostic]) -> Vec<(BarIndex, String)> {
    let odd = oddities(scene.movement, scene.tracks, scene.idx, known);
    let mut looks: Vec<(BarIndex, String)> = odd
        .into_iter()
        .map(|odd| {
            let part = odd.part.map(|part| format!("{}: ", scene.part_name(part)));
            let text = format!("{}{}", part.unwrap_or_default(), odd.text);
            (scene.movement.place(odd.at).0, text)
        })
        .collect();
    let groups = spans::groups(scene);
    for group in groups.iter().filter(|group| group.sum.contains('≠')) {
        // A gap is reported once, for the smallest group that holds it.
        let inner = groups.iter().any(|inner| {
            let inside = inner.from >= group.from && inner.to <= group.to;
            inner.level < group.level && inside && inner.sum.contains('≠')
        });
        if !inner {
            let what = format!("the groups do not fill the bars: {}", group.sum);
            looks.push((BarIndex::from(group.from), what));
        }
    }
    let cues = scene.study.cues().filter(|(_, cue)| cue.wanted && scene.has_music);
    for (_, cue) in cues.filter(|(_, cue)| cue.at.movement == scene.movement.id) {
        let part = scene.basis.score.part_by_key(&cue.part);
        let sounds = part.is_some_and(|part| scene.tracks.playing.sounds(part, cue.at.bar));
        if !sounds {
            let part = part.map_or(cue.part.0.as_str(), |part| scene.part_name(part));
            looks.push((
                cue.at.bar,
                format!("a cue is wanted for {part}, which does not play here"),
            ));
        }
    }
    looks.sort();
    looks
}

/// The same with places in words.
pub(super) fn look_rows(scene: &Scene<'_>, known: &[Diagnostic]) -> Vec<LookRow> {
    let row = |(bar, what): (BarIndex, String)| LookRow { place: scene.place(bar), what, n: 1 };
    looks(scene, known).into_iter().map(row).collect()
}

/// Bars that one row names.
const NAMED: usize = 5;

/// What the reader lost, changed or assumed, one row for each kind and file; notes are left out.
pub(super) fn read_rows(basis: &Basis, known: &[Diagnostic]) -> Vec<LookRow> {
    let groups = diag::groups(known);
    groups.iter().filter(|group| group.severity() != Severity::Note).map(read_row(basis)).collect()
}

fn read_row(basis: &Basis) -> impl Fn(&Group<'_>) -> LookRow {
    let several = basis.score.movements.len() > 1;
    move |group| {
        let place = |found: &&Diagnostic| {
            let (_, bar) = found.place.bar.as_ref()?;
            let movement = found.place.movement.filter(|_| several);
            let movement = movement.map(|idx| format!("{}, ", words::roman(idx + 1)));
            Some(format!("{}{bar}", movement.unwrap_or_default()))
        };
        let mut places: Vec<String> = group.members.iter().filter_map(place).collect();
        places.dedup();
        let more = places.len().saturating_sub(NAMED);
        places.truncate(NAMED);
        let mut place = places.join(if several { "; " } else { ", " });
        if more > 0 {
            place.push_str(&format!(" and {more} more"));
        }
        let what = match group.members.as_slice() {
            [found] => match &found.place.part {
                Some((_, name)) if !name.is_empty() => format!("{name}: {}", found.message),
                _ => found.message.clone(),
            },
            _ => {
                let row = group.code.row();
                let sentence = row.sentences().first().copied().unwrap_or_default();
                let parts: Vec<String> = group.parts().into_iter().map(|(name, _)| name).collect();
                let parts = match parts.as_slice() {
                    [] => String::new(),
                    parts => format!(" ({})", parts.join(", ")),
                };
                format!("{}: {sentence}{parts}", row.title())
            }
        };
        LookRow { place, what, n: group.members.len() }
    }
}
