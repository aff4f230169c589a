//! Two passages side by side: what changes and what stays as sentences and rows that can be followed,
//! and a strip of the bars in which every part has a cell for each passage.

use super::{ink, menu};
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::passages::Beside;
use crate::theme;
use barloom_analysis::compare::{Cell, SheetRow};
use egui::{
    Align, Align2, Color32, Layout, Rangef, Rect, Response, RichText, ScrollArea, Sense, Stroke, Ui,
};
use egui::{pos2, vec2};

pub(super) fn passages_ui(ui: &mut Ui, ctx: Ctx<'_>, beside: &Beside) {
    header_ui(ui, ctx, beside);
    ink::rule(ui, ctx.theme);
    let room = ui.available_size();
    ui.horizontal_top(|ui| {
        let words = (room.x * 0.54).clamp(200.0, 760.0);
        // Inside a row everything would go on to the right.
        let down = Layout::top_down(Align::Min);
        ui.allocate_ui_with_layout(vec2(words, room.y), down, |ui| words_ui(ui, ctx, beside));
        ScrollArea::both().id_salt("strip of the passages").auto_shrink(false).show(ui, |ui| {
            strip_ui(ui, ctx, beside);
        });
    });
}

fn header_ui(ui: &mut Ui, ctx: Ctx<'_>, beside: &Beside) {
    let sheet = &beside.sheet;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        let passages = [
            ("first", &sheet.first, beside.comparison.first),
            ("second", &sheet.second, beside.comparison.second),
        ];
        for (which, name, passage) in passages {
            let response = ink::word(ui, ctx.theme, name);
            let response = ink::named(response, &format!("Go to the {which} passage: {name}"));
            if response.clicked() {
                ctx.send(Action::GoToPassage(passage));
            }
        }
        menu::command_word(ui, ctx, Command::OtherPassage);
        menu::command_word(ui, ctx, Command::PrintBeside);
        let tip = "Takes the passages apart (Esc)";
        if ink::word(ui, ctx.theme, "Close passages").on_hover_text(tip).clicked() {
            ctx.send(Action::SetBeside(None));
        }
    });
}

fn words_ui(ui: &mut Ui, ctx: Ctx<'_>, beside: &Beside) {
    let sheet = &beside.sheet;
    ScrollArea::vertical().id_salt("words of the passages").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        for sentence in &sheet.summary {
            ink::sentence(ui, ctx.theme, sentence);
        }
        for (head, rows) in [("What changes", &sheet.changed), ("What stays", &sheet.stayed)] {
            if rows.is_empty() {
                continue;
            }
            ink::head(ui, ctx.theme, head);
            rows.iter().for_each(|row| row_ui(ui, ctx, beside, row));
        }
        ui.add_space(12.0);
    });
}

/// "Level  bars 1–4  bars 101–104  ff instead of p": the places are jumps.
fn row_ui(ui: &mut Ui, ctx: Ctx<'_>, beside: &Beside, row: &SheetRow) {
    let theme = ctx.theme;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let font = theme.face(theme::SEMIBOLD, theme.sizes.body);
        ui.label(RichText::new(&row.head).font(font));
        for (second, place) in [(false, &row.first), (true, &row.second)] {
            if place.is_empty() {
                continue;
            }
            let which = if second { "second" } else { "first" };
            let response = ink::small_word(ui, theme, place);
            let response = ink::named(response, &format!("{}, {which}: {place}", row.head));
            if response.clicked() {
                go(ctx, beside, row.pairs.0, second);
            }
        }
        let response = ink::body(ui, theme, &row.text);
        if !row.evidence.is_empty() {
            response.on_hover_text(&row.evidence);
        }
    });
}

/// Goes to the bar of a pair, or to the nearest one after it that has one.
fn go(ctx: Ctx<'_>, beside: &Beside, pair: usize, second: bool) {
    let comparison = &beside.comparison;
    let passage = if second { comparison.second } else { comparison.first };
    let pairs = comparison.bars.get(pair..).unwrap_or_default();
    let bar = pairs.iter().find_map(|pair| if second { pair.second } else { pair.first });
    if let Some(bar) = bar {
        ctx.send(Action::GoTo { movement: passage.movement, bar: Some(bar) });
    }
}

/// Points of the strip.
struct Measures {
    em: f32,
    names: f32,
    bar: f32,
    row: f32,
    head: f32,
}

impl Measures {
    fn of(ctx: Ctx<'_>) -> Self {
        let em = ctx.theme.sizes.small;
        Self { em, names: 9.0 * em, bar: 2.0 * em, row: 1.25 * em, head: 3.6 * em }
    }
}

fn strip_ui(ui: &mut Ui, ctx: Ctx<'_>, beside: &Beside) {
    let (sheet, measures) = (&beside.sheet, Measures::of(ctx));
    let width = measures.names + measures.bar * sheet.bars.len() as f32 + 8.0;
    let height = measures.head + measures.row * sheet.parts.len() as f32 + 8.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    let name =
        "Bars of both passages: black has the line, gray plays, strokes say how much differs";
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, name));
    if ui.is_rect_visible(rect) {
        paint(ui, ctx, beside, &measures, rect);
    }
    follow(ctx, beside, &measures, rect, &response);
    response.on_hover_text(name);
}

/// A click goes to the bar: on the numbers of the second passage to that one, else to the first.
fn follow(ctx: Ctx<'_>, beside: &Beside, measures: &Measures, rect: Rect, response: &Response) {
    let Some(at) = response.interact_pointer_pos().filter(|_| response.clicked()) else { return };
    let x = at.x - rect.left() - measures.names;
    if x < 0.0 {
        return;
    }
    let y = at.y - rect.top();
    let second = (1.3 * measures.em..2.6 * measures.em).contains(&y);
    go(ctx, beside, (x / measures.bar) as usize, second);
}

fn paint(ui: &Ui, ctx: Ctx<'_>, beside: &Beside, measures: &Measures, rect: Rect) {
    let (sheet, theme, painter) = (&beside.sheet, ctx.theme, ui.painter());
    let (ink, mid, light) = (theme.ink.ink, theme.ink.tones[1], theme.ink.tones[2]);
    let small = theme.small();
    let text = |x: f32, y: f32, words: &str, color: Color32| {
        let galley = painter.layout_no_wrap(words.to_owned(), small.clone(), color);
        let end = x + galley.size().x;
        painter.galley(pos2(x, y - galley.size().y / 2.0), galley, color);
        end
    };
    let top = rect.top();
    text(rect.left(), top + 0.65 * measures.em, "First", mid);
    text(rect.left(), top + 1.95 * measures.em, "Second", mid);
    let left = |nth: usize| rect.left() + measures.names + measures.bar * nth as f32;
    let (mut free_above, mut free_below) = (0.0, 0.0);
    let y = Rangef::new(top + measures.head, rect.bottom() - 8.0);
    for (nth, (first, second)) in sheet.bars.iter().enumerate() {
        let x = left(nth);
        painter.vline(x, y, Stroke::new(1.0, theme.ink.tones[3]));
        if x >= free_above {
            free_above = text(x + 1.0, top + 0.65 * measures.em, first, ink) + 5.0;
        }
        if x >= free_below {
            free_below = text(x + 1.0, top + 1.95 * measures.em, second, ink) + 5.0;
        }
        let n_changed = sheet.n_changed.get(nth).copied().unwrap_or_default().min(8);
        let step = (measures.bar - 4.0) / 8.0;
        for stroke in 0..n_changed {
            let x = x + 2.0 + step * stroke as f32;
            let y = Rangef::new(y.min - 0.85 * measures.em, y.min - 0.25 * measures.em);
            painter.vline(x, y, Stroke::new(1.0, ink));
        }
    }
    painter.hline(Rangef::new(rect.left(), left(sheet.bars.len())), y.min, Stroke::new(1.0, ink));
    for (row, (name, cells)) in sheet.parts.iter().enumerate() {
        let top = y.min + measures.row * row as f32;
        let name_room =
            Rect::from_min_size(pos2(rect.left(), top), vec2(measures.names - 6.0, measures.row));
        let at = name_room.left_center();
        painter.with_clip_rect(name_room).text(at, Align2::LEFT_CENTER, name, small.clone(), ink);
        for (nth, (first, second)) in cells.iter().enumerate() {
            let x = Rangef::new(left(nth) + 1.0, left(nth + 1) - 1.0);
            for (cell, middle) in [(first, 0.3), (second, 0.72)] {
                let (half, color) = match cell {
                    Cell::Silent => continue,
                    Cell::Plays => (0.09, light),
                    Cell::Line => (0.17, ink),
                };
                let middle = top + measures.row * middle;
                let half = measures.row * half;
                let cell = Rect::from_x_y_ranges(x, Rangef::new(middle - half, middle + half));
                painter.rect_filled(cell, 0.0, color);
            }
        }
    }
}
