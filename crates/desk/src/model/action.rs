//! What can be asked for: every action carries its target. Panels and keys queue actions; they are
//! carried out at one point of the frame.

use super::view_state::{Camera, ListKind, Selection, TrackRow};
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
    /// Takes the last step back.
    Undo,
    /// Does it again.
    Redo,
    /// Selects.
    Select(Selection),
    /// Moves or zooms the grid.
    Look(Camera),
    /// Shows a movement, from a bar on if one is named, and selects that bar.
    GoTo {
        /// 0-based.
        movement: usize,
        /// The bar to bring into view and select.
        bar: Option<BarIndex>,
    },
    /// Goes to what the text names: a bar label, "III 48", a rehearsal mark, a time as 3:20, a part.
    Find(String),
    /// Folds or unfolds a family.
    Fold(Family),
    /// Shows or hides a track row.
    ShowRow(TrackRow, bool),
    /// Bars of equal width or in proportion.
    EqualBars(bool),
    /// Opens a list, or closes the open one.
    List(Option<ListKind>),
    /// Begins or ends editing an entry in the side panel.
    EditEntry(Option<EntryId>),
    /// Chooses the layer for new marks.
    UseLayer(EntryId),
    /// Opens or closes the legend.
    Legend(bool),
    /// Asks for files and opens them.
    ChooseFiles,
    /// Opens these score files or this study.
    Open(Vec<PathBuf>),
    /// Opens the example suite.
    OpenExample,
    /// Saves the study.
    Save,
    /// Asks for a name and saves the study there.
    SaveAs(Option<PathBuf>),
    /// Prints the plan to a file.
    Plan(Option<PathBuf>),
    /// Goes back to the start screen.
    Close,
    /// Leaves the program.
    Quit,
    /// Stops the work that is going on in the background.
    Stop,
}
