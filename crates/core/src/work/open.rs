//! Opening score files, bar maps and studies.

use super::Work;
use super::paths::source_path;
use super::sources::map_title;
use crate::anchor::reanchor;
use crate::arrange::{gather, unused};
use crate::barmap::{self, BarMapError};
use crate::diag::Diagnostic;
use crate::import::{self, ImportError, InputFile, Watch};
use crate::journal::{Left, RecoverError};
use crate::score::Score;
use crate::sidecar::{self, SidecarError};
use crate::store::{self, StoreError};
use crate::study::{EditError, IdMaker, SourceRow, Study};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Files that the user names for sources that are not where the study says: from the path as the
/// study writes it to the path of the file now.
pub type Replacements = BTreeMap<String, PathBuf>;

/// Why a work cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// No path was given.
    #[error("no file was given")]
    Nothing,
    /// A study together with other files.
    #[error("a study is opened alone, not together with other files: {}", .0.display())]
    Mixed(PathBuf),
    /// A file cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The study file is damaged or of another version. It is left as it is.
    #[error("the study cannot be read ({cause}): {}", path.display())]
    Study {
        /// What is wrong with it.
        cause: SidecarError,
        /// The file.
        path: PathBuf,
        /// The version before the last save, if there is one that can be read.
        backup: Option<PathBuf>,
    },
    /// A source of the study is not there: ask for it and try again with a replacement.
    #[error("the study's score file is missing: {}", looked_for.display())]
    MissingSource {
        /// The path as the study writes it: the key of [`Replacements`].
        written: String,
        /// Where it was looked for.
        looked_for: PathBuf,
    },
    /// A score file cannot be read.
    #[error(transparent)]
    Import(#[from] ImportError),
    /// A bar map cannot be read.
    #[error("the bar map of source {} cannot be read ({cause})", source_idx + 1)]
    BarMap {
        /// Which source of the study, 0-based.
        source_idx: usize,
        /// What is wrong with it.
        cause: BarMapError,
    },
    /// A journal cannot be replayed.
    #[error(transparent)]
    Recover(#[from] RecoverError),
}

/// A new work of one movement without a score file.
///
/// # Errors
/// When the bar map cannot be read.
pub fn new_from_bar_map(text: &str, ids: &mut IdMaker, now: u64) -> Result<Work, BarMapError> {
    let (score, diagnostics) = barmap::read(text, "")?;
    let rows = vec![SourceRow::BarMap { text: text.to_owned() }];
    let study = Study::for_score(&score, rows, ids, now);
    Ok(Work::new(score, study, None, vec![PathBuf::new()], diagnostics))
}

/// Opens one study, or the score files of one work in the order of its movements.
///
/// Score files become a new study; `ids` and `now` (seconds since 1970-01-01 UTC) go into its
/// entries.
///
/// # Errors
/// See [`OpenError`].
pub fn open(
    paths: &[PathBuf],
    replacements: &Replacements,
    ids: &mut IdMaker,
    now: u64,
    watch: &Watch,
) -> Result<Work, OpenError> {
    let is_study = |path: &&PathBuf| path.extension().is_some_and(|ext| ext == sidecar::EXTENSION);
    match (paths, paths.iter().find(is_study)) {
        ([], _) => Err(OpenError::Nothing),
        ([path], None) if is_backup(path) => open_backup(path, replacements, watch),
        ([path], Some(_)) => open_study(path, replacements, watch),
        (_, Some(study)) => Err(OpenError::Mixed(study.clone())),
        (paths, None) => open_scores(paths, ids, now, watch),
    }
}

/// Opens score files that are not on the disk, as if they lay at these absolute paths; with a study
/// that was never saved, or a new one.
///
/// # Errors
/// See [`OpenError`].
pub fn open_embedded(
    files: &[(PathBuf, &[u8])],
    study: Option<&[u8]>,
    ids: &mut IdMaker,
    now: u64,
    watch: &Watch,
) -> Result<Work, OpenError> {
    let paths: Vec<PathBuf> = files.iter().map(|(path, _)| path.clone()).collect();
    let files = files.iter().map(|(path, bytes)| input(path, bytes.to_vec())).collect::<Vec<_>>();
    let import = import::read(&files, watch)?;
    let (score, mut diagnostics) = (import.score, import.diagnostics);
    let Some(study) = study else {
        return Ok(new_work(score, paths, diagnostics, ids, now));
    };
    let path = paths.first().cloned().unwrap_or_default();
    let study =
        sidecar::read(study).map_err(|cause| OpenError::Study { cause, path, backup: None })?;
    let fitted = reanchor(&study, &score);
    diagnostics.extend(fitted.diagnostics);
    Ok(Work::new(score, fitted.study, None, paths, diagnostics))
}

fn open_scores(
    paths: &[PathBuf],
    ids: &mut IdMaker,
    now: u64,
    watch: &Watch,
) -> Result<Work, OpenError> {
    let (source_paths, title) = super::opus::expanded(paths)?;
    let (mut score, diagnostics) = read_files(&source_paths, watch)?;
    if !title.is_empty() {
        score.title = title;
    }
    Ok(new_work(score, source_paths, diagnostics, ids, now))
}

/// A work with a new study.
fn new_work(
    score: Score,
    source_paths: Vec<PathBuf>,
    diagnostics: Vec<Diagnostic>,
    ids: &mut IdMaker,
    now: u64,
) -> Work {
    let folder = source_paths.first().and_then(|path| path.parent()).unwrap_or(Path::new(""));
    let rows = source_paths.iter().zip(&score.sources).map(|(path, source)| SourceRow::File {
        path: super::relative_path(folder, path),
        fingerprint: source.fingerprint,
    });
    let rows = rows.collect();
    let mut study = Study::for_score(&score, rows, ids, now);
    if study.title.trim().is_empty() {
        let stem = source_paths.first().and_then(|path| path.file_stem());
        study.title = stem.map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    }
    Work::new(score, study, None, source_paths, diagnostics)
}

fn open_study(path: &Path, replacements: &Replacements, watch: &Watch) -> Result<Work, OpenError> {
    let path = store::resolved(path);
    let bytes = store::read(&path, store::MAX_STUDY_BYTES)?;
    let study = sidecar::read(&bytes).map_err(|cause| OpenError::Study {
        cause,
        backup: readable_backup(&path),
        path: path.clone(),
    })?;
    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let saved = Some((path, crate::hash::fingerprint(&bytes)));
    open_with(study, saved, &folder, &[], replacements, watch)
}

/// Whether a file is the version of a study before its last save.
fn is_backup(path: &Path) -> bool {
    let suffix = format!(".{}.bak", sidecar::EXTENSION);
    path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(&suffix))
}

/// Opens the version before the last save as a study that was never saved, so that saving it asks
/// for a place and overwrites nothing.
fn open_backup(path: &Path, replacements: &Replacements, watch: &Watch) -> Result<Work, OpenError> {
    let mut work = open_study(path, replacements, watch)?;
    work.saved = None;
    Ok(work)
}

fn readable_backup(path: &Path) -> Option<PathBuf> {
    let backup = store::backup_path(path);
    let bytes = store::read(&backup, store::MAX_STUDY_BYTES).ok()?;
    sidecar::read(&bytes).ok().map(|_| backup)
}

/// Opens what a journal left behind: the study that it builds on, with its edits. Edits that no
/// longer fit, because a source changed since, are answered beside with the reason.
///
/// # Errors
/// See [`OpenError`]. The journal is not touched.
pub fn open_left(
    left: &Left,
    replacements: &Replacements,
    watch: &Watch,
) -> Result<(Work, Vec<crate::study::Edit>, Vec<EditError>), OpenError> {
    let start = left.start()?;
    let sources = &left.header.sources;
    let mut work =
        open_with(start.study, start.saved, &start.folder, sources, replacements, watch)?;
    let mut replayed = Vec::new();
    let mut refused = Vec::new();
    let sources_before = work.study.sources.clone();
    for edit in start.edits {
        match work.study.apply(edit.clone()) {
            Ok(_) => replayed.push(edit),
            Err(error) => refused.push(error),
        }
    }
    if work.study.sources != sources_before {
        // Sources were added or taken away: read what there is now.
        let place = |row: &SourceRow| sources_before.iter().position(|known| known == row);
        let path = |row: &SourceRow| work.source_paths.get(place(row)?).cloned();
        let known: Vec<PathBuf> =
            work.study.sources.iter().map(|row| path(row).unwrap_or_default()).collect();
        let (study, saved) = (work.study, work.saved);
        work = open_with(study, saved, &start.folder, &known, replacements, watch)?;
    }
    work.rebuild_basis();
    Ok((work, replayed, refused))
}

fn open_with(
    study: Study,
    saved: Option<(PathBuf, u64)>,
    folder: &Path,
    known: &[PathBuf],
    replacements: &Replacements,
    watch: &Watch,
) -> Result<Work, OpenError> {
    let mut source_paths = Vec::new();
    let mut maps = Vec::new();
    let mut diagnostics = Vec::new();
    for (place, row) in study.sources.iter().enumerate() {
        match row {
            SourceRow::File { path, .. } => {
                let known = known.get(place).filter(|path| store::is_file(path));
                source_paths.push(find_source(path, folder, known, replacements)?);
            }
            SourceRow::BarMap { text } => {
                let (score, found) = barmap::read(text, map_title(&study, place))
                    .map_err(|cause| OpenError::BarMap { source_idx: place, cause })?;
                diagnostics.extend(found);
                maps.push((place, score));
                source_paths.push(PathBuf::new());
            }
        }
    }
    let files: Vec<PathBuf> =
        source_paths.iter().filter(|path| !path.as_os_str().is_empty()).cloned().collect();
    let mut score = Score::default();
    if !files.is_empty() {
        let (read, found) = read_files(&files, watch)?;
        score = read;
        diagnostics.splice(0..0, found);
    }
    let score = gather(score, maps);
    let fitted = reanchor(&study, &score);
    diagnostics.extend(fitted.diagnostics);
    diagnostics.extend(unused(&score, &fitted.study));
    let mut work = Work::new(score, fitted.study, saved, source_paths, diagnostics);
    work.fitted = fitted.changed;
    Ok(work)
}

fn find_source(
    written: &str,
    folder: &Path,
    known: Option<&PathBuf>,
    replacements: &Replacements,
) -> Result<PathBuf, OpenError> {
    let looked_for = source_path(folder, written);
    let path = replacements.get(written).or(known).unwrap_or(&looked_for);
    if store::is_file(path) {
        return Ok(store::resolved(path));
    }
    Err(OpenError::MissingSource { written: written.to_owned(), looked_for: path.clone() })
}

pub(super) fn read_files(
    paths: &[PathBuf],
    watch: &Watch,
) -> Result<(Score, Vec<Diagnostic>), OpenError> {
    let mut files = Vec::with_capacity(paths.len());
    for path in paths {
        files.push(input(path, store::read(path, store::MAX_SCORE_BYTES)?));
    }
    let import = import::read(&files, watch)?;
    Ok((import.score, import.diagnostics))
}

pub(super) fn input(path: &Path, bytes: Vec<u8>) -> InputFile {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    InputFile { name: name.unwrap_or_default(), bytes }
}
