//! The study: what the conductor decided and marked, beside a score that is never edited.
//!
//! Everything is an [`Entry`] in one table, keyed by a permanent id; [`Study::apply`] is the only
//! door to it and answers with the inverse. Files and RON are elsewhere.

mod check;
mod edit;
mod entry;
mod id;
mod item;
mod make;
mod query;
mod readdress;
mod seat;
mod source;

pub(crate) use check::check_rows;
pub use check::{MAX_LEVEL, MAX_PAUSE, MAX_PER_MINUTE};
pub use edit::{Edit, EditError};
pub use entry::{Entry, OrderKey};
pub use id::{EntryId, IdError, IdMaker};
pub use item::*;
pub use make::FIRST_LAYERS;
pub use query::PlaceKey;
pub use seat::{Depth, Seat, Side};
pub use source::{BarSeen, MovementRow, PartSeen, SourceRow, Span};

use crate::bar::{BarIndex, MovementId};
use std::collections::BTreeMap;

/// A conductor's study of one work.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Study {
    /// The work's title, proposed from the score.
    pub title: String,
    /// Who marks: the author of new entries; empty if never said.
    pub author: String,
    /// Counts saves; a merge knows by it which version each side began from.
    pub version: u64,
    /// The files and bar maps that the movements come from.
    pub sources: Vec<SourceRow>,
    /// The movements in order, with their bars as last seen.
    pub movements: Vec<MovementRow>,
    /// The parts as last seen, in score order.
    pub parts: Vec<PartSeen>,
    entries: BTreeMap<EntryId, Entry>,
    /// The entry that decides a subject, for the items that may exist only once.
    subjects: BTreeMap<Subject, EntryId>,
}

impl Study {
    /// All entries in order of their ids.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.entries.values()
    }

    /// One entry.
    pub fn entry(&self, id: EntryId) -> Option<&Entry> {
        self.entries.get(&id)
    }

    /// The entry that decides a subject, if someone decided it.
    pub fn decision(&self, subject: &Subject) -> Option<&Entry> {
        self.entries.get(self.subjects.get(subject)?)
    }

    /// The beating chosen for a bar.
    pub fn beating(&self, movement: MovementId, bar: BarIndex) -> Option<&Beating> {
        match &self.decision(&Subject::Beating(movement, bar))?.item {
            Item::Beating(beating) => Some(beating),
            _ => None,
        }
    }

    /// The layers in the user's order.
    pub fn layers(&self) -> Vec<(&Entry, &Layer)> {
        self.sorted(|item| match item {
            Item::Layer(layer) => Some(layer),
            _ => None,
        })
    }

    /// The marks, in order of ids; see [`Self::marks_of`].
    pub fn marks(&self) -> impl Iterator<Item = (&Entry, &Mark)> {
        self.entries().filter_map(|entry| match &entry.item {
            Item::Mark(mark) => Some((entry, mark)),
            _ => None,
        })
    }

    /// The cues, in order of ids; callers sort by place.
    pub fn cues(&self) -> impl Iterator<Item = (&Entry, &Cue)> {
        self.entries().filter_map(|entry| match &entry.item {
            Item::Cue(cue) => Some((entry, cue)),
            _ => None,
        })
    }

    /// The groups, in order of ids; callers sort by place.
    pub fn groups(&self) -> impl Iterator<Item = (&Entry, &Group)> {
        self.entries().filter_map(|entry| match &entry.item {
            Item::Group(group) => Some((entry, group)),
            _ => None,
        })
    }

    /// Entries of one kind sorted by order key, ties by id.
    fn sorted<'a, T>(
        &'a self,
        pick: impl Fn(&'a Item) -> Option<&'a T>,
    ) -> Vec<(&'a Entry, &'a T)> {
        let mut found: Vec<_> =
            self.entries().filter_map(|entry| pick(&entry.item).map(|t| (entry, t))).collect();
        found.sort_by(|(a, _), (b, _)| (&a.order, a.id).cmp(&(&b.order, b.id)));
        found
    }
}

#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;
