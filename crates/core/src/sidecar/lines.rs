//! The records of the recovery journal and their lines.

use super::text::{Hash, line, options};
use super::v1::EditRecord;
use super::{SidecarError, syntax};
use crate::journal::{Base, Header, Line};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// The version of the journal's lines. A journal of another version is listed but not replayed.
const VERSION: u32 = 1;

/// One line.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum LineRecord {
    Begin { version: u32, title: String, base: BaseRecord, sources: Vec<String> },
    Edit(u64, EditRecord),
    Saving { path: String, fingerprint: Hash, after: u64 },
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum BaseRecord {
    Saved { path: String, version: u64, fingerprint: Hash },
    Unsaved { folder: String, text: String },
}

fn path_text(path: &std::path::Path) -> String {
    path.to_string_lossy().into_owned()
}

/// A line of the journal without checksum and line end.
pub(crate) fn journal_line(content: &Line) -> String {
    line(&match content {
        Line::Begin(header) => LineRecord::Begin {
            version: VERSION,
            title: header.title.clone(),
            base: match &header.base {
                Base::Saved { path, version, fingerprint } => BaseRecord::Saved {
                    path: path_text(path),
                    version: *version,
                    fingerprint: Hash(*fingerprint),
                },
                Base::Unsaved { folder, text } => {
                    BaseRecord::Unsaved { folder: path_text(folder), text: text.clone() }
                }
            },
            sources: header.sources.iter().map(|path| path_text(path)).collect(),
        },
        Line::Edit(number, edit) => LineRecord::Edit(*number, EditRecord::from(edit)),
        Line::Saving { path, fingerprint, after } => LineRecord::Saving {
            path: path_text(path),
            fingerprint: Hash(*fingerprint),
            after: *after,
        },
    })
}

/// Reads what [`journal_line`] wrote.
///
/// # Errors
/// When it is damaged or of another version.
pub(crate) fn parse_journal_line(text: &str) -> Result<Line, SidecarError> {
    let record: LineRecord = options().from_str(text).map_err(syntax)?;
    Ok(match record {
        LineRecord::Begin { version, .. } if version != VERSION => {
            return Err(SidecarError::Version { found: version, line: 1 });
        }
        LineRecord::Begin { title, base, sources, .. } => Line::Begin(Header {
            title,
            base: match base {
                BaseRecord::Saved { path, version, fingerprint } => {
                    Base::Saved { path: path.into(), version, fingerprint: fingerprint.0 }
                }
                BaseRecord::Unsaved { folder, text } => {
                    Base::Unsaved { folder: folder.into(), text }
                }
            },
            sources: sources.into_iter().map(PathBuf::from).collect(),
        }),
        LineRecord::Edit(number, edit) => Line::Edit(number, edit.into_edit()),
        LineRecord::Saving { path, fingerprint, after } => {
            Line::Saving { path: path.into(), fingerprint: fingerprint.0, after }
        }
    })
}
