//! Replacing a file so that the old one survives until the new one is whole, and saving a study over
//! nothing but itself.

use super::{MAX_STUDY_BYTES, StoreError, is_held, list, read, remove, resolved};
use crate::hash::fingerprint;
use crate::sidecar;
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

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
pub(super) fn sync_folder_of(path: &Path) {
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
