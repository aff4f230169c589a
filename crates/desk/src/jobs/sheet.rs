//! Printing two passages side by side to a file.

use barloom_analysis::compare::Sheet;
use barloom_core::store;
use barloom_export::{ExportOptions, Typeset};
use std::path::PathBuf;

/// What is printed, and where to.
#[derive(Debug)]
pub struct SheetJob {
    /// The passages.
    pub sheet: Sheet,
    /// Where to.
    pub path: PathBuf,
    /// On what paper, with which date.
    pub options: ExportOptions,
}

impl SheetJob {
    /// Sets the pages; answers where they are, or why there are none.
    pub(super) fn run(self) -> Result<PathBuf, String> {
        let pages = Typeset::of_sheet(&self.sheet, &self.options).map_err(|e| e.to_string())?;
        let bytes = pages.pdf().map_err(|error| error.to_string())?;
        store::replace(&self.path, &bytes).map_err(|error| error.to_string())?;
        Ok(self.path)
    }
}
