//! Questions to a study: entries of one kind, sorted by place, and those that touch a bar.

use super::{
    Beating, Correction, Cue, Entry, EntryId, Group, Item, Layer, Mark, MovementRow, OrderChoice,
    OrderKey, PlanTempo, PlanTempoValue, Seat, Sign, Study, Subject,
};
use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::part::PartKey;
use crate::study::IdMaker;

impl Item {
    /// The movement it stands in; `None` for layers and for players of a part.
    pub fn movement(&self) -> Option<MovementId> {
        self.place().map(|place| place.movement)
    }

    /// Where it stands or begins; `None` for layers, seats and players of a part.
    pub fn place(&self) -> Option<BarAddress> {
        let start = |movement: &MovementId, bar: &BarIndex| BarAddress::start_of(*movement, *bar);
        Some(match self {
            Self::Layer(_) | Self::Seat(_) | Self::Correction(Correction::Players { .. }) => {
                return None;
            }
            Self::Mark(mark) => mark.from,
            Self::Beating(beating) => start(&beating.movement, &beating.bar),
            Self::Cue(cue) => cue.at,
            Self::Group(group) => start(&group.movement, &group.from),
            Self::Tempo(tempo) => tempo.at,
            Self::Correction(Correction::Instrument { at, .. } | Correction::Device { at, .. }) => {
                *at
            }
            Self::Correction(
                Correction::Rehearsal { movement, bar, .. }
                | Correction::Renumber { movement, bar, .. },
            ) => start(movement, bar),
            Self::Order(
                OrderChoice::Repeat { movement, bar, .. }
                | OrderChoice::Cut { movement, from: bar, .. }
                | OrderChoice::Pause { movement, after: bar, .. },
            ) => start(movement, bar),
        })
    }

    /// The last bar it covers, with its movement; `None` for what stands nowhere.
    pub fn last_bar(&self) -> Option<(MovementId, BarIndex)> {
        let place = self.place()?;
        let last = match self {
            Self::Mark(mark) => mark.to.unwrap_or(place.bar),
            Self::Group(group) => group.to,
            Self::Order(OrderChoice::Cut { to, .. }) => *to,
            _ => place.bar,
        };
        Some((place.movement, last))
    }

    /// The parts it names.
    pub fn parts(&self) -> Vec<&PartKey> {
        match self {
            Self::Mark(mark) => mark.parts.iter().collect(),
            Self::Cue(cue) => vec![&cue.part],
            Self::Seat(seat) => vec![&seat.part],
            Self::Correction(
                Correction::Instrument { part, .. }
                | Correction::Players { part, .. }
                | Correction::Device { part, .. },
            ) => vec![part],
            _ => Vec::new(),
        }
    }

    /// What it says in a few words, without its place: "cue for horn-1", "beating 2+3".
    pub fn summary(&self) -> String {
        match self {
            Self::Layer(layer) => format!("layer \"{}\"", layer.name),
            Self::Mark(mark) => match (mark.sign, mark.text.as_str()) {
                (Sign::Text, text) => format!("\"{text}\""),
                (sign, "") => sign.name().to_owned(),
                (sign, text) => format!("{} \"{text}\"", sign.name()),
            },
            Self::Beating(beating) => format!("beating {}", beating.pattern),
            Self::Cue(cue) if cue.wanted => format!("cue for {}", cue.part),
            Self::Cue(cue) => format!("no cue for {}", cue.part),
            Self::Group(group) if group.name.is_empty() => {
                format!("group of {} bars", group.to.0.saturating_sub(group.from.0) + 1)
            }
            Self::Group(group) => format!("group {}", group.name),
            Self::Correction(correction) => correction.summary(),
            Self::Seat(Seat { part, side, depth }) => {
                format!("{part} sits {}, {}", side.name(), depth.name())
            }
            Self::Tempo(tempo) => match &tempo.value {
                PlanTempoValue::Beats { unit, per_minute } => {
                    format!("tempo {per_minute} a minute for {unit} quarters")
                }
                PlanTempoValue::Term(term) => format!("tempo {term}"),
                PlanTempoValue::AsBefore => String::from("tempo as before"),
            },
            Self::Order(choice) => match choice {
                OrderChoice::Repeat { taken: true, .. } => String::from("repeat taken"),
                OrderChoice::Repeat { .. } => String::from("repeat left out"),
                OrderChoice::Cut { from, to, .. } => {
                    format!("cut of {} bars", to.0.saturating_sub(from.0) + 1)
                }
                OrderChoice::Pause { seconds, .. } => format!("pause of {seconds} s"),
            },
        }
    }

    /// Whether it covers a bar.
    pub fn touches(&self, movement: MovementId, bar: BarIndex) -> bool {
        let Some((place, (_, last))) = self.place().zip(self.last_bar()) else { return false };
        place.movement == movement && (place.bar..=last).contains(&bar)
    }

    /// Whether the basis of the analyses changes with it: corrections, tempi and performing order.
    pub const fn is_in_basis(&self) -> bool {
        matches!(self, Self::Correction(_) | Self::Tempo(_) | Self::Order(_))
    }
}

impl Correction {
    /// What it says in a few words, without its place.
    pub fn summary(&self) -> String {
        match self {
            Self::Instrument { part, instrument, .. } => format!("{part} plays {instrument}"),
            Self::Players { part, players } => format!("players of {part}: {}", players.join(", ")),
            Self::Device { part, device, on: true, .. } => format!("{part}: {device} begins"),
            Self::Device { part, device, .. } => format!("{part}: {device} ends"),
            Self::Rehearsal { mark, .. } if mark.is_empty() => String::from("no rehearsal mark"),
            Self::Rehearsal { mark, .. } => format!("rehearsal mark {mark}"),
            Self::Renumber { number, .. } => format!("bar number {number}"),
        }
    }
}

impl Study {
    /// A movement's row.
    pub fn movement(&self, id: MovementId) -> Option<&MovementRow> {
        self.movements.iter().find(|row| row.id == id)
    }

    /// The place of a movement in the order.
    pub fn movement_idx(&self, id: MovementId) -> Option<usize> {
        self.movements.iter().position(|row| row.id == id)
    }

    /// The number of a movement that no row has yet.
    pub fn unused_movement_id(&self) -> MovementId {
        let highest = self.movements.iter().map(|row| row.id.0).max();
        MovementId(highest.map_or(1, |highest| highest.saturating_add(1)))
    }

    /// A layer.
    pub fn layer(&self, id: EntryId) -> Option<&Layer> {
        match &self.entry(id)?.item {
            Item::Layer(layer) => Some(layer),
            _ => None,
        }
    }

    /// The marks of a layer, sorted by place.
    pub fn marks_of(&self, layer: EntryId) -> Vec<(&Entry, &Mark)> {
        let marks = self.marks().filter(|(_, mark)| mark.layer == layer).collect();
        self.by_place(marks)
    }

    /// Every entry that covers a bar, sorted by place.
    pub fn touching(&self, movement: MovementId, bar: BarIndex) -> Vec<&Entry> {
        let found = self.entries().filter(|entry| entry.item.touches(movement, bar));
        let found = self.by_place(found.map(|entry| (entry, ())).collect());
        found.into_iter().map(|(entry, ())| entry).collect()
    }

    /// The cue decided for a part at a place.
    pub fn cue(&self, at: BarAddress, part: &PartKey) -> Option<(&Entry, &Cue)> {
        let entry = self.decision(&Subject::Cue(at, part.clone()))?;
        match &entry.item {
            Item::Cue(cue) => Some((entry, cue)),
            _ => None,
        }
    }

    /// All cues sorted by place.
    pub fn cues_by_place(&self) -> Vec<(&Entry, &Cue)> {
        self.by_place(self.cues().collect())
    }

    /// The groups of a movement: by first bar, of those the larger first.
    pub fn groups_of(&self, movement: MovementId) -> Vec<(&Entry, &Group)> {
        let of_movement = |(_, group): &(&Entry, &Group)| group.movement == movement;
        let mut groups: Vec<_> = self.groups().filter(of_movement).collect();
        groups.sort_by_key(|(entry, group)| {
            (group.from, std::cmp::Reverse(group.to), std::cmp::Reverse(group.level), entry.id)
        });
        groups
    }

    /// The beatings of a movement by bar.
    pub fn beatings_of(&self, movement: MovementId) -> Vec<(&Entry, &Beating)> {
        let first = Subject::Beating(movement, BarIndex(0));
        let last = Subject::Beating(movement, BarIndex(u32::MAX));
        let entries = self.subjects.range(first..=last).filter_map(|(_, id)| self.entry(*id));
        entries
            .filter_map(|entry| match &entry.item {
                Item::Beating(beating) => Some((entry, beating)),
                _ => None,
            })
            .collect()
    }

    /// The tempi by hand of a movement, sorted by place.
    pub fn tempi_of(&self, movement: MovementId) -> Vec<(&Entry, &PlanTempo)> {
        self.by_place(self.pick(|item| match item {
            Item::Tempo(tempo) if tempo.at.movement == movement => Some(tempo),
            _ => None,
        }))
    }

    /// Where a part sits, if that was decided.
    pub fn seat(&self, part: &PartKey) -> Option<(&Entry, &Seat)> {
        let entry = self.decision(&Subject::Seat(part.clone()))?;
        match &entry.item {
            Item::Seat(seat) => Some((entry, seat)),
            _ => None,
        }
    }

    /// All corrections, those without a place first, then sorted by place.
    pub fn corrections(&self) -> Vec<(&Entry, &Correction)> {
        self.by_place(self.pick(|item| match item {
            Item::Correction(correction) => Some(correction),
            _ => None,
        }))
    }

    /// The decisions on the performing order of a movement, sorted by place.
    pub fn order_of(&self, movement: MovementId) -> Vec<(&Entry, &OrderChoice)> {
        self.by_place(self.pick(|item| match item {
            Item::Order(choice) if item.movement() == Some(movement) => Some(choice),
            _ => None,
        }))
    }

    fn pick<'a, T>(&'a self, pick: impl Fn(&'a Item) -> Option<&'a T>) -> Vec<(&'a Entry, &'a T)> {
        self.entries().filter_map(|entry| pick(&entry.item).map(|t| (entry, t))).collect()
    }

    /// Sorts by the order of movements, bar, offset, then the user's order, then the id.
    fn by_place<'a, T>(&self, mut found: Vec<(&'a Entry, T)>) -> Vec<(&'a Entry, T)> {
        found.sort_by_cached_key(|(entry, _)| self.place_key(entry));
        found
    }

    /// What entries are sorted by when place matters.
    pub fn place_key(&self, entry: &Entry) -> PlaceKey {
        let place = entry.item.place();
        let movement = place.and_then(|place| self.movement_idx(place.movement));
        PlaceKey(movement, place, entry.order.clone(), entry.id)
    }

    /// A new entry by the present author, after the entries of its kind in the same bar.
    pub fn new_entry(&self, item: Item, ids: &mut IdMaker, now: u64) -> Entry {
        let mut id = ids.next_id();
        while self.entry(id).is_some() {
            id = ids.next_id();
        }
        let bar = item.place().map(|place| (place.movement, place.bar));
        let peer = |entry: &&Entry| {
            std::mem::discriminant(&entry.item) == std::mem::discriminant(&item)
                && entry.item.place().map(|place| (place.movement, place.bar)) == bar
        };
        let last = self.entries().filter(peer).map(|entry| &entry.order).max();
        let order = OrderKey::between(last, None);
        Entry { id, author: self.author.clone(), changed: now, order, item }
    }
}

/// See [`Study::place_key`].
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct PlaceKey(Option<usize>, Option<BarAddress>, OrderKey, EntryId);
