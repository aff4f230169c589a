//! What is going on beside the document and the view: what is open and saved, what works in the
//! background, what has to be said or asked, what was found at the start.

use super::action::Action;
use super::passages::Beside;
use crate::settings::Settings;
use barloom_core::diag::Diagnostic;
use std::path::PathBuf;
use std::sync::Arc;

/// The state of the program as panels see it.
#[derive(Clone, Debug, Default)]
pub struct Status {
    /// Whether a work is open.
    pub open: bool,
    /// The study's name for the window's title.
    pub name: String,
    /// The study file; `None` until it was saved for the first time.
    pub path: Option<PathBuf>,
    /// Where the study would be saved.
    pub proposed_path: PathBuf,
    /// Whether there are changes that are not in the study file.
    pub unsaved: bool,
    /// "Study saved 4 minutes ago", "3 changes not saved yet".
    pub saved_words: String,
    /// The step that undo takes back.
    pub undo: Option<String>,
    /// The step that redo does again.
    pub redo: Option<String>,
    /// Work in the background.
    pub busy: Option<Busy>,
    /// The tracks are being computed.
    pub analyzing: bool,
    /// What has to be said.
    pub notice: Option<Notice>,
    /// What has to be asked.
    pub question: Option<Question>,
    /// What reading found in the open work.
    pub diagnostics: Arc<[Diagnostic]>,
    /// How many places there are to look at, mere notes not counted.
    pub n_looks: usize,
    /// The passages side by side, while they are shown and the tracks are there.
    pub beside: Option<Arc<Beside>>,
    /// Settings of the program.
    pub settings: Settings,
    /// Recent files, the latest first, with whether they are still there.
    pub recent: Vec<RecentRow>,
    /// Unsaved changes of earlier runs.
    pub found: Vec<FoundJournal>,
}

/// A line of recent files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecentRow {
    /// The study, or the score files in the order of the movements.
    pub paths: Vec<PathBuf>,
    /// The work's title.
    pub title: String,
    /// When it was open, in words.
    pub when: String,
}

/// Unsaved changes that a journal holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundJournal {
    /// The journal.
    pub journal: PathBuf,
    /// "3 changes to The Tide Mill were not saved 2 hours ago".
    pub words: String,
}

/// Work in the background.
#[derive(Clone, Debug, PartialEq)]
pub struct Busy {
    /// What: "reading tide-mill.mxl".
    pub what: String,
    /// How far, 0 to 1, if known.
    pub share: Option<f32>,
    /// Whether it can be stopped.
    pub can_stop: bool,
}

/// A message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// One or two sentences.
    pub text: String,
    /// Whether something failed.
    pub failed: bool,
}

impl Notice {
    /// A plain message.
    pub fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), failed: false }
    }

    /// Something failed.
    pub fn failed(text: impl Into<String>) -> Self {
        Self { text: text.into(), failed: true }
    }
}

/// A question at the foot: never modal, and each answer an action.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// The question.
    pub text: String,
    /// The answers in words with what they do.
    pub answers: Vec<(String, Action)>,
}

/// How long ago in words, from seconds.
pub fn ago(seconds: u64) -> String {
    let plural = |n: u64, unit: &str| {
        if n == 1 { format!("1 {unit} ago") } else { format!("{n} {unit}s ago") }
    };
    match seconds {
        0..=44 => String::from("just now"),
        45..=3_569 => plural((seconds + 30) / 60, "minute"),
        3_570..=86_399 => plural(((seconds + 1_800) / 3_600).max(1), "hour"),
        _ => plural(((seconds + 43_200) / 86_400).max(1), "day"),
    }
}

#[cfg(test)]
mod tests {
    use super::ago;

    #[test]
    fn time_passed_is_said_in_the_largest_unit_that_fits() {
        for (seconds, words) in [
            (0, "just now"),
            (44, "just now"),
            (60, "1 minute ago"),
            (600, "10 minutes ago"),
            (3_600, "1 hour ago"),
            (7_300, "2 hours ago"),
            (86_400, "1 day ago"),
            (900_000, "10 days ago"),
        ] {
            assert_eq!(ago(seconds), words);
        }
    }
}
