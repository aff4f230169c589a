//! Opening what the command line names and computing its tracks.

use anyhow::Context;
use barloom_analysis::Tracks;
use barloom_analysis::settings::Settings;
use barloom_core::basis::Basis;
use barloom_core::diag::Diagnostic;
use barloom_core::import::{self, InputFile, Watch};
use barloom_core::store;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

/// What is open.
pub(crate) struct Opened {
    /// Corrected score and plan.
    pub(crate) basis: Basis,
    /// Everything computed from it.
    pub(crate) tracks: Tracks,
    /// What was noticed.
    pub(crate) diagnostics: Vec<Diagnostic>,
    /// How long reading alone took: bytes to finished score.
    pub(crate) reading: Duration,
}

/// Opens scores or a study.
pub(crate) fn open(paths: &[PathBuf]) -> anyhow::Result<Opened> {
    let mut files = Vec::with_capacity(paths.len());
    for path in paths {
        let bytes = store::read(path, 1 << 30)
            .with_context(|| format!("{} cannot be read", path.display()))?;
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        files.push(InputFile { name, bytes });
    }
    let start = Instant::now();
    let read = import::read(&files, &Watch::default())?;
    let reading = start.elapsed();
    let basis = Basis::of(read.score);
    let tracks =
        Tracks::of(&basis, &Settings::default(), &AtomicBool::new(false)).unwrap_or_default();
    Ok(Opened { basis, tracks, diagnostics: read.diagnostics, reading })
}
