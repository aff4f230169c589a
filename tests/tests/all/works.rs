//! Reads a file the way the program does, and computes its facts.

use std::path::Path;
use std::sync::atomic::AtomicBool;

use barloom_analysis::Tracks;
use barloom_analysis::facts;
use barloom_analysis::settings::Settings;
use barloom_core::basis::Basis;
use barloom_core::import::{self, Import, ImportError, InputFile, Watch};
use serde_json::Value;

/// Reads one file as a work of its own.
pub(crate) fn read(path: &Path) -> Result<Import, ImportError> {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let file = InputFile { name, bytes: std::fs::read(path).unwrap() };
    import::read(&[file], &Watch::default())
}

/// The facts of what was read, without a study.
pub(crate) fn facts(import: Import) -> Value {
    let basis = Basis::of(import.score);
    let never = AtomicBool::new(false);
    let tracks = Tracks::of(&basis, &Settings::default(), &never).unwrap();
    facts::facts(&basis, &tracks, None, &import.diagnostics)
}
