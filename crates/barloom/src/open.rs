//! Opening what the command line names and computing its tracks.

use barloom_analysis::Tracks;
use barloom_analysis::findings;
use barloom_analysis::settings::Settings;
use barloom_core::diag::Diagnostic;
use barloom_core::import::Watch;
use barloom_core::study::{IdMaker, Study};
use barloom_core::work::{self, Replacements, Work};
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

/// A work and everything computed from it.
pub(crate) struct Opened {
    /// Score, study and basis.
    pub(crate) work: Work,
    /// The tracks.
    pub(crate) tracks: Tracks,
}

/// Opens scores or a study.
pub(crate) fn work(paths: &[PathBuf]) -> anyhow::Result<Work> {
    let now = u64::try_from(time::UtcDateTime::now().unix_timestamp()).unwrap_or(0);
    let opened =
        work::open(paths, &Replacements::new(), &mut IdMaker::new(), now, &Watch::default())?;
    Ok(opened)
}

impl Opened {
    /// Opens scores or a study and computes everything.
    pub(crate) fn of(paths: &[PathBuf]) -> anyhow::Result<Self> {
        let work = self::work(paths)?;
        let go_on = AtomicBool::new(false);
        let tracks = Tracks::of(&work.basis, &Settings::default(), &go_on).unwrap_or_default();
        Ok(Self { work, tracks })
    }

    /// The study, if one was opened; scores alone are studied without decisions.
    pub(crate) fn study(&self) -> Option<&Study> {
        self.work.saved.is_some().then_some(&self.work.study)
    }

    /// What was noticed while reading, fitting and computing.
    pub(crate) fn diagnostics(&self) -> Vec<Diagnostic> {
        let mut found = self.work.all_diagnostics();
        let computed = findings::findings(&self.work.basis, &self.tracks, &found);
        found.extend(computed);
        found
    }
}
