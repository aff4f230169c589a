//! The pointer: selecting, dragging, panning, zooming. Reads egui's input and answers with actions;
//! what is under way lives in [`Drag`] until the button is released.

use super::geometry::{Layout, View};
use super::hit::{self, Area};
use super::strip::Places;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::camera::{self, Camera};
use crate::model::view_state::{RowShow, Selection, TrackRow};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use egui::{Key, PointerButton, Pos2, Response, Ui};
use std::collections::BTreeSet;

/// A drag under way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Drag {
    /// Bars, and parts when it began in a part row.
    Select { bar: BarIndex, part: Option<PartIdx> },
    /// The music under the pointer.
    Pan,
    /// The frame of the strip: how far left of the pointer its edge lay, in points.
    Frame { grip: f32 },
}

/// How fast the music runs when a selection is dragged over the edge, in points a second for each
/// point beyond it, and at most.
const EDGE_SPEED: f32 = 12.0;
const EDGE_SPEED_MAX: f32 = 1600.0;

/// What the pointer works on.
pub(super) struct Ground<'a> {
    pub(super) ctx: Ctx<'a>,
    pub(super) layout: &'a Layout,
    /// The strip's places.
    pub(super) strip: &'a Places,
    /// The movements' places when the whole work is shown.
    pub(super) whole: Option<&'a Places>,
}

/// Handles wheel, pinch, clicks and drags of one frame.
pub(super) fn handle(
    ui: &Ui,
    ground: &Ground<'_>,
    view: &View<'_>,
    response: &Response,
    drag: &mut Option<Drag>,
) {
    let mut camera = view.camera;
    wheel(ui, ground, view, response, &mut camera);
    if let Some(at) = response.interact_pointer_pos() {
        begin_drag(ui, ground, view, response, at, drag);
        carry_on(ui, ground, view, at, *drag, &mut camera);
        if response.clicked() && drag.is_none() {
            click(ui, ground, view, response, at, &mut camera);
        }
    }
    if !ui.input(|input| input.pointer.any_down()) {
        *drag = None;
    }
    if camera != view.camera {
        ground.ctx.send(Action::Look(camera));
    }
    cursor(ui, ground, response, *drag);
}

fn wheel(ui: &Ui, ground: &Ground<'_>, view: &View<'_>, response: &Response, camera: &mut Camera) {
    let Some(at) = response.hover_pos() else { return };
    let width = view.x_range.span();
    let (scroll, zoom) = ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta()));
    if zoom != 1.0 {
        zoom_at(ground, view, at, zoom, camera);
        return;
    }
    if scroll.x != 0.0 && !camera.whole {
        *camera = camera::pan_by(*camera, view.lane, width, scroll.x);
    }
    if scroll.y != 0.0 {
        camera.top = (camera.top - scroll.y).clamp(0.0, ground.layout.overflow);
    }
}

fn zoom_at(ground: &Ground<'_>, view: &View<'_>, at: Pos2, zoom: f32, camera: &mut Camera) {
    match ground.whole.filter(|_| zoom > 1.0).and_then(|places| places.at(at.x)) {
        Some((movement, _)) if movement != ground.ctx.view.movement => {
            ground.ctx.send(Action::GoTo { movement, bar: None });
            ground.ctx.send(Action::Look(camera::fit_movement(*camera)));
        }
        _ => {
            let around = (at.x - view.x_range.min).clamp(0.0, view.x_range.span());
            *camera = camera::zoom_by(*camera, view.lane, view.x_range.span(), zoom, around);
        }
    }
}

fn begin_drag(
    ui: &Ui,
    ground: &Ground<'_>,
    view: &View<'_>,
    response: &Response,
    at: Pos2,
    drag: &mut Option<Drag>,
) {
    if response.drag_started_by(PointerButton::Middle) {
        *drag = Some(Drag::Pan);
        return;
    }
    if !response.drag_started_by(PointerButton::Primary) {
        return;
    }
    let (origin, space, shift) = ui.input(|input| {
        let origin = input.pointer.press_origin().unwrap_or(at);
        (origin, input.key_down(Key::Space), input.modifiers.shift)
    });
    let area = hit::area(ground.layout, origin);
    *drag = match area {
        Area::Strip => {
            let (left, right) = view.camera.span(view.lane, view.x_range.span());
            let (left, right) = (view.lane.to_written(left), view.lane.to_written(right));
            let shown = ground.ctx.view.movement;
            let edges = (ground.strip.x(shown, left), ground.strip.x(shown, right));
            let inside = edges.0 <= origin.x && origin.x <= edges.1;
            let grip = if inside { origin.x - edges.0 } else { (edges.1 - edges.0) / 2.0 };
            Some(Drag::Frame { grip })
        }
        _ if space => Some(Drag::Pan),
        _ if ground.whole.is_some() => None,
        _ if area.has_bars() => hit::bar(view, origin.x).map(|bar| {
            let part = if let Area::Part(part) = area { Some(part) } else { None };
            let anchor = ground.ctx.view.selection.bars.filter(|_| shift).map(|(anchor, _)| anchor);
            Drag::Select { bar: anchor.unwrap_or(bar), part }
        }),
        _ => None,
    };
}

fn carry_on(
    ui: &Ui,
    ground: &Ground<'_>,
    view: &View<'_>,
    at: Pos2,
    drag: Option<Drag>,
    camera: &mut Camera,
) {
    let width = view.x_range.span();
    match drag {
        None => {}
        Some(Drag::Pan) => {
            let delta = ui.input(|input| input.pointer.delta());
            if !camera.whole {
                *camera = camera::pan_by(*camera, view.lane, width, delta.x);
            }
            camera.top = (camera.top - delta.y).clamp(0.0, ground.layout.overflow);
        }
        Some(Drag::Frame { grip }) => frame_to(ground, view, at.x, grip, camera),
        Some(Drag::Select { bar, part }) => {
            select_to(ground, view, at, bar, part);
            let beyond = if at.x < view.x_range.min {
                view.x_range.min - at.x
            } else {
                (view.x_range.max - at.x).min(0.0)
            };
            if beyond != 0.0 {
                let seconds = ui.input(|input| input.stable_dt).min(0.1);
                let speed = (beyond * EDGE_SPEED).clamp(-EDGE_SPEED_MAX, EDGE_SPEED_MAX);
                *camera = camera::pan_by(*camera, view.lane, width, speed * seconds);
                ui.ctx().request_repaint();
            }
        }
    }
}

/// Moves the frame of the strip so that its left edge lies `grip` left of the pointer.
fn frame_to(ground: &Ground<'_>, view: &View<'_>, x: f32, grip: f32, camera: &mut Camera) {
    let Some((movement, _)) = ground.strip.at(x) else { return };
    if movement != ground.ctx.view.movement {
        ground.ctx.send(Action::GoTo { movement, bar: None });
        ground.ctx.send(Action::Look(Camera { left_quarters: 0.0, whole: false, ..*camera }));
        return;
    }
    let left = ground.strip.at(x - grip).filter(|(at, _)| *at == movement);
    camera.whole = false;
    camera.left_quarters = left.map_or(0.0, |(_, axis)| view.lane.from_written(axis));
    *camera = camera.held(view.lane, view.x_range.span());
}

fn select_to(
    ground: &Ground<'_>,
    view: &View<'_>,
    at: Pos2,
    anchor: BarIndex,
    anchor_part: Option<PartIdx>,
) {
    let x = at.x.clamp(view.x_range.min, view.x_range.max - 1.0);
    let Some(bar) = hit::bar(view, x) else { return };
    let parts = match (anchor_part, hit::area(ground.layout, Pos2::new(x, at.y))) {
        (Some(from), Area::Part(to)) => parts_between(ground, from, to),
        (Some(_), _) if !ground.ctx.view.selection.parts.is_empty() => {
            ground.ctx.view.selection.parts.clone()
        }
        (Some(from), _) => BTreeSet::from([from]),
        (None, _) => BTreeSet::new(),
    };
    select(ground, Selection { bars: Some((anchor, bar)), parts, beat: None });
}

/// The parts from one row to another, as they stand on the screen.
fn parts_between(ground: &Ground<'_>, from: PartIdx, to: PartIdx) -> BTreeSet<PartIdx> {
    let (low, high) = (from.min(to), from.max(to));
    let shown = ground.ctx.basis.score.parts().map(|(idx, _)| idx);
    shown.filter(|part| (low..=high).contains(part)).collect()
}

fn select(ground: &Ground<'_>, selection: Selection) {
    if selection != ground.ctx.view.selection {
        ground.ctx.send(Action::Select(selection));
    }
}

/// A menu is asked for: what lies under the pointer is selected, unless it is already.
pub(super) fn select_for_menu(ground: &Ground<'_>, view: &View<'_>, response: &Response) {
    if !response.secondary_clicked() || ground.whole.is_some() {
        return;
    }
    let Some(at) = response.interact_pointer_pos() else { return };
    let area = hit::area(ground.layout, at);
    let Some(bar) = hit::bar(view, at.x).filter(|_| area.has_bars()) else { return };
    let part = match area {
        Area::Part(part) => Some(part),
        _ => None,
    };
    let selection = &ground.ctx.view.selection;
    let has_part = part.is_none_or(|part| selection.parts.contains(&part));
    if !(selection.has_bar(bar) && has_part) {
        let parts = part.into_iter().collect();
        select(ground, Selection { bars: Some((bar, bar)), parts, beat: None });
    }
}

fn click(
    ui: &Ui,
    ground: &Ground<'_>,
    view: &View<'_>,
    response: &Response,
    at: Pos2,
    camera: &mut Camera,
) {
    let area = hit::area(ground.layout, at);
    let modifiers = modifiers_of_click(ui);
    match area {
        Area::Family(family) => {
            ground.ctx.send(Action::Fold(family));
            return;
        }
        Area::TrackName(row) => {
            ground.ctx.send(other_height(&ground.ctx, row));
            return;
        }
        Area::Strip => {
            let (left, right) = view.camera.span(view.lane, view.x_range.span());
            let (left, right) = (view.lane.to_written(left), view.lane.to_written(right));
            let shown = ground.ctx.view.movement;
            let half = (ground.strip.x(shown, right) - ground.strip.x(shown, left)) / 2.0;
            frame_to(ground, view, at.x, half, camera);
            return;
        }
        Area::PartName(part) => {
            let mut selection = ground.ctx.view.selection.clone();
            choose_part(&mut selection.parts, part, modifiers.command);
            select(ground, selection);
            return;
        }
        _ => {}
    }
    if !area.has_bars() {
        return;
    }
    if let Some(places) = ground.whole {
        enter(ground, places, at.x, camera);
        return;
    }
    let Some(bar) = hit::bar(view, at.x) else { return };
    if response.double_clicked() {
        let near = view.lane.near(view.axis(at.x));
        *camera = camera::fit_bars(*camera, &near, bar, bar, view.x_range.span());
        return;
    }
    select(ground, clicked(ground, view, area, at, bar, modifiers));
}

/// The modifier keys as they were when the button was released: a key let go in the same frame still
/// counts.
fn modifiers_of_click(ui: &Ui) -> egui::Modifiers {
    ui.input(|input| {
        let released = input.events.iter().rev().find_map(|event| match event {
            egui::Event::PointerButton { pressed: false, modifiers, .. } => Some(*modifiers),
            _ => None,
        });
        released.unwrap_or(input.modifiers)
    })
}

/// Shows the movement under the pointer and selects the bar there.
fn enter(ground: &Ground<'_>, places: &Places, x: f32, camera: &Camera) {
    let Some((movement, axis)) = places.at(x) else { return };
    let score = &ground.ctx.basis.score;
    let bar = score.movements.get(movement).and_then(|shown| {
        let equal = ground.ctx.view.equal_bars;
        let columns = crate::model::view_state::Columns::of(&shown.bars, shown.resolution, equal);
        columns.bar_at(axis)
    });
    ground.ctx.send(Action::GoTo { movement, bar });
    ground.ctx.send(Action::Look(camera::fit_movement(*camera)));
}

fn clicked(
    ground: &Ground<'_>,
    view: &View<'_>,
    area: Area,
    at: Pos2,
    bar: BarIndex,
    modifiers: egui::Modifiers,
) -> Selection {
    let before = &ground.ctx.view.selection;
    let anchor = before.bars.filter(|_| modifiers.shift).map_or(bar, |(anchor, _)| anchor);
    let parts = match area {
        Area::Part(part) if modifiers.command => {
            let mut parts = before.parts.clone();
            choose_part(&mut parts, part, true);
            parts
        }
        Area::Part(part) => match before.parts.first().filter(|_| modifiers.shift) {
            Some(first) => parts_between(ground, *first, part),
            None => BTreeSet::from([part]),
        },
        _ => BTreeSet::new(),
    };
    let beat = hit::beat(view, area, at).filter(|_| anchor == bar);
    Selection { bars: Some((anchor, bar)), parts, beat }
}

/// Chooses one part alone, or adds it to or takes it from the chosen ones.
fn choose_part(parts: &mut BTreeSet<PartIdx>, part: PartIdx, toggle: bool) {
    if toggle {
        if !parts.remove(&part) {
            parts.insert(part);
        }
    } else if parts.len() == 1 && parts.contains(&part) {
        parts.clear();
    } else {
        *parts = BTreeSet::from([part]);
    }
}

fn cursor(ui: &Ui, ground: &Ground<'_>, response: &Response, drag: Option<Drag>) {
    let space = ui.input(|input| input.key_down(Key::Space));
    let icon = match (drag, response.hover_pos()) {
        (Some(Drag::Pan | Drag::Frame { .. }), _) => egui::CursorIcon::Grabbing,
        (_, Some(_)) if space => egui::CursorIcon::Grab,
        (_, Some(at)) => match hit::area(ground.layout, at) {
            Area::Strip => egui::CursorIcon::Grab,
            Area::Family(_) | Area::PartName(_) | Area::TrackName(_) => {
                egui::CursorIcon::PointingHand
            }
            _ => return,
        },
        _ => return,
    };
    ui.ctx().set_cursor_icon(icon);
}

/// Thins an open track row and opens a thin one.
pub(super) fn other_height(ctx: &Ctx<'_>, row: TrackRow) -> Action {
    let show = match ctx.view.row_show(row) {
        RowShow::Thin => RowShow::Open,
        _ => RowShow::Thin,
    };
    Action::ShowRows(vec![row], show)
}
