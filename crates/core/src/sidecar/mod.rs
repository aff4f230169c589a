//! The text of a study file, `NAME.barloom`: RON, versioned, in a stable order with one entry a
//! line, so that it reads well in a diff.
//!
//! The records of each version have a module of their own; the model types know nothing of it.
//! Places are written as `m3 b47 +1/2`: the movement's number, the bar counted from 1 in written
//! order (not the printed number), and quarters into the bar. Files are not touched here.

mod lines;
mod text;
mod v1;
mod write;

pub(crate) use lines::{journal_line, parse_journal_line};

use crate::study::{EditError, EntryId, Study};

/// The version that is written.
pub const VERSION: u32 = 1;
/// The extension of study files, without the dot.
pub const EXTENSION: &str = "barloom";

/// Why a text is not a study that can be read. Lines and columns are 1-based.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SidecarError {
    /// Not text at all.
    #[error("line {line}: the file is not text in UTF-8")]
    NotText {
        /// The line with the first byte that is no text.
        line: usize,
    },
    /// A later program wrote it.
    #[error(
        "line {line}: the file has version {found}, and this program reads version {VERSION} only"
    )]
    Version {
        /// The version found.
        found: u32,
        /// The line that says so.
        line: usize,
    },
    /// The text is damaged, or says something that nobody knows.
    #[error("line {line}, column {column}: {message}")]
    Syntax {
        /// The line.
        line: usize,
        /// The column in characters.
        column: usize,
        /// What is wrong.
        message: String,
    },
    /// An entry cannot stand as it is written.
    #[error("line {line}: {cause}")]
    Entry {
        /// The line of the entry.
        line: usize,
        /// What is wrong with it.
        cause: EditError,
    },
}

/// Reads the bytes of a study file.
///
/// # Errors
/// When they are no text, of another version, damaged, or contradict themselves.
pub fn read(bytes: &[u8]) -> Result<Study, SidecarError> {
    parse(as_text(bytes)?)
}

fn as_text(bytes: &[u8]) -> Result<&str, SidecarError> {
    std::str::from_utf8(bytes).map_err(|error| {
        let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
        SidecarError::NotText { line }
    })
}

/// Reads the text of a study file.
///
/// # Errors
/// See [`read`].
pub fn parse(text: &str) -> Result<Study, SidecarError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let file: v1::StudyFile = match text::options().from_str(text) {
        Ok(file) => file,
        Err(error) => return Err(other_version(text).unwrap_or_else(|| syntax(error))),
    };
    if file.version != VERSION {
        let line = line_of(text, "version");
        return Err(SidecarError::Version { found: file.version, line });
    }
    let at = |id: Option<EntryId>| match id {
        Some(id) => line_of(text, &id.to_string()),
        None => line_of(text, "movements:"),
    };
    file.into_study().map_err(|(id, cause)| SidecarError::Entry { line: at(id), cause })
}

/// Whether a text that cannot be read says that another version wrote it.
fn other_version(text: &str) -> Option<SidecarError> {
    let found = text::options().from_str::<v1::AnyVersion>(text).ok()?.version;
    (found != VERSION).then(|| SidecarError::Version { found, line: line_of(text, "version") })
}

fn syntax(error: ron::error::SpannedError) -> SidecarError {
    let place = error.span.end;
    SidecarError::Syntax { line: place.line, column: place.col, message: error.code.to_string() }
}

/// The line on which a word stands first, 1 if it stands nowhere.
fn line_of(text: &str, word: &str) -> usize {
    text.lines().position(|line| line.contains(word)).map_or(1, |idx| idx + 1)
}

/// The text of a study: the same study always gives the same text.
pub fn write(study: &Study) -> String {
    write::study_text(study)
}

#[cfg(test)]
mod tests;
