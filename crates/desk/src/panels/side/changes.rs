//! Changes in the selection that lack time, the pedals of a selected harp, the drums of selected
//! timpani.

use crate::ctx::Ctx;
use crate::model::lists::change_words;
use crate::panels::ink;
use crate::theme::Theme;
use barloom_analysis::MovementTracks;
use barloom_analysis::changes::harp::{HarpPlan, Pedals, pedals_in_words};
use barloom_analysis::changes::timpani::{TimpaniPlan, key_name};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;
use egui::{Rangef, Sense, Stroke, Ui, vec2};

/// Without selected parts so many changes are told at most.
const MOST: usize = 8;
/// Pedals of the left foot.
const LEFT_FOOT: usize = 3;

pub(super) fn changes_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
) {
    let Some(tracks) = ctx.movement_tracks() else { return };
    let (Some(first), Some(last)) = (movement.bars.get(from), movement.bars.get(to)) else {
        return;
    };
    let (start, end) = (first.start, last.end());
    let parts: Vec<PartIdx> = ctx.env().parts().map(|(idx, _)| idx).collect();
    time_ui(ui, ctx, tracks, &parts, (start, end));
    for plan in tracks.changes.harps.iter().filter(|plan| parts.contains(&plan.part)) {
        harp_ui(ui, ctx.theme, movement, plan, (start, end));
    }
    for plan in tracks.changes.timpani.iter().filter(|plan| parts.contains(&plan.part)) {
        timpani_ui(ui, ctx.theme, plan, start);
    }
}

/// What lacks time, the worst first; of selected parts all changes.
fn time_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    tracks: &MovementTracks,
    parts: &[PartIdx],
    (start, end): (Ticks, Ticks),
) {
    let mut here: Vec<_> = tracks
        .changes
        .changes
        .iter()
        .filter(|change| start <= change.at && change.at < end)
        .filter(
            |change| {
                if parts.is_empty() { change.is_short() } else { parts.contains(&change.part) }
            },
        )
        .collect();
    if here.is_empty() {
        return;
    }
    here.sort_by(|a, b| b.lack().total_cmp(&a.lack()));
    ink::head(ui, ctx.theme, "Time for changes");
    for change in here.iter().take(MOST) {
        let part = ctx.basis.score.parts.get(change.part.idx());
        let name = part.map_or("", |part| part.name.as_str());
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            ink::body(ui, ctx.theme, name);
            ink::small(ui, ctx.theme, &change_words(change));
        });
    }
    if here.len() > MOST {
        let more = here.len() - MOST;
        ink::small(
            ui,
            ctx.theme,
            &format!("and {more} more in the list \u{201c}Time for changes\u{201d}"),
        );
    }
}

/// The pedals at the start of the selection with their diagram, and the moves in it.
fn harp_ui(
    ui: &mut Ui,
    theme: &Theme,
    movement: &Movement,
    plan: &HarpPlan,
    (start, end): (Ticks, Ticks),
) {
    ink::head(ui, theme, "Harp pedals");
    let pedals = plan.pedals_at(start);
    diagram_ui(ui, theme, pedals);
    ink::small(ui, theme, &format!("{}, at the start of the selection", signs(pedals)));
    for one in plan.moves.iter().filter(|one| start < one.at && one.at < end) {
        let bar = movement.bar_name(movement.place(one.at).0);
        ink::small(ui, theme, &format!("bar {bar}: {}", one.in_words()));
    }
    let inside = |at: &Ticks| start <= *at && *at < end;
    let problems = plan.impossible.iter().chain(&plan.misprints);
    for (at, what) in problems.filter(|(at, _)| inside(at)) {
        let bar = movement.bar_name(movement.place(*at).0);
        ink::body(ui, theme, &format!("bar {bar}: {what}"));
    }
}

/// A setting with the signs as they are printed.
fn signs(pedals: Pedals) -> String {
    pedals_in_words(pedals).replace('#', "\u{266F}").replace('b', "\u{266D}")
}

/// A line for natural, a stroke above it for flat, below it for sharp, a long one between the feet.
fn diagram_ui(ui: &mut Ui, theme: &Theme, pedals: Pedals) {
    let step = theme.sizes.small;
    let columns = pedals.len() as f32 + 2.0;
    let (rect, response) = ui.allocate_exact_size(vec2(step * columns, 2.4 * step), Sense::hover());
    response.widget_info(|| {
        let text = format!("Harp pedals {}", pedals_in_words(pedals));
        egui::WidgetInfo::labeled(egui::Role::Image, true, text)
    });
    let (painter, ink) = (ui.painter(), theme.ink.ink);
    let middle = rect.center().y;
    painter.hline(rect.x_range(), middle, Stroke::new(1.0, ink));
    for (idx, position) in pedals.iter().enumerate() {
        // The stroke between the feet has a place of its own.
        let place = if idx < LEFT_FOOT { idx } else { idx + 1 };
        let x = rect.left() + step * (place as f32 + 1.0);
        let (top, bottom) = match position.signum() {
            -1 => (-0.85, -0.08),
            1 => (0.08, 0.85),
            _ => (-0.42, 0.42),
        };
        let y = Rangef::new(middle + top * step, middle + bottom * step);
        painter.vline(x, y, Stroke::new(2.6, ink));
    }
    let between = rect.left() + step * (LEFT_FOOT as f32 + 1.0);
    painter.vline(between, rect.y_range(), Stroke::new(1.2, ink));
}

/// What each drum is tuned to at a place.
fn timpani_ui(ui: &mut Ui, theme: &Theme, plan: &TimpaniPlan, at: Ticks) {
    ink::head(ui, theme, "Timpani");
    for (nth, drum) in plan.drums.iter().enumerate() {
        let mut before =
            plan.retunings.iter().filter(|tuning| tuning.drum == nth && tuning.at <= at);
        let first = plan.initial.get(nth).copied().flatten();
        let now = before.next_back().map(|tuning| tuning.to).or(first);
        let next = plan.retunings.iter().find(|tuning| tuning.drum == nth && tuning.at > at);
        let tuned = now.map_or_else(|| String::from("not needed"), key_name);
        let then = next.map(|next| format!(", then {}", key_name(next.to))).unwrap_or_default();
        ink::small(ui, theme, &format!("{} inch: {tuned}{then}", drum.inches));
    }
}
