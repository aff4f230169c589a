//! Files, leaving, and the movements of a work.

use super::*;

#[test]
fn leaving_with_changes_asks_and_saving_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = Bench::new();
    bench.run(Command::Quit);
    assert!(bench.effects.contains(&Effect::Quit), "nothing was changed");
    let mut bench = Bench::new();
    bench.select(0, 0);
    bench.run(Command::Beats(2));
    assert!(bench.desk.status.unsaved);
    bench.run(Command::Quit);
    assert_eq!(bench.effects, []);
    let question = bench.desk.status.question.clone().unwrap();
    assert!(question.text.contains("not saved"), "{}", question.text);
    bench.act(Action::SaveAndLeave);
    assert!(matches!(bench.effects[..], [Effect::ChooseSavePath(_)]), "{:?}", bench.effects);
    let path = folder.path().join("mill.barloom");
    bench.act(Action::SaveAs(Some(path.clone())));
    let expected = Effect::Save { path: Some(path.clone()), chosen: true };
    assert_eq!(bench.effects, [expected]);
    let job = bench.desk.document.as_mut().unwrap().snapshot(Some(path.clone())).unwrap();
    let effects = bench.desk.saved(job.run(), now());
    assert!(effects.contains(&Effect::Quit), "{effects:?}");
    assert!(path.is_file());
    assert_eq!(bench.desk.recent.files[0].paths, [path]);
}

#[test]
fn a_file_that_exists_is_not_replaced_without_asking() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("there.barloom");
    barloom_core::store::replace(&path, b"something").unwrap();
    let mut bench = Bench::new();
    bench.act(Action::SaveAs(Some(path.clone())));
    assert_eq!(bench.effects, []);
    let question = bench.desk.status.question.clone().unwrap();
    assert!(question.answers.iter().any(|(_, action)| *action == Action::SaveOver(path.clone())));
}

#[test]
fn without_a_dialog_the_path_is_asked_for_in_the_field() {
    let mut bench = Bench::new();
    let chosen = |paths: &[&str], at_once| Chosen {
        purpose: Purpose::OpenPath,
        add: false,
        paths: paths.iter().map(PathBuf::from).collect(),
        at_once,
    };
    assert_eq!(bench.desk.chosen(chosen(&[], false)), [], "closed by hand");
    let effects = bench.desk.chosen(chosen(&[], true));
    assert_eq!(effects, [Effect::BeginField(String::new())]);
    bench.act(Action::Answer(String::from("a/suite.mxl")));
    let paths = vec![Path::new("a/suite.mxl").to_path_buf()];
    assert!(bench.effects.contains(&Effect::Open(paths)), "{:?}", bench.effects);
}

#[test]
fn typed_movements_come_go_and_change_with_undo() {
    let mut bench = Bench::new();
    let n_movements = |bench: &Bench| bench.desk.basis().score.movements.len();
    let n_bars = |bench: &Bench, idx: usize| bench.desk.basis().score.movements[idx].bars.len();
    bench.act(Action::PutBarMap { source: None, text: String::from("title: Night\n8 x 4/4") });
    assert_eq!((n_movements(&bench), n_bars(&bench, 2)), (3, 8));
    assert!(bench.effects.contains(&Effect::Analyze));
    bench.act(Action::PutBarMap { source: Some(1), text: String::from("12 x 3/4") });
    assert_eq!((n_movements(&bench), n_bars(&bench, 2)), (3, 12));
    bench.act(Action::GoTo { movement: 2, bar: Some(BarIndex(3)) });
    bench.analyze();
    bench.run(Command::Beats(1));
    assert_eq!(bench.chosen(), texts(&[(3, "1")]));
    bench.run(Command::Undo);
    bench.run(Command::Undo);
    assert_eq!(n_bars(&bench, 2), 8);
    bench.run(Command::Undo);
    assert_eq!(n_movements(&bench), 2);
    bench.run(Command::Redo);
    assert_eq!((n_movements(&bench), n_bars(&bench, 2)), (3, 8));
    bench.act(Action::PutBarMap { source: None, text: String::from("8 x 4") });
    assert!(bench.failure().contains("line 1"), "{}", bench.failure());
}

#[test]
fn a_work_can_begin_with_a_bar_map_alone() {
    let mut desk = Desk::new(Status::default(), Recent::default(), IdMaker::seeded(9));
    let text = String::from("title: Night\n8 x 4/4, 3 x 7/8 (2+2+3)");
    let effects = desk.act(Action::PutBarMap { source: None, text }, GRID, now());
    assert!(effects.contains(&Effect::Analyze));
    assert_eq!(desk.basis().score.movements[0].bars.len(), 11);
}

#[test]
fn movements_are_split_joined_and_put_in_another_order() {
    use barloom_core::arrange::{join_edit, reorder_edit, split_edit};
    let mut bench = Bench::new();
    bench.select(9, 9);
    bench.run(Command::Beats(2));
    let raw = |edit| {
        let draft = crate::model::draft::Draft::Raw(edit);
        Action::Change(crate::model::draft::Change::one("arrange", draft))
    };
    let second = bench.desk.study().movements[1].id;
    let split = split_edit(bench.desk.study(), second, BarIndex(8), "Tail").unwrap();
    bench.act(raw(split));
    let titles = |bench: &Bench| -> Vec<String> {
        bench.desk.basis().score.movements.iter().map(|m| m.title.clone()).collect()
    };
    assert_eq!(titles(&bench), ["Low water", "Lock gates", "Tail"]);
    bench.act(Action::GoTo { movement: 2, bar: None });
    assert_eq!(bench.chosen(), texts(&[(1, "2")]), "the beating went with its bar");
    let ids: Vec<_> = bench.desk.study().movements.iter().rev().map(|row| row.id).collect();
    bench.act(raw(reorder_edit(bench.desk.study(), &ids).unwrap()));
    assert_eq!(titles(&bench), ["Tail", "Lock gates", "Low water"]);
    bench.run(Command::Undo);
    let tail = bench.desk.study().movements[2].id;
    bench.act(raw(join_edit(bench.desk.study(), tail).unwrap()));
    assert_eq!(titles(&bench), ["Low water", "Lock gates"]);
    bench.act(Action::GoTo { movement: 1, bar: None });
    assert_eq!(bench.chosen(), texts(&[(9, "2")]));
}
