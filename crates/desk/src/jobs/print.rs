//! Printing the plan to a file.

use barloom_analysis::Tracks;
use barloom_analysis::plan::{self, PlanOptions};
use barloom_core::basis::Basis;
use barloom_core::diag::Diagnostic;
use barloom_core::store;
use barloom_core::study::Study;
use barloom_export::{ExportOptions, Typeset};
use std::path::PathBuf;
use std::sync::Arc;

/// Everything a plan is made of.
#[derive(Debug)]
pub struct PrintJob {
    /// What was analyzed.
    pub basis: Arc<Basis>,
    /// Its tracks.
    pub tracks: Arc<Tracks>,
    /// The decisions and marks.
    pub study: Study,
    /// What was found while reading and fitting.
    pub found: Arc<[Diagnostic]>,
    /// Where to.
    pub path: PathBuf,
    /// On what paper, with which date.
    pub options: ExportOptions,
}

impl PrintJob {
    /// Makes the plan; answers where it is and how many pages it has, or why there is none.
    pub(super) fn run(self) -> Result<(PathBuf, usize), String> {
        let options = PlanOptions::default();
        let plan = plan::build(&self.basis, &self.tracks, &self.study, &self.found, &options);
        let pages = Typeset::of(&plan, &self.options).map_err(|e| e.to_string())?;
        let bytes = pages.pdf().map_err(|error| error.to_string())?;
        store::replace(&self.path, &bytes).map_err(|error| error.to_string())?;
        Ok((self.path, pages.n_pages()))
    }
}
