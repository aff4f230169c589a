//! The few widgets that all panels are made of: words, underlines, hairlines. Every one that can be
//! used has an accessible name.

use crate::theme::{self, Theme};
use egui::{Align, Button, Id, Label, Layout, Response, RichText, Sense, Stroke, TextEdit, Ui};

/// A section heading: small, heavier, in the second tone.
pub(super) fn head(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.add_space(theme.sizes.small * 0.9);
    let font = theme.face(theme::SEMIBOLD, theme.sizes.small);
    ui.label(RichText::new(text).font(font).color(theme.ink.tones[1]));
}

/// A section heading with something at the right end of its line.
pub(super) fn head_with(ui: &mut Ui, theme: &Theme, text: &str, right: impl FnOnce(&mut Ui)) {
    ui.add_space(theme.sizes.small * 0.9);
    ui.horizontal(|ui| {
        let font = theme.face(theme::SEMIBOLD, theme.sizes.small);
        ui.label(RichText::new(text).font(font).color(theme.ink.tones[1]));
        ui.with_layout(Layout::right_to_left(Align::Center), right);
    });
}

/// Ordinary text, wrapped.
pub(super) fn body(ui: &mut Ui, theme: &Theme, text: &str) -> Response {
    ui.add(Label::new(RichText::new(text).font(theme.body())).wrap())
}

/// Small text in the second tone: reasons, notes.
pub(super) fn small(ui: &mut Ui, theme: &Theme, text: &str) -> Response {
    let text = RichText::new(text).font(theme.small()).color(theme.ink.tones[1]);
    ui.add(Label::new(text).wrap())
}

/// A sentence about the music, in the serif.
pub(super) fn sentence(ui: &mut Ui, theme: &Theme, text: &str) {
    let font = theme.face(theme::SERIF, theme.sizes.large);
    ui.add(Label::new(RichText::new(text).font(font)).wrap());
}

/// A title in the heavier serif.
pub(super) fn title(ui: &mut Ui, theme: &Theme, text: &str) {
    let font = theme.face(theme::SERIF_SEMIBOLD, theme.sizes.title);
    ui.label(RichText::new(text).font(font));
}

/// A word that can be clicked: underlined lightly, in full ink while the pointer is on it.
pub(super) fn word(ui: &mut Ui, theme: &Theme, text: &str) -> Response {
    under(ui, theme, text, theme.body(), Some(theme.ink.tones[2]))
}

/// The same, small.
pub(super) fn small_word(ui: &mut Ui, theme: &Theme, text: &str) -> Response {
    under(ui, theme, text, theme.small(), Some(theme.ink.tones[2]))
}

/// A word of a row of which one is present: that one is heavier and underlined in full ink.
pub(super) fn one_of(ui: &mut Ui, theme: &Theme, text: &str, present: bool) -> Response {
    let font = if present { theme.face(theme::SEMIBOLD, theme.sizes.body) } else { theme.body() };
    let response = under(ui, theme, text, font, present.then_some(theme.ink.ink));
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, present, text));
    response
}

fn under(
    ui: &mut Ui,
    theme: &Theme,
    text: &str,
    font: egui::FontId,
    line: Option<egui::Color32>,
) -> Response {
    let text = RichText::new(text).font(font).color(theme.ink.ink);
    let response = ui.add(Button::new(text).frame(false));
    let line = if response.hovered() || response.has_focus() { Some(theme.ink.ink) } else { line };
    if let Some(color) = line {
        let rect = response.rect;
        ui.painter().hline(rect.x_range(), rect.bottom() - 0.5, Stroke::new(1.0, color));
    }
    response
}

/// A box with a tick before a line of text.
pub(super) fn tick(ui: &mut Ui, theme: &Theme, on: bool, text: &str) -> Response {
    let mut on = on;
    ui.checkbox(&mut on, RichText::new(text).font(theme.body()))
}

/// A line of text to be edited, with its accessible name.
pub(super) fn line_edit(
    ui: &mut Ui,
    id: Id,
    name: &str,
    text: &mut String,
    hint: &'static str,
    width: f32,
) -> Response {
    let edit = TextEdit::singleline(text).id(id).hint_text(hint).desired_width(width);
    named(ui.add(edit), name)
}

/// Gives a widget its accessible name.
pub(super) fn named(response: Response, name: &str) -> Response {
    response.ctx.accesskit_node_builder(response.id, |node| node.set_label(name));
    response
}

/// A hairline over the whole width.
pub(super) fn rule(ui: &mut Ui, theme: &Theme) {
    let width = ui.available_width();
    let (rect, _) = ui.allocate_exact_size(egui::vec2(width, 7.0), Sense::hover());
    ui.painter().hline(rect.x_range(), rect.center().y, Stroke::new(1.0, theme.ink.tones[3]));
}

/// A gesture key from what is edited: changes with the same key are one step of undo.
pub(super) fn gesture(what: &impl std::hash::Hash) -> u64 {
    use std::hash::{BuildHasher, BuildHasherDefault, DefaultHasher};
    BuildHasherDefault::<DefaultHasher>::default().hash_one(what)
}
