//! A work that is open: what was read, the study, the basis, and where everything lies.
//!
//! Opening joins the readers: score files and bar maps become one score, a study file is fitted to
//! it, the basis is built. It may be run on a worker thread; nothing here knows one.

mod open;
mod opus;
mod paths;
mod sources;

pub use open::{OpenError, Replacements, new_from_bar_map, open, open_embedded, open_left};
pub use opus::listed;
pub use paths::{proposed_path, relative_path};
pub use sources::Added;

use crate::bar::BarIndex;
use crate::basis::Basis;
use crate::diag::{Diagnostic, Place};
use crate::score::Score;
use crate::study::{SourceRow, Study};
use sources::Files;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// An open work.
#[derive(Clone, Debug)]
pub struct Work {
    /// What was read from all sources, in the study's order of sources; never corrected.
    pub read: Arc<Score>,
    /// The study, fitted to what was read.
    pub study: Study,
    /// The study's file and the fingerprint of it as opened or saved last; `None` if it was never
    /// saved.
    pub saved: Option<(PathBuf, u64)>,
    /// Where each source was found, absolute; empty for bar maps.
    pub source_paths: Vec<PathBuf>,
    /// What analyses read.
    pub basis: Arc<Basis>,
    /// What was noticed while reading and fitting.
    pub diagnostics: Vec<Diagnostic>,
    /// What was noticed while building the basis; new with each basis.
    pub basis_diagnostics: Vec<Diagnostic>,
    /// Whether fitting the study to changed sources changed it, so that it should be saved.
    pub fitted: bool,
    /// What was read from files, for following the study's sources.
    files: Files,
}

impl Work {
    /// A work of what was read and a study that fits it.
    pub fn new(
        read: Score,
        study: Study,
        saved: Option<(PathBuf, u64)>,
        source_paths: Vec<PathBuf>,
        diagnostics: Vec<Diagnostic>,
    ) -> Self {
        let files = Files::of(&read, &study, &source_paths);
        let (basis, basis_diagnostics) = Basis::build(&read, &study, 1);
        Self {
            read: Arc::new(read),
            study,
            saved,
            source_paths,
            basis: Arc::new(basis),
            diagnostics,
            basis_diagnostics,
            fitted: false,
            files,
        }
    }

    /// Builds the basis again, after an edit that touches it.
    pub fn rebuild_basis(&mut self) {
        let revision = self.basis.revision + 1;
        let (basis, diagnostics) = Basis::build(&self.read, &self.study, revision);
        self.basis = Arc::new(basis);
        self.basis_diagnostics = diagnostics;
    }

    /// The study as it is written into a folder: the paths of its sources relative to it.
    pub fn study_for(&self, folder: &Path) -> Study {
        let mut study = self.study.clone();
        for (row, found) in study.sources.iter_mut().zip(&self.source_paths) {
            if let SourceRow::File { path, .. } = row
                && !found.as_os_str().is_empty()
            {
                *path = relative_path(folder, found);
            }
        }
        study
    }

    /// The file to save to: the present one, or a proposal beside the first score file.
    pub fn study_path(&self) -> PathBuf {
        match &self.saved {
            Some((path, _)) => path.clone(),
            None => proposed_path(&self.study.title, &self.source_paths),
        }
    }

    /// All diagnostics: of reading, of fitting, of the basis. What was found while reading stands
    /// where the study has that music now.
    pub fn all_diagnostics(&self) -> Vec<Diagnostic> {
        let placed = self
            .diagnostics
            .iter()
            .map(|found| Diagnostic { place: self.placed(&found.place), ..found.clone() });
        placed.chain(self.basis_diagnostics.iter().cloned()).collect()
    }

    /// A place that the reader gave, in movements as the study has them: they may be in another
    /// order, split, joined, or left out.
    fn placed(&self, place: &Place) -> Place {
        // Only the reader names the entry of the file.
        let Some(nth) = place.movement.filter(|_| !place.entry.is_empty()) else {
            return place.clone();
        };
        let mut place = place.clone();
        let bar = place.bar.as_ref().map_or(BarIndex(0), |(bar, _)| *bar);
        let here = self.study_place(nth, bar);
        place.movement = here.map(|(movement, _)| movement);
        place.bar = here.and_then(|(_, bar)| Some((bar, place.bar.take()?.1)));
        place
    }

    /// Where the study has bar `bar` of the movement that was read as number `nth` of all files.
    fn study_place(&self, nth: usize, bar: BarIndex) -> Option<(usize, BarIndex)> {
        let read = &self.files.score.movements;
        let file = read.get(nth)?.source;
        let first = read.iter().position(|movement| movement.source == file)?;
        let path = self.files.paths.get(file)?;
        let source = self.source_paths.iter().position(|known| known == path)?;
        for (movement, row) in self.study.movements.iter().enumerate() {
            let mut before = 0;
            for span in &row.spans {
                let inside = span.from <= bar && span.to.is_none_or(|to| bar <= to);
                if span.source == source && span.movement == nth - first && inside {
                    return Some((movement, BarIndex(before + bar.0 - span.from.0)));
                }
                let to = span.to.map_or(u32::MAX, |to| to.0);
                before = before.saturating_add(to.saturating_sub(span.from.0).saturating_add(1));
            }
        }
        None
    }
}

#[cfg(test)]
mod opus_tests;
#[cfg(test)]
mod tests;
