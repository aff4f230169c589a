//! Entries: records to and from the model.

use super::EntryRecord;
use super::tables::{counted, index};
use crate::bar::{BarIndex, MovementId};
use crate::part::PartKey;
use crate::sidecar::text::{
    Bars, Beaten, DepthName, DeviceName, Fraction, Id, Place, SideName, SignName, Time,
};
use crate::study::{
    Beating, Correction, Cue, Entry, Group, Item, Layer, Mark, OrderChoice, OrderKey, PlanTempo,
    PlanTempoValue, Seat,
};

fn bars(movement: MovementId, from: BarIndex, to: BarIndex) -> Bars {
    Bars { movement, from, to }
}

fn bar(movement: MovementId, bar: BarIndex) -> Bars {
    bars(movement, bar, bar)
}

fn strings(parts: &[PartKey]) -> Vec<String> {
    parts.iter().map(|part| part.0.clone()).collect()
}

impl From<&Entry> for EntryRecord {
    fn from(entry: &Entry) -> Self {
        let (id, by) = (Id(entry.id), entry.author.clone());
        let (on, order) = (Time(entry.changed), entry.order.0.clone());
        match entry.item.clone() {
            Item::Layer(Layer { name, shown, locked }) => {
                Self::Layer { name, shown, locked, id, by, on, order }
            }
            Item::Mark(Mark { layer, from, to, parts, sign, text }) => Self::Mark {
                at: Place(from),
                to: to.map(counted),
                parts: strings(&parts),
                sign: SignName(sign),
                text,
                layer: Id(layer),
                id,
                by,
                on,
                order,
            },
            Item::Beating(Beating { movement, bar: at, pattern, nth }) => {
                let (bar, beat) = (bar(movement, at), Beaten(pattern));
                Self::Beating { bar, beat, nth, id, by, on, order }
            }
            Item::Cue(Cue { at, part, wanted, who, how }) => {
                let (at, part) = (Place(at), part.0);
                Self::Cue { at, part, wanted, who, how, id, by, on, order }
            }
            Item::Group(Group { movement, from, to, level, name, elision, extension }) => {
                let bars = bars(movement, from, to);
                Self::Group { bars, level, name, elision, extension, id, by, on, order }
            }
            Item::Correction(correction) => Self::correction(correction, id, by, on, order),
            Item::Tempo(PlanTempo { at, value }) => {
                let at = Place(at);
                match value {
                    PlanTempoValue::Beats { unit, per_minute } => {
                        let unit = Fraction(unit);
                        Self::Tempo { at, unit, per_minute, id, by, on, order }
                    }
                    PlanTempoValue::Term(term) => Self::TempoTerm { at, term, id, by, on, order },
                    PlanTempoValue::AsBefore => Self::TempoAsBefore { at, id, by, on, order },
                }
            }
            Item::Seat(Seat { part, side, depth }) => {
                let (side, depth) = (SideName(side), DepthName(depth));
                Self::Seat { part: part.0, side, depth, id, by, on, order }
            }
            Item::Order(OrderChoice::Repeat { movement, bar: at, taken }) => {
                Self::Repeat { bar: bar(movement, at), taken, id, by, on, order }
            }
            Item::Order(OrderChoice::Cut { movement, from, to }) => {
                Self::Cut { bars: bars(movement, from, to), id, by, on, order }
            }
            Item::Order(OrderChoice::Pause { movement, after, seconds }) => {
                Self::Pause { after: bar(movement, after), seconds, id, by, on, order }
            }
        }
    }
}

impl EntryRecord {
    fn correction(correction: Correction, id: Id, by: String, on: Time, order: String) -> Self {
        match correction {
            Correction::Instrument { at, part, instrument } => {
                let (at, part) = (Place(at), part.0);
                Self::Instrument { at, part, instrument, id, by, on, order }
            }
            Correction::Players { part, players } => {
                Self::Players { part: part.0, players, id, by, on, order }
            }
            Correction::Device { at, part, device, on: begins } => Self::Device {
                at: Place(at),
                part: part.0,
                device: DeviceName(device),
                begins,
                id,
                by,
                on,
                order,
            },
            Correction::Rehearsal { movement, bar: at, mark } => {
                Self::Rehearsal { bar: bar(movement, at), mark, id, by, on, order }
            }
            Correction::Renumber { movement, bar: at, number } => {
                Self::Number { bar: bar(movement, at), number, id, by, on, order }
            }
        }
    }

    pub(in crate::sidecar) fn into_entry(self) -> Entry {
        let tempo = |at: Place, value| Item::Tempo(PlanTempo { at: at.0, value });
        match self {
            Self::Layer { name, shown, locked, id, by, on, order } => {
                entry(Item::Layer(Layer { name, shown, locked }), id, by, on, order)
            }
            Self::Mark { at, to, parts, sign, text, layer, id, by, on, order } => {
                let mark = Mark {
                    layer: layer.0,
                    from: at.0,
                    to: to.map(index),
                    parts: parts.into_iter().map(PartKey).collect(),
                    sign: sign.0,
                    text,
                };
                entry(Item::Mark(mark), id, by, on, order)
            }
            Self::Beating { bar, beat, nth, id, by, on, order } => {
                let (movement, bar, pattern) = (bar.movement, bar.from, beat.0);
                entry(Item::Beating(Beating { movement, bar, pattern, nth }), id, by, on, order)
            }
            Self::Cue { at, part, wanted, who, how, id, by, on, order } => {
                let cue = Cue { at: at.0, part: PartKey(part), wanted, who, how };
                entry(Item::Cue(cue), id, by, on, order)
            }
            Self::Group { bars, level, name, elision, extension, id, by, on, order } => {
                let Bars { movement, from, to } = bars;
                let group = Group { movement, from, to, level, name, elision, extension };
                entry(Item::Group(group), id, by, on, order)
            }
            Self::Tempo { at, unit, per_minute, id, by, on, order } => {
                let value = PlanTempoValue::Beats { unit: unit.0, per_minute };
                entry(tempo(at, value), id, by, on, order)
            }
            Self::TempoTerm { at, term, id, by, on, order } => {
                entry(tempo(at, PlanTempoValue::Term(term)), id, by, on, order)
            }
            Self::TempoAsBefore { at, id, by, on, order } => {
                entry(tempo(at, PlanTempoValue::AsBefore), id, by, on, order)
            }
            Self::Seat { part, side, depth, id, by, on, order } => {
                let seat = Seat { part: PartKey(part), side: side.0, depth: depth.0 };
                entry(Item::Seat(seat), id, by, on, order)
            }
            Self::Repeat { bar, taken, id, by, on, order } => {
                let Bars { movement, from: bar, .. } = bar;
                let choice = OrderChoice::Repeat { movement, bar, taken };
                entry(Item::Order(choice), id, by, on, order)
            }
            Self::Cut { bars, id, by, on, order } => {
                let Bars { movement, from, to } = bars;
                entry(Item::Order(OrderChoice::Cut { movement, from, to }), id, by, on, order)
            }
            Self::Pause { after, seconds, id, by, on, order } => {
                let Bars { movement, from: after, .. } = after;
                let choice = OrderChoice::Pause { movement, after, seconds };
                entry(Item::Order(choice), id, by, on, order)
            }
            Self::Instrument { at, part, instrument, id, by, on, order } => {
                let (at, part) = (at.0, PartKey(part));
                let correction = Correction::Instrument { at, part, instrument };
                entry(Item::Correction(correction), id, by, on, order)
            }
            Self::Players { part, players, id, by, on, order } => {
                let correction = Correction::Players { part: PartKey(part), players };
                entry(Item::Correction(correction), id, by, on, order)
            }
            Self::Device { at, part, device, begins, id, by, on, order } => {
                let (at, part, device) = (at.0, PartKey(part), device.0);
                let correction = Correction::Device { at, part, device, on: begins };
                entry(Item::Correction(correction), id, by, on, order)
            }
            Self::Rehearsal { bar, mark, id, by, on, order } => {
                let Bars { movement, from: bar, .. } = bar;
                let correction = Correction::Rehearsal { movement, bar, mark };
                entry(Item::Correction(correction), id, by, on, order)
            }
            Self::Number { bar, number, id, by, on, order } => {
                let Bars { movement, from: bar, .. } = bar;
                let correction = Correction::Renumber { movement, bar, number };
                entry(Item::Correction(correction), id, by, on, order)
            }
        }
    }
}

fn entry(item: Item, id: Id, by: String, on: Time, order: String) -> Entry {
    Entry { id: id.0, author: by, changed: on.0, order: OrderKey(order), item }
}
