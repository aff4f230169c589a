//! Commands and fields carried out on a whole desk, without a window.

mod looks;
mod passages;
mod works;

use super::*;
use crate::model::command::{Command, resolve};
use crate::model::status::Status;
use crate::model::view_state::{ListKind, Selection};
use barloom_analysis::settings::Settings as Thresholds;
use barloom_core::bar::BarIndex;
use barloom_core::pattern::Pattern;
use barloom_core::study::{Item, Sign};
use barloom_core::work::Work;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::time::Instant;

const GRID: Grid = Grid { width: 900.0 };

/// A desk with the sample work open, its second movement shown.
struct Bench {
    desk: Desk,
    effects: Vec<Effect>,
}

fn now() -> Now {
    Now { unix: 1_700_000_000, instant: Instant::now() }
}

impl Bench {
    fn new() -> Self {
        let desk = Desk::new(Status::default(), Recent::default(), IdMaker::seeded(9));
        let mut bench = Self { desk, effects: Vec::new() };
        bench.effects = bench.desk.opened(work(), Vec::new(), None, now());
        bench.analyze();
        bench.act(Action::GoTo { movement: 1, bar: None });
        bench
    }

    fn analyze(&mut self) {
        let never = AtomicBool::new(false);
        let tracks = Tracks::of(self.desk.basis(), &Thresholds::default(), &never).unwrap();
        self.desk.analyzed(tracks);
        self.desk.refresh(now());
    }

    fn act(&mut self, action: Action) {
        self.effects = self.desk.act(action, GRID, now());
        self.desk.refresh(now());
    }

    /// Runs a command as its key would.
    fn run(&mut self, command: Command) {
        let action = resolve(command, &self.desk.env());
        self.act(action.unwrap_or_else(|| panic!("{command:?} is not available")));
    }

    fn is_available(&self, command: Command) -> bool {
        resolve(command, &self.desk.env()).is_some()
    }

    fn type_in(&mut self, command: Command, text: &str) {
        self.run(command);
        assert!(matches!(self.effects[..], [Effect::BeginField(_)]), "{:?}", self.effects);
        self.act(Action::Answer(text.to_owned()));
    }

    fn select(&mut self, from: u32, to: u32) {
        let bars = Some((BarIndex(from), BarIndex(to)));
        self.act(Action::Select(Selection { bars, ..Selection::default() }));
    }

    /// The patterns chosen in the movement shown: bar index and text.
    fn chosen(&self) -> Vec<(u32, String)> {
        let id = self.desk.env().movement_id().unwrap();
        let beatings = self.desk.study().beatings_of(id);
        beatings.into_iter().map(|(_, b)| (b.bar.0, b.pattern.to_string())).collect()
    }

    fn failure(&self) -> &str {
        match &self.desk.status.notice {
            Some(notice) if notice.failed => &notice.text,
            other => panic!("nothing failed: {other:?}"),
        }
    }
}

fn work() -> Work {
    crate::testing::work()
}

fn texts(patterns: &[(u32, &str)]) -> Vec<(u32, String)> {
    patterns.iter().map(|(bar, text)| (*bar, (*text).to_owned())).collect()
}

#[test]
fn digits_set_the_beating_and_backspace_takes_it_back() {
    let mut bench = Bench::new();
    assert!(!bench.is_available(Command::Beats(3)), "a digit without a selected bar");
    bench.select(2, 3);
    bench.run(Command::Beats(3));
    assert_eq!(bench.chosen(), texts(&[(2, "3"), (3, "3")]));
    assert!(!bench.effects.contains(&Effect::Analyze), "a beating reran the analyses");
    bench.run(Command::Undo);
    assert_eq!(bench.chosen(), []);
    bench.run(Command::Redo);
    bench.select(3, 5);
    bench.run(Command::Proposal);
    assert_eq!(bench.chosen(), texts(&[(2, "3")]));
    assert!(!bench.is_available(Command::Proposal), "nothing is chosen there any more");
}

#[test]
fn the_field_takes_every_other_beating() {
    let mut bench = Bench::new();
    bench.select(0, 0);
    for text in ["12", "3+3", "2/3", "1(half)"] {
        bench.type_in(Command::Beating, text);
        assert_eq!(bench.chosen(), texts(&[(0, text)]));
    }
    bench.type_in(Command::Beating, "3 bars of 3");
    let joined = "3 bars of 3";
    assert_eq!(bench.chosen(), texts(&[(0, joined), (1, joined), (2, joined)]));
    bench.select(1, 1);
    bench.run(Command::Beats(2));
    assert_eq!(bench.chosen(), texts(&[(1, "2")]), "what is left of a broken pattern goes");
    bench.select(0, 3);
    bench.type_in(Command::Beating, "3 bars of 3");
    assert!(bench.failure().contains("4 bars do not divide"), "{}", bench.failure());
    bench.act(Action::Answer(String::from("seven")));
    assert!(bench.failure().contains("not a way of beating"), "{}", bench.failure());
    assert_eq!(bench.desk.view.purpose, Purpose::Beating, "the entry goes on after a mistake");
}

#[test]
fn proposals_are_accepted_and_copied() {
    let mut bench = Bench::new();
    bench.select(0, 1);
    bench.run(Command::Accept);
    assert_eq!(bench.chosen().len(), 2);
    assert!(!bench.is_available(Command::Accept));
    bench.run(Command::Beats(6));
    bench.run(Command::CopyBeating);
    // All eight bars of 6/8, none of 7/8.
    assert_eq!(bench.chosen(), (0..8).map(|bar| (bar, String::from("6"))).collect::<Vec<_>>());
    bench.run(Command::AcceptAll);
    assert_eq!(bench.chosen().len(), 16);
    let first = bench.desk.study().movements[0].id;
    assert_eq!(bench.desk.study().beatings_of(first).len(), 8);
    assert!(!bench.is_available(Command::AcceptAll));
}

#[test]
fn arrows_walk_and_shift_extends() {
    let mut bench = Bench::new();
    bench.run(Command::NextBar);
    bench.run(Command::NextBar);
    bench.run(Command::ExtendNext);
    bench.run(Command::ExtendNext);
    let span = |bench: &Bench| bench.desk.view.selection.span().map(|(a, b)| (a.0, b.0));
    assert_eq!(span(&bench), Some((1, 3)));
    bench.run(Command::ExtendPrevious);
    assert_eq!(span(&bench), Some((1, 2)));
    bench.run(Command::NextPart);
    bench.run(Command::ExtendDown);
    assert_eq!(bench.desk.env().parts().count(), 2);
    bench.run(Command::LastBar);
    bench.run(Command::NextBar);
    assert_eq!(span(&bench), Some((15, 15)), "the last bar is the last");
    bench.run(Command::PreviousMovement);
    assert_eq!((bench.desk.view.movement, span(&bench)), (0, None));
    assert!(!bench.is_available(Command::PreviousMovement));
}

#[test]
fn beats_are_walked_over_bar_lines() {
    let mut bench = Bench::new();
    bench.select(0, 0);
    bench.run(Command::Beats(2));
    bench.run(Command::NextBeat);
    bench.run(Command::NextBeat);
    assert_eq!(bench.desk.view.selection.beat, Some(1));
    let place = bench.desk.env().place().unwrap();
    assert_eq!((place.bar.0, place.offset.to_string()), (0, String::from("3/2")));
    bench.run(Command::NextBeat);
    assert_eq!(bench.desk.view.selection.beat, Some(0));
    assert_eq!(bench.desk.env().place().unwrap().bar.0, 1);
    bench.run(Command::PreviousBeat);
    assert_eq!(bench.desk.env().place(), Some(place));
}

#[test]
fn cues_come_from_entrances_and_go_again() {
    let mut bench = Bench::new();
    // The horn enters in bar 5 after four bars of rest.
    bench.select(3, 5);
    bench.act(Action::Select(Selection {
        parts: [barloom_core::part::PartIdx(1)].into(),
        ..bench.desk.view.selection.clone()
    }));
    bench.run(Command::Cue);
    let cues = |bench: &Bench| -> Vec<(u32, String, bool)> {
        let cues = bench.desk.study().cues_by_place();
        cues.into_iter().map(|(_, c)| (c.at.bar.0, c.part.0.clone(), c.wanted)).collect()
    };
    assert_eq!(cues(&bench), [(4, String::from("horn"), true)]);
    bench.run(Command::Cue);
    assert_eq!(cues(&bench), []);
}

#[test]
fn proposed_cues_are_accepted_where_they_are_needed() {
    let mut bench = Bench::new();
    let needed: usize = {
        let movements = &bench.desk.tracks.movements;
        movements.iter().flat_map(|m| &m.entrances).filter(|e| e.need > 0).count()
    };
    assert!(needed > 0, "the sample has an entrance after a rest");
    bench.run(Command::AcceptAllCues);
    assert_eq!(bench.desk.study().cues().count(), needed);
    assert!(!bench.is_available(Command::AcceptAllCues));
    bench.run(Command::Undo);
    bench.select(12, 13);
    assert!(!bench.is_available(Command::AcceptCues), "nobody enters there");
}

#[test]
fn groups_nest_by_what_they_hold() {
    let mut bench = Bench::new();
    let levels = |bench: &Bench| -> Vec<(u32, u32, u8)> {
        let id = bench.desk.env().movement_id().unwrap();
        let groups = bench.desk.study().groups_of(id);
        groups.into_iter().map(|(_, g)| (g.from.0, g.to.0, g.level)).collect()
    };
    bench.select(0, 7);
    bench.type_in(Command::Group, "A");
    bench.select(0, 3);
    bench.type_in(Command::Group, "a");
    bench.select(4, 7);
    bench.type_in(Command::Group, "");
    assert_eq!(levels(&bench), [(0, 7, 2), (0, 3, 1), (4, 7, 1)]);
    bench.type_in(Command::Group, "again");
    assert!(bench.failure().contains("a group already"));
    bench.act(Action::Back);
    let env = bench.desk.env();
    let sums = barloom_analysis::plan::groups_of(env.basis, env.tracks, env.study, 1);
    assert_eq!(sums[0].sum, "4+4");
}

#[test]
fn words_and_signs_are_marks_of_the_layer_in_use() {
    let mut bench = Bench::new();
    bench.select(2, 4);
    let layers: Vec<_> = bench.desk.study().layers().iter().map(|(e, _)| e.id).collect();
    bench.act(Action::UseLayer(layers[1]));
    bench.type_in(Command::Words, "keep 1 low");
    bench.run(Command::ChooseSign);
    bench.run(Command::Sign(Sign::Breath));
    assert!(!bench.desk.view.choosing_sign);
    // In the field, a quotation mark begins words too.
    bench.run(Command::Find);
    bench.act(Action::Answer(String::from("\"darker\"")));
    let marks = bench.desk.study().marks_of(layers[1]);
    let words: Vec<_> = marks.iter().map(|(_, m)| (m.sign, m.text.as_str())).collect();
    assert_eq!(words, [(Sign::Text, "keep 1 low"), (Sign::Breath, ""), (Sign::Text, "darker")]);
    assert!(marks.iter().all(|(_, m)| m.from.bar.0 == 2 && m.to == Some(BarIndex(4))));
    bench.run(Command::RemoveMarks);
    assert_eq!(bench.desk.study().marks().count(), 0);
    bench.run(Command::Undo);
    assert_eq!(bench.desk.study().marks().count(), 3);
}

#[test]
fn corrections_and_tempi_change_the_basis_and_are_undone() {
    let mut bench = Bench::new();
    bench.select(8, 8);
    bench.type_in(Command::Renumber, "101");
    assert!(bench.effects.contains(&Effect::Analyze));
    let label = |bench: &Bench| bench.desk.env().movement().unwrap().bar_name(BarIndex(9));
    assert_eq!(label(&bench), "102");
    bench.type_in(Command::Rehearsal, "E");
    let mark = |bench: &Bench| {
        let movement = bench.desk.env().movement().unwrap();
        movement.bars.get(BarIndex(8)).unwrap().rehearsal.clone()
    };
    assert_eq!(mark(&bench).as_deref(), Some("E"));
    bench.type_in(Command::Tempo, "quarter = 30");
    bench.analyze();
    let tempo = &bench.desk.env().tracks().unwrap().tempo;
    assert!((tempo.bar_length(BarIndex(8)) - 7.0).abs() < 1e-6, "3.5 quarters at 30 a minute");
    bench.type_in(Command::Tempo, "quarter = 0");
    assert!(bench.failure().contains("not a tempo"));
    bench.act(Action::Back);
    for _ in 0..3 {
        bench.run(Command::Undo);
    }
    assert_eq!((label(&bench), mark(&bench).as_deref()), (String::from("10"), Some("D")));
    let rows = crate::model::lists::rows(
        ListKind::Decisions,
        crate::model::lists::Sorting::ByBar,
        &bench.desk.env(),
    );
    assert!(rows.is_empty(), "{rows:?}");
}

#[test]
fn cuts_and_pauses_change_the_performed_time() {
    let mut bench = Bench::new();
    let played = |bench: &Bench| bench.desk.env().tracks().unwrap().tempo.played_seconds;
    let before = played(&bench);
    bench.select(2, 3);
    bench.run(Command::Cut);
    bench.analyze();
    let bars = 2.0 * bench.desk.env().tracks().unwrap().tempo.bar_length(BarIndex(2));
    assert!((before - bars - played(&bench)).abs() < 1e-6);
    bench.select(7, 7);
    bench.type_in(Command::Pause, "2.5");
    bench.analyze();
    assert!((before - bars + 2.5 - played(&bench)).abs() < 1e-6);
    assert!(!bench.is_available(Command::Repeat), "no repeat ends here");
    bench.select(3, 3);
    bench.run(Command::Cut);
    bench.analyze();
    assert!((before + 2.5 - played(&bench)).abs() < 1e-6, "the cut is open again");
}

#[test]
fn escape_goes_back_one_step_at_a_time() {
    let mut bench = Bench::new();
    bench.select(2, 2);
    bench.run(Command::NextPart);
    bench.run(Command::Lists);
    bench.run(Command::Legend);
    bench.run(Command::Words);
    let state = |bench: &Bench| {
        let view = &bench.desk.view;
        (
            view.purpose != Purpose::Find,
            view.legend,
            view.list.is_some(),
            !view.selection.parts.is_empty(),
            view.selection.bars.is_some(),
        )
    };
    assert_eq!(state(&bench), (true, true, true, true, true));
    for expected in [
        (false, true, true, true, true),
        (false, false, true, true, true),
        (false, false, false, true, true),
        (false, false, false, false, true),
        (false, false, false, false, false),
    ] {
        bench.run(Command::Back);
        assert_eq!(state(&bench), expected);
    }
}

#[test]
fn tracks_of_an_older_basis_are_dropped() {
    let mut bench = Bench::new();
    let old = (*bench.desk.tracks).clone();
    bench.select(3, 3);
    bench.type_in(Command::Tempo, "40");
    assert!(bench.desk.status.analyzing);
    bench.desk.analyzed(old);
    assert!(bench.desk.status.analyzing, "stale tracks were taken");
    bench.analyze();
    assert!(!bench.desk.status.analyzing);
}

#[test]
fn a_burst_of_typing_is_one_step() {
    let mut bench = Bench::new();
    bench.select(0, 0);
    bench.type_in(Command::Words, "a");
    let (id, mark) = {
        let (entry, mark) = bench.desk.study().marks().next().unwrap();
        (entry.id, mark.clone())
    };
    for text in ["ab", "abc", "abcd"] {
        let mark = barloom_core::study::Mark { text: text.to_owned(), ..mark.clone() };
        let draft = crate::model::draft::Draft::Change(id, Item::Mark(mark));
        let change = crate::model::draft::Change::one("change mark", draft).within(5);
        bench.act(Action::Change(change));
    }
    bench.run(Command::Undo);
    assert_eq!(bench.desk.study().marks().next().unwrap().1.text, "a");
}

#[test]
fn the_beating_in_force_is_the_chosen_one() {
    let mut bench = Bench::new();
    bench.select(4, 4);
    bench.run(Command::Beats(6));
    let env = bench.desk.env();
    let proposals = &env.tracks().unwrap().beating;
    let in_force = |bar| {
        let id = env.movement_id().unwrap();
        crate::model::make::effective(env.study, id, BarIndex(bar), proposals).unwrap()
    };
    assert_eq!(in_force(4), (Pattern::Beats(6), 0, true));
    let (pattern, _, chosen) = in_force(5);
    assert_eq!((pattern, chosen), (proposals[5].pattern.clone(), false));
}

#[test]
fn one_comes_back_to_where_one_was() {
    let mut desk = Desk::new(Status::default(), Recent::default(), IdMaker::seeded(9));
    let paths = vec![PathBuf::from("mill.musicxml")];
    desk.opened(work(), paths.clone(), None, now());
    desk.act(Action::GoTo { movement: 1, bar: Some(BarIndex(6)) }, GRID, now());
    desk.act(Action::Close, GRID, now());
    assert!(desk.document.is_none());
    desk.opened(work(), paths, None, now());
    desk.refresh(now());
    assert_eq!(desk.view.movement, 1);
    assert_eq!(desk.view.selection.span(), Some((BarIndex(6), BarIndex(6))));
}

#[test]
fn only_new_thresholds_rerun_the_analyses() {
    let mut bench = Bench::new();
    let mut settings = bench.desk.status.settings.clone();
    settings.contrast = true;
    bench.act(Action::Settings(Box::new(settings.clone())));
    assert!(!bench.effects.contains(&Effect::Analyze));
    let row = crate::settings::SECTIONS.iter().flat_map(|section| section.rows).next().unwrap();
    settings.thresholds.put(row, 30.0);
    bench.act(Action::Settings(Box::new(settings)));
    assert!(bench.effects.contains(&Effect::Analyze) && bench.desk.status.analyzing);
}
