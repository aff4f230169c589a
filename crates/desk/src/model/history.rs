//! Undo and redo: pairs of edits with their labels. The document only, never the view.

use barloom_core::study::Edit;

/// Groups edits that belong to one gesture (a drag, a burst of typing) into one step.
pub type GestureKey = u64;

/// A state of the study, for telling whether it is the saved one. Never used twice.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct StateId(u64);

/// One step that can be taken back or done again.
#[derive(Clone, Debug)]
struct Step {
    label: String,
    gesture: Option<GestureKey>,
    /// The edit that leads to the other side of the step.
    edit: Edit,
    /// The state on the other side.
    state: StateId,
}

/// The steps of an open study.
#[derive(Clone, Debug, Default)]
pub struct History {
    undo: Vec<Step>,
    redo: Vec<Step>,
    state: StateId,
    last_state: u64,
}

/// The most steps that are kept; older ones are forgotten.
const MAX_STEPS: usize = 10_000;

impl History {
    /// Notes an edit that was made, by the edit that undoes it. What was undone before can no longer
    /// be done again. An edit with the gesture of the step before becomes part of that step.
    pub fn push(&mut self, label: &str, gesture: Option<GestureKey>, inverse: Edit) {
        let continues = gesture.is_some()
            && self.redo.is_empty()
            && self.undo.last().is_some_and(|step| step.gesture == gesture);
        self.redo.clear();
        let before = self.state;
        self.last_state += 1;
        self.state = StateId(self.last_state);
        if let Some(step) = self.undo.last_mut().filter(|_| continues) {
            let earlier = std::mem::replace(&mut step.edit, Edit::All(Vec::new()));
            step.edit = merged(inverse, earlier);
            step.label = label.to_owned();
            return;
        }
        let label = label.to_owned();
        self.undo.push(Step { label, gesture, edit: inverse, state: before });
        if self.undo.len() > MAX_STEPS {
            self.undo.remove(0);
        }
    }

    /// Ends the gesture: what comes next is a step of its own.
    pub fn end_gesture(&mut self) {
        if let Some(step) = self.undo.last_mut() {
            step.gesture = None;
        }
    }

    /// The label of the step that undo takes back.
    pub fn undo_label(&self) -> Option<&str> {
        self.undo.last().map(|step| step.label.as_str())
    }

    /// The label of the step that redo does again.
    pub fn redo_label(&self) -> Option<&str> {
        self.redo.last().map(|step| step.label.as_str())
    }

    /// The edit that takes the last step back, to be applied before [`Self::undone`].
    pub fn undo_edit(&self) -> Option<&Edit> {
        self.undo.last().map(|step| &step.edit)
    }

    /// The edit that does the last step again, to be applied before [`Self::redone`].
    pub fn redo_edit(&self) -> Option<&Edit> {
        self.redo.last().map(|step| &step.edit)
    }

    /// Notes that the last step was taken back, by the edit that does it again.
    pub fn undone(&mut self, inverse: Edit) {
        if let Some(step) = self.undo.pop() {
            let moved = self.crossed(step, inverse);
            self.redo.push(moved);
        }
    }

    /// Notes that a step was done again, by the edit that undoes it.
    pub fn redone(&mut self, inverse: Edit) {
        if let Some(step) = self.redo.pop() {
            let moved = self.crossed(step, inverse);
            self.undo.push(moved);
        }
    }

    fn crossed(&mut self, step: Step, edit: Edit) -> Step {
        let left = std::mem::replace(&mut self.state, step.state);
        Step { label: step.label, gesture: None, edit, state: left }
    }

    /// The present state.
    pub fn state(&self) -> StateId {
        self.state
    }
}

/// The inverse of two edits that followed each other: first `later`, then `earlier`. What the
/// earlier one puts back whole needs no step between, so that a burst of typing leaves one edit.
fn merged(later: Edit, earlier: Edit) -> Edit {
    let undoes_same = match (&later, &earlier) {
        (Edit::Put(later), Edit::Put(earlier)) => later.id == earlier.id,
        (Edit::Put(later), Edit::Remove(earlier)) => later.id == *earlier,
        (Edit::Title(_), Edit::Title(_)) | (Edit::Author(_), Edit::Author(_)) => true,
        _ => false,
    };
    match (undoes_same, earlier) {
        (true, earlier) => earlier,
        (false, Edit::All(mut edits)) => {
            edits.insert(0, later);
            Edit::All(edits)
        }
        (false, earlier) => Edit::All(vec![later, earlier]),
    }
}
