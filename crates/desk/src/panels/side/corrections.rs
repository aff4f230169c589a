//! Corrections for the selection: rehearsal mark, bar number, instrument, players, techniques; and
//! those that stand here already.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::model::make;
use crate::panels::{ink, menu};
use barloom_core::bar::BarIndex;
use barloom_core::event::Device;
use barloom_core::instrument::InstrumentId;
use barloom_core::part::{Part, PartKey};
use barloom_core::score::Movement;
use barloom_core::study::Correction;
use egui::{ComboBox, Id, Key, Ui};

/// What lives only while the panel is shown.
#[derive(Default)]
pub(super) struct Corrections {
    device: Option<Device>,
    /// The part whose players are typed, and the text.
    players: Option<(PartKey, String)>,
}

pub(super) fn corrections_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
    state: &mut Corrections,
) {
    let theme = ctx.theme;
    ink::head(ui, theme, "Corrections");
    let keys = ctx.env().part_keys();
    for (entry, correction) in ctx.study.corrections() {
        let here = match entry.item.place() {
            Some(at) => at.movement == movement.id && from <= at.bar && at.bar <= to,
            None => matches!(correction, Correction::Players { part, .. } if keys.contains(part)),
        };
        if !here {
            continue;
        }
        ui.horizontal_wrapped(|ui| {
            let words = correction.summary();
            ink::body(ui, theme, &words);
            let remove = ink::small_word(ui, theme, "Take away");
            if ink::named(remove, &format!("Take away {words}")).clicked() {
                let change = Change::one("remove correction", Draft::Remove(entry.id));
                ctx.send(Action::Change(change));
            }
        });
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        menu::command_word(ui, ctx, Command::Rehearsal);
        menu::command_word(ui, ctx, Command::Renumber);
    });
    if keys.is_empty() {
        ink::small(ui, theme, "Select a part to correct its instrument, players or techniques");
        return;
    }
    device_ui(ui, ctx, state);
    instrument_ui(ui, ctx, movement, from);
    let only = ctx.env().parts().next().filter(|_| keys.len() == 1);
    if let Some((_, part)) = only {
        players_ui(ui, ctx, part, state);
    }
}

/// A technique that begins or ends here: a forgotten "senza".
fn device_ui(ui: &mut Ui, ctx: Ctx<'_>, state: &mut Corrections) {
    let theme = ctx.theme;
    let device = *state.device.get_or_insert(Device::Mute);
    ui.horizontal(|ui| {
        let shown = ComboBox::from_id_salt("technique")
            .selected_text(device.name())
            .width(100.0)
            .show_ui(ui, |ui| {
                for other in Device::ALL {
                    ui.selectable_value(&mut state.device, Some(other), other.name());
                }
            });
        ink::named(shown.response, "Technique");
        for (name, on) in [("begins here", true), ("ends here", false)] {
            let response = ink::word(ui, theme, name);
            let response = ink::named(response, &format!("{} {name}", device.name()));
            if response.clicked()
                && let Ok(change) = make::device(&ctx.env(), device, on)
            {
                ctx.send(Action::Change(change));
            }
        }
    });
}

fn instrument_ui(ui: &mut Ui, ctx: Ctx<'_>, movement: &Movement, from: BarIndex) {
    let env = ctx.env();
    let Some((idx, _)) = env.parts().next() else { return };
    let at = movement.bars.get(from).map(|bar| bar.start).unwrap_or_default();
    let Some(present) = movement.part(idx).and_then(|music| music.instrument_at(at)) else {
        return;
    };
    let mut chosen = present;
    ui.horizontal(|ui| {
        ink::small(ui, ctx.theme, "plays from here");
        let shown = ComboBox::from_id_salt("instrument")
            .selected_text(present.get().name)
            .width(150.0)
            .show_ui(ui, |ui| {
                for other in InstrumentId::all() {
                    ui.selectable_value(&mut chosen, other, other.get().name);
                }
            });
        ink::named(shown.response, "Instrument from here on");
    });
    if chosen != present
        && let Ok(change) = make::instrument(&env, chosen.get().name)
    {
        ctx.send(Action::Change(change));
    }
}

/// The players of a part, separated by commas; Enter takes them.
fn players_ui(ui: &mut Ui, ctx: Ctx<'_>, part: &Part, state: &mut Corrections) {
    let present = || {
        let names: Vec<&str> = part.players.iter().map(|player| player.name.as_str()).collect();
        names.join(", ")
    };
    let fresh = state.players.as_ref().is_none_or(|(key, _)| *key != part.key);
    if fresh {
        state.players = Some((part.key.clone(), present()));
    }
    let Some((_, text)) = &mut state.players else { return };
    ink::small(ui, ctx.theme, "players, separated by commas");
    let id = Id::unique("players of the part");
    let width = ui.available_width() - 14.0;
    let label = format!("Players of {}", part.name);
    let response = ink::line_edit(ui, id, &label, text, "names", width);
    let enter = ui.input(|input| input.key_pressed(Key::Enter));
    if response.lost_focus() {
        if enter
            && *text != present()
            && let Ok(change) = make::players(part.key.clone(), text)
        {
            ctx.send(Action::Change(change));
        }
        state.players = None;
    }
}
