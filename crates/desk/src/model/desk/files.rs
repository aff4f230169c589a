//! Opening, saving, printing and leaving: what is asked before, and what came of it.

use super::{Desk, Effect, Now};
use crate::model::action::{Action, Recovery};
use crate::model::document::{Document, SaveDone};
use crate::model::field::Purpose;
use crate::model::status::{Notice, Question};
use crate::model::view_state::ViewState;
use crate::settings::RecentFile;
use barloom_core::bar::BarIndex;
use barloom_core::import::ImportError;
use barloom_core::journal::Left;
use barloom_core::store::{self, StoreError, SyncHandle};
use barloom_core::study::{Edit, IdMaker};
use barloom_core::work::{self, Added, OpenError, Replacements, Work};
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

/// A source of a study that was not found, and what was said about others.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Missing {
    /// What was to be opened.
    paths: Vec<PathBuf>,
    /// The source as the study writes it.
    written: String,
    /// The sources found so far.
    replacements: Replacements,
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
            Purpose::PlanPath => vec![Effect::Print(first.with_extension("pdf"))],
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
    fn close(&mut self, discard: bool) {
        self.note_place();
        if let Some(document) = self.document.take() {
            document.close(discard);
        }
        let settings = self.status.settings.clone();
        self.view = ViewState {
            equal_bars: settings.equal_bars,
            hidden_rows: settings.hidden(),
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

    /// A work was read from these files: it takes the place of the open one.
    pub fn opened(
        &mut self,
        work: Work,
        paths: Vec<PathBuf>,
        journals: Option<PathBuf>,
        now: Now,
    ) -> Vec<Effect> {
        let paths = paths.iter().map(|path| store::resolved(path)).collect();
        let effects = self.take_in(Document::new(work, journals, IdMaker::new()));
        self.remember(paths, now);
        self.return_to_place();
        effects
    }

    /// The example suite was read; its files come to the disk with the first change.
    pub fn opened_example(
        &mut self,
        work: Work,
        journals: Option<PathBuf>,
        _now: Now,
    ) -> Vec<Effect> {
        let effects = self.take_in(Document::new(work, journals, IdMaker::new()));
        self.example_waits = true;
        effects
    }

    /// Further sources were read for the open work.
    pub fn add(&mut self, added: &Added, label: &str, now: Now) -> Vec<Effect> {
        let Some(document) = &mut self.document else { return Vec::new() };
        let before = document.basis().revision;
        if let Err(error) = document.add(added, label, now.instant) {
            self.failed(error.to_string());
        }
        self.after_edit(before)
    }

    fn put_bar_map(&mut self, source: Option<usize>, text: &str, now: Now) -> Vec<Effect> {
        let Some(document) = &self.document else {
            let made = work::new_from_bar_map(text, &mut IdMaker::new(), now.unix);
            return match made {
                Ok(work) => {
                    let journals = self.journals.clone();
                    self.take_in(Document::new(work, journals, IdMaker::new()))
                }
                Err(error) => {
                    self.failed(error.to_string());
                    Vec::new()
                }
            };
        };
        match document.work().put_bar_map(source, text) {
            Ok(added) => {
                let label = if source.is_some() { "change bar map" } else { "add movement" };
                self.add(&added, label, now)
            }
            Err(error) => {
                self.failed(error.to_string());
                Vec::new()
            }
        }
    }

    /// A work was read from a journal with these edits.
    pub fn recovered(
        &mut self,
        work: Work,
        (replayed, left): (Vec<Edit>, &Left),
        journals: Option<PathBuf>,
        now: Now,
    ) -> Vec<Effect> {
        let n = replayed.len();
        self.status.found.retain(|found| found.journal != left.path);
        let document = Document::recovered(work, replayed, left, journals, IdMaker::new());
        let effects = self.take_in(document);
        let saved = self.document.as_ref().and_then(|d| d.work().saved.clone());
        self.remember(saved.map(|(path, _)| path).into_iter().collect(), now);
        let plural = if n == 1 { "change is" } else { "changes are" };
        self.status.notice = Some(Notice::plain(format!("{n} {plural} back; save to keep them")));
        effects
    }

    fn take_in(&mut self, document: Document) -> Vec<Effect> {
        let discard = std::mem::take(&mut self.discard_next);
        self.close(discard);
        self.document = Some(document);
        self.status.notice = None;
        self.status.question = None;
        self.status.analyzing = true;
        vec![Effect::Analyze, Effect::KeepRecent]
    }

    /// Puts what is open first among the recent files.
    fn remember(&mut self, paths: Vec<PathBuf>, now: Now) {
        let title = self.study().title.clone();
        if paths.is_empty() {
            return;
        }
        let place = self.recent.place(&paths).unwrap_or_default();
        self.remembered = paths.clone();
        self.recent.remember(RecentFile { paths, title, place, opened: now.unix });
        self.stale = true;
    }

    /// Goes back to where one was when these files were left.
    fn return_to_place(&mut self) {
        let Some((movement, bar)) = self.recent.place(&self.remembered) else { return };
        let movements = &self.basis().score.movements;
        let Some(there) = movements.get(movement) else { return };
        let bar = bar.map(BarIndex).filter(|bar| there.bars.get(*bar).is_some());
        self.view.movement = movement;
        self.view.selection.bars = bar.map(|bar| (bar, bar));
    }

    /// Notes where one is, for the next time.
    fn note_place(&mut self) {
        let bar = self.view.selection.span().map(|(from, _)| from.0);
        let place = (self.view.movement, bar);
        self.recent.leave_at(&std::mem::take(&mut self.remembered), place);
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

    /// A work could not be read: says why and offers what can be done.
    pub fn not_opened(&mut self, error: OpenError, paths: Vec<PathBuf>) {
        self.discard_next = false;
        let text = error.to_string();
        match error {
            OpenError::Import(ImportError::Cancelled) => self.say("Reading was stopped"),
            OpenError::MissingSource { written, .. } => {
                let paths = if paths.is_empty() { self.missing.paths.clone() } else { paths };
                let same = paths == self.missing.paths;
                self.missing.paths = paths;
                self.missing.written = written;
                if !same {
                    self.missing.replacements.clear();
                }
                self.status.question = Some(Question {
                    text: format!("{text}."),
                    answers: vec![
                        (String::from("Say where it is…"), Action::Ask(Purpose::SourcePath)),
                        (String::from("Not now"), Action::Dismiss),
                    ],
                });
            }
            OpenError::Study { backup: Some(backup), .. } => {
                self.status.question = Some(Question {
                    text: format!("{text}. The version before the last save can be read."),
                    answers: vec![
                        (String::from("Open that version"), Action::Open(vec![backup])),
                        (String::from("Not now"), Action::Dismiss),
                    ],
                });
            }
            _ => self.failed(text),
        }
    }

    /// Opens again with a file for the source that was missing.
    fn source_found(&mut self, path: PathBuf) -> Vec<Effect> {
        let missing = &mut self.missing;
        missing.replacements.insert(missing.written.clone(), path);
        self.status.question = None;
        vec![Effect::Reopen {
            paths: missing.paths.clone(),
            replacements: missing.replacements.clone(),
        }]
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
