//! The records of version 1 and their way to and from the model. A field once written here keeps
//! its name and meaning; anything else needs a version 2.

use super::text::{Bars, Beaten, DeviceName, Fraction, Hash, Hashes, Id, Place, SignName, Time};
use crate::bar::{BarIndex, MovementId};
use crate::part::PartKey;
use crate::study::{
    BarSeen, Beating, Correction, Cue, Edit, EditError, Entry, EntryId, Group, Item, Layer, Mark,
    MovementRow, OrderChoice, OrderKey, PartSeen, PlanTempo, PlanTempoValue, SourceRow, Span,
    Study, check_rows,
};
use serde::{Deserialize, Serialize};

/// The version alone, whatever else is there.
#[derive(Deserialize)]
pub(super) struct AnyVersion {
    pub(super) version: u32,
}

/// The whole file.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StudyFile {
    pub(super) version: u32,
    title: String,
    #[serde(default)]
    author: String,
    saved: u64,
    sources: Vec<SourceRecord>,
    parts: Vec<PartRecord>,
    movements: Vec<MovementRecord>,
    entries: Vec<EntryRecord>,
}

/// Where movements come from.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum SourceRecord {
    File { path: String, fingerprint: Hash },
    BarMap { text: String },
}

/// A part.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PartRecord {
    key: String,
    name: String,
}

/// A movement. All counts begin with 1.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MovementRecord {
    id: u32,
    title: String,
    spans: Vec<SpanRecord>,
    bars: Vec<BarRecord>,
}

/// Bars of a source, `to` missing for all the rest.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SpanRecord {
    source: usize,
    movement: usize,
    from: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    to: Option<u32>,
}

/// A bar as last seen: label, length in quarters, meter, exact hash, shape hash, part hashes.
#[derive(Serialize, Deserialize)]
pub(super) struct BarRecord(String, Fraction, String, Hash, Hash, Hashes);

/// Fields that every entry has.
macro_rules! entry_records {
    ($($(#[$doc:meta])* $kind:ident { $($(#[$attr:meta])* $field:ident: $type:ty,)* })*) => {
        /// One entry.
        #[derive(Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(super) enum EntryRecord {
            $($(#[$doc])* $kind {
                $($(#[$attr])* $field: $type,)*
                id: Id,
                #[serde(default, skip_serializing_if = "String::is_empty")]
                by: String,
                #[serde(default, skip_serializing_if = "Time::is_unknown")]
                on: Time,
                #[serde(default, skip_serializing_if = "String::is_empty")]
                order: String,
            },)*
        }
    };
}

entry_records! {
    Layer {
        name: String,
        #[serde(default = "yes", skip_serializing_if = "is_yes")]
        shown: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        locked: bool,
    }
    Mark {
        at: Place,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        to: Option<u32>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        parts: Vec<String>,
        sign: SignName,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        text: String,
        layer: Id,
    }
    Beating {
        bar: Bars,
        beat: Beaten,
        #[serde(default, skip_serializing_if = "is_zero")]
        nth: u8,
    }
    Cue {
        at: Place,
        part: String,
        #[serde(default = "yes", skip_serializing_if = "is_yes")]
        wanted: bool,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        who: String,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        how: String,
    }
    Group {
        bars: Bars,
        level: u8,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        name: String,
        #[serde(default, skip_serializing_if = "is_no")]
        elision: bool,
        #[serde(default, skip_serializing_if = "is_zero")]
        extension: u8,
    }
    Instrument {
        at: Place,
        part: String,
        instrument: String,
    }
    Players {
        part: String,
        players: Vec<String>,
    }
    Device {
        at: Place,
        part: String,
        device: DeviceName,
        begins: bool,
    }
    Rehearsal {
        bar: Bars,
        mark: String,
    }
    Number {
        bar: Bars,
        number: u32,
    }
    Tempo {
        at: Place,
        unit: Fraction,
        per_minute: f64,
    }
    TempoTerm {
        at: Place,
        term: String,
    }
    TempoAsBefore {
        at: Place,
    }
    Repeat {
        bar: Bars,
        taken: bool,
    }
    Cut {
        bars: Bars,
    }
    Pause {
        after: Bars,
        seconds: f64,
    }
}

fn yes() -> bool {
    true
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn is_yes(value: &bool) -> bool {
    *value
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn is_no(value: &bool) -> bool {
    !*value
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn is_zero(value: &u8) -> bool {
    *value == 0
}

/// An edit, for the journal.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum EditRecord {
    Put(EntryRecord),
    Remove(Id),
    Arrange {
        sources: Vec<SourceRecord>,
        movements: Vec<MovementRecord>,
        parts: Vec<PartRecord>,
        moved: Vec<EntryRecord>,
    },
    Title(String),
    Author(String),
    All(Vec<EditRecord>),
}

impl From<&Edit> for EditRecord {
    fn from(edit: &Edit) -> Self {
        match edit {
            Edit::Put(entry) => Self::Put(entry.into()),
            Edit::Remove(id) => Self::Remove(Id(*id)),
            Edit::Arrange { sources, movements, parts, moved } => Self::Arrange {
                sources: sources.iter().map(Into::into).collect(),
                movements: movements.iter().map(Into::into).collect(),
                parts: parts.iter().map(Into::into).collect(),
                moved: moved.iter().map(Into::into).collect(),
            },
            Edit::Title(title) => Self::Title(title.clone()),
            Edit::Author(author) => Self::Author(author.clone()),
            Edit::All(edits) => Self::All(edits.iter().map(Into::into).collect()),
        }
    }
}

impl EditRecord {
    pub(super) fn into_edit(self) -> Edit {
        match self {
            Self::Put(entry) => Edit::Put(entry.into_entry()),
            Self::Remove(id) => Edit::Remove(id.0),
            Self::Arrange { sources, movements, parts, moved } => Edit::Arrange {
                sources: sources.into_iter().map(SourceRecord::into_row).collect(),
                movements: movements.into_iter().map(MovementRecord::into_row).collect(),
                parts: parts.into_iter().map(PartRecord::into_part).collect(),
                moved: moved.into_iter().map(EntryRecord::into_entry).collect(),
            },
            Self::Title(title) => Edit::Title(title),
            Self::Author(author) => Edit::Author(author),
            Self::All(edits) => Edit::All(edits.into_iter().map(Self::into_edit).collect()),
        }
    }
}

impl StudyFile {
    /// The study, or the entry that cannot stand (`None`: the tables) and why.
    pub(super) fn into_study(self) -> Result<Study, (Option<EntryId>, EditError)> {
        let mut study = Study::default();
        study.title = self.title;
        study.author = self.author;
        study.version = self.saved;
        study.sources = self.sources.into_iter().map(SourceRecord::into_row).collect();
        study.movements = self.movements.into_iter().map(MovementRecord::into_row).collect();
        study.parts = self.parts.into_iter().map(PartRecord::into_part).collect();
        check_rows(study.sources.len(), &study.movements).map_err(|cause| (None, cause))?;
        let entries = self.entries.into_iter().map(EntryRecord::into_entry);
        // Marks need their layers, whatever the order of the lines.
        let (layers, others): (Vec<_>, Vec<_>) =
            entries.partition(|entry| matches!(entry.item, Item::Layer(_)));
        for entry in layers.into_iter().chain(others) {
            let id = entry.id;
            study.restore(entry).map_err(|cause| (Some(id), cause))?;
        }
        Ok(study)
    }
}

impl From<&SourceRow> for SourceRecord {
    fn from(row: &SourceRow) -> Self {
        match row {
            SourceRow::File { path, fingerprint } => {
                Self::File { path: path.clone(), fingerprint: Hash(*fingerprint) }
            }
            SourceRow::BarMap { text } => Self::BarMap { text: text.clone() },
        }
    }
}

impl SourceRecord {
    fn into_row(self) -> SourceRow {
        match self {
            Self::File { path, fingerprint } => {
                SourceRow::File { path, fingerprint: fingerprint.0 }
            }
            Self::BarMap { text } => SourceRow::BarMap { text },
        }
    }
}

impl From<&PartSeen> for PartRecord {
    fn from(part: &PartSeen) -> Self {
        Self { key: part.key.0.clone(), name: part.name.clone() }
    }
}

impl PartRecord {
    fn into_part(self) -> PartSeen {
        PartSeen { key: PartKey(self.key), name: self.name }
    }
}

impl From<&MovementRow> for MovementRecord {
    fn from(row: &MovementRow) -> Self {
        let bars = row.bars.iter().map(Into::into).collect();
        let spans = row.spans.iter().map(Into::into).collect();
        Self { id: row.id.0, title: row.title.clone(), spans, bars }
    }
}

impl MovementRecord {
    /// The movement without its bars, which stand on lines of their own.
    pub(super) fn head(row: &MovementRow) -> Self {
        let head = MovementRow { bars: Vec::new(), ..row.clone() };
        Self::from(&head)
    }

    fn into_row(self) -> MovementRow {
        MovementRow {
            id: MovementId(self.id),
            title: self.title,
            spans: self.spans.into_iter().map(SpanRecord::into_span).collect(),
            bars: self.bars.into_iter().map(BarRecord::into_bar).collect(),
        }
    }
}

fn counted(bar: BarIndex) -> u32 {
    bar.0.saturating_add(1)
}

fn index(count: u32) -> BarIndex {
    BarIndex(count.saturating_sub(1))
}

impl From<&Span> for SpanRecord {
    fn from(span: &Span) -> Self {
        Self {
            source: span.source.saturating_add(1),
            movement: span.movement.saturating_add(1),
            from: counted(span.from),
            to: span.to.map(counted),
        }
    }
}

impl SpanRecord {
    fn into_span(self) -> Span {
        Span {
            source: self.source.wrapping_sub(1),
            movement: self.movement.wrapping_sub(1),
            from: index(self.from),
            to: self.to.map(index),
        }
    }
}

impl From<&BarSeen> for BarRecord {
    fn from(bar: &BarSeen) -> Self {
        Self(
            bar.label.clone(),
            Fraction(bar.length),
            bar.meter.clone(),
            Hash(bar.exact),
            Hash(bar.shape),
            Hashes(bar.parts.clone()),
        )
    }
}

impl BarRecord {
    fn into_bar(self) -> BarSeen {
        let Self(label, length, meter, exact, shape, parts) = self;
        BarSeen { label, length: length.0, meter, exact: exact.0, shape: shape.0, parts: parts.0 }
    }
}

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

    pub(super) fn into_entry(self) -> Entry {
        let entry = |item, id: Id, by, on: Time, order| Entry {
            id: id.0,
            author: by,
            changed: on.0,
            order: OrderKey(order),
            item,
        };
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
