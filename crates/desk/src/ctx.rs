//! What panels and painting may see: everything to read, and a queue to ask for changes.

use crate::model::action::Action;
use crate::model::env::Env;
use crate::model::status::Status;
use crate::model::view_state::ViewState;
use crate::theme::Theme;
use barloom_analysis::{MovementTracks, Tracks};
use barloom_core::basis::{Basis, MovementPlan};
use barloom_core::score::Movement;
use barloom_core::study::Study;
use std::cell::RefCell;

/// The reading side of one frame.
#[derive(Clone, Copy)]
pub struct Ctx<'a> {
    /// Corrected score, tempo plan, performing order.
    pub basis: &'a Basis,
    /// What was computed from it; for an older revision while new tracks are on their way.
    pub tracks: &'a Tracks,
    /// Decisions and marks.
    pub study: &'a Study,
    /// The view.
    pub view: &'a ViewState,
    /// What is open and saved, what is going on, what has to be said.
    pub status: &'a Status,
    /// Ink and type.
    pub theme: &'a Theme,
    /// Where actions are queued.
    pub queue: &'a Queue,
}

impl<'a> Ctx<'a> {
    /// The same without the window.
    pub fn env(&self) -> Env<'a> {
        let Self { basis, tracks, study, view, status, .. } = *self;
        Env { basis, tracks, study, view, status }
    }

    /// The movement shown.
    pub fn movement(&self) -> Option<&'a Movement> {
        self.basis.score.movements.get(self.view.movement).map(|movement| &**movement)
    }

    /// Its plan.
    pub fn plan(&self) -> Option<&'a MovementPlan> {
        self.basis.plans.get(self.view.movement)
    }

    /// Its tracks, once they are there.
    pub fn movement_tracks(&self) -> Option<&'a MovementTracks> {
        self.tracks.movements.get(self.view.movement)
    }

    /// Queues an action.
    pub fn send(&self, action: Action) {
        self.queue.send(action);
    }
}

/// Actions waiting for the end of the frame.
#[derive(Debug, Default)]
pub struct Queue(RefCell<Vec<Action>>);

impl Queue {
    /// Adds one.
    pub fn send(&self, action: Action) {
        self.0.borrow_mut().push(action);
    }

    /// Takes all, in order.
    pub fn take(&self) -> Vec<Action> {
        std::mem::take(&mut self.0.borrow_mut())
    }
}
