//! Diagnostics: what was lost, assumed or noticed while reading, each with the most exact place
//! that applies. Structured until shown.

mod codes;
mod document;
mod group;

pub use codes::{CODES, Code, CodeRow, by_name};
pub use document::document;
pub use group::{Group, count, groups};

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
    /// The beat, counted from 1 in the meter's beats; fractions stand between beats.
    pub beat: Option<Quarters>,
    /// The entry of the archive, or the file again.
    pub entry: String,
    /// 1-based line in that entry, 0 when there is none.
    pub line: u32,
    /// 1-based column in characters, 0 when there is none.
    pub column: u32,
}

impl Place {
    /// Where in the music: "movement 2, Flute 1, bar 42, beat 3"; empty if nothing is known.
    /// `with_movement` says whether the movement is named.
    pub fn in_music(&self, with_movement: bool) -> String {
        let mut words: Vec<String> = Vec::new();
        if let Some(movement) = self.movement.filter(|_| with_movement) {
            words.push(format!("movement {}", movement + 1));
        }
        if let Some((id, name)) = &self.part {
            words.push(if name.is_empty() { format!("part {id}") } else { name.clone() });
        }
        if let Some((_, name)) = &self.bar {
            words.push(match name.as_str() {
                "upbeat" => String::from("the upbeat"),
                name => format!("bar {name}"),
            });
        }
        match (self.beat, self.at.filter(|at| !at.is_zero())) {
            (Some(beat), Some(_)) => words.push(format!("beat {}", beat_words(beat))),
            (None, Some(at)) => words.push(format!("{at} quarters in")),
            _ => {}
        }
        words.join(", ")
    }

    /// Where in the file: "score.xml:1204:9"; empty if no file is known.
    pub fn in_file(&self) -> String {
        let entry = if self.entry.is_empty() { &self.file } else { &self.entry };
        match (self.line, self.column) {
            (0, _) => entry.clone(),
            (line, 0) => format!("{entry}:{line}"),
            (line, column) => format!("{entry}:{line}:{column}"),
        }
    }
}

/// A beat as it is said: "3", "2½", "4 and 2/5".
fn beat_words(beat: Quarters) -> String {
    let whole = beat.numerator().div_euclid(beat.denominator());
    let rest = beat.numerator().rem_euclid(beat.denominator());
    let sign = match (rest, beat.denominator()) {
        (0, _) => return whole.to_string(),
        (1, 2) => '½',
        (1, 3) => '⅓',
        (2, 3) => '⅔',
        (1, 4) => '¼',
        (3, 4) => '¾',
        (rest, den) => return format!("{whole} and {rest}/{den}"),
    };
    format!("{whole}{sign}")
}

impl fmt::Display for Place {
    /// `Flute 1, bar 42, beat 3 (work.xml:1204:9)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (music, file) = (self.in_music(true), self.in_file());
        match (music.is_empty(), file.is_empty()) {
            (true, _) => f.write_str(&file),
            (false, true) => f.write_str(&music),
            (false, false) => write!(f, "{music} ({file})"),
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
    /// How many more of this kind were found in the same part and only counted.
    pub more: u32,
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
        write!(f, "{severity}[{}] {}: {}", self.code.name(), self.place, self.message)?;
        match self.more {
            0 => Ok(()),
            more => write!(f, "; and {more} more of this kind"),
        }
    }
}
