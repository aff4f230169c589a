//! What can be asked for: every action carries its target. Panels and keys queue actions; they are
//! carried out at one point of the frame.

use super::draft::Change;
use super::field::Purpose;
use super::view_state::{Camera, ListKind, RowShow, Selection, SidePage, TrackRow};
use crate::settings::Settings;
use barloom_analysis::compare::Passage;
use barloom_core::bar::BarIndex;
use barloom_core::instrument::Family;
use barloom_core::study::{Edit, EntryId};
use std::path::PathBuf;

/// Something to be done.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Changes the study, under a label for undo ("add cue"). Edits with the same gesture that follow
    /// each other become one step.
    Edit {
        /// The change.
        edit: Edit,
        /// What it is called in "Undo ...".
        label: String,
        /// Key of the gesture it belongs to (a drag, a burst of typing).
        gesture: Option<u64>,
    },
    /// Changes the study by items that get their ids, author and time when carried out.
    Change(Change),
    /// Takes the last step back.
    Undo,
    /// Does it again.
    Redo,
    /// Selects.
    Select(Selection),
    /// Selects, and brings the end that moved into view.
    Walk(Selection),
    /// Moves or zooms the grid.
    Look(Camera),
    /// Zooms the grid in (above 1) or out (below 1) about the selection, or about its middle.
    Zoom(f32),
    /// Fits the selection, or the movement when nothing is selected, into the grid.
    FitSelection,
    /// Shows a movement, from a bar on if one is named, and selects that bar.
    GoTo {
        /// 0-based.
        movement: usize,
        /// The bar to bring into view and select.
        bar: Option<BarIndex>,
    },
    /// Goes to what the text names: a bar label, "III 48", a rehearsal mark, a time as 3:20, a part.
    Find(String),
    /// Gives the field in the title line a purpose and the keyboard.
    Ask(Purpose),
    /// What the field says now, for its purpose; Enter was pressed.
    Answer(String),
    /// Folds or unfolds a family.
    Fold(Family),
    /// Opens, thins or hides track rows.
    ShowRows(Vec<TrackRow>, RowShow),
    /// Bars of equal width or in proportion.
    EqualBars(bool),
    /// Bars in the order in which they are played, or as written.
    PlayedOrder(bool),
    /// Opens a list, or closes the open one.
    List(Option<ListKind>),
    /// What the side panel shows.
    Side(SidePage),
    /// Shows or hides the drawn figure of the beating.
    Figure(bool),
    /// Begins or ends choosing a sign for a mark.
    ChooseSign(bool),
    /// Begins or ends editing an entry in the side panel.
    EditEntry(Option<EntryId>),
    /// Chooses the layer for new marks.
    UseLayer(EntryId),
    /// Keeps a passage to set another beside it, or keeps none.
    KeepPassage(Option<Passage>),
    /// Sets two passages side by side, or takes them apart.
    SetBeside(Option<(Passage, Passage)>),
    /// Goes to a passage and selects it.
    GoToPassage(Passage),
    /// Prints the passages side by side to a file.
    PrintBeside(Option<PathBuf>),
    /// Opens or closes the legend.
    Legend(bool),
    /// Goes back one step: closes what was opened last, then takes the selection away.
    Back,
    /// New settings.
    Settings(Box<Settings>),
    /// Asks for files and opens them.
    ChooseFiles,
    /// Opens these score files or this study.
    Open(Vec<PathBuf>),
    /// Opens the study again with this file for the source that was missing.
    SourceFound(PathBuf),
    /// Opens the example suite.
    OpenExample,
    /// Forgets recent files.
    ForgetRecent(Vec<PathBuf>),
    /// Says what to do with changes that a journal of an earlier run holds.
    Recover {
        /// The journal.
        journal: PathBuf,
        /// What to do with them.
        choice: Recovery,
    },
    /// Adds score files as further movements of the open work.
    AddMovements(Vec<PathBuf>),
    /// Takes a typed bar map as a movement: instead of the one of a source, or as a new one; of a
    /// new work when none is open.
    PutBarMap {
        /// The source whose text it replaces.
        source: Option<usize>,
        /// The text.
        text: String,
    },
    /// Saves the study.
    Save,
    /// Asks for a name and saves the study there.
    SaveAs(Option<PathBuf>),
    /// Prints the plan to a file.
    Plan(Option<PathBuf>),
    /// Writes the selected bars and parts as MusicXML.
    Extract(Option<PathBuf>),
    /// Goes back to the start screen.
    Close,
    /// Leaves the program.
    Quit,
    /// Goes on with what was asked about although changes are not saved.
    Leave {
        /// Throws the changes away; else they stay in the journal for the next start.
        discard: bool,
    },
    /// Saves, then goes on with what was asked about.
    SaveAndLeave,
    /// Saves over a study that exists at this path.
    SaveOver(PathBuf),
    /// Takes the message or question at the foot away.
    Dismiss,
    /// Stops the work that is going on in the background.
    Stop,
}

/// What becomes of unsaved changes that were found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Recovery {
    /// Opens the study with them.
    Take,
    /// Leaves them where they are, for another time.
    Leave,
    /// Throws them away.
    Discard,
}
