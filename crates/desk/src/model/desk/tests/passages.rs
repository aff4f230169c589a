//! Passages kept, set side by side and left again.

use super::*;
use barloom_analysis::compare::Passage;

fn select(bench: &mut Bench, from: u32, to: u32) {
    let bars = Some((BarIndex(from), BarIndex(to)));
    bench.act(Action::Select(Selection { bars, ..Selection::default() }));
}

#[test]
fn two_passages_are_set_side_by_side_and_taken_apart() {
    let mut bench = Bench::new();
    assert!(!bench.is_available(Command::KeepPassage) && !bench.is_available(Command::SetBeside));
    select(&mut bench, 0, 3);
    bench.run(Command::KeepPassage);
    assert!(!bench.is_available(Command::SetBeside), "a passage beside itself");
    select(&mut bench, 4, 7);
    bench.run(Command::SetBeside);
    let beside = bench.desk.status.beside.clone().unwrap();
    assert_eq!(beside.comparison.bars.len(), 4);
    // The horn plays in the second passage only.
    assert!(beside.sheet.changed.iter().any(|row| row.text.contains("also Horn")), "{beside:?}");
    bench.run(Command::OtherPassage);
    assert_eq!(bench.desk.view.selection.span(), Some((BarIndex(0), BarIndex(3))));
    bench.run(Command::OtherPassage);
    assert_eq!(bench.desk.view.selection.span(), Some((BarIndex(4), BarIndex(7))));
    bench.run(Command::PrintBeside);
    assert!(matches!(bench.effects.as_slice(), [Effect::ChooseSheetPath(_)]));
    assert!(bench.desk.status.undo.is_none(), "only the view has changed");
    bench.run(Command::Back);
    assert!(bench.desk.status.beside.is_none() && bench.desk.view.beside.is_none());
    assert!(!bench.is_available(Command::OtherPassage));
}

#[test]
fn passages_of_two_movements_are_compared_and_a_list_takes_their_place() {
    let mut bench = Bench::new();
    select(&mut bench, 0, 1);
    bench.run(Command::KeepPassage);
    bench.act(Action::GoTo { movement: 0, bar: Some(BarIndex(2)) });
    bench.run(Command::SetBeside);
    let comparison = bench.desk.status.beside.clone().unwrap().comparison.clone();
    let first = Passage { movement: 1, from: BarIndex(0), to: BarIndex(1) };
    assert_eq!((comparison.first, comparison.second.movement), (first, 0));
    bench.act(Action::List(Some(ListKind::Cues)));
    assert!(bench.desk.status.beside.is_none());
    // What is kept stays until the last step back.
    assert_eq!(bench.desk.view.kept, Some(first));
}
