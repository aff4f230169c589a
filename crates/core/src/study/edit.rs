//! Edits: the only way a study changes. Applying one answers its inverse.

use super::{Entry, EntryId, Item, MovementRow, PartSeen, SourceRow, Study};

/// A change of a study.
#[derive(Clone, PartialEq, Debug)]
pub enum Edit {
    /// Puts an entry in place: a new one, or the one with the same id changed. An entry that decides
    /// the same subject under another id is replaced.
    Put(Entry),
    /// Takes an entry away.
    Remove(EntryId),
    /// Replaces the table of sources and movements.
    Arrange {
        /// The sources.
        sources: Vec<SourceRow>,
        /// The movements in order.
        movements: Vec<MovementRow>,
        /// The parts as seen.
        parts: Vec<PartSeen>,
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
    /// A value is out of its range.
    #[error("{0}")]
    OutOfRange(String),
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
            Edit::Arrange { sources, movements, parts } => Ok(Edit::Arrange {
                sources: std::mem::replace(&mut self.sources, sources),
                movements: std::mem::replace(&mut self.movements, movements),
                parts: std::mem::replace(&mut self.parts, parts),
            }),
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

    fn put(&mut self, entry: Entry) -> Result<Edit, EditError> {
        self.check(&entry)?;
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

    fn check_layer(&self, layer: EntryId) -> Result<(), EditError> {
        match self.entries.get(&layer).map(|entry| &entry.item) {
            Some(Item::Layer(layer)) if layer.locked => Err(EditError::Locked(layer.name.clone())),
            Some(Item::Layer(_)) => Ok(()),
            _ => Err(EditError::NoLayer(layer)),
        }
    }

    fn check(&self, entry: &Entry) -> Result<(), EditError> {
        if let Item::Mark(mark) = &entry.item {
            self.check_layer(mark.layer)?;
        }
        if let Some(Item::Mark(before)) = self.entries.get(&entry.id).map(|entry| &entry.item) {
            self.check_layer(before.layer)?;
        }
        Ok(())
    }
}
