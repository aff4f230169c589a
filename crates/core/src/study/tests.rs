//! Tests of edits, queries and arrangement.

use super::testing::{AnyEdit, AnyStudy, bare_study, small_study};
use super::*;
use crate::arrange::{join_edit, reorder_edit, split_edit};
use crate::bar::BarAddress;
use quickcheck::quickcheck;

quickcheck! {
    fn an_edit_and_its_inverse_are_identity(study: AnyStudy, edit: AnyEdit) -> bool {
        let before = study.0;
        let mut study = before.clone();
        match study.apply(edit.0) {
            Err(_) => study == before,
            Ok(inverse) => {
                let after = study.clone();
                let redo = study.apply(inverse).unwrap();
                let undone = study == before;
                study.apply(redo).unwrap();
                undone && study == after
            }
        }
    }

    fn splitting_and_joining_again_are_identity(study: AnyStudy, bar: u32) -> bool {
        let mut study = study.0;
        let Some(row) = study.movements.first() else { return true };
        let (id, at) = (row.id, BarIndex(1 + bar % 8));
        // What reaches over the split is cut there, so take it away first.
        let over: Vec<EntryId> = study
            .entries()
            .filter(|e| e.item.touches(id, BarIndex(at.0 - 1)) && e.item.touches(id, at))
            .map(|e| e.id)
            .collect();
        for id in over {
            if study.apply(Edit::Remove(id)).is_err() {
                return true;
            }
        }
        let before = study.clone();
        let split = split_edit(&study, id, at, "Second half").unwrap();
        study.apply(split).unwrap();
        let parts = study.movements.len() == before.movements.len() + 1;
        let second = study.movements[1].id;
        let join = join_edit(&study, second).unwrap();
        study.apply(join).unwrap();
        parts && study == before
    }
}

#[test]
fn locked_layers_protect_their_marks() {
    let mut study = small_study();
    let (mark, layer) = study.marks().map(|(e, m)| (e.clone(), m.layer)).next().unwrap();
    let locked = Layer { locked: true, ..study.layer(layer).unwrap().clone() };
    let entry = Entry { item: Item::Layer(locked), ..study.entry(layer).unwrap().clone() };
    study.apply(Edit::Put(entry)).unwrap();
    assert!(matches!(study.apply(Edit::Remove(mark.id)), Err(EditError::Locked(_))));
    assert!(matches!(study.apply(Edit::Put(mark)), Err(EditError::Locked(_))));
    assert!(matches!(study.apply(Edit::Remove(layer)), Err(EditError::LayerInUse(_, 1))));
}

#[test]
fn several_edits_happen_together_or_not_at_all() {
    let mut study = small_study();
    let before = study.clone();
    let gone = IdMaker::seeded(99).next_id();
    let edits = vec![Edit::Title("Other".into()), Edit::Remove(gone)];
    assert_eq!(study.apply(Edit::All(edits)), Err(EditError::NoEntry(gone)));
    assert_eq!(study, before);
}

#[test]
fn a_second_decision_on_a_subject_replaces_the_first() {
    let mut study = small_study();
    let beating = Beating {
        movement: MovementId(2),
        bar: BarIndex(0),
        pattern: "2".parse().unwrap(),
        nth: 0,
    };
    let entry = study.new_entry(Item::Beating(beating.clone()), &mut IdMaker::seeded(50), 5);
    study.apply(Edit::Put(entry)).unwrap();
    assert_eq!(study.beatings_of(MovementId(2)).len(), 1);
    assert_eq!(study.beating(MovementId(2), BarIndex(0)), Some(&beating));
}

#[test]
fn layers_move_to_any_place() {
    let mut study = bare_study();
    let mut ids = IdMaker::seeded(77);
    for name in ["Third", "Fourth"] {
        let layer = Layer { name: name.into(), shown: true, locked: false };
        let entry = study.new_entry(Item::Layer(layer), &mut ids, 0);
        study.apply(Edit::Put(entry)).unwrap();
    }
    let names = |study: &Study| -> Vec<String> {
        study.layers().iter().map(|(_, layer)| layer.name.clone()).collect()
    };
    assert_eq!(names(&study), ["Hands", "Questions", "Third", "Fourth"]);
    let place = |study: &mut Study, from: usize, to: [Option<usize>; 2]| {
        let layers = study.layers();
        let key = |idx: Option<usize>| idx.map(|idx: usize| layers[idx].0.order.clone());
        let order = OrderKey::between(key(to[0]).as_ref(), key(to[1]).as_ref());
        let moved = Entry { order, ..layers[from].0.clone() };
        study.apply(Edit::Put(moved)).unwrap();
    };
    place(&mut study, 3, [Some(0), Some(1)]);
    assert_eq!(names(&study), ["Hands", "Fourth", "Questions", "Third"]);
    place(&mut study, 0, [Some(3), None]);
    assert_eq!(names(&study), ["Fourth", "Questions", "Third", "Hands"]);
}

#[test]
fn values_outside_their_range_are_refused() {
    let study = bare_study();
    let at = BarAddress::start_of(MovementId(1), BarIndex(0));
    let group = |from, to, level, extension| {
        Item::Group(Group {
            movement: MovementId(1),
            from: BarIndex(from),
            to: BarIndex(to),
            level,
            name: String::new(),
            elision: false,
            extension,
        })
    };
    let pause = |seconds| {
        Item::Order(OrderChoice::Pause { movement: MovementId(1), after: BarIndex(0), seconds })
    };
    let tempo = |per_minute| {
        let value = PlanTempoValue::Beats { unit: crate::time::Quarters::ONE, per_minute };
        Item::Tempo(PlanTempo { at, value })
    };
    let fits = |item: Item| {
        let mut study = study.clone();
        let entry = study.new_entry(item, &mut IdMaker::seeded(5), 0);
        study.apply(Edit::Put(entry)).is_ok()
    };
    assert!(fits(group(0, 8, 6, 9)) && fits(pause(3600.0)) && fits(tempo(1000.0)));
    assert!(!fits(group(3, 2, 1, 0)) && !fits(group(0, 9, 1, 0)) && !fits(group(0, 1, 0, 0)));
    assert!(!fits(group(0, 1, 7, 0)) && !fits(group(0, 1, 1, 3)));
    assert!(!fits(pause(-1.0)) && !fits(pause(f64::NAN)) && !fits(pause(3601.0)));
    assert!(!fits(tempo(0.0)) && !fits(tempo(f64::INFINITY)) && !fits(tempo(f64::NAN)));
}

#[test]
fn reordering_moves_no_entry() {
    let mut study = small_study();
    let entries: Vec<Entry> = study.entries().cloned().collect();
    let order = [MovementId(3), MovementId(1), MovementId(2)];
    let edit = reorder_edit(&study, &order).unwrap();
    study.apply(edit).unwrap();
    assert_eq!(study.movements.iter().map(|row| row.id).collect::<Vec<_>>(), order);
    assert_eq!(study.entries().cloned().collect::<Vec<_>>(), entries);
    assert!(reorder_edit(&study, &order[..2]).is_none());
}
