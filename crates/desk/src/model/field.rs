//! The one field of the title line.
//!
//! Its rule: it finds, unless the word before it says that it writes. A key or a command gives it
//! another purpose for one entry (W words, B beating, G group ...); Enter does it, Escape goes back to
//! finding. While it finds, a text that begins with a quotation mark is words for the selection.

use super::action::Action;
use super::draft::Change;
use super::env::Env;
use super::find::{self, Found};
use super::make;
use super::place;
use barloom_core::study::{PlanTempoValue, Sign};
use barloom_core::time::Quarters;
use std::path::PathBuf;

/// What the field is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Purpose {
    /// Goes to what the text names.
    #[default]
    Find,
    /// Words for the selection.
    Words,
    /// A sign with words for the selection.
    Sign(Sign),
    /// A beating for the selection.
    Beating,
    /// The name of a new group of the selected bars; may be empty.
    Group,
    /// A tempo at the selection.
    Tempo,
    /// The rehearsal mark of the selected bar; empty takes it away.
    Rehearsal,
    /// The number of the selected bar.
    Renumber,
    /// Seconds of pause after the selected bar.
    Pause,
    /// The name of a new layer.
    Layer,
    /// The title of the work.
    Title,
    /// The path of a score or study to open.
    OpenPath,
    /// The path of a score file that the study does not find.
    SourcePath,
    /// The path to save the study at.
    SavePath,
    /// The path to print the plan to.
    PlanPath,
    /// The path to print passages side by side to.
    SheetPath,
    /// The path to write bars as MusicXML to.
    BarsPath,
}

impl Purpose {
    /// The word before the field.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Find => "Find",
            Self::Words => "Words",
            Self::Sign(sign) => sign.name(),
            Self::Beating => "Beating",
            Self::Group => "Group",
            Self::Tempo => "Tempo",
            Self::Rehearsal => "Rehearsal mark",
            Self::Renumber => "Bar number",
            Self::Pause => "Pause, seconds",
            Self::Layer => "New layer",
            Self::Title => "Title of the work",
            Self::OpenPath => "Open",
            Self::SourcePath => "Score file",
            Self::SavePath => "Save as",
            Self::PlanPath => "Plan to",
            Self::SheetPath => "Passages to",
            Self::BarsPath => "Bars to",
        }
    }

    /// What may be typed, shown while the field is empty.
    pub const fn hint(self) -> &'static str {
        match self {
            Self::Find => "bar, 4 before D, 3:20, part, word, \"words …",
            Self::Words => "words for the selection",
            Self::Sign(_) => "words beside the sign, or none",
            Self::Beating => "12, 3+2, 4/2, 1(half), 3 bars of 3",
            Self::Group => "letter or name, or none",
            Self::Tempo => "72, half = 60, Andante, as before",
            Self::Rehearsal => "letter or number, none takes it away",
            Self::Renumber => "the number in the parts",
            Self::Pause => "0 takes it away",
            Self::Layer => "name",
            Self::Title => "title",
            Self::OpenPath => "path of a score or study",
            Self::SourcePath => "where the score file is now",
            Self::SavePath => "path ending in .barloom",
            Self::PlanPath | Self::SheetPath => "path ending in .pdf",
            Self::BarsPath => "path ending in .musicxml or .mxl",
        }
    }

    /// Whether it needs a selected bar.
    pub const fn needs_bars(self) -> bool {
        matches!(
            self,
            Self::Words
                | Self::Sign(_)
                | Self::Beating
                | Self::Group
                | Self::Tempo
                | Self::Rehearsal
                | Self::Renumber
                | Self::Pause
        )
    }

    /// Whether the path of a file is typed, which takes room.
    pub const fn is_path(self) -> bool {
        matches!(
            self,
            Self::OpenPath
                | Self::SourcePath
                | Self::SavePath
                | Self::PlanPath
                | Self::SheetPath
                | Self::BarsPath
        )
    }

    /// The text the field begins with.
    pub fn first_text(self, env: &Env<'_>) -> String {
        let bar = || env.bars().next().map(|(_, bar)| bar);
        match self {
            Self::Rehearsal => bar().and_then(|bar| bar.rehearsal.clone()).unwrap_or_default(),
            Self::Renumber => bar().map(|bar| bar.label.clone()).unwrap_or_default(),
            Self::Title => env.study.title.clone(),
            Self::SavePath => {
                let path = env.status.path.as_ref().unwrap_or(&env.status.proposed_path);
                path.display().to_string()
            }
            Self::BarsPath => {
                let path = env.status.path.as_ref().unwrap_or(&env.status.proposed_path);
                path.with_extension("musicxml").display().to_string()
            }
            Self::SheetPath => {
                let path = env.status.path.as_ref().unwrap_or(&env.status.proposed_path);
                place::sheet_path(path).display().to_string()
            }
            Self::PlanPath => {
                let path = env.status.path.as_ref().unwrap_or(&env.status.proposed_path);
                path.with_extension("pdf").display().to_string()
            }
            _ => String::new(),
        }
    }
}

/// What the text asks for under a purpose.
///
/// # Errors
/// In words, when it asks for nothing that can be done.
pub fn answer(purpose: Purpose, text: &str, env: &Env<'_>) -> Result<Action, String> {
    let text = text.trim();
    if purpose.needs_bars() && env.span().is_none() {
        return Err(String::from("select a bar first"));
    }
    match purpose {
        Purpose::Find => match text.strip_prefix(['"', '“', '”', '„']) {
            Some(words) => change(make::mark(env, Sign::Text, words.trim_end_matches(['"', '”']))),
            None => go(text, env),
        },
        Purpose::Words => change(make::mark(env, Sign::Text, text)),
        Purpose::Sign(sign) => change(make::mark(env, sign, text)),
        Purpose::Beating => {
            let pattern = text.parse().map_err(|error| format!("{error}"))?;
            change(make::beat(env, &pattern))
        }
        Purpose::Group => change(make::group(env, text)),
        Purpose::Tempo => change(make::tempo(env, tempo_value(text, env)?)),
        Purpose::Rehearsal => change(make::rehearsal(env, text)),
        Purpose::Renumber => {
            let number = text.parse().map_err(|_| format!("\"{text}\" is not a bar number"))?;
            change(make::renumber(env, number))
        }
        Purpose::Pause => {
            let seconds =
                text.parse().map_err(|_| format!("\"{text}\" is not a time in seconds"))?;
            change(make::pause(env, seconds))
        }
        Purpose::Layer => change(make::layer(text)),
        Purpose::Title => change(make::title(text)),
        Purpose::OpenPath => path(text).map(|path| Action::Open(vec![path])),
        Purpose::SourcePath => path(text).map(Action::SourceFound),
        Purpose::SavePath => path(text).map(|path| Action::SaveAs(Some(path))),
        Purpose::PlanPath => path(text).map(|path| Action::Plan(Some(path))),
        Purpose::SheetPath => path(text).map(|path| Action::PrintBeside(Some(path))),
        Purpose::BarsPath => path(text).map(|path| Action::Extract(Some(path))),
    }
}

fn change(made: Result<Change, String>) -> Result<Action, String> {
    made.map(Action::Change)
}

fn path(text: &str) -> Result<PathBuf, String> {
    let text = text.trim_matches('"');
    if text.is_empty() {
        return Err(String::from("type a path first"));
    }
    Ok(PathBuf::from(text))
}

/// What Enter would do while finding.
///
/// # Errors
/// When nothing fits.
pub fn go(text: &str, env: &Env<'_>) -> Result<Action, String> {
    match find::find(text, env) {
        Some(Found::Movement(movement)) => Ok(Action::GoTo { movement, bar: None }),
        Some(Found::Bar(movement, bar) | Found::Words { movement, bar, .. }) => {
            Ok(Action::GoTo { movement, bar: Some(bar) })
        }
        Some(Found::Part(part)) => {
            let mut selection = env.view.selection.clone();
            selection.parts = [part].into();
            Ok(Action::Select(selection))
        }
        None if text.is_empty() => Err(String::from("type what to look for")),
        None => Err(format!("nothing here is called \"{text}\"")),
    }
}

/// One line on what Enter would do; `None` while nothing is typed.
pub fn preview(purpose: Purpose, text: &str, env: &Env<'_>) -> Option<String> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    if purpose != Purpose::Find || text.starts_with(['"', '“', '”', '„']) {
        return answer(purpose, text, env).err();
    }
    let bar_words = |movement: usize, bar| {
        let id = env.basis.score.movements.get(movement)?.id;
        let at = barloom_core::bar::BarAddress::start_of(id, bar);
        Some(place::address_words(env.basis, at))
    };
    match find::find(text, env) {
        Some(Found::Movement(idx)) => Some(place::movement_name(&env.basis.score, idx)),
        Some(Found::Bar(movement, bar)) => {
            bar_words(movement, bar).map(|words| format!("to bar {words}"))
        }
        Some(Found::Part(part)) => {
            env.basis.score.parts.get(part.idx()).map(|part| format!("part: {}", part.name))
        }
        Some(Found::Words { movement, bar, words, nth, of }) => bar_words(movement, bar)
            .map(|place| format!("\"{words}\" in bar {place}, {nth} of {of}")),
        None => Some(String::from("not found")),
    }
}

/// A tempo as typed: `as before`, `72` (in the beat of the meter), `half = 60`, `3/2 = 52`, or a term.
///
/// # Errors
/// When a value is no number above 0 or the unit is no note value.
pub fn tempo_value(text: &str, env: &Env<'_>) -> Result<PlanTempoValue, String> {
    let beats = |unit, per_minute: &str| {
        let value: f64 = per_minute
            .trim()
            .parse()
            .ok()
            .filter(|value: &f64| value.is_finite() && *value > 0.0 && *value <= 1000.0)
            .ok_or_else(|| format!("\"{}\" is not a tempo from 1 to 1000", per_minute.trim()))?;
        Ok(PlanTempoValue::Beats { unit, per_minute: value })
    };
    if text.eq_ignore_ascii_case("as before") {
        return Ok(PlanTempoValue::AsBefore);
    }
    if let Some((unit, value)) = text.split_once('=') {
        let unit = note_value(unit.trim()).ok_or_else(|| {
            format!(
                "\"{}\" is not a note value; write half, dotted quarter or 3/2 (quarters)",
                unit.trim()
            )
        })?;
        return beats(unit, value);
    }
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return beats(beat_unit(env), text);
    }
    if text.is_empty() {
        return Err(String::from("type a tempo first"));
    }
    Ok(PlanTempoValue::Term(text.to_owned()))
}

/// The note value that a plain number counts: the dotted note of a compound meter, else the lower
/// figure (common practice).
fn beat_unit(env: &Env<'_>) -> Quarters {
    let meter = env.bars().next().map(|(_, bar)| bar.meter.clone()).unwrap_or_default();
    let unit = i64::from(meter.unit().max(1));
    let figure = if meter.is_compound() { 12 } else { 4 };
    Quarters::new(figure, unit).unwrap_or(Quarters::ONE)
}

/// A note value by name, dotted or not, or as quarters ("3/2"); greater than 0.
fn note_value(text: &str) -> Option<Quarters> {
    let lower = text.to_lowercase();
    let (dotted, name) = match lower.strip_prefix("dotted ") {
        Some(name) => (true, name.trim()),
        None => (false, lower.as_str()),
    };
    let plain = match name {
        "whole" => Quarters::whole(4),
        "half" => Quarters::whole(2),
        "quarter" | "q" => Quarters::ONE,
        "eighth" => Quarters::new(1, 2)?,
        "sixteenth" => Quarters::new(1, 4)?,
        other => other.parse().ok().filter(|value| *value > Quarters::ZERO)?,
    };
    if dotted { plain.scaled(3, 2) } else { Some(plain) }
}
