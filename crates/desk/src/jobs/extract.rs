//! Writing bars as MusicXML to a file.

use barloom_core::basis::Basis;
use barloom_core::store;
use barloom_core::study::Study;
use barloom_export::musicxml::{self, Excerpt};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What is written, and where to.
#[derive(Debug)]
pub struct ExtractJob {
    /// The corrected score.
    pub basis: Arc<Basis>,
    /// The marks and decisions.
    pub study: Study,
    /// Which bars and parts.
    pub excerpt: Excerpt,
    /// Where to; a name that ends in `.mxl` gives the compressed form.
    pub path: PathBuf,
}

impl ExtractJob {
    /// Writes the file; answers where it is, or why there is none.
    pub(super) fn run(self) -> Result<PathBuf, String> {
        let compressed = ending(&self.path).is_some_and(|ending| ending == "mxl");
        let bytes = musicxml::excerpt(&self.basis, &self.excerpt, Some(&self.study), compressed);
        let bytes = bytes.map_err(|error| error.to_string())?;
        store::replace(&self.path, &bytes).map_err(|error| error.to_string())?;
        Ok(self.path)
    }
}

/// The path with an ending that scores have.
pub(crate) fn as_score(path: PathBuf) -> PathBuf {
    match ending(&path).as_deref() {
        Some("musicxml" | "xml" | "mxl") => path,
        _ => path.with_extension("musicxml"),
    }
}

fn ending(path: &Path) -> Option<String> {
    path.extension().and_then(|ending| ending.to_str()).map(str::to_ascii_lowercase)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scores_keep_their_ending_and_others_get_one() {
        assert_eq!(as_score(PathBuf::from("a.mxl")), Path::new("a.mxl"));
        assert_eq!(as_score(PathBuf::from("a.barloom")), Path::new("a.musicxml"));
        assert_eq!(as_score(PathBuf::from("a")), Path::new("a.musicxml"));
    }
}
