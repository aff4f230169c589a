//! The frame: what happens in which order. Everything else is elsewhere.
//!
//! Before a frame the results of threads are taken in and the keys carried out; then the panels are
//! drawn, which only queue actions; then these are carried out at once.

use crate::ctx::{Ctx, Queue};
use crate::jobs::{Done, Found, Jobs, Read};
use crate::keys;
use crate::model::desk::{Desk, Effect, Grid, Now};
use crate::model::status::Status;
use crate::panels::{Panels, desk_ui};
use crate::rim;
use crate::settings::{Folders, Light};
use crate::theme::{self, Theme};
use barloom_core::journal::Left;
use barloom_core::study::IdMaker;
use egui::{ThemePreference, ViewportCommand};
use std::path::PathBuf;
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

/// The desk in its window.
pub struct App {
    pub(crate) desk: Desk,
    pub(crate) folders: Folders,
    pub(crate) jobs: Jobs,
    /// Journals found at the start.
    pub(crate) left: Vec<Left>,
    theme: Theme,
    /// What the theme was made from.
    lit: (bool, bool, f32),
    queue: Queue,
    panels: Panels,
    /// The widget that had the keyboard in the last frame.
    focused: Option<egui::Id>,
    /// The window may close: everything was asked.
    pub(crate) may_close: bool,
    title: String,
}

impl App {
    /// A desk that opens `paths` at once; with none, the start screen.
    pub fn new(ctx: &egui::Context, folders: Folders, paths: Vec<PathBuf>) -> Self {
        theme::install_fonts(ctx);
        let settings = folders.load_settings();
        let recent = folders.load_recent();
        let status = Status { settings, ..Status::default() };
        let wake = ctx.clone();
        let mut app = Self {
            desk: Desk::new(status, recent, IdMaker::new()),
            folders,
            jobs: Jobs::new(move || wake.request_repaint()),
            left: Vec::new(),
            theme: Theme::new(false, false, 1.0),
            lit: (false, false, 0.0),
            queue: Queue::default(),
            panels: Panels::default(),
            focused: None,
            may_close: false,
            title: String::new(),
        };
        app.desk.journals = Some(app.folders.journals());
        app.light(ctx);
        rim::find_journals(&mut app);
        if !paths.is_empty() {
            rim::perform(&mut app, ctx, Effect::Open(paths));
        }
        app
    }

    /// Opens the example suite.
    pub(crate) fn open_example(&mut self, ctx: &egui::Context) {
        rim::perform(self, ctx, Effect::OpenExample);
    }

    /// The clock.
    pub(crate) fn now() -> Now {
        let unix = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
        Now { unix, instant: Instant::now() }
    }

    /// The field of the title line.
    pub(crate) fn field(&mut self) -> &mut crate::panels::Field {
        &mut self.panels.field
    }

    /// Makes the theme that the settings ask for.
    fn light(&mut self, ctx: &egui::Context) {
        let settings = &self.desk.status.settings;
        let preference = match settings.light {
            Light::System => ThemePreference::System,
            Light::Light => ThemePreference::Light,
            Light::Dark => ThemePreference::Dark,
        };
        ctx.set_theme(preference);
        let dark = match settings.light {
            Light::System => ctx.theme() == egui::Theme::Dark,
            Light::Light => false,
            Light::Dark => true,
        };
        let lit = (dark, settings.contrast, settings.text_scale);
        if lit != self.lit {
            self.lit = lit;
            self.theme = Theme::new(dark, settings.contrast, settings.text_scale);
            self.theme.apply(ctx);
        }
    }

    /// Takes in what threads have done.
    fn take_results(&mut self, ctx: &egui::Context) {
        let now = Self::now();
        while let Some(done) = self.jobs.take() {
            let effects = match done {
                Done::Read(read) => self.take_read(*read, now),
                Done::Analyzed(tracks) => {
                    self.desk.analyzed(*tracks);
                    Vec::new()
                }
                Done::Saved(done) => self.desk.saved(*done, now),
                Done::Printed(Ok((path, n_pages))) => {
                    let text = format!("The plan, {n_pages} pages, is in {}", path.display());
                    self.desk.say(text);
                    Vec::new()
                }
                Done::Printed(Err(why)) => {
                    self.desk.failed(why);
                    Vec::new()
                }
                Done::SheetPrinted(Ok(path)) => {
                    self.desk.say(format!("The passages are in {}", path.display()));
                    Vec::new()
                }
                Done::SheetPrinted(Err(why)) => {
                    self.desk.failed(why);
                    Vec::new()
                }
                Done::Written(Ok(path)) => {
                    self.desk.say(format!("The bars are in {}", path.display()));
                    Vec::new()
                }
                Done::Written(Err(why)) => {
                    self.desk.failed(why);
                    Vec::new()
                }
                Done::Chosen(chosen) => self.desk.chosen(chosen),
            };
            self.perform(ctx, effects);
        }
    }

    fn take_read(&mut self, read: Read, now: Now) -> Vec<Effect> {
        let journals = Some(self.folders.journals());
        match read.result {
            Ok(Found::Work(work)) => self.desk.opened(*work, read.paths, journals, now),
            Ok(Found::Example(work)) => self.desk.opened_example(*work, journals, now),
            Ok(Found::Replayed(work, replayed)) => {
                let edits = (replayed.edits, &replayed.journal);
                let effects = self.desk.recovered(*work, edits, journals, now);
                self.left.retain(|left| left.path != replayed.journal.path);
                for why in replayed.refused {
                    self.desk.failed(format!("a change no longer fits: {why}"));
                }
                effects
            }
            Ok(Found::More(added)) => self.desk.add(&added, "add movements", now),
            Err(error) => {
                self.desk.not_opened(error, read.paths);
                Vec::new()
            }
        }
    }

    fn perform(&mut self, ctx: &egui::Context, effects: Vec<Effect>) {
        for effect in effects {
            rim::perform(self, ctx, effect);
        }
    }

    /// Carries out what was queued in this frame.
    fn carry_out(&mut self, ctx: &egui::Context) {
        let grid = Grid { width: self.panels.grid.width() };
        let actions = self.queue.take();
        if actions.is_empty() {
            return;
        }
        for action in actions {
            let effects = self.desk.act(action, grid, Self::now());
            self.perform(ctx, effects);
        }
        ctx.request_repaint();
    }

    /// Carries out what the keys of this frame mean, one after the other.
    fn route_keys(&mut self, ctx: &egui::Context) {
        let grid = Grid { width: self.panels.grid.width() };
        let in_title = self.panels.field.is_focused();
        while let Some(action) = keys::next_action(ctx, &self.desk.env(), in_title) {
            let effects = self.desk.act(action, grid, Self::now());
            self.perform(ctx, effects);
            self.desk.refresh(Self::now());
        }
    }

    fn dropped_files(&mut self, ctx: &egui::Context) {
        let dropped: Vec<PathBuf> = ctx.input_mut(|input| {
            std::mem::take(&mut input.raw.dropped_files)
                .into_iter()
                .map(|file| file.path().to_path_buf())
                .filter(|path| !path.as_os_str().is_empty())
                .collect()
        });
        if !dropped.is_empty() {
            let mut paths = dropped;
            paths.sort();
            self.queue.send(crate::model::action::Action::Open(paths));
        }
    }

    /// A window that is to be closed while changes are not saved asks first.
    fn closing(&mut self, ctx: &egui::Context) {
        if !ctx.input(|input| input.viewport().close_requested()) || self.may_close {
            return;
        }
        let grid = Grid { width: self.panels.grid.width() };
        let effects = self.desk.act(crate::model::action::Action::Quit, grid, Self::now());
        if !effects.contains(&Effect::Quit) {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
        }
        self.perform(ctx, effects);
    }

    /// A burst of typing ends when another field gets the keyboard, a drag when the button is let go.
    fn end_gestures(&mut self, ctx: &egui::Context) {
        let focused = ctx.memory(|memory| memory.focused());
        let released = ctx.input(|input| input.pointer.any_released());
        if (focused != self.focused || released)
            && let Some(document) = &mut self.desk.document
        {
            document.end_gesture();
        }
        self.focused = focused;
    }

    fn window_title(&mut self, ctx: &egui::Context) {
        let status = &self.desk.status;
        let title = match (status.open, status.unsaved) {
            (false, _) => String::from("Barloom"),
            (true, false) => format!("{} – Barloom", status.name),
            (true, true) => format!("• {} – Barloom", status.name),
        };
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.take_results(ctx);
        self.dropped_files(ctx);
        self.closing(ctx);
        self.end_gestures(ctx);
        if let Some(handle) = self.desk.tick(Self::now()) {
            self.jobs.sync(handle);
        }
        self.desk.status.busy = self.jobs.busy();
        self.desk.field_open = self.panels.field.is_focused();
        self.desk.refresh(Self::now());
        self.light(ctx);
        self.window_title(ctx);
        // The journal waits for its sync, and "saved 4 minutes ago" goes on.
        let wait = match (&self.desk.status.busy, self.desk.status.unsaved) {
            (Some(_), _) => Duration::from_millis(100),
            (None, true) => Duration::from_millis(500),
            (None, false) => Duration::from_secs(20),
        };
        ctx.request_repaint_after(wait);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let egui_ctx = ui.ctx().clone();
        self.route_keys(&egui_ctx);
        let env = self.desk.env();
        let ctx = Ctx {
            basis: env.basis,
            tracks: env.tracks,
            study: env.study,
            view: env.view,
            status: env.status,
            theme: &self.theme,
            queue: &self.queue,
        };
        desk_ui(ui, ctx, &mut self.panels);
        self.carry_out(&egui_ctx);
    }

    fn persist_egui_memory(&self) -> bool {
        false
    }
}

#[cfg(test)]
mod tests;
