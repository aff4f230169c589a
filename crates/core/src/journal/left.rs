//! Journals that were left behind: reading them, and what they are replayed onto.

use super::{Base, EXTENSION, Header, Line};
use crate::hash::fingerprint;
use crate::sidecar::{self, SidecarError, parse_journal_line};
use crate::store::{self, StoreError};
use crate::study::{Edit, Study};
use std::path::{Path, PathBuf};

/// The largest journal that is read: 256 MiB.
const MAX_BYTES: u64 = 256 << 20;

/// A journal that nobody writes any more.
#[derive(Clone, Debug)]
pub struct Left {
    /// The file.
    pub path: PathBuf,
    /// Its first line.
    pub header: Header,
    /// What follows, in order.
    pub lines: Vec<Line>,
    /// Whether something after the last good line could not be read: the line that was being
    /// written when the program ended, as a rule.
    pub torn: bool,
}

/// Reads the text of a journal. `None` if not even its first line is whole.
pub(super) fn parse(path: &Path, bytes: &[u8]) -> Option<Left> {
    let mut lines = Vec::new();
    let mut rest = bytes;
    let mut torn = false;
    while !rest.is_empty() {
        let end = rest.iter().position(|byte| *byte == b'\n');
        let Some(line) = end.and_then(|end| rest.get(..end)).and_then(parse_sealed) else {
            torn = true;
            break;
        };
        lines.push(line);
        rest = rest.get(end.map_or(rest.len(), |end| end + 1)..).unwrap_or_default();
    }
    let mut lines = lines.into_iter();
    let Some(Line::Begin(header)) = lines.next() else { return None };
    Some(Left { path: path.to_path_buf(), header, lines: lines.collect(), torn })
}

fn parse_sealed(line: &[u8]) -> Option<Line> {
    let (seal, content) = std::str::from_utf8(line).ok()?.split_once(' ')?;
    let seal = u64::from_str_radix(seal, 16).ok()?;
    if seal != fingerprint(content.as_bytes()) {
        return None;
    }
    parse_journal_line(content).ok()
}

/// The journals that were left behind in a folder and hold something that is nowhere else: edits, or
/// a study that was never saved. Those that a living process holds are not among them; those that
/// hold nothing are removed on the way.
///
/// # Errors
/// When the folder cannot be listed.
pub fn pending(folder: &Path) -> Result<Vec<Left>, StoreError> {
    let mut found: Vec<Left> = Vec::new();
    for path in store::list(folder, EXTENSION)? {
        if store::is_held(&path) {
            continue;
        }
        let Ok(bytes) = store::read(&path, MAX_BYTES) else { continue };
        match parse(&path, &bytes) {
            Some(left) if left.holds_something() => found.push(left),
            _ => store::remove(&path)?,
        }
    }
    // Two are left of one study when the program ended between beginning the second and deleting
    // the first; one of them has all that the other has.
    let starts: Vec<Option<Start>> = found.iter().map(|left| left.start().ok()).collect();
    let covered = |idx: usize| {
        let Some(Some(start)) = starts.get(idx) else { return false };
        starts.iter().enumerate().any(|(other_idx, other)| {
            let Some(other) = other else { return false };
            let same = start.saved.is_some() && start.saved == other.saved;
            let longer = (other.edits.len(), idx) > (start.edits.len(), other_idx);
            same && other_idx != idx && longer && other.edits.starts_with(&start.edits)
        })
    };
    let mut kept = Vec::with_capacity(found.len());
    for (idx, left) in found.iter().enumerate() {
        if covered(idx) { left.discard()? } else { kept.push(left.clone()) }
    }
    Ok(kept)
}

/// Why a journal cannot be replayed.
#[derive(Debug, thiserror::Error)]
pub enum RecoverError {
    /// The study file was saved by someone else, or is another one now.
    #[error("the study was changed after this journal was written: {}", .0.display())]
    OtherBase(PathBuf),
    /// The study file cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The study text is damaged.
    #[error("the study cannot be read ({cause}): {}", path.display())]
    Study {
        /// What is wrong with it.
        cause: SidecarError,
        /// The study file, or the journal when the study was never saved.
        path: PathBuf,
    },
}

/// What a journal is replayed onto.
#[derive(Debug)]
pub struct Start {
    /// The study without the edits.
    pub study: Study,
    /// Its file and the fingerprint of that, unless it was never saved.
    pub saved: Option<(PathBuf, u64)>,
    /// The folder that its sources' paths are relative to.
    pub folder: PathBuf,
    /// The edits that it does not have yet.
    pub edits: Vec<Edit>,
}

impl Left {
    /// Whether it holds anything that the study file does not have.
    fn holds_something(&self) -> bool {
        match self.start() {
            Ok(Start { saved: Some(_), edits, .. }) => !edits.is_empty(),
            Ok(_) => true,
            // Something may be saved of it by hand.
            Err(_) => self.n_edits() > 0,
        }
    }

    /// Whether it holds a study that was never saved.
    pub fn is_unsaved(&self) -> bool {
        matches!(self.header.base, Base::Unsaved { .. })
    }

    /// The number of edits.
    pub fn n_edits(&self) -> usize {
        self.lines.iter().filter(|line| matches!(line, Line::Edit(..))).count()
    }

    /// The study that this journal builds on as it is on disk now, and the edits that are missing
    /// there. A save that the program did not survive to confirm counts if it took place.
    ///
    /// # Errors
    /// See [`RecoverError`]; nothing is changed then.
    pub fn start(&self) -> Result<Start, RecoverError> {
        let saves = self.lines.iter().rev().filter_map(|line| match line {
            Line::Saving { path, fingerprint, after } => Some((path, *fingerprint, *after)),
            _ => None,
        });
        let first = match &self.header.base {
            Base::Saved { path, fingerprint, .. } => Some((path, *fingerprint, 0)),
            Base::Unsaved { .. } => None,
        };
        let mut failed = None;
        for (path, expected, after) in saves.chain(first) {
            match store::read(path, store::MAX_STUDY_BYTES) {
                Ok(bytes) if fingerprint(&bytes) == expected => {
                    let study = sidecar::read(&bytes)
                        .map_err(|cause| RecoverError::Study { cause, path: path.clone() })?;
                    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
                    let saved = Some((path.clone(), expected));
                    return Ok(Start { study, saved, folder, edits: self.edits_after(after) });
                }
                Ok(_) => failed = Some(RecoverError::OtherBase(path.clone())),
                Err(error) => failed = Some(error.into()),
            }
        }
        match &self.header.base {
            Base::Unsaved { folder, text } => {
                let path = self.path.clone();
                let study =
                    sidecar::parse(text).map_err(|cause| RecoverError::Study { cause, path })?;
                let (folder, edits) = (folder.clone(), self.edits_after(0));
                Ok(Start { study, saved: None, folder, edits })
            }
            Base::Saved { path, .. } => {
                Err(failed.unwrap_or_else(|| RecoverError::OtherBase(path.clone())))
            }
        }
    }

    fn edits_after(&self, after: u64) -> Vec<Edit> {
        let later = |line: &Line| match line {
            Line::Edit(number, edit) if *number > after => Some(edit.clone()),
            _ => None,
        };
        self.lines.iter().filter_map(later).collect()
    }

    /// Deletes the journal.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn discard(&self) -> Result<(), StoreError> {
        store::remove(&self.path)
    }
}
