//! The system's file dialogs.

use crate::model::desk::Chosen;
use crate::model::field::Purpose;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// A dialog to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// What it is for: opening, saving, printing.
    pub purpose: Purpose,
    /// Whether the files are added to the open work.
    pub add: bool,
    /// The file proposed, for saving and printing.
    pub proposed: PathBuf,
}

/// Nobody closes a dialog as fast as this: then there was none.
const AT_ONCE: Duration = Duration::from_millis(400);

impl Question {
    /// Asks and waits; for a thread of its own.
    pub(super) fn ask(self) -> Chosen {
        let begun = Instant::now();
        let mut dialog = rfd::FileDialog::new();
        if let Some(folder) = self.proposed.parent().filter(|f| !f.as_os_str().is_empty()) {
            dialog = dialog.set_directory(folder);
        }
        if let Some(name) = self.proposed.file_name() {
            dialog = dialog.set_file_name(name.to_string_lossy());
        }
        let paths = match self.purpose {
            Purpose::SavePath => {
                let dialog =
                    dialog.add_filter("Barloom study", &[barloom_core::sidecar::EXTENSION]);
                dialog.save_file().into_iter().collect()
            }
            Purpose::BarsPath => {
                let dialog = dialog.add_filter("MusicXML", &["musicxml", "mxl"]);
                dialog.save_file().into_iter().collect()
            }
            Purpose::PlanPath | Purpose::SheetPath => {
                dialog.add_filter("PDF", &["pdf"]).save_file().into_iter().collect()
            }
            _ => {
                let mut endings = vec!["musicxml", "xml", "mxl", "mei"];
                if !self.add {
                    endings.push(barloom_core::sidecar::EXTENSION);
                }
                dialog.add_filter("Scores and studies", &endings).pick_files().unwrap_or_default()
            }
        };
        let at_once = paths.is_empty() && begun.elapsed() < AT_ONCE;
        Chosen { purpose: self.purpose, add: self.add, paths, at_once }
    }
}
