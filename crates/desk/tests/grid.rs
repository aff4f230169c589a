//! The bar grid as people and screen readers meet it: found by accessible names, worked by pointer.
//! No window and no pictures; a small loop applies the actions as the program would.

#[path = "common/sample.rs"]
#[allow(dead_code, reason = "benches use the rest")]
mod sample;

use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::part::PartIdx;
use barloom_core::study::Study;
use barloom_desk::ctx::{Ctx, Queue};
use barloom_desk::model::action::Action;
use barloom_desk::model::camera;
use barloom_desk::model::status::Status;
use barloom_desk::model::view_state::{TrackRow, ViewState};
use barloom_desk::paint::{GridTransient, grid_ui};
use barloom_desk::theme::{Theme, install_fonts};
use egui::{Modifiers, PointerButton, Pos2, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

struct Desk {
    basis: Basis,
    tracks: barloom_analysis::Tracks,
    study: Study,
    view: ViewState,
    status: Status,
    theme: Theme,
    queue: Queue,
    grid: GridTransient,
    fonts_set: bool,
}

impl Desk {
    fn new() -> Self {
        let basis = sample::basis(12, &[32, 48], 5);
        let tracks = sample::tracks(&basis);
        let study = sample::study(&basis, 0);
        Self {
            basis,
            tracks,
            study,
            view: ViewState::default(),
            status: Status::default(),
            theme: Theme::new(false, false, 1.0),
            queue: Queue::default(),
            grid: GridTransient::default(),
            fonts_set: false,
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui) {
        if !self.fonts_set {
            // Fonts are there from the next frame on.
            install_fonts(ui.ctx());
            self.theme.apply(ui.ctx());
            self.fonts_set = true;
            ui.ctx().request_repaint();
            return;
        }
        let ctx = Ctx {
            basis: &self.basis,
            tracks: &self.tracks,
            study: &self.study,
            view: &self.view,
            status: &self.status,
            theme: &self.theme,
            queue: &self.queue,
        };
        grid_ui(ui, ctx, &mut self.grid);
        for action in self.queue.take() {
            match action {
                Action::Select(selection) => self.view.selection = selection,
                Action::Look(camera) => self.view.camera = camera,
                Action::Fold(family) => {
                    if !self.view.folded.remove(&family) {
                        self.view.folded.insert(family);
                    }
                }
                Action::Legend(open) => self.view.legend = open,
                Action::GoTo { movement, bar } => {
                    self.view.movement = movement;
                    self.view.selection.bars = bar.map(|bar| (bar, bar));
                }
                other => panic!("the grid asked for {other:?}"),
            }
        }
    }
}

fn harness(change: impl FnOnce(&mut Desk)) -> Harness<'static, Desk> {
    let mut desk = Desk::new();
    desk.view.thin_rows = TrackRow::THIN.into();
    change(&mut desk);
    let mut harness = Harness::builder()
        .with_size(Vec2::new(1280.0, 800.0))
        // Short enough for two clicks to be one double click.
        .with_step_dt(0.05)
        .build_ui_state(|ui, desk: &mut Desk| desk.ui(ui), desk);
    harness.run();
    harness
}

/// Shows so many bars from the first on.
fn near(desk: &mut Desk, n_bars: u32) {
    let movement = &desk.basis.score.movements[0];
    let columns =
        barloom_desk::model::view_state::Columns::of(&movement.bars, movement.resolution, false);
    let width = 1280.0 - 176.0;
    desk.view.camera =
        camera::fit_bars(desk.view.camera, &columns, BarIndex(0), BarIndex(n_bars - 1), width);
}

fn center(harness: &Harness<'_, Desk>, label: &str) -> Pos2 {
    rect(harness, label).center()
}

/// The first node with such a label: a bar comes before its beats.
fn rect(harness: &Harness<'_, Desk>, label: &str) -> egui::Rect {
    let mut nodes = harness.query_all_by_label_contains(label);
    nodes.next().unwrap_or_else(|| panic!("nothing is called \"{label}\"")).rect()
}

fn press(harness: &mut Harness<'_, Desk>, at: Pos2, pressed: bool, modifiers: Modifiers) {
    let button = PointerButton::Primary;
    harness.event(egui::Event::PointerMoved(at));
    harness.event(egui::Event::PointerButton { pos: at, button, pressed, modifiers });
    harness.step();
}

fn click(harness: &mut Harness<'_, Desk>, at: Pos2, modifiers: Modifiers) {
    harness.event(egui::Event::ModifiersChanged(modifiers));
    press(harness, at, true, modifiers);
    press(harness, at, false, modifiers);
    harness.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    harness.step();
}

fn bars(harness: &Harness<'_, Desk>) -> Option<(u32, u32)> {
    harness.state().view.selection.bars.map(|(from, to)| (from.0, to.0))
}

#[test]
fn bars_say_meter_and_beating_and_whether_it_was_chosen() {
    let harness = harness(|_| {});
    let label = |name: &str| {
        let node = harness.get_by_label_contains(name);
        node.accesskit_node().label().unwrap_or_default()
    };
    assert_eq!(label("Bar 2,"), "Bar 2, 4/4, beaten in 4, chosen");
    assert!(label("Bar 1,").ends_with("proposed"), "{}", label("Bar 1,"));
    assert!(label("Bar 9,").contains("rehearsal mark A"), "{}", label("Bar 9,"));
    for name in ["Meter", "Beating", "Groups", "Texture", "Dynamics", "Entrances", "Marks"] {
        harness.get_by_label(name);
    }
    harness.get_by_label("Piccolo");
}

#[test]
fn a_click_selects_a_bar_and_shift_extends_from_it() {
    let mut harness = harness(|_| {});
    let at = center(&harness, "Bar 5,");
    click(&mut harness, at, Modifiers::NONE);
    assert_eq!(bars(&harness), Some((4, 4)));
    assert!(harness.state().view.selection.parts.is_empty());
    let at = center(&harness, "Bar 11,");
    click(&mut harness, at, Modifiers::SHIFT);
    assert_eq!(bars(&harness), Some((4, 10)));
    let at = center(&harness, "Bar 2,");
    click(&mut harness, at, Modifiers::SHIFT);
    assert_eq!(bars(&harness), Some((4, 1)));
}

#[test]
fn a_drag_in_the_part_rows_selects_bars_and_parts() {
    let mut harness = harness(|_| {});
    let x = |harness: &Harness<'_, Desk>, label| center(harness, label).x;
    let y = |harness: &Harness<'_, Desk>, name| harness.get_by_label(name).rect().center().y;
    let from = Pos2::new(x(&harness, "Bar 3,"), y(&harness, "Flutes 1.2"));
    let to = Pos2::new(x(&harness, "Bar 6,"), y(&harness, "Clarinets in B flat 1.2"));
    press(&mut harness, from, true, Modifiers::NONE);
    for share in [0.3, 0.6, 1.0] {
        harness.event(egui::Event::PointerMoved(from + (to - from) * share));
        harness.step();
    }
    press(&mut harness, to, false, Modifiers::NONE);
    harness.step();
    assert_eq!(bars(&harness), Some((2, 5)));
    let parts: Vec<PartIdx> = harness.state().view.selection.parts.iter().copied().collect();
    assert_eq!(parts, [PartIdx(1), PartIdx(2), PartIdx(3)]);
}

#[test]
fn a_click_in_a_part_row_selects_the_bar_in_that_part() {
    let mut harness = harness(|_| {});
    let x = center(&harness, "Bar 7,").x;
    let y = harness.get_by_label("Oboes 1.2").rect().center().y;
    click(&mut harness, Pos2::new(x, y), Modifiers::NONE);
    assert_eq!(bars(&harness), Some((6, 6)));
    assert!(harness.state().view.selection.parts.iter().eq([&PartIdx(2)]));
}

#[test]
fn a_family_folds_under_its_name() {
    let mut harness = harness(|_| {});
    let at = center(&harness, "Woodwinds, open");
    click(&mut harness, at, Modifiers::NONE);
    harness.get_by_label("Woodwinds, folded");
    assert!(harness.query_by_label("Oboes 1.2").is_none());
    assert!(harness.query_by_label("Tuba").is_some());
}

#[test]
fn zooming_keeps_the_bar_under_the_pointer() {
    let mut harness = harness(|_| {});
    let at = center(&harness, "Bar 20,");
    harness.event(egui::Event::PointerMoved(at));
    harness.step();
    for _ in 0..4 {
        harness.event(egui::Event::Zoom(1.25));
        harness.step();
    }
    let rect = rect(&harness, "Bar 20,");
    assert!(rect.x_range().contains(at.x), "{rect:?} {at:?}");
    assert!(harness.state().view.camera.points_per_quarter > 0.0);
}

#[test]
fn zooming_out_shows_all_movements_and_a_click_enters_one() {
    let mut harness = harness(|_| {});
    let at = center(&harness, "Bar 20,");
    harness.event(egui::Event::PointerMoved(at));
    harness.step();
    for _ in 0..6 {
        harness.event(egui::Event::Zoom(0.85));
        harness.step();
    }
    assert!(harness.state().view.camera.whole);
    harness.step();
    let second = rect(&harness, "Movement II Sheet 2, 48 bars");
    click(&mut harness, Pos2::new(second.center().x, second.top() + 20.0), Modifiers::NONE);
    assert_eq!(harness.state().view.movement, 1);
    assert!(!harness.state().view.camera.whole);
    assert!(bars(&harness).is_some_and(|(bar, _)| (15..35).contains(&bar)), "{:?}", bars(&harness));
}

#[test]
fn a_double_click_fills_the_width_with_a_bar() {
    let mut harness = harness(|_| {});
    let at = center(&harness, "Bar 4,");
    for pressed in [true, false, true, false] {
        press(&mut harness, at, pressed, Modifiers::NONE);
    }
    harness.run_steps(3);
    let rect = rect(&harness, "Bar 4,");
    assert!(rect.width() > 1000.0, "{rect:?}");
}

#[test]
fn close_up_beats_can_be_selected() {
    let mut harness = harness(|desk| near(desk, 3));
    let at = center(&harness, "Bar 2, beat 3");
    click(&mut harness, at, Modifiers::NONE);
    assert_eq!(bars(&harness), Some((1, 1)));
    assert_eq!(harness.state().view.selection.beat, Some(2));
}

#[test]
fn a_screen_reader_can_select_without_a_pointer() {
    let mut harness = harness(|_| {});
    harness.get_by_label_contains("Bar 8,").click_accesskit();
    harness.run();
    assert_eq!(bars(&harness), Some((7, 7)));
}

#[test]
fn the_wheel_moves_bars_sideways_and_parts_up() {
    let mut harness = harness(|desk| near(desk, 6));
    let at = center(&harness, "Bar 3,");
    harness.event(egui::Event::PointerMoved(at));
    harness.step();
    let wheel = |delta| egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta,
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Trackpad,
        modifiers: Modifiers::NONE,
    };
    harness.event(wheel(Vec2::new(-300.0, 0.0)));
    harness.run_steps(20);
    let camera = harness.state().view.camera;
    assert!(camera.left_quarters > 0.5, "{camera:?}");
    harness.event(wheel(Vec2::new(0.0, -120.0)));
    harness.run_steps(20);
    assert!(harness.state().view.camera.top > 20.0);
    assert_eq!(harness.state().view.camera.left_quarters, camera.left_quarters);
}

#[test]
fn the_frame_of_the_strip_can_be_dragged() {
    let mut harness = harness(|desk| near(desk, 8));
    let before = harness.state().view.camera.left_quarters;
    // The strip lies at the top; the frame begins at its left edge.
    let from = Pos2::new(190.0, 20.0);
    press(&mut harness, from, true, Modifiers::NONE);
    for step in 1..=4 {
        harness.event(egui::Event::PointerMoved(from + Vec2::new(step as f32 * 30.0, 0.0)));
        harness.step();
    }
    press(&mut harness, from + Vec2::new(120.0, 0.0), false, Modifiers::NONE);
    let after = harness.state().view.camera.left_quarters;
    assert!(after > before + 10.0, "{before} {after}");
}

#[test]
fn hovering_explains_a_part_in_one_line() {
    let mut harness = harness(|_| {});
    let movement = harness.state().basis.score.movements[0].clone();
    let note = movement.music[1].notes[0].clone();
    let x = center(&harness, &format!("Bar {},", note.bar.0 + 1)).x;
    let y = harness.get_by_label("Flutes 1.2").rect().center().y;
    harness.hover_at(Pos2::new(x, y));
    harness.run_steps(20);
    let expected = format!("Flutes 1.2, bar {}:", note.bar.0 + 1);
    let found = harness.query_all_by_label_contains(&expected).next();
    assert!(found.is_some(), "no \"{expected}\"");
}

#[test]
fn the_legend_explains_every_sign_and_closes() {
    let mut harness = harness(|desk| desk.view.legend = true);
    for words in ["plucked or struck", "in a frame: muted or stopped", "proposed: open strokes"] {
        harness.get_by_label(words);
    }
    harness.get_by_label("Close").click();
    harness.run_steps(3);
    assert!(!harness.state().view.legend);
}

#[test]
fn nothing_breaks_without_bars_tracks_or_width() {
    let empty = |desk: &mut Desk| desk.basis.score.movements.clear();
    harness(empty);
    let no_tracks = |desk: &mut Desk| desk.tracks = barloom_analysis::Tracks::default();
    harness(no_tracks).get_by_label_contains("Bar 1,");
    let no_bars = |desk: &mut Desk| {
        let movement = barloom_core::score::Movement::default();
        desk.basis = Basis::of(barloom_core::score::Score {
            movements: vec![std::sync::Arc::new(movement)],
            ..Default::default()
        });
        desk.tracks = sample::tracks(&desk.basis);
    };
    harness(no_bars);
    for whole in [false, true] {
        let mut narrow = harness(|desk| desk.view.camera.whole = whole);
        narrow.set_size(Vec2::new(60.0, 30.0));
        narrow.run();
    }
}

/// Where a bar stands that is played several times, from left to right.
fn place(harness: &Harness<'_, Desk>, bar: u32, nth: usize) -> egui::Rect {
    let label = format!("Bar {bar},");
    let mut nodes = harness.query_all_by_label_contains(&label);
    nodes.nth(nth).unwrap_or_else(|| panic!("bar {bar} does not stand there {nth} times")).rect()
}

/// Bars 13 to 20 of the first movement are repeated.
#[test]
fn in_played_order_repeated_bars_stand_again_and_are_the_same_bars() {
    let mut harness = harness(|desk| desk.view.played_order = true);
    let first = place(&harness, 13, 0);
    let again = place(&harness, 13, 1);
    let before = place(&harness, 20, 0);
    let after = rect(&harness, "Bar 21,");
    let label = |nth| {
        let node = harness.query_all_by_label_contains("Bar 13,").nth(nth);
        node.and_then(|node| node.accesskit_node().label()).unwrap_or_default()
    };
    assert!(!label(0).contains("time") && label(1).contains(", 2nd time"), "{}", label(1));
    assert!(first.left() < before.left() && (again.left() - before.right()).abs() < 1.0);
    assert!(after.left() > place(&harness, 20, 1).left());
    assert_eq!(harness.query_all_by_label_contains("Bar 12,").count(), 1);
    // Either place selects the written bar, and both are shown as selected.
    click(&mut harness, again.center(), Modifiers::NONE);
    assert_eq!(bars(&harness), Some((12, 12)));
    harness.run();
    let both = harness.query_all_by_label_contains("Bar 13,");
    let selected =
        both.filter(|node| node.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True));
    assert_eq!(selected.count(), 2);
    // Seen close, the first and the second time of a bar are in view side by side.
    let axis = harness.state().grid.axis().clone();
    let width = harness.state().grid.width();
    let seam = axis.from_written(axis.columns().bar(BarIndex(19)).1 - 0.01);
    let mut camera = camera::zoom_by(harness.state().view.camera, &axis, width, 8.0, 0.0);
    camera.left_quarters = seam - 4.0;
    harness.state_mut().view.camera = camera.held(&axis, width);
    harness.run();
    let (end, start) = (rect(&harness, "Bar 20,"), rect(&harness, "2nd time"));
    assert!((start.left() - end.right()).abs() < 1.0, "{end:?} {start:?}");
}

#[test]
fn the_frame_of_the_strip_and_a_drag_keep_to_written_bars_in_played_order() {
    let mut harness = harness(|desk| desk.view.played_order = true);
    let y = harness.get_by_label("Piccolo").rect().center().y;
    let from = Pos2::new(place(&harness, 19, 1).center().x, y);
    let to = Pos2::new(place(&harness, 22, 0).center().x, y);
    press(&mut harness, from, true, Modifiers::NONE);
    for share in [0.3, 0.6, 1.0] {
        harness.event(egui::Event::PointerMoved(from + (to - from) * share));
        harness.step();
    }
    press(&mut harness, to, false, Modifiers::NONE);
    harness.step();
    assert_eq!(bars(&harness), Some((18, 21)));
}
