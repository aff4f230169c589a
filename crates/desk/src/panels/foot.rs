//! The foot line: when the study was saved, layers shown, places to look at, and the keys that help
//! most right now; above it messages and questions.

use super::ink;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::{self, COMMANDS, Mode};
use crate::model::hints;
use crate::model::view_state::ListKind;
use egui::{Align, Layout, RichText, Ui};

/// Whether there is something to say or ask.
pub(super) fn has_message(ctx: Ctx<'_>) -> bool {
    ctx.status.notice.is_some() || ctx.status.question.is_some() || ctx.view.choosing_sign
}

/// All signs with their letters.
fn signs_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        ink::body(ui, ctx.theme, "Sign: press a letter or choose");
        for row in COMMANDS.iter().filter(|row| row.mode == Mode::ChoosingSign) {
            let key = row.keys.first().map(ToString::to_string).unwrap_or_default();
            let text = format!("{key} {}", row.label);
            if ink::word(ui, ctx.theme, &text).on_hover_text(row.tip).clicked()
                && let Some(action) = command::resolve(row.command, &ctx.env())
            {
                ctx.send(action);
            }
        }
    });
}

/// Messages and questions.
pub(super) fn message_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    if ctx.view.choosing_sign {
        signs_ui(ui, ctx);
    }
    if let Some(question) = &ctx.status.question {
        ui.horizontal_wrapped(|ui| {
            ink::body(ui, theme, &question.text);
            for (answer, action) in &question.answers {
                if ink::word(ui, theme, answer).clicked() {
                    ctx.send(Action::Dismiss);
                    ctx.send(action.clone());
                }
            }
        });
    }
    if let Some(notice) = &ctx.status.notice {
        ui.horizontal_wrapped(|ui| {
            if notice.failed {
                let font = theme.face(crate::theme::SEMIBOLD, theme.sizes.body);
                ui.label(RichText::new("Not done:").font(font));
            }
            ink::body(ui, theme, &notice.text);
            if ink::word(ui, theme, "Dismiss")
                .on_hover_text("Takes this message away (Esc)")
                .clicked()
            {
                ctx.send(Action::Dismiss);
            }
        });
    }
}

/// The foot line.
pub(super) fn foot_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 7.0;
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            keys_ui(ui, ctx);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| state_ui(ui, ctx));
        });
    });
}

fn state_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let (theme, status) = (ctx.theme, ctx.status);
    if let Some(busy) = &status.busy {
        let share = busy.share.map(|share| format!(", {:.0} %", share * 100.0)).unwrap_or_default();
        ink::small(ui, theme, &format!("{}{share}", busy.what));
        if busy.can_stop && ink::small_word(ui, theme, "Stop").clicked() {
            ctx.send(Action::Stop);
        }
    }
    if !status.open {
        return;
    }
    if status.analyzing {
        ink::small(ui, theme, "computing the tracks…");
    }
    ink::small(ui, theme, &status.saved_words);
    let layers = ctx.study.layers();
    let shown = layers.iter().filter(|(_, layer)| layer.shown).count();
    let plural = if shown == 1 { "layer" } else { "layers" };
    list_word(ui, ctx, ListKind::Layers, &format!("{shown} {plural} shown"));
    let looks = status.n_looks;
    if looks > 0 {
        let plural = if looks == 1 { "place" } else { "places" };
        list_word(ui, ctx, ListKind::Diagnostics, &format!("{looks} {plural} to look at"));
    }
}

fn list_word(ui: &mut Ui, ctx: Ctx<'_>, kind: ListKind, text: &str) {
    let open = ctx.view.list == Some(kind);
    if ink::small_word(ui, ctx.theme, text).clicked() {
        ctx.send(Action::List(if open { None } else { Some(kind) }));
    }
}

/// At the right, written from the right.
fn keys_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    let hints = hints::hints(&ctx.env());
    for (idx, hint) in hints.iter().enumerate().rev() {
        let text = format!("{} {}", hint.key, hint.what);
        match &hint.action {
            Some(action) => {
                if ink::small_word(ui, theme, &text).clicked() {
                    ctx.send(action.clone());
                }
            }
            None => {
                ink::small(ui, theme, &text);
            }
        }
        if idx > 0 {
            ui.label(RichText::new("·").font(theme.small()).color(theme.ink.tones[1]));
        }
    }
}
