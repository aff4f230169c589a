//! Changes of the document: edits, undo, redo.

use super::{Desk, Effect, Now};
use crate::model::draft::{Change, Stamp, stamp};
use crate::model::status::Notice;
use barloom_core::study::Edit;

impl Desk {
    /// A change whose items get their ids, author and time now.
    pub(super) fn change(&mut self, change: Change, now: Now) -> Vec<Effect> {
        let Change { label, gesture, drafts } = change;
        let author = match self.study().author.as_str() {
            "" => self.status.settings.author.clone(),
            author => author.to_owned(),
        };
        let who = Stamp { author, now: now.unix };
        let Some(document) = &self.document else { return Vec::new() };
        let edit = stamp(drafts, document.study(), &mut self.ids, &who);
        self.edit(edit, label, gesture, now)
    }

    pub(super) fn edit(
        &mut self,
        edit: Edit,
        label: String,
        gesture: Option<u64>,
        now: Now,
    ) -> Vec<Effect> {
        let Some(document) = &mut self.document else { return Vec::new() };
        let before = document.basis().revision;
        match document.apply(edit, &label, gesture, now.instant) {
            Ok(()) => {
                self.status.notice = None;
                self.view.choosing_sign = false;
            }
            Err(error) => self.status.notice = Some(Notice::failed(error.to_string())),
        }
        self.after_edit(before)
    }

    pub(super) fn undo(&mut self, now: Now) -> Vec<Effect> {
        let Some(document) = &mut self.document else { return Vec::new() };
        let before = document.basis().revision;
        if let Some(label) = document.undo(now.instant) {
            self.status.notice = Some(Notice::plain(format!("Undone: {label}")));
        }
        self.after_edit(before)
    }

    pub(super) fn redo(&mut self, now: Now) -> Vec<Effect> {
        let Some(document) = &mut self.document else { return Vec::new() };
        let before = document.basis().revision;
        if let Some(label) = document.redo(now.instant) {
            self.status.notice = Some(Notice::plain(format!("Done again: {label}")));
        }
        self.after_edit(before)
    }

    /// New tracks are needed when the basis is another one.
    pub(super) fn after_edit(&mut self, before: u64) -> Vec<Effect> {
        self.stale = true;
        let Some(document) = &self.document else { return Vec::new() };
        let mut effects = Vec::new();
        if std::mem::take(&mut self.example_waits) {
            effects.push(Effect::KeepExample);
        }
        if document.basis().revision != before {
            self.view.repair(document.basis());
            self.status.analyzing = true;
            effects.push(Effect::Analyze);
        }
        effects
    }
}
