//! The records of version 1 and their way to and from the model. A field once written here keeps
//! its name and meaning; anything else needs a version 2.

mod entries;
mod tables;

use super::text::{
    Bars, Beaten, DepthName, DeviceName, Fraction, Hash, Hashes, Id, Place, SideName, SignName,
    Time,
};
use crate::study::{Edit, EditError, EntryId, Item, Study, check_rows};
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
    Seat {
        part: String,
        side: SideName,
        depth: DepthName,
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
