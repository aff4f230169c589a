//! Typing a movement that exists only on paper: the text of a bar map with what is wrong in it, as it
//! is typed.

use super::ink;
use crate::ctx::Ctx;
use barloom_core::barmap;
use egui::{Id, ScrollArea, TextEdit, Ui};

/// A bar map to begin with: shows the grammar.
const SAMPLE: &str = "title: New movement\n\
parts: 2 flutes, oboe, 2 horns in F, strings\n\
8 x 4/4, 3 x 7/8 (2+2+3), 5 x 4/4\n\
A at 9\n\
tempo quarter = 72 at 1\n";

/// A bar map being typed.
#[derive(Default)]
pub(super) struct BarMapEditor {
    text: String,
    /// What the check of a text said: what it holds, or what is wrong.
    checked: Option<(String, Result<String, String>)>,
}

/// How typing ended.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Ended {
    /// The text is to be taken.
    Taken(String),
    /// Nothing is to be done.
    Given,
}

impl BarMapEditor {
    /// An editor with the text of a map, or with a sample.
    pub(super) fn new(text: Option<&str>) -> Self {
        Self { text: text.unwrap_or(SAMPLE).to_owned(), checked: None }
    }

    fn check(&mut self) -> Result<String, String> {
        if let Some((text, result)) = &self.checked
            && *text == self.text
        {
            return result.clone();
        }
        let result = match barmap::read(&self.text, "") {
            Ok((score, found)) => {
                let n_bars = score.movements.first().map_or(0, |movement| movement.bars.len());
                let notes: Vec<String> = found.iter().map(|d| d.message.clone()).collect();
                let notes = if notes.is_empty() {
                    String::new()
                } else {
                    format!("; {}", notes.join("; "))
                };
                Ok(format!("{n_bars} bars, {} parts{notes}", score.parts.len()))
            }
            Err(error) => Err(error.to_string()),
        };
        self.checked = Some((self.text.clone(), result.clone()));
        result
    }
}

/// The editor; answers when it ends.
pub(super) fn bar_map_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    editor: &mut BarMapEditor,
    accept: &str,
) -> Option<Ended> {
    let theme = ctx.theme;
    ink::small(
        ui,
        theme,
        "Bars as you would read them out, parted by commas: 8 x 4/4, 3 x 7/8 (2+2+3), pickup 1/4, \
         free 6/4; then C at 9, tempo Andante quarter = 72 at 1, rit at 10, a tempo at 13, \
         repeat 1-8, double after 8",
    );
    ScrollArea::vertical().id_salt("bar map").max_height(190.0).show(ui, |ui| {
        let edit = TextEdit::multiline(&mut editor.text)
            .id(Id::unique("bar map"))
            .desired_rows(6)
            .desired_width(ui.available_width().min(620.0));
        ink::named(ui.add(edit), "Bar map");
    });
    let checked = editor.check();
    let mut ended = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        match &checked {
            Ok(words) => {
                if ink::word(ui, theme, accept).clicked() {
                    ended = Some(Ended::Taken(editor.text.clone()));
                }
                ink::small(ui, theme, words);
            }
            Err(words) => {
                ink::body(ui, theme, words);
            }
        }
        if ink::word(ui, theme, "Never mind").clicked() {
            ended = Some(Ended::Given);
        }
    });
    ended
}
