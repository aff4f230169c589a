//! All file access: reading with a size limit, replacing a file so that the old one survives until
//! the new one is whole, and files that grow line by line.
//!
//! It knows what a study file is only as far as never to overwrite something else with one. Times
//! and formats are not its business.

mod growing;
mod save;
#[cfg(test)]
mod tests;

pub use growing::{Growing, SyncHandle};
pub use save::{Expect, backup_path, replace, save_study};

use crate::sidecar::SidecarError;
use std::fs::{self, File, TryLockError};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// The largest score file that is read: 512 MiB.
pub const MAX_SCORE_BYTES: u64 = 512 << 20;
/// The largest study file that is read: 256 MiB.
pub const MAX_STUDY_BYTES: u64 = 256 << 20;

/// The endings of the names of score files, lower case.
pub const SCORE_ENDINGS: &[&str] = &["musicxml", "xml", "mxl", "mei"];

/// What went wrong with a file.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The system refused.
    #[error("cannot {doing} ({cause}): {}", path.display())]
    Io {
        /// What was tried: "read", "write".
        doing: &'static str,
        /// The system's answer.
        cause: io::Error,
        /// The file.
        path: PathBuf,
    },
    /// The file is larger than is read.
    #[error("the file is larger than {limit} bytes: {}", path.display())]
    TooLarge {
        /// The limit.
        limit: u64,
        /// The file.
        path: PathBuf,
    },
    /// A new study would overwrite a file that exists.
    #[error("the file exists already: {}", .0.display())]
    Exists(PathBuf),
    /// The file on disk is not the one that was opened: someone else saved it.
    #[error("the file was changed by someone else since it was opened: {}", .0.display())]
    Changed(PathBuf),
    /// The file on disk cannot be read as a study, so it is not overwritten.
    #[error("not overwritten, because what is there cannot be read ({cause}): {}", path.display())]
    NotAStudy {
        /// Why it cannot be read.
        cause: SidecarError,
        /// The file.
        path: PathBuf,
    },
}

impl StoreError {
    fn io(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_path_buf();
        move |cause| Self::Io { doing, cause, path }
    }

    /// Whether the file is simply not there.
    pub fn is_missing(&self) -> bool {
        matches!(self, Self::Io { cause, .. } if cause.kind() == io::ErrorKind::NotFound)
    }
}

/// Reads a whole file of at most `limit` bytes.
///
/// # Errors
/// When the system refuses or the file is larger.
pub fn read(path: &Path, limit: u64) -> Result<Vec<u8>, StoreError> {
    let fail = |cause| StoreError::io("read", path)(cause);
    let file = File::open(path).map_err(fail)?;
    let mut bytes = Vec::new();
    file.take(limit.saturating_add(1)).read_to_end(&mut bytes).map_err(fail)?;
    if bytes.len() as u64 > limit {
        return Err(StoreError::TooLarge { limit, path: path.to_path_buf() });
    }
    Ok(bytes)
}

/// The first bytes of a file, at most `n`.
///
/// # Errors
/// When the system refuses.
pub fn head(path: &Path, n: u64) -> Result<Vec<u8>, StoreError> {
    let fail = |cause| StoreError::io("read", path)(cause);
    let mut bytes = Vec::new();
    File::open(path).map_err(fail)?.take(n).read_to_end(&mut bytes).map_err(fail)?;
    Ok(bytes)
}

/// Whether there is a file.
pub fn is_file(path: &Path) -> bool {
    path.is_file()
}

/// Whether there is a folder.
pub fn is_folder(path: &Path) -> bool {
    path.is_dir()
}

/// The files of a folder that are scores by their names, and the others that are not hidden, both
/// sorted by name. Folders inside are not entered.
///
/// # Errors
/// When the system refuses.
pub fn scores_in(folder: &Path) -> Result<(Vec<PathBuf>, Vec<PathBuf>), StoreError> {
    let fail = |cause| StoreError::io("list", folder)(cause);
    let (mut scores, mut others) = (Vec::new(), Vec::new());
    for entry in fs::read_dir(folder).map_err(fail)? {
        let path = entry.map_err(fail)?.path();
        let hidden = path.file_name().is_some_and(|name| name.as_encoded_bytes().starts_with(b"."));
        if hidden || !path.is_file() {
            continue;
        }
        let ending = path.extension().map(|ext| ext.to_string_lossy().to_lowercase());
        let is_score = ending.is_some_and(|ending| SCORE_ENDINGS.contains(&ending.as_str()));
        if is_score { scores.push(path) } else { others.push(path) }
    }
    scores.sort();
    others.sort();
    Ok((scores, others))
}

/// The path without links and dots, or as it is when it cannot be resolved.
pub fn resolved(path: &Path) -> PathBuf {
    let parent = || Some(path.parent()?.canonicalize().ok()?.join(path.file_name()?));
    path.canonicalize().ok().or_else(parent).unwrap_or_else(|| path.to_path_buf())
}

/// The files of a folder whose names end in `.extension`, sorted by name; none if the folder does
/// not exist.
///
/// # Errors
/// When the system refuses.
pub fn list(folder: &Path, extension: &str) -> Result<Vec<PathBuf>, StoreError> {
    let fail = |cause| StoreError::io("list", folder)(cause);
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(fail(error)),
    };
    let mut found = Vec::new();
    for entry in entries {
        let path = entry.map_err(fail)?.path();
        if path.extension().is_some_and(|ext| ext == extension) && path.is_file() {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Makes a folder and those above it.
///
/// # Errors
/// When the system refuses.
pub fn make_folder(folder: &Path) -> Result<(), StoreError> {
    fs::create_dir_all(folder).map_err(StoreError::io("make the folder", folder))
}

/// Deletes a file; one that is not there is fine.
///
/// # Errors
/// When the system refuses.
pub fn remove(path: &Path) -> Result<(), StoreError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(StoreError::io("remove", path)(error))
        }
        _ => Ok(()),
    }
}

/// Whether a living process holds the file's lock.
pub(crate) fn is_held(path: &Path) -> bool {
    let Ok(file) = File::open(path) else { return false };
    matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock))
}
