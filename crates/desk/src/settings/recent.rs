//! The files opened last.

use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// The files opened last, the latest first.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Recent {
    /// At most [`Recent::MAX`].
    pub files: Vec<RecentFile>,
}

/// A file opened before.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct RecentFile {
    /// Where it is.
    pub path: PathBuf,
    /// The work's title when it was open.
    pub title: String,
    /// When, in seconds since 1970-01-01 UTC.
    pub opened: u64,
}

impl Recent {
    /// So many are remembered.
    pub const MAX: usize = 12;

    /// Puts a file first.
    pub fn remember(&mut self, file: RecentFile) {
        self.forget(&file.path);
        self.files.insert(0, file);
        self.files.truncate(Self::MAX);
    }

    /// Takes a file out.
    pub fn forget(&mut self, path: &Path) {
        self.files.retain(|file| file.path != path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_comes_first_and_only_once() {
        let mut recent = Recent::default();
        let file = |name: &str| RecentFile { path: name.into(), ..RecentFile::default() };
        for idx in 0..20 {
            recent.remember(file(&format!("{idx}.barloom")));
        }
        recent.remember(file("15.barloom"));
        assert_eq!(recent.files.len(), Recent::MAX);
        assert_eq!(recent.files[0].path, Path::new("15.barloom"));
        let again = recent.files.iter().filter(|file| file.path == Path::new("15.barloom"));
        assert_eq!(again.count(), 1);
        recent.forget(Path::new("15.barloom"));
        assert_eq!(recent.files[0].path, Path::new("19.barloom"));
    }
}
