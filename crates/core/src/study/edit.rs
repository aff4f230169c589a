//! Edits: the only way a study changes. Applying one answers its inverse.

use super::check::check_moved;
use super::{Entry, EntryId, Item, MovementRow, PartSeen, SourceRow, Study};

/// A change of a study.
#[derive(Clone, PartialEq, Debug)]
pub enum Edit {
    /// Puts an entry in place: a new one, or the one with the same id changed. An entry that decides
    /// the same subject under another id is replaced.
    Put(Entry),
    /// Takes an entry away.
    Remove(EntryId),
    /// Replaces the table of sources and movements, and moves entries with their bars.
    Arrange {
        /// The sources.
        sources: Vec<SourceRow>,
        /// The movements in order.
        movements: Vec<MovementRow>,
        /// The parts as seen.
        parts: Vec<PartSeen>,
        /// Entries at their new places. They must be there already; locks do not hold, since
        /// nothing but the address changes.
        moved: Vec<Entry>,
    },
    /// Renames the study.
    Title(String),
    /// Says who marks from now on.
    Author(String),
    /// Several edits as one step, in order; all or none.
    All(Vec<Edit>),
}

/// Why an edit was refused. Nothing has changed then.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The entry is not there.
    #[error("there is no entry {0} in this study")]
    NoEntry(EntryId),
    /// The mark names a layer that does not exist.
    #[error("the mark's layer {0} does not exist")]
    NoLayer(EntryId),
    /// The layer is locked.
    #[error("the layer \"{0}\" is locked")]
    Locked(String),
    /// The layer still holds marks.
    #[error("the layer \"{0}\" still holds {1} marks")]
    LayerInUse(String, usize),
    /// The movement is not in the study.
    #[error("the study has no movement {0}")]
    NoMovement(crate::bar::MovementId),
    /// The movement would go while entries still stand in it, or in bars it would lose.
    #[error("{0} still holds {1} entries in the bars that would go")]
    MovementInUse(crate::bar::MovementId, usize),
    /// The subject is decided by another entry already. Only a file can ask for this.
    #[error("entry {0} decides the same as entry {1}")]
    DecidedTwice(EntryId, EntryId),
    /// A value is out of its range.
    #[error("{0}")]
    OutOfRange(String),
}

impl Edit {
    /// Whether analyses must run again after it: corrections, tempi, performing order, movements.
    /// `study` is the study before the edit.
    pub fn touches_basis(&self, study: &Study) -> bool {
        match self {
            Self::Put(entry) => entry.item.is_in_basis(),
            Self::Remove(id) => study.entry(*id).is_some_and(|entry| entry.item.is_in_basis()),
            Self::Arrange { .. } | Self::Title(_) => true,
            Self::Author(_) => false,
            // An entry that an earlier edit of the row makes and a later one removes is rare
            // enough to count as a change.
            Self::All(edits) => edits.iter().any(|edit| edit.touches_basis(study)),
        }
    }
}

impl Study {
    /// Applies an edit and answers the edit that undoes it.
    ///
    /// # Errors
    /// See [`EditError`]; the study is unchanged then.
    pub fn apply(&mut self, edit: Edit) -> Result<Edit, EditError> {
        match edit {
            Edit::Put(entry) => self.put(entry),
            Edit::Remove(id) => self.remove(id),
            Edit::Arrange { sources, movements, parts, moved } => {
                let before = self.clone();
                let done = self.arrange(sources, movements, parts, moved);
                if done.is_err() {
                    *self = before;
                }
                done
            }
            Edit::Title(title) => Ok(Edit::Title(std::mem::replace(&mut self.title, title))),
            Edit::Author(author) => Ok(Edit::Author(std::mem::replace(&mut self.author, author))),
            Edit::All(edits) => self.apply_all(edits),
        }
    }

    fn apply_all(&mut self, edits: Vec<Edit>) -> Result<Edit, EditError> {
        let mut inverses = Vec::with_capacity(edits.len());
        for edit in edits {
            match self.apply(edit) {
                Ok(inverse) => inverses.push(inverse),
                Err(error) => {
                    for inverse in inverses.into_iter().rev() {
                        let undone = self.apply(inverse);
                        debug_assert!(undone.is_ok(), "an inverse was refused: {undone:?}");
                    }
                    return Err(error);
                }
            }
        }
        inverses.reverse();
        Ok(Edit::All(inverses))
    }

    fn arrange(
        &mut self,
        sources: Vec<SourceRow>,
        movements: Vec<MovementRow>,
        parts: Vec<PartSeen>,
        moved: Vec<Entry>,
    ) -> Result<Edit, EditError> {
        let mut taken = Vec::with_capacity(moved.len());
        for entry in &moved {
            let before = self.take(entry.id).ok_or(EditError::NoEntry(entry.id))?;
            check_moved(&before, entry)?;
            taken.push(before);
        }
        self.check_arrangement(&sources, &movements)?;
        let inverse = Edit::Arrange {
            sources: std::mem::replace(&mut self.sources, sources),
            movements: std::mem::replace(&mut self.movements, movements),
            parts: std::mem::replace(&mut self.parts, parts),
            moved: taken,
        };
        moved.into_iter().try_for_each(|entry| self.restore(entry))?;
        Ok(inverse)
    }

    fn put(&mut self, entry: Entry) -> Result<Edit, EditError> {
        self.check_entry(&entry)?;
        let subject = entry.item.subject();
        let rival = subject.as_ref().and_then(|subject| self.subjects.get(subject)).copied();
        let mut undo = Vec::new();
        if let Some(rival) = rival.filter(|rival| *rival != entry.id) {
            undo.extend(self.take(rival).map(Edit::Put));
        }
        let id = entry.id;
        let before = self.take(id);
        if let Some(subject) = subject {
            self.subjects.insert(subject, id);
        }
        self.entries.insert(id, entry);
        undo.insert(0, before.map_or(Edit::Remove(id), Edit::Put));
        Ok(if undo.len() == 1 { undo.remove(0) } else { Edit::All(undo) })
    }

    fn remove(&mut self, id: EntryId) -> Result<Edit, EditError> {
        let entry = self.entries.get(&id).ok_or(EditError::NoEntry(id))?;
        match &entry.item {
            Item::Layer(layer) => {
                let n_marks = self.marks().filter(|(_, mark)| mark.layer == id).count();
                if n_marks > 0 {
                    return Err(EditError::LayerInUse(layer.name.clone(), n_marks));
                }
            }
            Item::Mark(mark) => self.check_layer(mark.layer)?,
            _ => {}
        }
        self.take(id).map(Edit::Put).ok_or(EditError::NoEntry(id))
    }

    /// Puts an entry of a file in place as it is: locked layers hold marks there, and nothing is
    /// replaced.
    pub(crate) fn restore(&mut self, entry: Entry) -> Result<(), EditError> {
        self.check_values(&entry)?;
        if let Some(subject) = entry.item.subject() {
            if let Some(rival) = self.subjects.get(&subject) {
                return Err(EditError::DecidedTwice(entry.id, *rival));
            }
            self.subjects.insert(subject, entry.id);
        }
        if self.entries.contains_key(&entry.id) {
            return Err(EditError::OutOfRange(format!("there are two entries {}", entry.id)));
        }
        self.entries.insert(entry.id, entry);
        Ok(())
    }

    /// Takes every entry out, for finding new places for all of them.
    pub(crate) fn take_entries(&mut self) -> Vec<Entry> {
        self.subjects.clear();
        std::mem::take(&mut self.entries).into_values().collect()
    }

    /// The same with the layers first, as marks need them when they are put back.
    pub(crate) fn take_entries_by_layers(&mut self) -> Vec<Entry> {
        let mut entries = self.take_entries();
        entries.sort_by_key(|entry| !matches!(entry.item, Item::Layer(_)));
        entries
    }

    /// Takes an entry out of both tables.
    fn take(&mut self, id: EntryId) -> Option<Entry> {
        let entry = self.entries.remove(&id)?;
        if let Some(subject) = entry.item.subject()
            && self.subjects.get(&subject) == Some(&id)
        {
            self.subjects.remove(&subject);
        }
        Some(entry)
    }
}
