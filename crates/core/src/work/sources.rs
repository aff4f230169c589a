//! Further sources for an open work: score files and bar maps, and following the study when undo
//! takes them away again.

use super::paths::source_path;
use super::{OpenError, Work, open};
use crate::anchor::reanchor;
use crate::arrange::gather;
use crate::bar::BarIndex;
use crate::barmap::{self, BarMapError};
use crate::diag::Diagnostic;
use crate::import::Watch;
use crate::part::PartIdx;
use crate::score::{PartMusic, Score};
use crate::study::{Edit, Entry, Item, MovementRow, SourceRow, Span, Study};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What was read from the score files of a work, whichever of them the study uses just now.
#[derive(Clone, Debug, Default)]
pub(super) struct Files {
    /// Its sources are the files, in the order of `paths`.
    pub(super) score: Score,
    pub(super) paths: Vec<PathBuf>,
    /// Where files are that the study names so, or named so once.
    pub(super) located: BTreeMap<String, PathBuf>,
    /// The sources that [`Work::read`] has now.
    pub(super) followed: Vec<SourceRow>,
}

impl Files {
    /// The files behind what was read, without the movements of bar maps. The parts that only bar
    /// maps have stay in the list; picking takes them away.
    pub(super) fn of(read: &Score, study: &Study, source_paths: &[PathBuf]) -> Self {
        let mut files = Self { followed: study.sources.clone(), ..Self::default() };
        for (row, path) in study.sources.iter().zip(source_paths) {
            if let SourceRow::File { path: written, .. } = row {
                files.located.insert(written.clone(), path.clone());
                files.paths.push(path.clone());
            }
        }
        if files.paths.len() == study.sources.len() {
            files.score = read.clone();
            return files;
        }
        let all = Self { score: read.clone(), paths: source_paths.to_vec(), ..Self::default() };
        files.score = pick_files(&all, &files.paths);
        files
    }
}

/// Sources that were read, and the edit that takes them into the study.
#[derive(Clone, Debug)]
pub struct Added {
    /// The edit, one step for undo.
    pub edit: Edit,
    /// What was noticed while reading.
    pub diagnostics: Vec<Diagnostic>,
    files: Files,
}

impl Work {
    /// Reads further score files, as movements after the present ones. All files are read again
    /// together, so that the same parts are found in them. For a worker thread, with a copy of the
    /// work.
    ///
    /// # Errors
    /// When a file cannot be read.
    pub fn add_files(&self, paths: &[PathBuf], watch: &Watch) -> Result<Added, OpenError> {
        let mut files = self.files.clone();
        let (new, _) = super::opus::expanded(paths)?;
        files.paths.extend(new.iter().cloned());
        let (score, diagnostics) = open::read_files(&files.paths, watch)?;
        files.score = score;
        let folder = self.folder();
        let mut study = self.study.clone();
        for path in &new {
            let written = super::relative_path(&folder, path);
            files.located.insert(written.clone(), path.clone());
            let nth = files.paths.iter().position(|known| known == path).unwrap_or(0);
            let source = files.score.sources.get(nth);
            let fingerprint = source.map_or(0, |source| source.fingerprint);
            study.sources.push(SourceRow::File { path: written, fingerprint });
            let place = study.sources.len() - 1;
            let titles: Vec<String> = files
                .score
                .movements
                .iter()
                .filter(|movement| movement.source == nth)
                .map(|movement| movement.title.clone())
                .collect();
            for (movement, title) in titles.into_iter().enumerate() {
                study.movements.push(new_row(&study, title, place, movement));
            }
        }
        self.added(study, files, diagnostics)
            .map_err(|(source_idx, cause)| OpenError::BarMap { source_idx, cause })
    }

    /// Reads a bar map as a new movement, or in the place of the bar map that is source `source`.
    ///
    /// # Errors
    /// When the map cannot be read; line and column are those of `text`.
    pub fn put_bar_map(&self, source: Option<usize>, text: &str) -> Result<Added, BarMapError> {
        let (score, diagnostics) = barmap::read(text, "")?;
        let title = score.title;
        let mut study = self.study.clone();
        let row = SourceRow::BarMap { text: text.to_owned() };
        let typed = |idx: &usize| matches!(study.sources.get(*idx), Some(SourceRow::BarMap { .. }));
        match source.filter(typed) {
            Some(source) => {
                if let Some(known) = study.sources.get_mut(source) {
                    *known = row;
                }
                let mut rows = study.movements.iter_mut();
                let uses = |row: &&mut MovementRow| row.spans.iter().any(|s| s.source == source);
                if let Some(row) = rows.find(uses).filter(|_| !title.is_empty()) {
                    row.title = title;
                }
            }
            None => {
                study.sources.push(row);
                let place = study.sources.len() - 1;
                study.movements.push(new_row(&study, title, place, 0));
            }
        }
        let added = self.added(study, self.files.clone(), diagnostics);
        // Maps that are in the study already were read before.
        added.map_err(|(_, cause)| cause)
    }

    fn added(
        &self,
        study: Study,
        files: Files,
        mut diagnostics: Vec<Diagnostic>,
    ) -> Result<Added, (usize, BarMapError)> {
        let mut probe = Self { study, files, ..self.clone() };
        probe.read_sources()?;
        let fitted = reanchor(&probe.study, &probe.read);
        diagnostics.extend(fitted.diagnostics);
        let edit = difference(&self.study, &fitted.study);
        Ok(Added { edit, diagnostics, files: probe.files })
    }

    /// Takes in what was read, before its edit is applied.
    pub fn take_files(&mut self, added: &Added) {
        let followed = std::mem::take(&mut self.files.followed);
        self.files = Files { followed, ..added.files.clone() };
        self.diagnostics.extend(added.diagnostics.iter().cloned());
    }

    /// Brings what was read in line with the sources that the study names now: after an edit of
    /// them, or when one was taken back. Only what was read before is there; a source that was not
    /// is left empty.
    pub fn follow_sources(&mut self) {
        let same = |a: &SourceRow, b: &SourceRow| match (a, b) {
            (SourceRow::File { path: a, .. }, SourceRow::File { path: b, .. }) => a == b,
            (a, b) => a == b,
        };
        let (now, before) = (&self.study.sources, &self.files.followed);
        if now.len() == before.len() && now.iter().zip(before).all(|(a, b)| same(a, b)) {
            return;
        }
        // A text that cannot be read came past `put_bar_map`; the movements keep their old bars.
        let followed = self.read_sources();
        debug_assert!(followed.is_ok(), "{followed:?}");
    }

    fn read_sources(&mut self) -> Result<(), (usize, BarMapError)> {
        let folder = self.folder();
        let mut wanted = Vec::new();
        let mut source_paths = Vec::new();
        let mut maps = Vec::new();
        for (place, row) in self.study.sources.iter().enumerate() {
            match row {
                SourceRow::File { path, .. } => {
                    let known = self.files.located.get(path).cloned();
                    let path = known.unwrap_or_else(|| source_path(&folder, path));
                    source_paths.push(path.clone());
                    wanted.push(path);
                }
                SourceRow::BarMap { text } => {
                    let title = map_title(&self.study, place);
                    let (score, _) = barmap::read(text, title).map_err(|cause| (place, cause))?;
                    maps.push((place, score));
                    source_paths.push(PathBuf::new());
                }
            }
        }
        let score = pick_files(&self.files, &wanted);
        self.read = Arc::new(gather(score, maps));
        self.source_paths = source_paths;
        self.files.followed = self.study.sources.clone();
        Ok(())
    }

    /// The folder that the study's paths are relative to.
    fn folder(&self) -> PathBuf {
        self.study_path().parent().map(Path::to_path_buf).unwrap_or_default()
    }

    /// Notes that the study was saved: its file, fingerprint and version, and the paths of its
    /// sources as that file has them.
    pub fn note_saved(&mut self, path: PathBuf, fingerprint: u64, version: u64) {
        let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
        self.study.version = version;
        self.study.sources = self.study_for(&folder).sources;
        for (row, found) in self.study.sources.iter().zip(&self.source_paths) {
            if let SourceRow::File { path, .. } = row {
                self.files.located.insert(path.clone(), found.clone());
            }
        }
        self.files.followed = self.study.sources.clone();
        self.saved = Some((path, fingerprint));
        self.fitted = false;
    }
}

/// The title of the movement that comes from a bar map.
pub(super) fn map_title(study: &Study, source: usize) -> &str {
    let uses = |row: &&MovementRow| row.spans.iter().any(|span| span.source == source);
    study.movements.iter().find(uses).map_or("", |row| row.title.as_str())
}

fn new_row(study: &Study, title: String, source: usize, movement: usize) -> MovementRow {
    let id = study.unused_movement_id();
    let span = Span { source, movement, from: BarIndex(0), to: None };
    MovementRow { id, title, spans: vec![span], bars: Vec::new() }
}

/// The score of some of the files, in this order, with the parts that they have.
fn pick_files(files: &Files, wanted: &[PathBuf]) -> Score {
    if files.paths == wanted {
        return files.score.clone();
    }
    let score = &files.score;
    let place = |path: &PathBuf| files.paths.iter().position(|known| known == path);
    let mut picked = Score { sources: Vec::new(), movements: Vec::new(), ..score.clone() };
    for (source, path) in wanted.iter().enumerate() {
        let old = place(path);
        let known = old.and_then(|old| score.sources.get(old)).cloned();
        picked.sources.push(known.unwrap_or_else(|| crate::score::Source {
            name: path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default(),
            fingerprint: 0,
        }));
        for movement in score.movements.iter().filter(|m| Some(m.source) == old) {
            let mut movement = Arc::clone(movement);
            if movement.source != source {
                Arc::make_mut(&mut movement).source = source;
            }
            picked.movements.push(movement);
        }
    }
    keep_present_parts(picked)
}

fn keep_present_parts(mut score: Score) -> Score {
    let present = |(idx, _): &(PartIdx, &crate::part::Part)| {
        let here = |music: Option<&PartMusic>| music.is_some_and(|music| music.present);
        score.movements.iter().any(|movement| here(movement.part(*idx)))
    };
    let kept: Vec<PartIdx> = score.parts().filter(present).map(|(idx, _)| idx).collect();
    if kept.len() == score.parts.len() {
        return score;
    }
    let keep = |idx: &PartIdx| score.parts.get(idx.idx()).cloned();
    score.parts = kept.iter().filter_map(keep).collect();
    for movement in &mut score.movements {
        let movement = Arc::make_mut(movement);
        let music = std::mem::take(&mut movement.music);
        let keep = |idx: &PartIdx| music.get(idx.idx()).cloned().unwrap_or_default();
        movement.music = kept.iter().map(keep).collect();
    }
    score
}

/// The edit that makes one study of another: tables, and entries that moved with their bars or
/// became something else.
fn difference(before: &Study, after: &Study) -> Edit {
    let moves = |entry: &&Entry| match before.entry(entry.id) {
        Some(old) => {
            let same_kind =
                std::mem::discriminant(&old.item) == std::mem::discriminant(&entry.item);
            same_kind && old != *entry
        }
        None => false,
    };
    let moved: Vec<Entry> = after.entries().filter(moves).cloned().collect();
    let is_kept = |old: &&Entry| {
        let new = after.entry(old.id);
        new.is_some_and(|new| {
            std::mem::discriminant(&old.item) == std::mem::discriminant(&new.item)
        })
    };
    let gone: Vec<&Entry> = before.entries().filter(|old| !is_kept(old)).collect();
    let mut edits: Vec<Edit> = gone.iter().map(|old| Edit::Remove(old.id)).collect();
    edits.push(Edit::Arrange {
        sources: after.sources.clone(),
        movements: after.movements.clone(),
        parts: after.parts.clone(),
        moved,
    });
    let fresh = |entry: &&Entry| before.entry(entry.id).is_none_or(|old| !is_kept(&old));
    let (layers, others): (Vec<&Entry>, Vec<&Entry>) =
        after.entries().filter(fresh).partition(|entry| matches!(entry.item, Item::Layer(_)));
    edits.extend(layers.into_iter().chain(others).map(|entry| Edit::Put(entry.clone())));
    match edits.len() {
        1 => edits.remove(0),
        _ => Edit::All(edits),
    }
}
