//! What the status says about the document, renewed after changes, and tracks as they arrive.

use super::{Desk, Now};
use crate::model::lists::{self, Fold, Sorting};
use crate::model::passages;
use crate::model::status::{RecentRow, ago};
use crate::model::view_state::ListKind;
use barloom_analysis::Tracks;
use std::sync::Arc;

impl Desk {
    /// New tracks; those of an older basis are dropped.
    pub fn analyzed(&mut self, tracks: Tracks) {
        if tracks.revision == self.basis().revision && self.document.is_some() {
            self.tracks = Arc::new(tracks);
            self.status.analyzing = false;
            self.stale = true;
        }
    }

    /// Renews the status; cheap when nothing has changed.
    pub fn refresh(&mut self, now: Now) {
        self.status.open = self.document.is_some();
        self.status.saved_words = self.saved_words(now);
        if !std::mem::take(&mut self.stale) {
            return;
        }
        let basis = match &self.document {
            Some(document) => Arc::clone(document.basis()),
            None => Arc::default(),
        };
        self.view.repair(&basis);
        self.repair_entries();
        let status = &mut self.status;
        match &self.document {
            Some(document) => {
                let work = document.work();
                status.path = work.saved.as_ref().map(|(path, _)| path.clone());
                status.proposed_path = work.study_path();
                status.name = match document.study().title.as_str() {
                    "" => String::from("Untitled"),
                    title => title.to_owned(),
                };
                status.unsaved = document.n_unsaved() > 0;
                status.undo = document.undo_label().map(str::to_owned);
                status.redo = document.redo_label().map(str::to_owned);
                status.diagnostics = work.all_diagnostics().into();
            }
            None => {
                status.path = None;
                status.name.clear();
                status.unsaved = false;
                status.undo = None;
                status.redo = None;
                status.diagnostics = Arc::default();
            }
        }
        self.renew_beside();
        self.status.n_looks = self.count_looks();
        self.list_recent(now);
    }

    /// Compares the passages side by side anew; what was found stays while tracks are on their way.
    fn renew_beside(&mut self) {
        let Some(pair) = self.view.beside else {
            self.status.beside = None;
            return;
        };
        if self.tracks.revision != self.basis().revision {
            return;
        }
        let settings = self.status.settings.thresholds.analysis().compare;
        self.status.beside = passages::beside(&self.env(), pair, &settings).map(Arc::new);
    }

    fn count_looks(&self) -> usize {
        let rows = lists::rows(ListKind::Diagnostics, Sorting::ByBar, &self.env());
        // The heads of kinds of findings are no places.
        rows.iter().filter(|row| !row.light && !matches!(row.fold, Fold::Head(_))).count()
    }

    /// Entries that the view points at may be gone after an undo.
    fn repair_entries(&mut self) {
        let gone = |id: &barloom_core::study::EntryId| self.study().entry(*id).is_none();
        let (layer, editing) = (self.view.layer.filter(gone), self.view.editing.filter(gone));
        if layer.is_some() {
            self.view.layer = None;
        }
        if editing.is_some() {
            self.view.editing = None;
        }
    }

    /// "Study saved 4 minutes ago", "3 changes not saved yet".
    fn saved_words(&self, now: Now) -> String {
        let Some(document) = &self.document else { return String::new() };
        if document.is_saving() {
            return String::from("Saving…");
        }
        if let Some(error) = document.journal_error() {
            return format!("Changes are not kept: {error}");
        }
        if document.is_unsaved() {
            return match document.n_unsaved() {
                0 => String::from("Study not saved yet"),
                1 => String::from("1 change not saved, kept in the journal"),
                n => format!("{n} changes not saved, kept in the journal"),
            };
        }
        match document.saved_at() {
            Some(at) => {
                let seconds = now.instant.saturating_duration_since(at).as_secs();
                format!("Study saved {}", ago(seconds))
            }
            None => String::from("Study as saved"),
        }
    }

    fn list_recent(&mut self, now: Now) {
        let row = |file: &crate::settings::RecentFile| RecentRow {
            paths: file.paths.clone(),
            title: file.title.clone(),
            when: ago(now.unix.saturating_sub(file.opened)),
        };
        self.status.recent = self.recent.files.iter().map(row).collect();
    }
}
