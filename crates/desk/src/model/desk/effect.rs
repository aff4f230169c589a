//! What the desk asks of its rim: the window, the file dialogs, the threads.

use barloom_core::work::Replacements;
use std::path::PathBuf;

/// Something only the rim can do.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Gives the field of the title line a text and the keyboard.
    BeginField(String),
    /// Takes the keyboard from the field; keeps its text or not.
    EndField {
        /// Whether the text stays for the next time.
        keep_text: bool,
    },
    /// Asks for score files or a study.
    ChooseFiles,
    /// Asks for score files to be added.
    ChooseMovements,
    /// Asks where to save.
    ChooseSavePath(PathBuf),
    /// Asks where to print the plan.
    ChoosePlanPath(PathBuf),
    /// Asks where to print the passages side by side.
    ChooseSheetPath(PathBuf),
    /// Asks where to write the selected bars.
    ChooseBarsPath(PathBuf),
    /// Reads these files as a work.
    Open(Vec<PathBuf>),
    /// Reads a study again with files for sources that were not found.
    Reopen {
        /// The study.
        paths: Vec<PathBuf>,
        /// The files.
        replacements: Replacements,
    },
    /// Reads the example suite.
    OpenExample,
    /// Copies the example suite to the user's data: it is marked now.
    KeepExample,
    /// Reads the study of a journal with its edits.
    Recover(PathBuf),
    /// Throws a journal away.
    DiscardJournal(PathBuf),
    /// Reads further files into the open work.
    AddFiles(Vec<PathBuf>),
    /// Looks for journals that were left behind.
    FindJournals,
    /// Computes the tracks of the present basis.
    Analyze,
    /// Saves the study.
    Save {
        /// Where to; the present file if `None`.
        path: Option<PathBuf>,
        /// Whether the user chose the place, so that a study there may be replaced.
        chosen: bool,
    },
    /// Prints the plan.
    Print(PathBuf),
    /// Prints the passages side by side.
    PrintSheet(PathBuf),
    /// Writes the selected bars as MusicXML.
    Extract(PathBuf),
    /// Stops reading or printing.
    Stop,
    /// Keeps the settings.
    KeepSettings,
    /// Keeps the list of recent files.
    KeepRecent,
    /// Closes the window.
    Quit,
}
