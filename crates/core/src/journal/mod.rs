//! The recovery journal: every edit of an open study on a line of its own, so that a program killed
//! at any moment loses nothing that reached the disk.
//!
//! A journal begins with what it builds on (a saved study with its fingerprint, or the text of one
//! never saved), goes on with numbered edits, and notes each save before it happens: after a kill in
//! the middle of a save it is still known which edits the file on disk has already. Each line begins
//! with the FNV-1a 64 of its rest; reading stops at the first line that does not agree. The folder
//! is chosen by the caller; a journal is locked while its study is open.

mod left;

pub use left::{Left, RecoverError, Start, pending};

use crate::hash::fingerprint;
use crate::sidecar::journal_line;
use crate::store::{self, Growing, StoreError, SyncHandle};
use crate::study::{Edit, IdMaker};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// The extension of journals, without the dot.
pub const EXTENSION: &str = "journal";
/// Written edits wait at most so long to be synced, if [`Journal::tick`] is called often enough.
pub const SYNC_EVERY: Duration = Duration::from_secs(1);

/// What a journal builds on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Base {
    /// A study file as it was when opened or last saved.
    Saved {
        /// The file, absolute.
        path: PathBuf,
        /// How often it had been saved.
        version: u64,
        /// FNV-1a 64 of its bytes.
        fingerprint: u64,
    },
    /// A study that was never saved, as the text of a study file.
    Unsaved {
        /// The folder that its sources' paths are relative to.
        folder: PathBuf,
        /// The text.
        text: String,
    },
}

/// The first line of a journal.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Header {
    /// The study's title, for the question at the next start.
    pub title: String,
    /// What the edits build on.
    pub base: Base,
    /// Where each source of the study was found, absolute; empty for bar maps.
    pub sources: Vec<PathBuf>,
}

/// A line of a journal.
#[derive(Clone, PartialEq, Debug)]
pub enum Line {
    /// The first one.
    Begin(Header),
    /// An edit with its number, counted from 1.
    Edit(u64, Edit),
    /// The study is about to be saved with all edits up to a number.
    Saving {
        /// Where to.
        path: PathBuf,
        /// FNV-1a 64 of the new file.
        fingerprint: u64,
        /// The last edit that is in it; 0 if none.
        after: u64,
    },
}

/// The bytes of a line: checksum, content, line end.
fn sealed(line: &Line) -> Vec<u8> {
    let content = journal_line(line);
    format!("{:016x} {content}\n", fingerprint(content.as_bytes())).into_bytes()
}

/// A journal being written.
#[derive(Debug)]
pub struct Journal {
    file: Arc<Mutex<Growing>>,
    n_edits: u64,
    waiting_since: Option<Instant>,
}

impl Journal {
    /// Begins a journal in a folder, which is made if it does not exist. `edits` are those made
    /// since what it builds on.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn begin(
        folder: &Path,
        header: &Header,
        edits: &[Edit],
        ids: &mut IdMaker,
    ) -> Result<Self, StoreError> {
        store::make_folder(folder)?;
        let mut bytes = sealed(&Line::Begin(header.clone()));
        let mut n_edits = 0;
        for edit in edits {
            n_edits += 1;
            bytes.extend(sealed(&Line::Edit(n_edits, edit.clone())));
        }
        let path = folder.join(format!("{}.{EXTENSION}", ids.next_id()));
        let file = Arc::new(Mutex::new(Growing::create(&path, &bytes)?));
        Ok(Self { file, n_edits, waiting_since: None })
    }

    /// Adds an edit. It outlives this process at once, and a power cut after the next sync.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn append(&mut self, edit: &Edit, now: Instant) -> Result<(), StoreError> {
        let line = sealed(&Line::Edit(self.n_edits + 1, edit.clone()));
        self.file.lock().unwrap_or_else(PoisonError::into_inner).append(&line)?;
        self.n_edits += 1;
        self.waiting_since.get_or_insert(now);
        Ok(())
    }

    /// Edits written so far.
    pub fn n_edits(&self) -> u64 {
        self.n_edits
    }

    /// What to sync now, if edits have waited for [`SYNC_EVERY`]; to be called several times a
    /// second. The sync itself may block and belongs on a worker thread.
    pub fn tick(&mut self, now: Instant) -> Option<SyncHandle> {
        let since = self.waiting_since?;
        if now.saturating_duration_since(since) < SYNC_EVERY {
            return None;
        }
        self.waiting_since = None;
        self.file.lock().unwrap_or_else(PoisonError::into_inner).sync_handle().ok()
    }

    /// What notes the next save. It can go to the thread that saves.
    pub fn save_note(&self) -> SaveNote {
        SaveNote { file: Arc::clone(&self.file), after: self.n_edits }
    }

    /// The file.
    pub fn path(&self) -> PathBuf {
        self.file.lock().unwrap_or_else(PoisonError::into_inner).path().to_path_buf()
    }

    /// Ends the journal of a study that is saved, or whose changes the user gave up.
    ///
    /// # Errors
    /// When the system refuses to delete the file.
    pub fn discard(self) -> Result<(), StoreError> {
        let path = self.path();
        drop(self);
        store::remove(&path)
    }
}

/// Notes a save in the journal before it happens.
#[derive(Debug)]
pub struct SaveNote {
    file: Arc<Mutex<Growing>>,
    after: u64,
}

impl SaveNote {
    /// Says that the study goes to `path` with this fingerprint, and waits for the disk.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn write(&self, path: &Path, fingerprint: u64) -> Result<(), StoreError> {
        let line = Line::Saving { path: path.to_path_buf(), fingerprint, after: self.after };
        let mut file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
        file.append(&sealed(&line))?;
        file.sync()
    }
}

#[cfg(test)]
mod tests;
