//! The table of commands.

use super::{Command, CommandRow, Mode, Section};
use crate::model::shortcut::{Key, Shortcut};
use crate::model::view_state::ListKind;
use barloom_core::study::Sign;

const fn row(
    section: Section,
    command: Command,
    keys: &'static [Shortcut],
    label: &'static str,
    tip: &'static str,
) -> CommandRow {
    CommandRow { command, section, label, tip, keys, mode: Mode::Ordinary }
}

/// A sign: its letter counts only after "Sign…".
const fn sign(sign: Sign, keys: &'static [Shortcut], tip: &'static str) -> CommandRow {
    CommandRow {
        command: Command::Sign(sign),
        section: Section::Marks,
        label: sign.name(),
        tip,
        keys,
        mode: Mode::ChoosingSign,
    }
}

const fn key(key: Key) -> Shortcut {
    Shortcut::plain(key)
}

use Command as C;
use Section::{Beating, Lists, Marks, Plan, Study, View, Walk};

/// All commands, section by section.
pub static COMMANDS: &[CommandRow] = &[
    row(Study, C::Open, &[Shortcut::ctrl('o')], "Open…", "Opens score files or a study"),
    row(Study, C::OpenPath, &[Shortcut::ctrl('o').shifted()], "Open by path…", "Opens a score or study whose path is typed"),
    row(Study, C::OpenExample, &[], "Open the example suite", "Opens the suite that comes with the program"),
    row(Study, C::AddMovements, &[], "Add movements…", "Adds score files as further movements of this work"),
    row(Study, C::Save, &[Shortcut::ctrl('s')], "Save", "Saves the study"),
    row(Study, C::SaveAs, &[Shortcut::ctrl('s').shifted()], "Save as…", "Saves the study under another name"),
    row(Study, C::Plan, &[Shortcut::ctrl('p')], "Print the plan…", "Writes the study plan as a PDF"),
    row(Study, C::Title, &[], "Rename the work…", "Gives the work another title"),
    row(Study, C::Undo, &[Shortcut::ctrl('z'), Shortcut::char('z')], "Undo", "Takes the last change back"),
    row(Study, C::Redo, &[Shortcut::ctrl('z').shifted(), Shortcut::char('z').shifted(), Shortcut::ctrl('y')], "Redo", "Does what was taken back again"),
    row(Study, C::Stop, &[Shortcut::ctrl('.')], "Stop", "Stops what works in the background"),
    row(Study, C::Close, &[Shortcut::ctrl('w')], "Close", "Goes back to the start screen"),
    row(Study, C::Quit, &[Shortcut::ctrl('q')], "Quit", "Leaves the program"),
    row(Walk, C::NextBar, &[key(Key::Right)], "Next bar", "Selects the bar after the selection"),
    row(Walk, C::PreviousBar, &[key(Key::Left)], "Previous bar", "Selects the bar before the selection"),
    row(Walk, C::ExtendNext, &[key(Key::Right).shifted()], "One bar more", "Moves the end of the selection one bar on"),
    row(Walk, C::ExtendPrevious, &[key(Key::Left).shifted()], "One bar less", "Moves the end of the selection one bar back"),
    row(Walk, C::FirstBar, &[key(Key::Home)], "First bar", "Selects the first bar of the movement"),
    row(Walk, C::LastBar, &[key(Key::End)], "Last bar", "Selects the last bar of the movement"),
    row(Walk, C::ExtendFirst, &[key(Key::Home).shifted()], "Up to the first bar", "Selects everything back to the first bar"),
    row(Walk, C::ExtendLast, &[key(Key::End).shifted()], "Up to the last bar", "Selects everything on to the last bar"),
    row(Walk, C::NextBeat, &[key(Key::Right).with_alt()], "Next beat", "Selects the next beat inside the bar"),
    row(Walk, C::PreviousBeat, &[key(Key::Left).with_alt()], "Previous beat", "Selects the beat before"),
    row(Walk, C::NextPart, &[key(Key::Down)], "Part below", "Selects the part below"),
    row(Walk, C::PreviousPart, &[key(Key::Up)], "Part above", "Selects the part above"),
    row(Walk, C::ExtendDown, &[key(Key::Down).shifted()], "And the part below", "Selects one part more, below"),
    row(Walk, C::ExtendUp, &[key(Key::Up).shifted()], "And the part above", "Selects one part more, above"),
    row(Walk, C::AllParts, &[Shortcut::char('o')], "The whole orchestra", "Means all parts again, not the selected ones"),
    row(Walk, C::NextMovement, &[key(Key::PageDown)], "Next movement", "Shows the movement after this one"),
    row(Walk, C::PreviousMovement, &[key(Key::PageUp)], "Previous movement", "Shows the movement before this one"),
    row(Walk, C::SelectAll, &[Shortcut::ctrl('a')], "All bars", "Selects every bar of the movement"),
    row(Walk, C::Find, &[Shortcut::ctrl('f'), Shortcut::char('/')], "Find…", "Goes to a bar, a rehearsal mark, a time, a part or words"),
    row(Walk, C::Back, &[key(Key::Escape)], "Back", "Goes back one step: out of a field, a list, the selection"),
    row(Beating, C::Beats(1), &[Shortcut::char('1')], "In 1", "Beats the selected bars in one"),
    row(Beating, C::Beats(2), &[Shortcut::char('2')], "In 2", "Beats the selected bars in two"),
    row(Beating, C::Beats(3), &[Shortcut::char('3')], "In 3", "Beats the selected bars in three"),
    row(Beating, C::Beats(4), &[Shortcut::char('4')], "In 4", "Beats the selected bars in four"),
    row(Beating, C::Beats(5), &[Shortcut::char('5')], "In 5", "Beats the selected bars in five"),
    row(Beating, C::Beats(6), &[Shortcut::char('6')], "In 6", "Beats the selected bars in six"),
    row(Beating, C::Beats(7), &[Shortcut::char('7')], "In 7", "Beats the selected bars in seven"),
    row(Beating, C::Beats(8), &[Shortcut::char('8')], "In 8", "Beats the selected bars in eight"),
    row(Beating, C::Beats(9), &[Shortcut::char('9')], "In 9", "Beats the selected bars in nine"),
    row(Beating, C::Beating, &[Shortcut::char('b'), Shortcut::char('0')], "Beating…", "Any other beating: 12, 3+2, 4/2, 1(half), 3 bars of 3"),
    row(Beating, C::Proposal, &[key(Key::Backspace)], "As proposed", "Gives the selected bars back to the proposal"),
    row(Beating, C::Accept, &[Shortcut::char('a')], "Accept", "Chooses what is proposed in the selected bars"),
    row(Beating, C::AcceptAll, &[Shortcut::char('a').shifted()], "Accept all", "Chooses what is proposed in the whole work, where nothing is chosen"),
    row(Beating, C::CopyBeating, &[Shortcut::char('k')], "Copy to like bars", "Gives this bar's beating to all open bars of the same meter"),
    row(Beating, C::Figure, &[Shortcut::char('v')], "Figure", "Draws the figure of the beating, or hides it"),
    row(Marks, C::Cue, &[Shortcut::char('c')], "Cue", "Makes a cue of the entrance or place, or takes it away"),
    row(Marks, C::Group, &[Shortcut::char('g')], "Group…", "Makes a group of the selected bars"),
    row(Marks, C::Words, &[Shortcut::char('w')], "Words…", "Writes words at the selection"),
    row(Marks, C::ChooseSign, &[Shortcut::char('s')], "Sign…", "Chooses a sign for the selection by its letter"),
    sign(Sign::Breath, &[Shortcut::char('b')], "Breath, after S"),
    sign(Sign::Lift, &[Shortcut::char('l')], "Lift, after S"),
    sign(Sign::Caesura, &[Shortcut::char('z')], "Caesura, after S"),
    sign(Sign::Watch, &[Shortcut::char('w')], "Watch: look up here, after S"),
    sign(Sign::CutOff, &[Shortcut::char('x')], "Cut-off, after S"),
    sign(Sign::Cue, &[Shortcut::char('c')], "Cue as a sign in the layer, after S"),
    sign(Sign::HoldBack, &[Shortcut::char('h')], "Hold back, after S"),
    sign(Sign::MoveOn, &[Shortcut::char('m')], "Move on, after S"),
    sign(Sign::BringOut, &[Shortcut::char('o')], "Bring out, after S"),
    sign(Sign::KeepDown, &[Shortcut::char('k')], "Keep down, after S"),
    sign(Sign::Rehearse, &[Shortcut::char('r')], "Rehearse, after S"),
    row(Marks, C::RemoveMarks, &[key(Key::Delete)], "Remove marks", "Takes the marks that begin in the selected bars away"),
    row(Marks, C::Layer, &[], "New layer…", "Makes a layer for marks"),
    row(Plan, C::Tempo, &[Shortcut::char('t')], "Tempo…", "Sets a tempo of your own from here"),
    row(Plan, C::Rehearsal, &[Shortcut::char('r')], "Rehearsal mark…", "Corrects the rehearsal mark of the bar"),
    row(Plan, C::Renumber, &[Shortcut::char('n')], "Renumber from here…", "Gives the bar the number in the players' parts; the rest count on"),
    row(Plan, C::Repeat, &[Shortcut::char('r').shifted()], "Take or leave the repeat", "Leaves the repeat that ends in the selected bars, or takes it again"),
    row(Plan, C::Cut, &[Shortcut::char('x')], "Cut", "Leaves the selected bars out, or takes them in again"),
    row(Plan, C::Pause, &[Shortcut::char('p')], "Pause…", "Sets a pause after the selected bar"),
    row(View, C::ZoomIn, &[Shortcut::char('+'), Shortcut::char('=')], "Larger", "Zooms the grid in"),
    row(View, C::ZoomOut, &[Shortcut::char('-')], "Smaller", "Zooms the grid out"),
    row(View, C::FitMovement, &[Shortcut::char('f')], "Whole movement", "Fits the movement into the window"),
    row(View, C::FitSelection, &[key(Key::Enter)], "Fit the selection", "Fits the selected bars into the window"),
    row(View, C::WholeWork, &[Shortcut::char('f').shifted()], "Whole work", "Shows all movements on one screen"),
    row(View, C::EqualBars, &[Shortcut::char('e')], "Equal bars", "Draws all bars equally wide, or in proportion to their length"),
    row(View, C::Legend, &[Shortcut::char('h')], "Legend", "Explains the signs of the grid"),
    row(View, C::Keys, &[Shortcut::char('?'), key(Key::F(1))], "Keys and commands", "Lists all commands with their keys"),
    row(View, C::Settings, &[Shortcut::ctrl(',')], "Settings", "Light, text size, rows, your name"),
    row(Lists, C::Lists, &[Shortcut::char('l')], "Lists", "Opens the list that was open last, or closes it"),
    row(Lists, C::List(ListKind::Marks), &[Shortcut::char('m')], "All marks", "Lists all marks"),
    row(Lists, C::List(ListKind::Layers), &[Shortcut::char('l').shifted()], "Layers", "Lists the layers"),
    row(Lists, C::List(ListKind::Cues), &[Shortcut::char('c').shifted()], "Cues", "Lists the cues, by bar and by player"),
    row(Lists, C::List(ListKind::Entrances), &[], "Entrances", "Lists the entrances with the rests before them"),
    row(Lists, C::List(ListKind::Beating), &[Shortcut::char('b').shifted()], "Changes of beating", "Lists every change of the beating"),
    row(Lists, C::List(ListKind::Decisions), &[Shortcut::char('d').shifted()], "Decisions", "Lists corrections, tempi by hand and the performing order"),
    row(Lists, C::List(ListKind::Diagnostics), &[Shortcut::char('d')], "Places to look at", "Lists what reading found"),
    row(Lists, C::List(ListKind::Movements), &[], "Movements", "Joins, splits, orders and adds movements"),
];
