//! The commands: rows of data. Menus, keys, the list of keys and the README's list all come from
//! [`COMMANDS`]; [`resolve()`] turns a row into the action it means right now.

mod resolve;
mod table;

pub use resolve::resolve;
pub use table::COMMANDS;

use super::shortcut::Shortcut;
use super::view_state::ListKind;
use barloom_core::study::Sign;

/// What can be commanded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each command is told by its row in the table")]
pub enum Command {
    Open,
    OpenPath,
    OpenExample,
    AddMovements,
    Save,
    SaveAs,
    Plan,
    Extract,
    Close,
    Quit,
    Undo,
    Redo,
    Back,
    Stop,
    Title,
    NextBar,
    PreviousBar,
    ExtendNext,
    ExtendPrevious,
    FirstBar,
    LastBar,
    ExtendFirst,
    ExtendLast,
    NextBeat,
    PreviousBeat,
    NextPart,
    PreviousPart,
    ExtendDown,
    ExtendUp,
    AllParts,
    NextMovement,
    PreviousMovement,
    SelectAll,
    Find,
    Beats(u8),
    Beating,
    Proposal,
    Accept,
    AcceptAll,
    CopyBeating,
    Cue,
    AcceptCues,
    AcceptAllCues,
    DropCues,
    Group,
    Words,
    ChooseSign,
    Sign(Sign),
    RemoveMarks,
    Layer,
    Tempo,
    Rehearsal,
    Renumber,
    Repeat,
    Cut,
    Pause,
    ZoomIn,
    ZoomOut,
    FitMovement,
    FitSelection,
    WholeWork,
    EqualBars,
    PlayedOrder,
    Figure,
    KeepPassage,
    SetBeside,
    OtherPassage,
    PrintBeside,
    Legend,
    Keys,
    Settings,
    ThinRows,
    Lists,
    NextList,
    PreviousList,
    List(ListKind),
}

/// Where a command stands in the menu and in lists of keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Section {
    /// Files and the program.
    Study,
    /// Walking and selecting.
    Walk,
    /// Beating.
    Beating,
    /// Cues, groups, words, signs.
    Marks,
    /// Tempo, order, corrections.
    Plan,
    /// What is shown.
    View,
    /// Lists.
    Lists,
}

impl Section {
    /// All sections in order.
    pub const ALL: [Self; 7] =
        [Self::Study, Self::Walk, Self::Beating, Self::Marks, Self::Plan, Self::View, Self::Lists];

    /// The heading.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Study => "Study",
            Self::Walk => "Walk",
            Self::Beating => "Beating",
            Self::Marks => "Marks",
            Self::Plan => "Tempo and order",
            Self::View => "View",
            Self::Lists => "Lists",
        }
    }
}

/// When the keys of a command count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mode {
    /// Always, while no sign is being chosen.
    Ordinary,
    /// While a sign is being chosen.
    ChoosingSign,
}

/// A row of the table.
#[derive(Debug)]
pub struct CommandRow {
    /// Which.
    pub command: Command,
    /// Where it is listed.
    pub section: Section,
    /// Its name; ends in "…" when it asks for more.
    pub label: &'static str,
    /// What it does, in one line.
    pub tip: &'static str,
    /// Its keys, the one to be shown first.
    pub keys: &'static [Shortcut],
    /// When the keys count.
    pub mode: Mode,
}

impl Command {
    /// Its row.
    pub fn row(self) -> &'static CommandRow {
        // A test proves that every command has a row.
        COMMANDS.iter().find(|row| row.command == self).unwrap_or(&COMMANDS[0])
    }

    /// Its name with its first key: "Open… (Ctrl+O)".
    pub fn label_with_key(self) -> String {
        let row = self.row();
        match row.keys.first() {
            Some(key) => format!("{} ({key})", row.label),
            None => row.label.to_owned(),
        }
    }
}

/// The list of keys as the README shows it.
pub fn readme_list() -> String {
    let mut text = String::new();
    for section in Section::ALL {
        text.push_str(&format!(
            "\n**{}**\n\n| key | command | what it does |\n|---|---|---|\n",
            section.name()
        ));
        for row in COMMANDS.iter().filter(|row| row.section == section) {
            let mut keys: Vec<String> =
                row.keys.iter().map(|key| format!("`{}`", plain(key))).collect();
            if row.mode == Mode::ChoosingSign {
                keys = keys.into_iter().map(|key| format!("`S` {key}")).collect();
            }
            text.push_str(&format!("| {} | {} | {} |\n", keys.join(" "), row.label, row.tip));
        }
    }
    text
}

/// The same on every system: the README is one text.
fn plain(key: &Shortcut) -> String {
    key.to_string().replace("Cmd+", "Ctrl+")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::shortcut::Key;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_commands_share_a_key() {
        let mut seen = BTreeSet::new();
        for row in COMMANDS {
            for key in row.keys {
                assert!(seen.insert((row.mode, *key)), "{key} of {} is taken", row.label);
            }
        }
        // Signs that need shift on some keyboards match with and without it, so they may not exist
        // with shift as a key of their own.
        for (mode, key) in &seen {
            let sign = matches!(key.key, Key::Char(c) if !c.is_alphanumeric());
            let without = Shortcut { shift: false, ..*key };
            let both = sign && key.shift && seen.contains(&(*mode, without));
            assert!(!both, "{key} and {without}");
        }
    }

    #[test]
    fn every_command_is_listed_once_and_says_what_it_does() {
        let mut seen = BTreeSet::new();
        let mut labels = BTreeSet::new();
        for row in COMMANDS {
            assert!(seen.insert(row.command), "{} is listed twice", row.label);
            assert!(labels.insert(row.label), "two commands are called {}", row.label);
            assert!(!row.tip.is_empty() && !row.tip.ends_with('.'), "{}", row.label);
            assert_eq!(row.command.row().label, row.label);
        }
        for kind in ListKind::ALL {
            assert!(seen.contains(&Command::List(kind)), "{kind:?} has no command");
        }
        for sign in Sign::ALL.into_iter().filter(|sign| *sign != Sign::Text) {
            assert!(seen.contains(&Command::Sign(sign)), "{sign:?} has no command");
        }
        for beats in 1..=9 {
            assert!(seen.contains(&Command::Beats(beats)));
        }
    }

    /// The README holds the list between two comments; it is made anew with
    /// `BARLOOM_UPDATE=1 cargo test -p barloom-desk the_list_in_the_readme`.
    #[test]
    fn the_list_in_the_readme_is_fresh() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../README.md");
        let Ok(readme) = std::fs::read_to_string(&path) else {
            panic!("there is no README at {}", path.display());
        };
        let (open, close) = ("<!-- keys: begin -->\n", "<!-- keys: end -->");
        let (head, rest) = readme.split_once(open).expect("the README has the opening comment");
        let (list, tail) = rest.split_once(close).expect("the README has the closing comment");
        if std::env::var_os("BARLOOM_UPDATE").is_some() {
            let fresh = format!("{head}{open}{}{close}{tail}", readme_list());
            barloom_core::store::replace(&path, fresh.as_bytes()).unwrap();
            return;
        }
        assert_eq!(list, readme_list(), "set BARLOOM_UPDATE=1 and run this test to renew the list");
    }
}
