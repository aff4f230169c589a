//! Opening, saving, printing and leaving: what is asked before, and what came of it.

use super::{Desk, Effect, Now};
use crate::model::action::{Action, Recovery};
use crate::model::document::SaveDone;
use crate::model::field::Purpose;
use crate::model::place;
use crate::model::status::{Notice, Question};
use crate::model::view_state::ViewState;
use barloom_core::store::{self, StoreError, SyncHandle};
use std::path::PathBuf;
use std::sync::Arc;

/// What is to happen once the open work may be left.
#[derive(Clone, Debug, PartialEq)]
pub enum Leaving {
    /// Back to the start screen.
    Close,
    /// Out of the program.
    Quit,
    /// To other files.
    Open(Vec<PathBuf>),
    /// To the example suite.
    Example,
    /// To what a journal holds.
    Recover(PathBuf),
}

/// What was chosen in a dialog of the system.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// What it was for: opening, saving, printing.
    pub purpose: Purpose,
    /// Whether the files are added to the open work.
    pub add: bool,
    /// The files; empty when none was chosen.
    pub paths: Vec<PathBuf>,
    /// The dialog ended before anyone could have closed it: the system has none.
    pub at_once: bool,
}

impl Desk {
    pub(super) fn files(&mut self, action: Action, now: Now) -> Vec<Effect> {
        match action {
            Action::ChooseFiles => vec![Effect::ChooseFiles],
            Action::Open(paths) => self.leave_for(Leaving::Open(paths)),
            Action::OpenExample => self.leave_for(Leaving::Example),
            Action::Recover { journal, choice } => self.recover(journal, choice),
            Action::ForgetRecent(paths) => {
                self.recent.forget(&paths);
                self.stale = true;
                vec![Effect::KeepRecent]
            }
            Action::AddMovements(paths) if paths.is_empty() => vec![Effect::ChooseMovements],
            Action::AddMovements(paths) => vec![Effect::AddFiles(paths)],
            Action::PutBarMap { source, text } => self.put_bar_map(source, &text, now),
            Action::SourceFound(path) => self.source_found(path),
            Action::Save => match self.status.path.clone() {
                Some(path) => vec![Effect::Save { path: Some(path), chosen: false }],
                None => self.save_as(None),
            },
            Action::SaveAs(path) => self.save_as(path),
            Action::SaveOver(path) => vec![Effect::Save { path: Some(path), chosen: true }],
            Action::Plan(None) => {
                let path = self.status.path.as_ref().unwrap_or(&self.status.proposed_path);
                vec![Effect::ChoosePlanPath(path.with_extension("pdf"))]
            }
            Action::PrintBeside(None) => {
                let path = self.status.path.as_ref().unwrap_or(&self.status.proposed_path);
                vec![Effect::ChooseSheetPath(place::sheet_path(path))]
            }
            Action::PrintBeside(Some(path)) => vec![Effect::PrintSheet(path.with_extension("pdf"))],
            Action::Extract(None) => {
                let path = self.status.path.as_ref().unwrap_or(&self.status.proposed_path);
                vec![Effect::ChooseBarsPath(path.with_extension("musicxml"))]
            }
            Action::Extract(Some(path)) => vec![Effect::Extract(path)],
            Action::Plan(Some(path)) => vec![Effect::Print(path.with_extension("pdf"))],
            Action::Close => self.leave_for(Leaving::Close),
            Action::Quit => self.leave_for(Leaving::Quit),
            Action::Leave { discard } => self.leave(discard),
            Action::SaveAndLeave => {
                let mut effects = self.files(Action::Save, now);
                if effects.is_empty() {
                    effects.extend(self.leave(false));
                }
                effects
            }
            Action::Stop => vec![Effect::Stop],
            _ => Vec::new(),
        }
    }

    fn save_as(&mut self, path: Option<PathBuf>) -> Vec<Effect> {
        let Some(path) = path else {
            let proposed = self.status.path.as_ref().unwrap_or(&self.status.proposed_path);
            return vec![Effect::ChooseSavePath(proposed.clone())];
        };
        let path = path.with_extension(barloom_core::sidecar::EXTENSION);
        let own = self.status.path.as_ref() == Some(&path);
        if !own && store::is_file(&path) {
            let name = path.display();
            self.status.question = Some(Question {
                text: format!("There is a file already: {name}"),
                answers: vec![
                    (String::from("Save over it"), Action::SaveOver(path.clone())),
                    (String::from("Another name…"), Action::Ask(Purpose::SavePath)),
                    (String::from("Never mind"), Action::Dismiss),
                ],
            });
            return Vec::new();
        }
        vec![Effect::Save { path: Some(path), chosen: true }]
    }

    /// What came of a dialog.
    pub fn chosen(&mut self, chosen: Chosen) -> Vec<Effect> {
        let Chosen { purpose, add, mut paths, at_once } = chosen;
        let Some(first) = paths.first().cloned() else {
            self.leaving = None;
            if !at_once {
                return Vec::new();
            }
            let effects = self.ask(purpose);
            self.status.notice = Some(Notice::plain(
                "This system has no file dialog: type the path in the field at the top",
            ));
            return effects;
        };
        match purpose {
            Purpose::SavePath => {
                let path = first.with_extension(barloom_core::sidecar::EXTENSION);
                vec![Effect::Save { path: Some(path), chosen: true }]
            }
            Purpose::BarsPath => vec![Effect::Extract(first)],
            Purpose::PlanPath => vec![Effect::Print(first.with_extension("pdf"))],
            Purpose::SheetPath => vec![Effect::PrintSheet(first.with_extension("pdf"))],
            _ if add => vec![Effect::AddFiles(paths)],
            _ => {
                // Files in the order of their names are the movements in order.
                paths.sort();
                self.leave_for(Leaving::Open(paths))
            }
        }
    }

    /// Goes on at once when nothing is unsaved, asks otherwise.
    fn leave_for(&mut self, leaving: Leaving) -> Vec<Effect> {
        let unsaved = self.document.as_ref().is_some_and(|d| d.is_unsaved() && d.n_unsaved() > 0);
        self.leaving = Some(leaving);
        if !unsaved {
            return self.leave(false);
        }
        let answers = [
            ("Save, then go on", Action::SaveAndLeave),
            ("Go on and keep them for the next start", Action::Leave { discard: false }),
            ("Throw them away", Action::Leave { discard: true }),
            ("Stay", Action::Dismiss),
        ];
        self.status.question = Some(Question {
            text: format!("{} has changes that are not saved.", self.status.name),
            answers: answers.map(|(text, action)| (text.to_owned(), action)).to_vec(),
        });
        Vec::new()
    }

    /// Leaves the open work for what was asked for.
    fn leave(&mut self, discard: bool) -> Vec<Effect> {
        let Some(leaving) = self.leaving.take() else { return Vec::new() };
        self.status.question = None;
        match leaving {
            Leaving::Quit => {
                self.close(discard);
                vec![Effect::KeepRecent, Effect::Quit]
            }
            Leaving::Close => {
                self.close(discard);
                vec![Effect::KeepRecent, Effect::FindJournals]
            }
            // The open work stays until the other one has been read.
            Leaving::Open(paths) => {
                self.discard_next = discard;
                vec![Effect::Open(paths)]
            }
            Leaving::Example => {
                self.discard_next = discard;
                vec![Effect::OpenExample]
            }
            Leaving::Recover(journal) => {
                self.discard_next = discard;
                vec![Effect::Recover(journal)]
            }
        }
    }

    /// Closes the document; its changes stay in the journal unless they are thrown away.
    pub(super) fn close(&mut self, discard: bool) {
        self.note_place();
        if let Some(document) = self.document.take() {
            document.close(discard);
        }
        let settings = self.status.settings.clone();
        self.view = ViewState {
            equal_bars: settings.equal_bars,
            hidden_rows: settings.hidden(),
            thin_rows: settings.thin(),
            side: self.view.side,
            ..ViewState::default()
        };
        self.tracks = Arc::default();
        self.status.analyzing = false;
        self.example_waits = false;
        self.stale = true;
    }

    fn recover(&mut self, journal: PathBuf, choice: Recovery) -> Vec<Effect> {
        match choice {
            Recovery::Take => self.leave_for(Leaving::Recover(journal)),
            Recovery::Leave => {
                self.status.found.retain(|found| found.journal != journal);
                Vec::new()
            }
            Recovery::Discard => {
                self.status.found.retain(|found| found.journal != journal);
                vec![Effect::DiscardJournal(journal)]
            }
        }
    }

    /// What came of a save.
    pub fn saved(&mut self, done: SaveDone, now: Now) -> Vec<Effect> {
        self.stale = true;
        let Some(document) = &mut self.document else { return Vec::new() };
        match document.finish_save(done, now.instant) {
            Ok(()) => {
                let saved = document.work().saved.as_ref().map(|(path, _)| path.clone());
                self.remember(saved.into_iter().collect(), now);
                let mut effects = vec![Effect::KeepRecent];
                effects.extend(self.leave(false));
                effects
            }
            Err(error) => {
                self.leaving = None;
                self.status.notice = Some(Notice::failed(error.to_string()));
                if matches!(error, StoreError::Exists(_) | StoreError::Changed(_)) {
                    return self.ask_other_name();
                }
                Vec::new()
            }
        }
    }

    fn ask_other_name(&mut self) -> Vec<Effect> {
        self.status.question = Some(Question {
            text: String::from("Nothing was overwritten. Save under another name?"),
            answers: vec![
                (String::from("Save as…"), Action::SaveAs(None)),
                (String::from("Type a path…"), Action::Ask(Purpose::SavePath)),
                (String::from("Not now"), Action::Dismiss),
            ],
        });
        Vec::new()
    }

    /// Says something.
    pub fn say(&mut self, what: impl Into<String>) {
        self.status.notice = Some(Notice::plain(what));
    }

    /// Something failed in the background.
    pub fn failed(&mut self, what: impl Into<String>) {
        self.discard_next = false;
        self.status.notice = Some(Notice::failed(what));
    }

    /// What should be synced to the disk now, on a thread.
    pub fn tick(&mut self, now: Now) -> Option<SyncHandle> {
        self.document.as_mut()?.tick(now.instant)
    }
}
