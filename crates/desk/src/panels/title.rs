//! The title line: the work, its movements by name, the menu, and the one field for finding and
//! writing.

use super::{ink, menu};
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::field::{self, Purpose};
use crate::model::place;
use crate::theme;
use egui::{Align, Id, Key, Layout, RichText, ScrollArea, TextEdit, Ui};

/// The field while something is typed in it.
#[derive(Default)]
pub struct Field {
    text: String,
    /// Asks for the keyboard in the next frame.
    wants_focus: bool,
    /// Gives the keyboard back in the next frame.
    leaves: bool,
    /// Had the keyboard in the last frame.
    focused: bool,
    /// The text that the preview was made for, and the preview.
    preview: (String, Option<String>),
}

impl Field {
    /// Begins a new entry with a text and the keyboard.
    pub fn begin(&mut self, text: String) {
        self.text = text;
        self.wants_focus = true;
        self.leaves = false;
        self.preview = Default::default();
    }

    /// Ends the entry; the text of a search stays for the next time.
    pub fn end(&mut self, keep_text: bool) {
        if !keep_text {
            self.text.clear();
        }
        self.wants_focus = false;
        self.leaves = true;
        self.preview = Default::default();
    }

    /// Whether it has the keyboard.
    pub fn is_focused(&self) -> bool {
        self.focused
    }

    /// The text as typed so far.
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// The title line.
pub(super) fn title_ui(ui: &mut Ui, ctx: Ctx<'_>, field: &mut Field) {
    ui.horizontal(|ui| {
        ui.set_min_height(ctx.theme.sizes.title * 1.6);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            field_ui(ui, ctx, field);
            menu::menu_ui(ui, ctx);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| work_ui(ui, ctx));
        });
    });
}

fn work_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let score = &ctx.basis.score;
    let title = match (ctx.status.open, ctx.study.title.as_str()) {
        (false, _) => "Barloom",
        (true, "") => "Untitled",
        (true, title) => title,
    };
    // What follows a comma or colon is said more quietly; without it the composer is.
    let (title, rest) = title.split_once([',', ':']).unwrap_or((title, &score.composer));
    ink::title(ui, ctx.theme, title.trim());
    if ctx.status.unsaved {
        ui.label("•").on_hover_text("There are changes that are not saved yet");
    }
    if ctx.status.open && !rest.trim().is_empty() {
        let font = ctx.theme.face(theme::SERIF_ITALIC, ctx.theme.sizes.body);
        let text = RichText::new(rest.trim()).font(font).color(ctx.theme.ink.tones[0]);
        let response = ui.label(text);
        if !score.composer.is_empty() {
            response.on_hover_text(&score.composer);
        }
    }
    ui.add_space(18.0);
    ScrollArea::horizontal().id_salt("movements").show(ui, |ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        for idx in 0..score.movements.len() {
            let present = idx == ctx.view.movement && !ctx.view.camera.whole;
            let name = place::movement_name(score, idx);
            if ink::one_of(ui, ctx.theme, &name, present).clicked() {
                ctx.send(Action::GoTo { movement: idx, bar: None });
            }
        }
    });
}

fn field_ui(ui: &mut Ui, ctx: Ctx<'_>, field: &mut Field) {
    let purpose = ctx.view.purpose;
    let usable = ctx.status.open || !matches!(purpose, Purpose::Find);
    let id = Id::unique("field of the title line");
    let share = if purpose.is_path() { 0.5 } else { 0.22 };
    let width =
        (ui.available_width() * share).clamp(180.0, if purpose.is_path() { 720.0 } else { 340.0 });
    let edit = TextEdit::singleline(&mut field.text)
        .id(id)
        .hint_text(purpose.hint())
        .desired_width(width)
        .interactive(usable);
    let response = ink::named(ui.add(edit), purpose.word());
    if std::mem::take(&mut field.wants_focus) {
        response.request_focus();
        select_all(ui, id, &field.text);
    }
    if std::mem::take(&mut field.leaves) {
        response.surrender_focus();
    }
    field.focused = response.has_focus();
    let enter = ui.input(|input| input.key_pressed(Key::Enter));
    if response.lost_focus() && enter {
        ctx.send(Action::Answer(field.text.clone()));
    }
    if response.gained_focus() || response.changed() {
        field.preview = (field.text.clone(), field::preview(purpose, &field.text, &ctx.env()));
    }
    if response.has_focus()
        && let Some(preview) = &field.preview.1
    {
        let place = response.rect.left_bottom() + egui::vec2(0.0, 2.0);
        egui::Area::new(Id::unique("preview of the field"))
            .fixed_pos(place)
            .interactable(false)
            .order(egui::Order::Foreground)
            .show(ui.ctx(), |ui| {
                egui::Frame::new()
                    .fill(ctx.theme.ink.panel)
                    .stroke(ctx.theme.ink.bar_line())
                    .inner_margin(egui::Margin::symmetric(8, 4))
                    .show(ui, |ui| {
                        ui.set_max_width(width);
                        ink::small(ui, ctx.theme, preview);
                    });
            });
    }
    let word = RichText::new(purpose.word()).font(ctx.theme.small());
    let writes = purpose != Purpose::Find;
    let tone = if writes { ctx.theme.ink.ink } else { ctx.theme.ink.tones[1] };
    let word = if writes {
        word.font(ctx.theme.face(theme::SEMIBOLD, ctx.theme.sizes.small))
    } else {
        word
    };
    ui.label(word.color(tone));
}

fn select_all(ui: &Ui, id: Id, text: &str) {
    let mut state = egui::text_edit::TextEditState::load(ui.ctx(), id).unwrap_or_default();
    let end = egui::text::CCursor::new(text.chars().count());
    let range = egui::text::CCursorRange::two(egui::text::CCursor::new(0), end);
    state.cursor.set_char_range(Some(range));
    state.store(ui.ctx(), id);
}
