//! What must hold of an entry and of the table of movements before an edit is applied.

use super::{
    Beating, Correction, Cue, EditError, Entry, EntryId, Group, Item, Mark, MovementRow,
    OrderChoice, PlanTempo, PlanTempoValue, SourceRow, Study,
};
use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::part::PlayerSet;
use crate::pattern::Pattern;
use crate::time::Quarters;
use std::collections::{BTreeMap, BTreeSet};

/// The highest level of groups.
pub const MAX_LEVEL: u8 = 6;
/// The longest pause in seconds.
pub const MAX_PAUSE: f64 = 3600.0;
/// The fastest tempo by hand, in beats a minute.
pub const MAX_PER_MINUTE: f64 = 1000.0;

type Check = Result<(), EditError>;

fn require(condition: bool, or: impl FnOnce() -> String) -> Check {
    if condition { Ok(()) } else { Err(EditError::OutOfRange(or())) }
}

impl Study {
    /// Everything that an edit's entry must fulfill in the study as it is.
    pub(super) fn check_entry(&self, entry: &Entry) -> Check {
        if let Item::Mark(mark) = &entry.item {
            self.check_layer(mark.layer)?;
        }
        if let Some(before) = self.entry(entry.id) {
            let same_kind =
                std::mem::discriminant(&before.item) == std::mem::discriminant(&entry.item);
            require(same_kind, || format!("entry {} cannot become another kind", entry.id))?;
            if let Item::Mark(before) = &before.item {
                self.check_layer(before.layer)?;
            }
        }
        self.check_values(entry)
    }

    /// Everything but locks: what also holds of entries in a file.
    pub(super) fn check_values(&self, entry: &Entry) -> Check {
        require(entry.order.is_valid(), || {
            format!("\"{}\" is no order key: small letters, the last not a", entry.order.0)
        })?;
        match &entry.item {
            Item::Layer(layer) => {
                require(!layer.name.trim().is_empty(), || String::from("a layer needs a name"))
            }
            Item::Mark(mark) => self.check_mark(mark),
            Item::Beating(beating) => self.check_beating(beating),
            Item::Cue(Cue { at, part, .. }) => {
                self.check_address(*at)?;
                check_part(&part.0)
            }
            Item::Group(group) => self.check_group(group),
            Item::Correction(correction) => self.check_correction(correction),
            Item::Tempo(tempo) => self.check_tempo(tempo),
            Item::Order(choice) => self.check_order(choice),
            Item::Seat(seat) => check_part(&seat.part.0),
        }
    }

    pub(super) fn check_layer(&self, layer: EntryId) -> Check {
        match self.entry(layer).map(|entry| &entry.item) {
            Some(Item::Layer(layer)) if layer.locked => Err(EditError::Locked(layer.name.clone())),
            Some(Item::Layer(_)) => Ok(()),
            _ => Err(EditError::NoLayer(layer)),
        }
    }

    fn check_bar(&self, movement: MovementId, bar: BarIndex) -> Check {
        let row = self.movement(movement).ok_or(EditError::NoMovement(movement))?;
        require(bar.idx() < row.bars.len(), || {
            let n_bars = row.bars.len();
            format!("{movement} has {n_bars} bars, there is no bar {} in it", bar.idx() + 1)
        })
    }

    fn check_bars(&self, movement: MovementId, from: BarIndex, to: BarIndex) -> Check {
        self.check_bar(movement, from)?;
        self.check_bar(movement, to)?;
        require(from <= to, || String::from("the last bar lies before the first"))
    }

    fn check_address(&self, at: BarAddress) -> Check {
        self.check_bar(at.movement, at.bar)?;
        let row = self.movement(at.movement);
        let length = row.and_then(|row| row.bars.get(at.bar.idx())).map(|bar| bar.length);
        let length = length.unwrap_or_default();
        let inside = at.offset >= Quarters::ZERO && at.offset < length;
        require(inside || at.offset.is_zero(), || {
            format!("{} quarters lie outside a bar of {length} quarters", at.offset)
        })
    }

    fn check_mark(&self, mark: &Mark) -> Check {
        let is_layer = matches!(self.entry(mark.layer).map(|e| &e.item), Some(Item::Layer(_)));
        if !is_layer {
            return Err(EditError::NoLayer(mark.layer));
        }
        self.check_address(mark.from)?;
        mark.parts.iter().try_for_each(|part| check_part(&part.0))?;
        mark.to.map_or(Ok(()), |to| self.check_bars(mark.from.movement, mark.from.bar, to))
    }

    fn check_beating(&self, beating: &Beating) -> Check {
        self.check_bar(beating.movement, beating.bar)?;
        require(beating.pattern.is_valid(), || {
            format!("{} is not a way of beating", beating.pattern)
        })?;
        let bars = if let Pattern::Joined { bars, .. } = beating.pattern { bars } else { 1 };
        require(beating.nth < bars, || {
            format!("a pattern over {bars} bars has no bar {}", u32::from(beating.nth) + 1)
        })
    }

    fn check_group(&self, group: &Group) -> Check {
        self.check_bars(group.movement, group.from, group.to)?;
        require((1..=MAX_LEVEL).contains(&group.level), || {
            format!("groups have levels 1 to {MAX_LEVEL}, not {}", group.level)
        })?;
        let n_bars = group.to.0 - group.from.0 + 1;
        require(u32::from(group.extension) <= n_bars, || {
            format!("a group of {n_bars} bars has no extension of {}", group.extension)
        })
    }

    fn check_correction(&self, correction: &Correction) -> Check {
        match correction {
            Correction::Instrument { at, part, instrument } => {
                self.check_address(*at)?;
                check_part(&part.0)?;
                require(!instrument.trim().is_empty(), || String::from("no instrument is named"))
            }
            Correction::Players { part, players } => {
                check_part(&part.0)?;
                require((1..=PlayerSet::MAX_PLAYERS).contains(&players.len()), || {
                    format!("a part has 1 to {} players", PlayerSet::MAX_PLAYERS)
                })?;
                let named = players.iter().all(|player| !player.trim().is_empty());
                require(named, || String::from("every player needs a name"))
            }
            Correction::Device { at, part, .. } => {
                self.check_address(*at)?;
                check_part(&part.0)
            }
            Correction::Rehearsal { movement, bar, .. }
            | Correction::Renumber { movement, bar, .. } => self.check_bar(*movement, *bar),
        }
    }

    fn check_tempo(&self, tempo: &PlanTempo) -> Check {
        self.check_address(tempo.at)?;
        match &tempo.value {
            PlanTempoValue::Beats { unit, per_minute } => {
                require(*unit > Quarters::ZERO, || String::from("a beat needs a length"))?;
                let inside = *per_minute > 0.0 && *per_minute <= MAX_PER_MINUTE;
                require(inside, || {
                    format!("{per_minute} is no tempo: above 0, at most {MAX_PER_MINUTE} a minute")
                })
            }
            PlanTempoValue::Term(term) => {
                require(!term.trim().is_empty(), || String::from("the tempo word is missing"))
            }
            PlanTempoValue::AsBefore => Ok(()),
        }
    }

    fn check_order(&self, choice: &OrderChoice) -> Check {
        match choice {
            OrderChoice::Repeat { movement, bar, .. } => self.check_bar(*movement, *bar),
            OrderChoice::Cut { movement, from, to } => self.check_bars(*movement, *from, *to),
            OrderChoice::Pause { movement, after, seconds } => {
                self.check_bar(*movement, *after)?;
                require((0.0..=MAX_PAUSE).contains(seconds), || {
                    format!("a pause lasts 0 to {MAX_PAUSE} seconds, not {seconds}")
                })
            }
        }
    }

    /// Whether a new table of movements can take the place of the present one: ids are unique, spans
    /// name sources that exist, and no entry loses its bar.
    pub(super) fn check_arrangement(
        &self,
        sources: &[SourceRow],
        movements: &[MovementRow],
    ) -> Check {
        check_rows(sources.len(), movements)?;
        let n_bars: BTreeMap<_, _> = movements.iter().map(|row| (row.id, row.bars.len())).collect();
        let mut lost: BTreeMap<MovementId, usize> = BTreeMap::new();
        for entry in self.entries() {
            if let Some((movement, last)) = entry.item.last_bar()
                && n_bars.get(&movement).is_none_or(|n_bars| last.idx() >= *n_bars)
            {
                *lost.entry(movement).or_default() += 1;
            }
        }
        match lost.into_iter().next() {
            Some((movement, n_lost)) => Err(EditError::MovementInUse(movement, n_lost)),
            None => Ok(()),
        }
    }
}

/// What must hold of a table of movements by itself.
pub(crate) fn check_rows(n_sources: usize, movements: &[MovementRow]) -> Check {
    let mut ids = BTreeSet::new();
    for row in movements {
        let id = row.id;
        require(ids.insert(id), || format!("there are two movements {id}"))?;
        require(!row.spans.is_empty(), || format!("{id} comes from nowhere"))?;
        for (place, span) in row.spans.iter().enumerate() {
            require(span.source < n_sources, || {
                // Files count from 1, and may say 0.
                let stated = span.source.wrapping_add(1);
                format!("{id} comes from source {stated}, which does not exist")
            })?;
            require(span.to.is_none_or(|to| span.from <= to), || {
                format!("a span of {id} ends before it begins")
            })?;
            require(span.to.is_some() || place + 1 == row.spans.len(), || {
                format!("only the last span of {id} may be open")
            })?;
        }
    }
    Ok(())
}

fn check_part(key: &str) -> Check {
    require(!key.trim().is_empty(), || String::from("the part has no name"))
}

/// An entry that moves with its bars stays of its kind and in its layer.
pub(super) fn check_moved(before: &Entry, after: &Entry) -> Check {
    let same_kind = std::mem::discriminant(&before.item) == std::mem::discriminant(&after.item);
    let same_layer = match (&before.item, &after.item) {
        (Item::Mark(before), Item::Mark(after)) => before.layer == after.layer,
        (Item::Layer(_), _) => false,
        _ => true,
    };
    require(same_kind && same_layer, || format!("entry {} would not only move", after.id))
}
