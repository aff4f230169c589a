//! The content of a printed study plan: which facts, decisions and marks it holds, in the words of
//! the trade, in order. Pure data; nothing here knows paper, fonts or ink.
//!
//! Positions are a bar and a share of it, since a drawing needs no exact fraction. Lists are in the
//! order of the music, and at one place in score order. Seconds are for display.

mod bars;
mod beats;
mod ensemble;
mod entries;
mod forces;
mod grid;
mod lists;
mod model;
mod rows;
mod spans;
mod tempi;
mod tunings;
pub mod words;

pub use ensemble::PlanTable;
pub use grid::*;
pub use model::*;

use crate::Tracks;
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::diag::Diagnostic;
use barloom_core::study::Study;

/// What the user may choose about the content.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanOptions {
    /// Entrances with at least this need of a cue are listed as proposed cues.
    pub propose_cues_from: u32,
    /// Marks of hidden layers too.
    pub with_hidden_layers: bool,
}

impl Default for PlanOptions {
    fn default() -> Self {
        Self { propose_cues_from: 4, with_hidden_layers: false }
    }
}

/// The plan of a study. Without a study, pass an empty one: everything is then proposed. `known` is
/// what was found while reading and fitting; its warnings and errors are places to look at.
pub fn build(
    basis: &Basis,
    tracks: &Tracks,
    study: &Study,
    known: &[Diagnostic],
    options: &PlanOptions,
) -> StudyPlan {
    let score = &basis.score;
    let layers = lists::layers(study, options);
    let mut plan = StudyPlan {
        title: words::work_title(study, score),
        composer: score.composer.clone(),
        author: study.author.clone(),
        version: study.version,
        forces: forces::line(score),
        families: forces::families(score),
        needs: forces::needs(basis, tracks),
        seats: forces::seats(score, study),
        ..StudyPlan::default()
    };
    for idx in 0..score.movements.len() {
        let Some(scene) = lists::Scene::new(basis, tracks, study, idx) else { continue };
        plan.movements.push(movement(&scene, &layers, options));
        let cues = entries::cue_rows(&scene, options);
        plan.cue_places.extend(entries::cue_places(&scene, &cues));
        plan.cues.extend(cues);
        plan.looks.extend(lists::look_rows(&scene, known));
    }
    plan.looks.extend(lists::read_rows(basis, known));
    plan.layers = lists::layer_rows(basis, tracks, study, &layers);
    plan
}

/// The groups of the movement at `idx` with their sums; none without such a movement.
pub fn groups_of(basis: &Basis, tracks: &Tracks, study: &Study, idx: usize) -> Vec<PlanGroup> {
    lists::Scene::new(basis, tracks, study, idx)
        .map(|scene| spans::groups(&scene))
        .unwrap_or_default()
}

/// The cues of the movement at `idx` that fall together on different sides of the orchestra, by bar:
/// those that are wanted, and the proposals with enough points where nothing was decided.
pub fn clashes_of(
    basis: &Basis,
    tracks: &Tracks,
    study: &Study,
    idx: usize,
) -> Vec<(BarIndex, String)> {
    lists::Scene::new(basis, tracks, study, idx)
        .map(|scene| entries::clashes_in_words(&scene))
        .unwrap_or_default()
}

/// The places to look at in the movement at `idx`, in order, with what is odd there; without those
/// that are `known` from reading.
pub fn looks_of(
    basis: &Basis,
    tracks: &Tracks,
    study: &Study,
    known: &[Diagnostic],
    idx: usize,
) -> Vec<(BarIndex, String)> {
    lists::Scene::new(basis, tracks, study, idx)
        .map(|scene| lists::looks(&scene, known))
        .unwrap_or_default()
}

fn movement(
    scene: &lists::Scene<'_>,
    layers: &[lists::ShownLayer],
    options: &PlanOptions,
) -> PlanMovement {
    let beatings = beats::beatings(scene);
    let groups = spans::groups(scene);
    let tempi = tempi::tempi(scene);
    let rows = rows::parts(scene);
    PlanMovement {
        numeral: scene.numeral.clone(),
        heading: words::heading(scene),
        n_bars: scene.movement.bars.iter().filter(|(_, bar)| !bar.continues).count(),
        seconds: scene.tracks.tempo.seconds(),
        played_seconds: scene.tracks.tempo.played_seconds,
        order: words::performing_order(scene),
        tempo: tempi::in_words(&tempi),
        meters: bars::meters(scene),
        beatings: beats::rows(scene, &beatings),
        bars: bars::bars(scene, beatings, &groups),
        section_rows: rows::by_instrument(scene, &rows),
        tempi,
        groups,
        devices: spans::devices(scene),
        hairpins: spans::hairpins(scene),
        entries: entries::entries(scene, options),
        rows,
        marks: lists::marks(scene, layers),
        entrances: entries::rows(scene, options),
        tables: ensemble::tables(scene),
        harps: tunings::harps(scene),
        timpani: tunings::timpani(scene),
    }
}

#[cfg(test)]
mod tests;
