//! Sources, parts and movements: records to and from the model.

use super::{BarRecord, MovementRecord, PartRecord, SourceRecord, SpanRecord};
use crate::bar::{BarIndex, MovementId};
use crate::part::PartKey;
use crate::sidecar::text::{Fraction, Hash, Hashes};
use crate::study::{BarSeen, MovementRow, PartSeen, SourceRow, Span};

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
    pub(super) fn into_row(self) -> SourceRow {
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
    pub(super) fn into_part(self) -> PartSeen {
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
    pub(in crate::sidecar) fn head(row: &MovementRow) -> Self {
        let head = MovementRow { bars: Vec::new(), ..row.clone() };
        Self::from(&head)
    }

    pub(super) fn into_row(self) -> MovementRow {
        MovementRow {
            id: MovementId(self.id),
            title: self.title,
            spans: self.spans.into_iter().map(SpanRecord::into_span).collect(),
            bars: self.bars.into_iter().map(BarRecord::into_bar).collect(),
        }
    }
}

pub(super) fn counted(bar: BarIndex) -> u32 {
    bar.0.saturating_add(1)
}

pub(super) fn index(count: u32) -> BarIndex {
    BarIndex(count.saturating_sub(1))
}

impl From<&Span> for SpanRecord {
    fn from(span: &Span) -> Self {
        Self {
            source: span.source.wrapping_add(1),
            movement: span.movement.wrapping_add(1),
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
