//! Diagnostics: what was lost, assumed or noticed while reading, each with the most exact place
//! that applies. Structured until shown.

mod codes;

pub use codes::{CODES, Code, CodeRow};

use crate::bar::BarIndex;
use crate::time::Quarters;
use std::fmt;

/// How bad it is. Ordered from the worst.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Severity {
    /// Something was lost.
    Error,
    /// Kept, but altered or assumed.
    Warning,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// Lower case, as shown.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// Where something was found: the most exact that applies.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Place {
    /// The file, without folders.
    pub file: String,
    /// 0-based movement in the work.
    pub movement: Option<usize>,
    /// The part: id in the file and printed name.
    pub part: Option<(String, String)>,
    /// The bar: index and what a person calls it.
    pub bar: Option<(BarIndex, String)>,
    /// Quarters from the start of the bar.
    pub at: Option<Quarters>,
    /// The entry of the archive, or the file again.
    pub entry: String,
    /// 1-based line in that entry, 0 when there is none.
    pub line: u32,
    /// 1-based column in characters, 0 when there is none.
    pub column: u32,
}

impl fmt::Display for Place {
    /// `Flute 1, bar 42, beat offset 3 (work.xml:1204:9)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut words: Vec<String> = Vec::new();
        if let Some(movement) = self.movement {
            words.push(format!("movement {}", movement + 1));
        }
        if let Some((id, name)) = &self.part {
            words.push(if name.is_empty() { format!("part {id}") } else { name.clone() });
        }
        if let Some((_, name)) = &self.bar {
            words.push(format!("bar {name}"));
        }
        if let Some(at) = self.at.filter(|at| !at.is_zero()) {
            words.push(format!("{at} quarters in"));
        }
        f.write_str(&words.join(", "))?;
        let entry = if self.entry.is_empty() { &self.file } else { &self.entry };
        let open = if words.is_empty() { "" } else { " (" };
        let close = if words.is_empty() { "" } else { ")" };
        match (self.line, self.column) {
            (0, _) => write!(f, "{open}{entry}{close}"),
            (line, 0) => write!(f, "{open}{entry}:{line}{close}"),
            (line, column) => write!(f, "{open}{entry}:{line}:{column}{close}"),
        }
    }
}

/// One finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Diagnostic {
    /// What kind; carries its severity.
    pub code: Code,
    /// Where.
    pub place: Place,
    /// What was found and what was done, lower case, no final stop.
    pub message: String,
    /// What the user can do, if anything.
    pub hint: Option<String>,
}

impl Diagnostic {
    /// How bad it is.
    pub fn severity(&self) -> Severity {
        self.code.severity()
    }
}

impl fmt::Display for Diagnostic {
    /// One line: `error[voice-too-long] Flute 1, bar 42 (work.xml:1204:9): voice lasts ...`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let severity = self.severity().name();
        write!(f, "{severity}[{}] {}: {}", self.code.name(), self.place, self.message)
    }
}
