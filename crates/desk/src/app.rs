//! The frame: what happens in which order. Everything else is elsewhere.

use crate::ctx::{Ctx, Queue};
use crate::model::action::Action;
use crate::model::status::Status;
use crate::model::view_state::ViewState;
use crate::theme::{self, Theme};
use barloom_analysis::Tracks;
use barloom_core::basis::Basis;
use barloom_core::study::Study;

/// The desk.
pub struct App {
    basis: Basis,
    tracks: Tracks,
    study: Study,
    view: ViewState,
    status: Status,
    theme: Theme,
    queue: Queue,
}

impl App {
    /// A desk with nothing open.
    pub fn new(creation: &eframe::CreationContext<'_>) -> Self {
        theme::install_fonts(&creation.egui_ctx);
        let theme = Theme::new(false, false, 1.0);
        theme.apply(&creation.egui_ctx);
        Self {
            basis: Basis::default(),
            tracks: Tracks::default(),
            study: Study::default(),
            view: ViewState::default(),
            status: Status::default(),
            theme,
            queue: Queue::default(),
        }
    }

    fn act(&mut self, action: Action) {
        match action {
            Action::Select(selection) => self.view.selection = selection,
            Action::Look(camera) => self.view.camera = camera,
            _ => {}
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.view.repair(&self.basis);
        let ctx = Ctx {
            basis: &self.basis,
            tracks: &self.tracks,
            study: &self.study,
            view: &self.view,
            status: &self.status,
            theme: &self.theme,
            queue: &self.queue,
        };
        egui::CentralPanel::default().show(ui, |ui| {
            let n_movements = ctx.basis.score.movements.len();
            ui.label(format!("{n_movements} movements"));
        });
        for action in self.queue.take() {
            self.act(action);
        }
    }
}
