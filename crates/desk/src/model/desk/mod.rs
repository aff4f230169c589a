//! The desk without its window: carries actions out on document, view and status, and says what only
//! the rim can do. The one point at which anything changes.

mod edit;
mod effect;
mod files;
mod opening;
mod refresh;
#[cfg(test)]
mod tests;
mod view;

pub use effect::Effect;
pub use files::{Chosen, Leaving};

use super::action::Action;
use super::document::Document;
use super::env::Env;
use super::field::{self, Purpose};
use super::status::{Notice, Status};
use super::view_state::{SidePage, ViewState};
use crate::settings::Recent;
use barloom_analysis::Tracks;
use barloom_core::basis::Basis;
use barloom_core::study::{IdMaker, Study};
use std::path::PathBuf;
use std::sync::{Arc, LazyLock};

/// What the window is like right now, as far as actions depend on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// The width of the bars' area, in points.
    pub width: f32,
}

/// When something happens: the rim's clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Now {
    /// Seconds since 1970-01-01 UTC.
    pub unix: u64,
    /// For waiting times.
    pub instant: std::time::Instant,
}

/// The desk.
pub struct Desk {
    /// The open work; `None` on the start screen.
    pub document: Option<Document>,
    /// What was computed last; of an older revision while new tracks are on their way.
    pub tracks: Arc<Tracks>,
    /// The view.
    pub view: ViewState,
    /// What is going on.
    pub status: Status,
    /// The files opened last.
    pub recent: Recent,
    /// Whether the field of the title line has the keyboard for finding.
    pub field_open: bool,
    ids: IdMaker,
    /// What is to happen once the study is saved.
    leaving: Option<Leaving>,
    /// Whether the changes of the open work are thrown away when the next one is there.
    discard_next: bool,
    /// The open work is the example suite, and its files are not on the disk yet.
    example_waits: bool,
    /// Where journals lie; `None` if there is no place for them.
    pub journals: Option<PathBuf>,
    /// What is open, as the recent files call it; empty if they do not.
    remembered: Vec<PathBuf>,
    /// The source that was not found.
    missing: opening::Missing,
    /// Whether the status has to be renewed.
    stale: bool,
}

static NOTHING: LazyLock<(Basis, Study)> = LazyLock::new(Default::default);

impl Desk {
    /// A desk with nothing open.
    pub fn new(status: Status, recent: Recent, ids: IdMaker) -> Self {
        let view = ViewState {
            equal_bars: status.settings.equal_bars,
            hidden_rows: status.settings.hidden(),
            thin_rows: status.settings.thin(),
            ..ViewState::default()
        };
        Self {
            document: None,
            tracks: Arc::default(),
            view,
            status,
            recent,
            field_open: false,
            ids,
            leaving: None,
            discard_next: false,
            example_waits: false,
            journals: None,
            remembered: Vec::new(),
            missing: opening::Missing::default(),
            stale: true,
        }
    }

    /// What analyses read; empty when nothing is open.
    pub fn basis(&self) -> &Basis {
        self.document.as_ref().map_or(&NOTHING.0, |document| document.basis())
    }

    /// The study; empty when nothing is open.
    pub fn study(&self) -> &Study {
        self.document.as_ref().map_or(&NOTHING.1, |document| document.study())
    }

    /// Everything to read.
    pub fn env(&self) -> Env<'_> {
        Env {
            basis: self.basis(),
            tracks: &self.tracks,
            study: self.study(),
            view: &self.view,
            status: &self.status,
        }
    }

    /// Carries out an action; answers what the rim has to do.
    pub fn act(&mut self, action: Action, grid: Grid, now: Now) -> Vec<Effect> {
        match action {
            Action::Edit { edit, label, gesture } => self.edit(edit, label, gesture, now),
            Action::Change(change) => self.change(change, now),
            Action::Undo => self.undo(now),
            Action::Redo => self.redo(now),
            Action::Ask(purpose) => self.ask(purpose),
            Action::Answer(text) => self.answer(&text, grid, now),
            Action::Find(text) => self.find(&text, grid, now),
            Action::Back => self.back(),
            Action::Settings(_)
            | Action::Figure(_)
            | Action::EqualBars(_)
            | Action::ShowRows(..) => self.settle(action),
            Action::Dismiss => {
                self.leaving = None;
                self.status.notice = None;
                self.status.question = None;
                Vec::new()
            }
            other => match self.look(other, grid) {
                Some(other) => self.files(other, now),
                None => Vec::new(),
            },
        }
    }

    /// Actions on the view alone; gives back what is none.
    fn look(&mut self, action: Action, grid: Grid) -> Option<Action> {
        match action {
            Action::Select(selection) => self.view.selection = selection,
            Action::Walk(selection) => self.walk(selection, grid),
            Action::Look(camera) => self.view.camera = camera,
            Action::Zoom(factor) => self.zoom(factor, grid),
            Action::FitSelection => self.fit_selection(grid),
            Action::PlayedOrder(played) => self.play_order(played, grid),
            Action::GoTo { movement, bar } => self.go_to(movement, bar, grid),
            Action::Fold(family) => self.fold(family),
            Action::List(list) => self.list(list),
            Action::Side(page) => self.view.side = page,
            Action::ChooseSign(on) => self.view.choosing_sign = on,
            Action::EditEntry(entry) => {
                self.view.editing = entry;
                if entry.is_some() {
                    self.view.side = SidePage::Selection;
                }
            }
            Action::UseLayer(layer) => self.view.layer = Some(layer),
            Action::Legend(on) => self.view.legend = on,
            Action::KeepPassage(passage) => self.keep_passage(passage),
            Action::SetBeside(pair) => self.set_beside(pair),
            Action::GoToPassage(passage) => self.go_to_passage(passage, grid),
            other => return Some(other),
        }
        None
    }

    /// What was typed in the field, for its purpose.
    fn answer(&mut self, text: &str, grid: Grid, now: Now) -> Vec<Effect> {
        let purpose = self.view.purpose;
        match field::answer(purpose, text, &self.env()) {
            Ok(action) => {
                let keep_text = purpose == Purpose::Find && !text.starts_with(['"', '“', '”', '„']);
                self.view.purpose = Purpose::Find;
                self.field_open = false;
                self.status.notice = None;
                let mut effects = vec![Effect::EndField { keep_text }];
                effects.extend(self.act(action, grid, now));
                effects
            }
            Err(why) => {
                self.status.notice = Some(Notice::failed(why));
                vec![Effect::BeginField(text.to_owned())]
            }
        }
    }

    fn find(&mut self, text: &str, grid: Grid, now: Now) -> Vec<Effect> {
        match field::go(text, &self.env()) {
            Ok(action) => self.act(action, grid, now),
            Err(why) => {
                self.status.notice = Some(Notice::failed(why));
                Vec::new()
            }
        }
    }

    /// Settings, and the parts of the view that are kept with them.
    fn settle(&mut self, action: Action) -> Vec<Effect> {
        let settings = &mut self.status.settings;
        let thresholds = settings.thresholds.clone();
        match action {
            Action::Settings(new) => *settings = *new,
            Action::Figure(on) => settings.figure = on,
            Action::EqualBars(on) => {
                settings.equal_bars = on;
                self.view.equal_bars = on;
            }
            Action::ShowRows(rows, show) => {
                rows.into_iter().for_each(|row| self.view.show_row(row, show));
                settings.keep_rows(&self.view);
            }
            _ => {}
        }
        if self.status.settings.thresholds == thresholds || self.document.is_none() {
            return vec![Effect::KeepSettings];
        }
        self.status.analyzing = true;
        vec![Effect::KeepSettings, Effect::Analyze]
    }
}
