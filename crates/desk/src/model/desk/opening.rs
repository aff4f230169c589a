//! What was read takes its place on the desk: works, journals, further sources, and what could not be
//! read.

use super::{Desk, Effect, Now};
use crate::model::action::Action;
use crate::model::document::Document;
use crate::model::field::Purpose;
use crate::model::status::{Notice, Question};
use crate::settings::RecentFile;
use barloom_core::bar::BarIndex;
use barloom_core::import::ImportError;
use barloom_core::journal::Left;
use barloom_core::store;
use barloom_core::study::{Edit, IdMaker};
use barloom_core::work::{self, Added, OpenError, Replacements, Work};
use std::path::PathBuf;

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

impl Desk {
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

    pub(super) fn put_bar_map(
        &mut self,
        source: Option<usize>,
        text: &str,
        now: Now,
    ) -> Vec<Effect> {
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
    pub(super) fn remember(&mut self, paths: Vec<PathBuf>, now: Now) {
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
    pub(super) fn note_place(&mut self) {
        let bar = self.view.selection.span().map(|(from, _)| from.0);
        let place = (self.view.movement, bar);
        self.recent.leave_at(&std::mem::take(&mut self.remembered), place);
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
    pub(super) fn source_found(&mut self, path: PathBuf) -> Vec<Effect> {
        let missing = &mut self.missing;
        missing.replacements.insert(missing.written.clone(), path);
        self.status.question = None;
        vec![Effect::Reopen {
            paths: missing.paths.clone(),
            replacements: missing.replacements.clone(),
        }]
    }
}
