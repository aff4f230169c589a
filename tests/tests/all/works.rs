//! Reads files the way the program does, and computes tracks and facts.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use barloom_analysis::Tracks;
use barloom_analysis::facts;
use barloom_analysis::settings::Settings;
use barloom_core::basis::Basis;
use barloom_core::import::{self, Import, ImportError, InputFile, Watch};
use barloom_core::score::Score;
use serde_json::Value;

use crate::outside;

/// Reads one file as a work of its own.
pub(crate) fn read(path: &Path) -> Result<Import, ImportError> {
    import::read(&[file(path)], &Watch::default())
}

/// Reads the movements of our example suite as one work.
pub(crate) fn example() -> Import {
    let folder = outside::root().join("examples/tide-mill");
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let scores = entries.filter(|path| path.extension().is_some_and(|ending| ending == "mxl"));
    let mut scores: Vec<PathBuf> = scores.collect();
    scores.sort();
    let files: Vec<InputFile> = scores.iter().map(|path| file(path)).collect();
    import::read(&files, &Watch::default()).unwrap()
}

/// The basis of a score without a study, and all its tracks.
pub(crate) fn analyzed(score: Score) -> (Basis, Tracks) {
    let basis = Basis::of(score);
    let never = AtomicBool::new(false);
    let tracks = Tracks::of(&basis, &Settings::default(), &never).unwrap();
    (basis, tracks)
}

/// The facts of what was read, without a study.
pub(crate) fn facts(import: Import) -> Value {
    let (basis, tracks) = analyzed(import.score);
    facts::facts(&basis, &tracks, None, &import.diagnostics)
}

fn file(path: &Path) -> InputFile {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    InputFile { name, bytes: std::fs::read(path).unwrap() }
}
