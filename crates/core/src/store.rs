//! All file access: reading with a size limit, replacing a file so that the old one survives until
//! the new one is whole, and files that grow line by line.
//!
//! It knows what a study file is only as far as never to overwrite something else with one. Times
//! and formats are not its business.

use crate::hash::fingerprint;
use crate::sidecar::{self, SidecarError};
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

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

/// What is expected at the place of a study that is saved.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Expect {
    /// No file.
    Nothing,
    /// The file with this fingerprint: the one that was opened or saved last. It may also be gone.
    Seen(u64),
    /// Any readable study: the user was asked and agreed.
    AnyStudy,
}

/// Saves a study: the text is written beside, synced and renamed, and what was there before is kept
/// as `NAME.barloom.bak`. Answers the fingerprint of the new file.
///
/// # Errors
/// When what is there is not what is expected, or is not a study of a known version, or when the
/// system refuses. The file is as it was before then.
pub fn save_study(path: &Path, text: &str, expect: Expect) -> Result<u64, StoreError> {
    let path = &resolved(path);
    match read(path, MAX_STUDY_BYTES) {
        Ok(bytes) => {
            check_overwrite(path, &bytes, expect)?;
            keep_backup(path)?;
        }
        Err(error) if error.is_missing() => {}
        Err(error) => return Err(error),
    }
    replace(path, text.as_bytes())?;
    Ok(fingerprint(text.as_bytes()))
}

fn check_overwrite(path: &Path, bytes: &[u8], expect: Expect) -> Result<(), StoreError> {
    match expect {
        Expect::Nothing => return Err(StoreError::Exists(path.to_path_buf())),
        Expect::Seen(seen) if seen == fingerprint(bytes) => return Ok(()),
        Expect::Seen(_) | Expect::AnyStudy => {}
    }
    let not_a_study = |cause| StoreError::NotAStudy { cause, path: path.to_path_buf() };
    sidecar::read(bytes).map_err(not_a_study)?;
    match expect {
        Expect::AnyStudy => Ok(()),
        _ => Err(StoreError::Changed(path.to_path_buf())),
    }
}

/// Where the version before the last save is kept.
pub fn backup_path(path: &Path) -> PathBuf {
    with_suffix(path, ".bak")
}

fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.file_name().map_or_else(OsString::new, OsString::from);
    name.push(suffix);
    path.with_file_name(name)
}

/// Keeps the present file as the backup. The file itself stays in place all the time, and so does
/// the older backup until the newer one is whole.
fn keep_backup(path: &Path) -> Result<(), StoreError> {
    let backup = backup_path(path);
    let beside = unused_name(&backup);
    let fail = |cause| StoreError::io("keep a backup", &backup)(cause);
    if fs::hard_link(path, &beside).is_err() {
        // Not every file system has links.
        fs::copy(path, &beside).map_err(fail)?;
        File::open(&beside).and_then(|file| file.sync_all()).map_err(fail)?;
    }
    let renamed = fs::rename(&beside, &backup).map_err(fail);
    // If both names are links to one file, renaming does nothing and leaves the first.
    remove(&beside)?;
    renamed
}

/// Replaces a file by new bytes: written beside in the same folder, synced, renamed, folder synced.
/// A kill at any moment leaves the old file or the new one.
///
/// # Errors
/// When the system refuses; the old file is untouched then.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let path = &resolved(path);
    let fail = |cause| StoreError::io("write", path)(cause);
    clear_leftovers(path);
    let beside = unused_name(path);
    let write = || -> io::Result<()> {
        let mut file = OpenOptions::new().write(true).create_new(true).open(&beside)?;
        // The lock tells a file being written from one left behind.
        let _ = file.try_lock();
        file.write_all(bytes)?;
        if let Ok(old) = fs::metadata(path) {
            // Losing the mode of the old file is no reason not to save.
            let _ = file.set_permissions(old.permissions());
        }
        file.sync_all()?;
        fs::rename(&beside, path)
    };
    if let Err(error) = write() {
        let _ = fs::remove_file(&beside);
        return Err(fail(error));
    }
    sync_folder_of(path);
    Ok(())
}

/// Makes a rename last through a power cut. Systems that cannot sync folders do it themselves.
fn sync_folder_of(path: &Path) {
    if let Some(folder) = path.parent() {
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

const BESIDE: &str = ".saving";

/// A name beside `path` that no other save uses.
fn unused_name(path: &Path) -> PathBuf {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    with_suffix(path, &format!(".{}-{count}{BESIDE}", std::process::id()))
}

/// Removes what a killed save left beside `path`: files of that name that nobody holds.
fn clear_leftovers(path: &Path) {
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else { return };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let Ok(files) = list(folder.unwrap_or(Path::new(".")), &BESIDE[1..]) else { return };
    for file in files {
        let other = file.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let ours = other.strip_prefix(name).is_some_and(|rest| rest.starts_with('.'));
        if ours && !is_held(&file) {
            let _ = fs::remove_file(&file);
        }
    }
}

/// Whether a living process holds the file's lock.
pub(crate) fn is_held(path: &Path) -> bool {
    let Ok(file) = File::open(path) else { return false };
    matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock))
}

/// A file that only grows, held by this process until it is dropped.
#[derive(Debug)]
pub struct Growing {
    file: File,
    path: PathBuf,
}

impl Growing {
    /// Makes a new file with its first bytes, synced.
    ///
    /// # Errors
    /// When the file exists or the system refuses.
    pub fn create(path: &Path, first: &[u8]) -> Result<Self, StoreError> {
        let fail = |cause| StoreError::io("write", path)(cause);
        let open = OpenOptions::new().append(true).read(true).create_new(true).open(path);
        let mut file = open.map_err(fail)?;
        // Without locks (some network folders) the file merely looks left behind while in use.
        let _ = file.try_lock();
        file.write_all(first).and_then(|()| file.sync_all()).map_err(fail)?;
        sync_folder_of(path);
        Ok(Self { file, path: path.to_path_buf() })
    }

    /// Adds bytes. They outlive this process at once, and a power cut after [`Self::sync`].
    ///
    /// # Errors
    /// When the system refuses.
    pub fn append(&mut self, bytes: &[u8]) -> Result<(), StoreError> {
        self.file.write_all(bytes).map_err(StoreError::io("write", &self.path))
    }

    /// Waits until everything is on the disk.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn sync(&self) -> Result<(), StoreError> {
        self.file.sync_data().map_err(StoreError::io("write", &self.path))
    }

    /// What [`Self::sync`] does, for another thread.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn sync_handle(&self) -> Result<SyncHandle, StoreError> {
        let file = self.file.try_clone().map_err(StoreError::io("write", &self.path))?;
        Ok(SyncHandle { file, path: self.path.clone() })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

/// Something to wait for: written bytes on their way to the disk.
#[derive(Debug)]
pub struct SyncHandle {
    file: File,
    path: PathBuf,
}

impl SyncHandle {
    /// Waits until everything written before is on the disk.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn run(self) -> Result<(), StoreError> {
        self.file.sync_data().map_err(StoreError::io("write", &self.path))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::testing::small_study;

    fn text(version: u64) -> String {
        let mut study = small_study();
        study.version = version;
        sidecar::write(&study)
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn the_version_before_is_kept_and_nothing_is_left_beside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("suite.barloom");
        let first = save_study(&path, &text(1), Expect::Nothing).unwrap();
        let second = save_study(&path, &text(2), Expect::Seen(first)).unwrap();
        save_study(&path, &text(3), Expect::Seen(second)).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), text(3));
        assert_eq!(fs::read_to_string(backup_path(&path)).unwrap(), text(2));
        assert_eq!(names(folder.path()), ["suite.barloom", "suite.barloom.bak"]);
    }

    #[test]
    fn what_is_not_ours_is_not_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("suite.barloom");
        let seen = save_study(&path, &text(1), Expect::Nothing).unwrap();
        let again = save_study(&path, &text(2), Expect::Nothing);
        assert!(matches!(again, Err(StoreError::Exists(_))), "{again:?}");
        save_study(&path, &text(7), Expect::AnyStudy).unwrap();
        let stale = save_study(&path, &text(2), Expect::Seen(seen));
        assert!(matches!(stale, Err(StoreError::Changed(_))), "{stale:?}");
        for foreign in ["a shopping list", "(version: 2, bars: [])", ""] {
            replace(&path, foreign.as_bytes()).unwrap();
            for expect in [Expect::AnyStudy, Expect::Seen(seen)] {
                let refused = save_study(&path, &text(2), expect);
                assert!(matches!(refused, Err(StoreError::NotAStudy { .. })), "{refused:?}");
            }
            assert_eq!(fs::read_to_string(&path).unwrap(), foreign);
        }
    }

    #[test]
    fn what_a_killed_save_left_is_cleared_and_what_lives_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("suite.barloom");
        for name in ["suite.barloom.99-0.saving", "other.barloom.99-0.saving"] {
            replace(&folder.path().join(name), b"half").unwrap();
        }
        save_study(&path, &text(1), Expect::Nothing).unwrap();
        assert_eq!(names(folder.path()), ["other.barloom.99-0.saving", "suite.barloom"]);
    }

    #[test]
    fn files_over_the_limit_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("large");
        replace(&path, &[7; 11]).unwrap();
        assert_eq!(read(&path, 11).unwrap().len(), 11);
        assert!(matches!(read(&path, 10), Err(StoreError::TooLarge { limit: 10, .. })));
        assert!(read(&folder.path().join("none"), 10).unwrap_err().is_missing());
    }
}
