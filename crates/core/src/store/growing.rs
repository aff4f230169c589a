//! Files that grow line by line and are held while they do.

use super::StoreError;
use super::save::sync_folder_of;
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

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
