//! The open document: the work, its study, undo, the recovery journal and what is saved.
//!
//! It knows no window and starts no threads: saving is a job that a worker runs, and clocks are
//! read by the caller. Every change of the study goes through [`Document::apply`].

use super::history::{GestureKey, History, StateId};
use barloom_core::basis::Basis;
use barloom_core::hash::fingerprint;
use barloom_core::journal::{Base, Header, Journal, Left, SaveNote};
use barloom_core::sidecar;
use barloom_core::store::{self, Expect, StoreError, SyncHandle};
use barloom_core::study::{Edit, EditError, IdMaker, Study};
use barloom_core::work::{Added, Work};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

/// An open work with everything that can happen to it.
#[derive(Debug)]
pub struct Document {
    work: Work,
    history: History,
    ids: IdMaker,
    saved: Option<StateId>,
    /// When the study was saved last in this run.
    saved_at: Option<Instant>,
    autosave: Autosave,
    saving: Option<StateId>,
    n_unsaved: usize,
}

/// The journal and what is needed to begin a new one.
#[derive(Debug)]
struct Autosave {
    /// Where journals lie; `None` if there is no place for them.
    folder: Option<PathBuf>,
    journal: Option<Journal>,
    /// Edits since the base of the next journal, as far as no journal of that base has them: all
    /// while none could be begun, and those made while a save is under way.
    since: Vec<Edit>,
    /// How many of them the save that is under way has.
    n_in_save: usize,
    /// The study as the next journal's base has it, unless it was saved.
    base: Option<Study>,
    /// Why the journal is not written, if it is not.
    failed: Option<String>,
}

/// Everything that a worker needs to save.
#[derive(Debug)]
pub struct SaveJob {
    path: PathBuf,
    study: Study,
    expect: Expect,
    note: Option<SaveNote>,
    state: StateId,
}

/// What came of a save.
#[derive(Debug)]
pub struct SaveDone {
    path: PathBuf,
    version: u64,
    state: StateId,
    /// The fingerprint of the file, or why it was not written.
    pub result: Result<u64, StoreError>,
}

impl SaveJob {
    /// Writes the file. Blocks; for a worker thread.
    pub fn run(self) -> SaveDone {
        let Self { path, study, expect, note, state } = self;
        let version = study.version;
        let text = sidecar::write(&study);
        // If the journal cannot be written, saving the study is all the more urgent.
        let _ = note.map(|note| note.write(&path, fingerprint(text.as_bytes())));
        let result = store::save_study(&path, &text, expect);
        SaveDone { path, version, state, result }
    }

    /// Where to.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Document {
    /// A document of an opened work. `journals` is the folder for the recovery journal.
    pub fn new(work: Work, journals: Option<PathBuf>, ids: IdMaker) -> Self {
        let history = History::default();
        let clean = work.saved.is_some() && !work.fitted;
        let saved = clean.then(|| history.state());
        // A fitted study differs from its file, but fits again by itself when the edits are
        // replayed; one that was never saved must be kept whole.
        let base = work.saved.is_none().then(|| work.study.clone());
        let autosave = Autosave {
            folder: journals,
            journal: None,
            since: Vec::new(),
            n_in_save: 0,
            base,
            failed: None,
        };
        Self { work, history, ids, saved, saved_at: None, autosave, saving: None, n_unsaved: 0 }
    }

    /// A document of what a journal left behind: `work` has the edits already, `replayed` are they.
    /// The old journal goes as soon as a new one holds them.
    pub fn recovered(
        work: Work,
        replayed: Vec<Edit>,
        left: &Left,
        journals: Option<PathBuf>,
        ids: IdMaker,
    ) -> Self {
        let mut document = Self::new(work, journals, ids);
        document.saved = None;
        document.n_unsaved = replayed.len();
        if document.work.saved.is_some() {
            document.autosave.since = replayed;
        }
        document.begin_journal();
        if document.autosave.journal.is_some() {
            // One that stays is merely offered once more.
            let _ = left.discard();
        }
        document
    }

    /// The open work.
    pub fn work(&self) -> &Work {
        &self.work
    }

    /// The study.
    pub fn study(&self) -> &Study {
        &self.work.study
    }

    /// What analyses read.
    pub fn basis(&self) -> &Arc<Basis> {
        &self.work.basis
    }

    /// Makes ids for new entries.
    pub fn ids(&mut self) -> &mut IdMaker {
        &mut self.ids
    }

    /// Changes the study. Edits with the same gesture that follow each other become one step.
    ///
    /// # Errors
    /// When the study refuses the edit; nothing has changed then.
    pub fn apply(
        &mut self,
        edit: Edit,
        label: &str,
        gesture: Option<GestureKey>,
        now: Instant,
    ) -> Result<(), EditError> {
        if matches!(&edit, Edit::All(edits) if edits.is_empty()) {
            return Ok(());
        }
        let inverse = self.perform(edit, now)?;
        self.history.push(label, gesture, inverse);
        Ok(())
    }

    /// Takes further score files or a bar map into the study, as one step.
    ///
    /// # Errors
    /// When the study refuses the edit, since it changed while they were read.
    pub fn add(&mut self, added: &Added, label: &str, now: Instant) -> Result<(), EditError> {
        self.work.take_files(added);
        self.apply(added.edit.clone(), label, None, now)
    }

    /// Ends a gesture, so that the next edit is a step of its own.
    pub fn end_gesture(&mut self) {
        self.history.end_gesture();
    }

    /// Takes the last step back and answers its label; `None` if there is none.
    pub fn undo(&mut self, now: Instant) -> Option<String> {
        let label = self.history.undo_label()?.to_owned();
        let edit = self.history.undo_edit()?.clone();
        let inverse = self.perform(edit, now);
        debug_assert!(inverse.is_ok(), "{inverse:?}");
        self.history.undone(inverse.ok()?);
        Some(label)
    }

    /// Does the last step again and answers its label; `None` if there is none.
    pub fn redo(&mut self, now: Instant) -> Option<String> {
        let label = self.history.redo_label()?.to_owned();
        let edit = self.history.redo_edit()?.clone();
        let inverse = self.perform(edit, now);
        debug_assert!(inverse.is_ok(), "{inverse:?}");
        self.history.redone(inverse.ok()?);
        Some(label)
    }

    /// The step that undo takes back: "add cue".
    pub fn undo_label(&self) -> Option<&str> {
        self.history.undo_label()
    }

    /// The step that redo does again.
    pub fn redo_label(&self) -> Option<&str> {
        self.history.redo_label()
    }

    fn perform(&mut self, edit: Edit, now: Instant) -> Result<Edit, EditError> {
        let touches_basis = edit.touches_basis(&self.work.study);
        let inverse = self.work.study.apply(edit.clone())?;
        self.n_unsaved += 1;
        self.keep(edit, now);
        if touches_basis {
            self.work.follow_sources();
            self.work.rebuild_basis();
        }
        Ok(inverse)
    }

    /// Whether there are changes that are not in the study file.
    pub fn is_unsaved(&self) -> bool {
        self.saved != Some(self.history.state())
    }

    /// The number of edits since the last save, undone ones included.
    pub fn n_unsaved(&self) -> usize {
        if self.is_unsaved() { self.n_unsaved } else { 0 }
    }

    /// When the study was saved last in this run.
    pub fn saved_at(&self) -> Option<Instant> {
        self.saved_at
    }

    /// Whether a save is under way.
    pub fn is_saving(&self) -> bool {
        self.saving.is_some()
    }

    /// Why edits are not kept in the journal, if they are not.
    pub fn journal_error(&self) -> Option<&str> {
        self.autosave.failed.as_deref()
    }

    /// What a worker needs to save the study as it is now. `to` is a new place, which the user has
    /// agreed to overwrite if a study is there; `None` means the present file, or the proposed one.
    /// `None` is answered while another save is under way.
    pub fn snapshot(&mut self, to: Option<PathBuf>) -> Option<SaveJob> {
        if self.is_saving() {
            return None;
        }
        let chosen = to.is_some();
        let path = store::resolved(&to.unwrap_or_else(|| self.work.study_path()));
        let expect = match &self.work.saved {
            Some((saved, seen)) if *saved == path => Expect::Seen(*seen),
            _ if chosen => Expect::AnyStudy,
            _ => Expect::Nothing,
        };
        let mut study = self.work.study_for(path.parent().unwrap_or(Path::new("")));
        study.version += 1;
        let state = self.history.state();
        self.saving = Some(state);
        self.autosave.n_in_save = self.autosave.since.len();
        let note = self.autosave.journal.as_ref().map(Journal::save_note);
        Some(SaveJob { path, study, expect, note, state })
    }

    /// Takes in what came of a save. Edits made while it was under way stay unsaved.
    ///
    /// # Errors
    /// Why the study was not saved; it is as unsaved as before then.
    pub fn finish_save(&mut self, done: SaveDone, now: Instant) -> Result<(), StoreError> {
        self.saving = None;
        let seen = match done.result {
            Ok(seen) => seen,
            Err(error) => {
                if self.autosave.journal.is_some() {
                    self.autosave.since.clear();
                }
                return Err(error);
            }
        };
        self.work.note_saved(done.path, seen, done.version);
        self.saved = Some(done.state);
        self.saved_at = Some(now);
        self.autosave.since.drain(..self.autosave.n_in_save.min(self.autosave.since.len()));
        self.n_unsaved = self.autosave.since.len();
        self.autosave.base = None;
        let old = self.autosave.journal.take();
        // First the new journal with what the file lacks, then the old one may go.
        if !self.autosave.since.is_empty() {
            self.begin_journal();
        }
        if let Some(old) = old
            && self.autosave.failed.is_none()
        {
            // One that stays is recognized at the next start: its save is noted in it.
            let _ = old.discard();
        }
        Ok(())
    }

    /// To be called several times a second: answers what a worker should sync to the disk, so that
    /// no more than a second of work is lost in a power cut.
    pub fn tick(&mut self, now: Instant) -> Option<SyncHandle> {
        self.autosave.journal.as_mut()?.tick(now)
    }

    /// Closes the document. With `discard` the changes since the last save are given up and the
    /// journal goes; otherwise the journal stays for the next start if there are such changes.
    pub fn close(self, discard: bool) {
        let unsaved = self.is_unsaved();
        if let Some(journal) = self.autosave.journal
            && (discard || !unsaved)
        {
            // A journal that stays is merely offered once more.
            let _ = journal.discard();
        }
    }

    /// Keeps an edit in the journal, which is begun with the first.
    fn keep(&mut self, edit: Edit, now: Instant) {
        let Some(journal) = &mut self.autosave.journal else {
            self.autosave.since.push(edit);
            self.begin_journal();
            return;
        };
        if let Err(error) = journal.append(&edit, now) {
            self.autosave.failed = Some(error.to_string());
        }
        if self.saving.is_some() {
            self.autosave.since.push(edit);
        }
    }

    /// Begins a journal with the edits since its base. A failure is kept to be shown.
    fn begin_journal(&mut self) {
        let Some(folder) = &self.autosave.folder else { return };
        let base = match (&self.work.saved, &self.autosave.base) {
            (_, Some(study)) => self.unsaved_base(study),
            (Some((path, seen)), None) => Base::Saved {
                path: path.clone(),
                version: self.work.study.version,
                fingerprint: *seen,
            },
            (None, None) => self.unsaved_base(&self.work.study),
        };
        let header = Header {
            title: self.work.study.title.clone(),
            base,
            sources: self.work.source_paths.clone(),
        };
        match Journal::begin(folder, &header, &self.autosave.since, &mut self.ids) {
            Ok(journal) => {
                self.autosave.journal = Some(journal);
                self.autosave.failed = None;
                if self.saving.is_none() {
                    self.autosave.since.clear();
                }
            }
            Err(error) => self.autosave.failed = Some(error.to_string()),
        }
    }

    fn unsaved_base(&self, study: &Study) -> Base {
        let proposed = self.work.study_path();
        let folder = proposed.parent().map(Path::to_path_buf).unwrap_or_default();
        Base::Unsaved { folder, text: sidecar::write(study) }
    }
}

#[cfg(test)]
mod tests;
