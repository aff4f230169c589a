//! The files opened last.

use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// The files opened last, the latest first.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Recent {
    /// At most [`Recent::MAX`].
    pub files: Vec<RecentFile>,
}

/// A study, or the score files of a work, opened before.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct RecentFile {
    /// The study, or the score files in the order of the movements.
    pub paths: Vec<PathBuf>,
    /// The work's title when it was open.
    pub title: String,
    /// Where one was in it: movement and bar, 0-based.
    pub place: (usize, Option<u32>),
    /// When, in seconds since 1970-01-01 UTC.
    pub opened: u64,
}

impl Recent {
    /// So many are remembered.
    pub const MAX: usize = 12;

    /// Puts a file first.
    pub fn remember(&mut self, file: RecentFile) {
        self.forget(&file.paths);
        self.files.insert(0, file);
        self.files.truncate(Self::MAX);
    }

    /// Notes where one was in the files that were remembered last.
    pub fn leave_at(&mut self, paths: &[PathBuf], place: (usize, Option<u32>)) {
        if let Some(file) = self.files.iter_mut().find(|file| file.paths == paths) {
            file.place = place;
        }
    }

    /// Where one was in these files.
    pub fn place(&self, paths: &[PathBuf]) -> Option<(usize, Option<u32>)> {
        self.files.iter().find(|file| file.paths == paths).map(|file| file.place)
    }

    /// Takes files out.
    pub fn forget(&mut self, paths: &[PathBuf]) {
        self.files.retain(|file| file.paths != paths);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_comes_first_and_only_once() {
        let mut recent = Recent::default();
        let paths = |name: &str| vec![PathBuf::from(name)];
        let file = |name: &str| RecentFile { paths: paths(name), ..RecentFile::default() };
        for idx in 0..20 {
            recent.remember(file(&format!("{idx}.barloom")));
        }
        recent.remember(file("15.barloom"));
        assert_eq!(recent.files.len(), Recent::MAX);
        assert_eq!(recent.files[0], file("15.barloom"));
        let again = recent.files.iter().filter(|other| **other == file("15.barloom"));
        assert_eq!(again.count(), 1);
        recent.forget(&paths("15.barloom"));
        assert_eq!(recent.files[0], file("19.barloom"));
    }
}
