//! What happens to the view: selecting, zooming, walking, going back. Never touches the document.

use super::{Desk, Effect, Grid};
use crate::model::axis::{Axis, Lane};
use crate::model::camera::{self, Camera};
use crate::model::field::Purpose;
use crate::model::passages;
use crate::model::status::Notice;
use crate::model::view_state::{ListKind, Selection, SidePage};
use barloom_analysis::compare::Passage;
use barloom_core::bar::BarIndex;
use barloom_core::instrument::Family;

impl Desk {
    /// The axis of the movement shown.
    fn axis(&self) -> Axis {
        let Some((movement, plan)) = self.basis().movements().nth(self.view.movement) else {
            return Axis::default();
        };
        Axis::of(movement, plan, self.view.equal_bars, self.view.played_order)
    }

    /// The middle of what is in view, on the axis.
    fn middle(&self, axis: &Axis, grid: Grid) -> f32 {
        let (left, right) = self.view.camera.span(axis, grid.width);
        (left + right) / 2.0
    }

    /// Shows the bars as they are played or as written; the bar at the left edge stays in view.
    pub(super) fn play_order(&mut self, played: bool, grid: Grid) {
        let before = self.axis();
        let left = before.to_written(self.view.camera.left_quarters);
        self.view.played_order = played;
        let after = self.axis();
        let camera = Camera { left_quarters: after.from_written(left), ..self.view.camera };
        self.view.camera = camera.held(&after, grid.width);
    }

    /// Selects and brings the end that moved into view.
    pub(super) fn walk(&mut self, selection: Selection, grid: Grid) {
        let bars = selection.bars != self.view.selection.bars;
        let head = selection.bars.map(|(_, head)| head);
        self.view.selection = selection;
        if let Some(head) = head.filter(|_| bars && !self.view.camera.whole) {
            let axis = self.axis();
            // Of the places where the bar is played the nearest is shown.
            let near = axis.near(self.middle(&axis, grid));
            self.view.camera =
                camera::scroll_into_view(self.view.camera, &near, head, head, grid.width);
        }
    }

    /// Zooms about the middle of the selection where it is in view, else about the middle of the grid.
    pub(super) fn zoom(&mut self, factor: f32, grid: Grid) {
        let axis = self.axis();
        let columns = axis.near(self.middle(&axis, grid));
        let scale = self.view.camera.scale(&columns, grid.width);
        let selected = self.view.selection.span().map(|(from, to)| {
            let middle = (columns.bar(from).0 + columns.bar(to).1) / 2.0;
            (middle - self.view.camera.left_quarters) * scale
        });
        let seen = selected.filter(|x| (0.0..=grid.width).contains(x));
        let around = seen.unwrap_or(grid.width / 2.0);
        self.view.camera = camera::zoom_by(self.view.camera, &columns, grid.width, factor, around);
    }

    pub(super) fn fit_selection(&mut self, grid: Grid) {
        if let Some((from, to)) = self.view.selection.span() {
            let axis = self.axis();
            let near = axis.near(self.middle(&axis, grid));
            self.view.camera = camera::fit_bars(self.view.camera, &near, from, to, grid.width);
        }
    }

    /// Shows a movement, and a bar of it.
    pub(super) fn go_to(&mut self, movement: usize, bar: Option<BarIndex>, grid: Grid) {
        let Some(there) = self.basis().score.movements.get(movement) else { return };
        let last = there.bars.last_index();
        let changes = movement != self.view.movement;
        let whole = self.view.camera.whole;
        if changes {
            // A movement opens as a whole; its bars are selected anew, its parts stay selected.
            self.view.movement = movement;
            self.view.selection.bars = None;
            self.view.selection.beat = None;
            self.view.camera = camera::fit_movement(self.view.camera);
        }
        if whole {
            self.view.camera.whole = false;
        }
        if let Some(bar) = bar.zip(last).map(|(bar, last)| bar.min(last)) {
            let parts = std::mem::take(&mut self.view.selection.parts);
            let selection = Selection { bars: Some((bar, bar)), parts, beat: None };
            self.walk(selection, grid);
        }
    }

    pub(super) fn ask(&mut self, purpose: Purpose) -> Vec<Effect> {
        self.view.purpose = purpose;
        self.view.choosing_sign = false;
        self.status.notice = None;
        vec![Effect::BeginField(purpose.first_text(&self.env()))]
    }

    /// Goes back one step: what was opened last is closed first, and the selection goes last.
    pub(super) fn back(&mut self) -> Vec<Effect> {
        let view = &mut self.view;
        if view.purpose != Purpose::Find || self.field_open {
            view.purpose = Purpose::Find;
            self.field_open = false;
            return vec![Effect::EndField { keep_text: false }];
        }
        if view.choosing_sign {
            view.choosing_sign = false;
        } else if self.status.question.is_some() || self.status.notice.is_some() {
            self.status.question = None;
            self.status.notice = None;
        } else if view.legend {
            view.legend = false;
        } else if view.side != SidePage::Selection {
            view.side = SidePage::Selection;
        } else if view.beside.is_some() {
            self.set_beside(None);
        } else if view.list.is_some() {
            view.list = None;
        } else if view.selection.beat.is_some() {
            view.selection.beat = None;
        } else if !view.selection.parts.is_empty() {
            view.selection.parts.clear();
        } else if view.selection.bars.is_some() {
            view.selection.bars = None;
        } else if view.kept.is_some() {
            view.kept = None;
        } else if view.camera.points_per_quarter > 0.0 && !view.camera.whole {
            view.camera = camera::fit_movement(view.camera);
        }
        Vec::new()
    }

    pub(super) fn list(&mut self, list: Option<ListKind>) {
        self.view.list = list;
        if let Some(kind) = list {
            // They stand in the same place.
            self.set_beside(None);
            self.view.last_list = kind;
        }
    }

    pub(super) fn keep_passage(&mut self, passage: Option<Passage>) {
        self.view.kept = passage;
        let words = passage.map(|passage| passages::kept_words(&self.env(), passage));
        self.status.notice = words.map(Notice::plain);
    }

    pub(super) fn set_beside(&mut self, pair: Option<(Passage, Passage)>) {
        if pair != self.view.beside {
            self.view.beside = pair;
            self.stale = true;
        }
        if pair.is_some() {
            self.view.list = None;
            self.status.notice = None;
        }
    }

    pub(super) fn go_to_passage(&mut self, passage: Passage, grid: Grid) {
        self.go_to(passage.movement, Some(passage.from), grid);
        if self.view.movement == passage.movement {
            self.view.selection.bars = Some((passage.from, passage.to));
        }
    }

    pub(super) fn fold(&mut self, family: Family) {
        if !self.view.folded.remove(&family) {
            self.view.folded.insert(family);
        }
    }
}
