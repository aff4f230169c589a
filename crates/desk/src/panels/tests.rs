//! Panels found by their accessible names, without a window; what they ask for is looked at, not
//! carried out.

use super::*;
use crate::ctx::Queue;
use crate::model::action::Action;
use crate::model::draft::{Change, Draft, Stamp, stamp};
use crate::model::field::Purpose;
use crate::model::make;
use crate::model::status::{FoundJournal, RecentRow, Status};
use crate::model::view_state::{ListKind, Selection, ViewState};
use crate::theme::{self, Theme};
use barloom_analysis::{Tracks, settings};
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::pattern::Pattern;
use barloom_core::study::{IdMaker, Sign, Study};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use std::sync::atomic::AtomicBool;

/// Everything a frame needs.
struct Scene {
    basis: Basis,
    tracks: Tracks,
    study: Study,
    view: ViewState,
    status: Status,
    theme: Theme,
    queue: Queue,
    panels: Panels,
    ready: bool,
}

impl Scene {
    fn new() -> Self {
        let basis = crate::testing::basis();
        let never = AtomicBool::new(false);
        let tracks = Tracks::of(&basis, &settings::Settings::default(), &never).unwrap();
        let study = crate::testing::study(&basis);
        let view = ViewState { movement: 1, ..ViewState::default() };
        let status = Status { open: true, ..Status::default() };
        Self {
            basis,
            tracks,
            study,
            view,
            status,
            theme: Theme::new(false, false, 1.0),
            queue: Queue::default(),
            panels: Panels::default(),
            ready: false,
        }
    }

    fn select(&mut self, from: u32, to: u32) {
        let bars = Some((BarIndex(from), BarIndex(to)));
        self.view.selection = Selection { bars, ..Selection::default() };
    }

    fn ctx(&self) -> Ctx<'_> {
        let Self { basis, tracks, study, view, status, theme, queue, .. } = self;
        Ctx { basis, tracks, study, view, status, theme, queue }
    }

    fn apply(
        &mut self,
        change: impl FnOnce(&crate::model::env::Env<'_>) -> Result<Change, String>,
    ) {
        let change = change(&self.ctx().env()).unwrap();
        let mut ids = IdMaker::seeded(self.study.entries().count() as u64 + 7);
        let edit = stamp(change.drafts, &self.study, &mut ids, &Stamp::default());
        self.study.apply(edit).unwrap();
    }
}

fn harness(scene: Scene) -> Harness<'static, Scene> {
    Harness::builder().with_size([1280.0, 1600.0]).build_ui_state(
        |ui: &mut egui::Ui, scene: &mut Scene| {
            if !std::mem::replace(&mut scene.ready, true) {
                theme::install_fonts(ui.ctx());
                scene.theme.apply(ui.ctx());
                // Fonts arrive with the next frame.
                ui.ctx().request_repaint();
                return;
            }
            let mut panels = std::mem::take(&mut scene.panels);
            desk_ui(ui, scene.ctx(), &mut panels);
            scene.panels = panels;
        },
        scene,
    )
}

/// What was asked for since the last time.
fn asked(harness: &mut Harness<'_, Scene>) -> Vec<Action> {
    harness.run_steps(3);
    harness.state().queue.take()
}

#[test]
fn the_start_screen_offers_what_there_is() {
    let mut scene = Scene::new();
    scene.basis = Basis::default();
    scene.status = Status {
        recent: vec![RecentRow {
            paths: vec!["suite.barloom".into()],
            title: String::from("The Tide Mill"),
            when: String::from("2 hours ago"),
        }],
        found: vec![FoundJournal {
            journal: "a.journal".into(),
            words: String::from("3 changes to The Tide Mill were not saved"),
        }],
        ..Status::default()
    };
    let mut harness = harness(scene);
    harness.run_steps(3);
    harness.get_by_label("Open the example suite").click();
    assert_eq!(asked(&mut harness), [Action::OpenExample]);
    harness.get_by_label("The Tide Mill, suite.barloom").click();
    assert_eq!(asked(&mut harness), [Action::Open(vec!["suite.barloom".into()])]);
    harness.get_by_label("Throw them away").click();
    let choice = crate::model::action::Recovery::Discard;
    assert_eq!(asked(&mut harness), [Action::Recover { journal: "a.journal".into(), choice }]);
}

#[test]
fn the_side_panel_tells_the_selection_and_takes_decisions() {
    let mut scene = Scene::new();
    scene.select(4, 4);
    scene.apply(|env| make::beat(env, &Pattern::Beats(3)));
    scene.apply(|env| make::mark(env, Sign::Text, "keep 1 low"));
    scene.apply(|env| make::group(env, "a"));
    let mut harness = harness(scene);
    harness.run_steps(3);
    harness.get_by_label("3, chosen");
    harness.get_by_label("Bar 5");
    let words = harness.get_by_label("Words in bar 5");
    assert_eq!(words.value().as_deref(), Some("keep 1 low"));
    harness.get_by_label("Take away the mark in bar 5").click();
    let actions = asked(&mut harness);
    let [Action::Change(change)] = actions.as_slice() else { panic!("{actions:?}") };
    assert!(matches!(change.drafts[..], [Draft::Remove(_)]));
    harness.get_by_label("As proposed").click();
    let actions = asked(&mut harness);
    let [Action::Change(change)] = actions.as_slice() else { panic!("{actions:?}") };
    assert_eq!(change.label, "return to the proposed beating");
}

#[test]
fn a_list_is_filtered_and_its_rows_jump() {
    let mut scene = Scene::new();
    scene.select(2, 2);
    scene.apply(|env| make::mark(env, Sign::Text, "low"));
    scene.select(6, 7);
    scene.apply(|env| make::mark(env, Sign::Breath, "slower"));
    scene.view.list = Some(ListKind::Marks);
    scene.view.selection = Selection::default();
    let mut harness = harness(scene);
    harness.run_steps(3);
    harness.get_by_label("Filter").focus();
    harness.run_steps(1);
    harness.get_by_label("Filter").type_text("slow");
    harness.run_steps(3);
    assert!(harness.query_by_label("II 3 · Hands · low").is_none());
    harness.get_by_label("II 7–8 · Hands · breath: slower").click();
    let actions = asked(&mut harness);
    assert!(actions.contains(&Action::GoTo { movement: 1, bar: Some(BarIndex(6)) }), "{actions:?}");
}

#[test]
fn every_list_and_page_is_drawn_and_named() {
    for kind in ListKind::ALL {
        let mut scene = Scene::new();
        scene.select(4, 9);
        scene.apply(make::cut);
        scene.view.list = Some(kind);
        let mut harness = harness(scene);
        harness.run_steps(4);
        harness.get_by_label("Close list").click();
        assert_eq!(asked(&mut harness), [Action::List(None)]);
    }
    for side in [SidePage::Keys, SidePage::Settings] {
        let mut scene = Scene::new();
        scene.view.side = side;
        let mut harness = harness(scene);
        harness.run();
    }
}

#[test]
fn the_field_says_what_it_writes_and_answers_with_enter() {
    let mut scene = Scene::new();
    scene.select(4, 4);
    scene.view.purpose = Purpose::Words;
    scene.panels.field.begin(String::new());
    let mut harness = harness(scene);
    harness.run_steps(4);
    harness
        .get_by(|node| node.label().as_deref() == Some("Words") && node.value().is_some())
        .type_text("eyes up");
    harness.run_steps(2);
    harness.key_press(egui::Key::Enter);
    assert_eq!(asked(&mut harness), [Action::Answer(String::from("eyes up"))]);
}

#[test]
fn a_bar_map_is_checked_while_it_is_typed() {
    let mut scene = Scene::new();
    scene.view.list = Some(ListKind::Movements);
    let mut harness = harness(scene);
    harness.run_steps(3);
    harness.get_by_label("Type a bar map…").click();
    harness.run_steps(3);
    // The sample that is there to begin with is a whole map.
    harness.get_by_label("16 bars, 8 parts");
    harness.get_by_label("Bar map").focus();
    harness.run_steps(2);
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    harness.run_steps(1);
    harness.event(egui::Event::Text(String::from("4 x 4")));
    harness.run_steps(3);
    harness.get_by_label_contains("line 1, column");
    assert!(harness.query_by_label("Add the movement").is_none(), "a wrong map can be taken");
    harness.event(egui::Event::Text(String::from("/4, 2 x 3/4")));
    harness.run_steps(3);
    harness.get_by_label("Add the movement").click();
    let text = String::from("4 x 4/4, 2 x 3/4");
    assert_eq!(asked(&mut harness), [Action::PutBarMap { source: None, text }]);
}

#[test]
fn every_threshold_is_found_by_words_and_changed() {
    let mut scene = Scene::new();
    scene.view.side = SidePage::Settings;
    let mut harness = harness(scene);
    harness.run();
    harness.get_by_label("Filter settings").focus();
    harness.run();
    harness.get_by_label("Filter settings").type_text("berlioz string mute on");
    harness.run();
    assert!(harness.query_by_label("Light").is_none());
    harness.get_by_label("A mute on a bowed string (s)");
    assert!(harness.query_by_label_contains("Usual 5: Berlioz").is_some());
    let mut thresholds = crate::settings::Thresholds::default();
    let row = crate::settings::SECTIONS
        .iter()
        .flat_map(|section| section.rows)
        .find(|row| row.key == "changes.string_mute_on_seconds")
        .unwrap();
    thresholds.put(row, 6.0);
    harness.state_mut().status.settings.thresholds = thresholds;
    harness.run();
    harness.get_by_label("The usual values of Time for changes").click();
    harness.run();
    let sent = harness.state().queue.take();
    let Some(Action::Settings(settings)) = sent.last() else { panic!("{sent:?}") };
    assert_eq!(settings.thresholds, crate::settings::Thresholds::default());
}

#[test]
fn passages_side_by_side_can_be_followed() {
    use barloom_analysis::compare::Passage;
    let mut scene = Scene::new();
    let passage = |from, to| Passage { movement: 1, from: BarIndex(from), to: BarIndex(to) };
    let pair = (passage(0, 3), passage(4, 7));
    scene.view.beside = Some(pair);
    let settings = settings::CompareSettings::default();
    let beside = crate::model::passages::beside(&scene.ctx().env(), pair, &settings).unwrap();
    scene.status.beside = Some(std::sync::Arc::new(beside));
    let mut harness = harness(scene);
    harness.run();
    harness.get_by_label("Go to the second passage: II, bars 5\u{2013}8").click();
    harness.run();
    assert_eq!(harness.state().queue.take(), [Action::GoToPassage(pair.1)]);
    // Each row names its bars in both passages.
    harness.get_by_label("Who plays, second: bars 5\u{2013}8");
}
