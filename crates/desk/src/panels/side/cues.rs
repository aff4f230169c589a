//! Entrances and cues of the selection: the reasons, and who and how.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::model::{lists, make, place};
use crate::panels::{ink, menu};
use barloom_analysis::entrances::Entrance;
use barloom_core::bar::{BarAddress, BarIndex};
use barloom_core::part::PartKey;
use barloom_core::score::Movement;
use barloom_core::study::{Cue, EntryId, Item};
use egui::{Id, Ui};

/// Ways of giving a cue (common practice).
const HOW: [&str; 4] = ["eyes", "left hand", "breath", "nod"];

/// More entrances than this are left to the list.
const MOST: usize = 12;

pub(super) fn cues_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
) {
    let theme = ctx.theme;
    let selected = &ctx.view.selection.parts;
    let entrances: Vec<(BarAddress, PartKey, &Entrance)> = ctx
        .movement_tracks()
        .map(|tracks| tracks.entrances.as_slice())
        .unwrap_or_default()
        .iter()
        .filter(|entrance| from <= entrance.bar && entrance.bar <= to)
        .filter(|entrance| selected.is_empty() || selected.contains(&entrance.part))
        .filter_map(|entrance| {
            let part = ctx.basis.score.parts.get(entrance.part.idx())?;
            let at =
                BarAddress { movement: movement.id, bar: entrance.bar, offset: entrance.offset };
            Some((at, part.key.clone(), entrance))
        })
        .collect();
    let elsewhere: Vec<(EntryId, &Cue)> = ctx
        .study
        .cues_by_place()
        .into_iter()
        .filter(|(_, cue)| cue.at.movement == movement.id)
        .filter(|(_, cue)| from <= cue.at.bar && cue.at.bar <= to)
        .filter(|(_, cue)| {
            !entrances.iter().any(|(at, part, _)| (at, part) == (&cue.at, &cue.part))
        })
        .map(|(entry, cue)| (entry.id, cue))
        .collect();
    ink::head_with(ui, theme, "Cues", |ui| menu::command_word(ui, ctx, Command::Cue));
    if entrances.is_empty() && elsewhere.is_empty() {
        ink::small(ui, theme, "Nobody enters here");
    }
    for (at, part, entrance) in entrances.iter().take(MOST) {
        let decided = ctx.study.cue(*at, part);
        let name = place::part_name(&ctx.basis.score, part);
        let wanted = decided.is_some_and(|(_, cue)| cue.wanted);
        let place = if from == to && at.offset.is_zero() {
            String::new()
        } else {
            format!(", {}", address(movement, *at))
        };
        if ink::tick(ui, theme, wanted, &format!("{name}{place}")).clicked() {
            ctx.send(Action::Change(make::toggle_cue_at(&ctx.env(), *at, part.clone())));
        }
        let dropped = decided.is_some_and(|(_, cue)| !cue.wanted);
        let state = if dropped { "no cue: decided · " } else { "" };
        ink::small(ui, theme, &format!("{state}{}", lists::entrance_words(entrance)));
        match decided {
            Some((entry, cue)) if cue.wanted => who_and_how_ui(ui, ctx, entry.id, cue),
            None if entrance.need > 0 => {
                let response = ink::small_word(ui, theme, "No cue");
                if ink::named(response, &format!("No cue for {name}")).clicked() {
                    ctx.send(Action::Change(make::drop_cue(*at, part.clone())));
                }
            }
            _ => {}
        }
    }
    if entrances.len() > MOST {
        ink::small(ui, theme, &format!("and {} more: see the list", entrances.len() - MOST));
    }
    let idx = ctx.view.movement;
    let clashes = barloom_analysis::plan::clashes_of(ctx.basis, ctx.tracks, ctx.study, idx);
    for (_, words) in clashes.iter().filter(|(bar, _)| from <= *bar && *bar <= to) {
        ink::small(ui, theme, &format!("At once: {words}"));
    }
    for (id, cue) in elsewhere {
        let name = place::part_name(&ctx.basis.score, &cue.part);
        let text = format!("{name}, {}, no entrance", address(movement, cue.at));
        if ink::tick(ui, theme, cue.wanted, &text).clicked() {
            ctx.send(Action::Change(Change::one("remove cue", Draft::Remove(id))));
        }
        if cue.wanted {
            who_and_how_ui(ui, ctx, id, cue);
        }
    }
}

/// "bar 48", "bar 48, 3/2 quarters in".
fn address(movement: &Movement, at: BarAddress) -> String {
    let bar = movement.bar_name(at.bar);
    if at.offset.is_zero() {
        format!("bar {bar}")
    } else {
        format!("bar {bar}, {} quarters in", at.offset)
    }
}

/// The words for how with one more way, or without it if it is there.
fn with_how(before: &str, how: &str) -> String {
    let ways = before.split(',').map(str::trim).filter(|way| !way.is_empty());
    let mut ways: Vec<&str> = ways.collect();
    match ways.iter().position(|way| *way == how) {
        Some(known) => {
            ways.remove(known);
        }
        None => ways.push(how),
    }
    ways.join(", ")
}

fn who_and_how_ui(ui: &mut Ui, ctx: Ctx<'_>, id: EntryId, cue: &Cue) {
    let name = place::part_name(&ctx.basis.score, &cue.part);
    let mut edited = cue.clone();
    let fields = [
        ("who", "who, if not all", &mut edited.who),
        ("how", "eyes, left hand, breath …", &mut edited.how),
    ];
    for (what, hint, text) in fields {
        ui.horizontal(|ui| {
            ui.add_space(20.0);
            let field = Id::unique("cue").with((what, id.to_string()));
            let width = ui.available_width() - 14.0;
            ink::line_edit(ui, field, &format!("Cue for {name}: {what}"), text, hint, width);
        });
    }
    ui.horizontal(|ui| {
        ui.add_space(20.0);
        ui.spacing_mut().item_spacing.x = 12.0;
        for how in HOW {
            let response = ink::small_word(ui, ctx.theme, how);
            if ink::named(response, &format!("Cue for {name}: {how}")).clicked() {
                edited.how = with_how(&cue.how, how);
            }
        }
    });
    if edited != *cue {
        let change = Change::one("change cue", Draft::Change(id, Item::Cue(edited)));
        ctx.send(Action::Change(change.within(ink::gesture(&("cue", id.to_string())))));
    }
}
