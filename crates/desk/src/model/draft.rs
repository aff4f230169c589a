//! Changes before they have ids, author and time: what panels and commands ask for.
//!
//! [`stamp`] makes the edit. It knows no clock and no randomness of its own.

use barloom_core::bar::{BarAddress, BarIndex};
use barloom_core::part::PartKey;
use barloom_core::study::{
    Edit, Entry, EntryId, IdMaker, Item, Layer, Mark, OrderKey, Sign, Study,
};

/// A change of the study under a label, as one step of undo.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What it is called in "Undo ...": "add cue".
    pub label: String,
    /// Key of the gesture it belongs to; changes of one gesture that follow each other are one step.
    pub gesture: Option<u64>,
    /// The parts of it, in order.
    pub drafts: Vec<Draft>,
}

impl Change {
    /// A step of its own.
    pub fn new(label: impl Into<String>, drafts: Vec<Draft>) -> Self {
        Self { label: label.into(), gesture: None, drafts }
    }

    /// A single draft as a step of its own.
    pub fn one(label: impl Into<String>, draft: Draft) -> Self {
        Self::new(label, vec![draft])
    }

    /// The same as part of a gesture.
    pub fn within(mut self, gesture: u64) -> Self {
        self.gesture = Some(gesture);
        self
    }
}

/// One part of a change.
#[derive(Clone, Debug, PartialEq)]
pub enum Draft {
    /// A new entry, at the end of the user's order; or the entry that decides the same subject,
    /// changed.
    Put(Item),
    /// A new mark. Without a layer that exists it goes to the first that is open, and that is made
    /// if there is none.
    NewMark(NewMark),
    /// An entry changed.
    Change(EntryId, Item),
    /// An entry moved in the user's order.
    Move(EntryId, OrderKey),
    /// An entry taken away.
    Remove(EntryId),
    /// Anything else.
    Raw(Edit),
}

/// A mark without its place in a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct NewMark {
    /// The layer asked for.
    pub layer: Option<EntryId>,
    /// Where it stands or begins.
    pub from: BarAddress,
    /// The last bar of a span.
    pub to: Option<BarIndex>,
    /// The parts it concerns; empty means the whole score.
    pub parts: Vec<PartKey>,
    /// The sign.
    pub sign: Sign,
    /// The words.
    pub text: String,
}

/// The layer that is made for the first mark.
pub const FIRST_LAYER: &str = "Marks";

/// Who changes, and when.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stamp {
    /// The author; empty if never said.
    pub author: String,
    /// Seconds since 1970-01-01 UTC.
    pub now: u64,
}

/// The edit of a change. Drafts of entries that do not exist any more are left out.
pub fn stamp(drafts: Vec<Draft>, study: &Study, ids: &mut IdMaker, who: &Stamp) -> Edit {
    let last = study.entries().map(|entry| &entry.order).max().cloned();
    let mut stamper = Stamper { study, ids, who, last, made_layer: None, edits: Vec::new() };
    for draft in drafts {
        stamper.push(draft);
    }
    match stamper.edits.len() {
        1 => stamper.edits.remove(0),
        _ => Edit::All(stamper.edits),
    }
}

struct Stamper<'a> {
    study: &'a Study,
    ids: &'a mut IdMaker,
    who: &'a Stamp,
    /// The last key in the user's order so far.
    last: Option<OrderKey>,
    /// The layer that had to be made for a mark.
    made_layer: Option<EntryId>,
    edits: Vec<Edit>,
}

impl Stamper<'_> {
    fn push(&mut self, draft: Draft) {
        match draft {
            Draft::Put(item) => {
                let known = item.subject().and_then(|subject| self.study.decision(&subject));
                match known {
                    Some(known) => self.put(known.id, known.order.clone(), item),
                    None => {
                        self.add(item);
                    }
                }
            }
            Draft::NewMark(new) => {
                let layer = self.layer(new.layer);
                let NewMark { from, to, parts, sign, text, .. } = new;
                self.add(Item::Mark(Mark { layer, from, to, parts, sign, text }));
            }
            Draft::Change(id, item) => {
                if let Some(known) = self.study.entry(id) {
                    self.put(id, known.order.clone(), item);
                }
            }
            Draft::Move(id, order) => {
                if let Some(known) = self.study.entry(id) {
                    self.put(id, order, known.item.clone());
                }
            }
            Draft::Remove(id) => {
                self.edits.extend(self.study.entry(id).map(|_| Edit::Remove(id)));
            }
            Draft::Raw(edit) => self.edits.push(edit),
        }
    }

    /// A new entry at the end of the order.
    fn add(&mut self, item: Item) -> EntryId {
        let order = OrderKey::between(self.last.as_ref(), None);
        self.last = Some(order.clone());
        let id = self.ids.next_id();
        self.put(id, order, item);
        id
    }

    fn put(&mut self, id: EntryId, order: OrderKey, item: Item) {
        self.edits.push(Edit::Put(entry(id, order, item, self.who)));
    }

    fn layer(&mut self, asked: Option<EntryId>) -> EntryId {
        let layers = self.study.layers();
        let asked = layers.iter().find(|(entry, _)| Some(entry.id) == asked);
        let open = || layers.iter().find(|(_, layer)| !layer.locked);
        if let Some((entry, _)) = asked.or_else(open) {
            return entry.id;
        }
        if let Some(made) = self.made_layer {
            return made;
        }
        let layer = Layer { name: FIRST_LAYER.to_owned(), shown: true, locked: false };
        let made = self.add(Item::Layer(layer));
        self.made_layer = Some(made);
        made
    }
}

fn entry(id: EntryId, order: OrderKey, item: Item, who: &Stamp) -> Entry {
    Entry { id, author: who.author.clone(), changed: who.now, order, item }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::bar::{BarIndex, MovementId};
    use barloom_core::pattern::Pattern;
    use barloom_core::study::{Beating, Layer};

    fn beating(beats: u8) -> Draft {
        Draft::Put(Item::Beating(Beating {
            movement: MovementId(1),
            bar: BarIndex(4),
            pattern: Pattern::Beats(beats),
            nth: 0,
        }))
    }

    #[test]
    fn a_second_decision_keeps_the_id_of_the_first() {
        let (mut study, mut ids) = (crate::testing::bare_study(), IdMaker::seeded(1));
        let who = Stamp { author: String::from("Ada"), now: 5 };
        let edit = stamp(vec![beating(2)], &study, &mut ids, &who);
        study.apply(edit).unwrap();
        let first = study.entries().next().unwrap().id;
        let edit = stamp(vec![beating(3)], &study, &mut ids, &who);
        study.apply(edit).unwrap();
        let entries: Vec<_> = study.entries().collect();
        assert_eq!(entries.len(), 1);
        assert_eq!((entries[0].id, entries[0].changed), (first, 5));
        assert_eq!(entries[0].author, "Ada");
    }

    #[test]
    fn new_entries_come_last_in_the_order() {
        let (mut study, mut ids) = (crate::testing::bare_study(), IdMaker::seeded(1));
        let layer = |name: &str| {
            Draft::Put(Item::Layer(Layer { name: name.into(), shown: true, locked: false }))
        };
        let drafts = vec![layer("hands"), layer("colour"), layer("questions")];
        let edit = stamp(drafts, &study, &mut ids, &Stamp::default());
        study.apply(edit).unwrap();
        let names: Vec<_> = study.layers().into_iter().map(|(_, layer)| &layer.name).collect();
        assert_eq!(names, ["hands", "colour", "questions"]);
    }

    #[test]
    fn what_is_gone_is_left_out() {
        let (study, mut ids) = (crate::testing::bare_study(), IdMaker::seeded(1));
        let gone = ids.next_id();
        let drafts = vec![Draft::Remove(gone), Draft::Move(gone, OrderKey::default())];
        assert_eq!(stamp(drafts, &study, &mut ids, &Stamp::default()), Edit::All(Vec::new()));
    }
}
