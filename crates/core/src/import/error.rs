//! What makes a file unreadable as a whole. Anything less is a diagnostic.

use std::fmt;

/// Input that cannot be read at all. Every kind names the file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ImportError {
    /// There was nothing to read.
    #[error("no score file was given")]
    Nothing,
    /// A limit of the reader was met.
    #[error("{what} (the limit is {limit}): {spot}")]
    TooLarge {
        /// What is too large.
        what: String,
        /// The limit in words.
        limit: String,
        /// Where it is met.
        spot: Box<Spot>,
    },
    /// The archive cannot be unpacked.
    #[error("the packed score cannot be unpacked ({cause}) in {file}")]
    Archive {
        /// The file.
        file: String,
        /// Why.
        cause: String,
    },
    /// The text is in an encoding that is not read, or not text.
    #[error("the text cannot be decoded ({cause}) in {file}")]
    Encoding {
        /// The file.
        file: String,
        /// Why.
        cause: String,
    },
    /// The document declares entities.
    #[error(
        "the document declares entities, which scores never need and which can be made to fill \
         the memory; it was not opened: {spot}"
    )]
    Entities {
        /// Where.
        spot: Box<Spot>,
    },
    /// The document is not well-formed.
    #[error("the file is damaged or not XML ({cause}): {spot}")]
    Xml {
        /// Why.
        cause: String,
        /// Where.
        spot: Box<Spot>,
    },
    /// Well-formed, but not a score.
    #[error(
        "this is neither a MusicXML nor an MEI score (its outermost element is <{root}>): {spot}"
    )]
    NotAScore {
        /// The root element.
        root: String,
        /// Where.
        spot: Box<Spot>,
    },
    /// An opus cannot be followed.
    #[error("{why}: {spot}")]
    Opus {
        /// What is wrong.
        why: String,
        /// Where in the opus.
        spot: Box<Spot>,
    },
    /// The durations of the document cannot be held exactly.
    #[error("the divisions of this score have no common measure that can be held exactly: {spot}")]
    Resolution {
        /// Where it first fails.
        spot: Box<Spot>,
    },
    /// The score holds no bars.
    #[error("the score has no bars in {file}")]
    Empty {
        /// The file.
        file: String,
    },
    /// Someone asked to stop.
    #[error("reading was stopped")]
    Cancelled,
}

/// A place in a file: the entry or file, line and column, 1-based; 0 when unknown; and the part and
/// bar around it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Spot {
    /// The file, without folders.
    pub file: String,
    /// The entry of an archive; empty if the file is not one.
    pub entry: String,
    /// 1-based line.
    pub line: u32,
    /// 1-based column in characters.
    pub column: u32,
    /// The id of the part; empty outside of parts.
    pub part: String,
    /// The number of the bar as the file has it; empty outside of bars.
    pub bar: String,
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if !self.entry.is_empty() && self.entry != self.file {
            write!(f, "/{}", self.entry)?;
        }
        match (self.line, self.column) {
            (0, _) => {}
            (line, 0) => write!(f, ":{line}")?,
            (line, column) => write!(f, ":{line}:{column}")?,
        }
        match (self.part.as_str(), self.bar.as_str()) {
            ("", "") => Ok(()),
            (part, "") => write!(f, ", in part {part}"),
            ("", bar) => write!(f, ", in bar {bar}"),
            (part, bar) => write!(f, ", in part {part}, bar {bar}"),
        }
    }
}
