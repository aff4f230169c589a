//! Places to look at: each oddity stands in one row, and the foot counts what the plan lists.

use super::*;
use crate::model::lists::{Fold, ListRow, Sorting, rows};
use barloom_analysis::plan::{self, PlanOptions};
use barloom_core::diag::{Code, Diagnostic, Place};

impl Bench {
    /// The sample with what a reader found, analyzed.
    fn read_with(found: Vec<Diagnostic>) -> Self {
        let mut bench = Self::new();
        let mut work = work();
        work.diagnostics = found;
        bench.effects = bench.desk.opened(work, Vec::new(), None, now());
        bench.analyze();
        bench
    }

    /// The rows that stand for a place each.
    fn places(&self) -> Vec<ListRow> {
        let rows = rows(ListKind::Diagnostics, Sorting::ByBar, &self.desk.env());
        let is_place = |row: &ListRow| row.goes_to.is_some() && !matches!(row.fold, Fold::Head(_));
        rows.into_iter().filter(is_place).collect()
    }

    fn n_in_plan(&self) -> usize {
        let Desk { tracks, status, .. } = &self.desk;
        let options = PlanOptions::default();
        let (basis, study) = (self.desk.basis(), self.desk.study());
        let plan = plan::build(basis, tracks, study, &status.diagnostics, &options);
        plan.looks.iter().map(|look| look.n).sum()
    }
}

fn found(code: Code, movement: usize, bar: Option<u32>) -> Diagnostic {
    let bar = bar.map(|bar| (BarIndex(bar), (bar + 1).to_string()));
    let place = Place { movement: Some(movement), bar, ..Place::default() };
    Diagnostic { code, place, message: String::from("read so"), hint: None, more: 0 }
}

#[test]
fn what_the_reader_reported_is_not_listed_again() {
    let plain = Bench::read_with(Vec::new());
    let tempo = |bench: &Bench| {
        let of_tempo = |row: &&ListRow| row.text.contains("tempo") || row.text.contains("read so");
        let first = |row: &&ListRow| row.goes_to.is_some_and(|(idx, _)| idx == 0);
        bench.places().iter().filter(of_tempo).filter(first).count()
    };
    // The first movement of the sample states no tempo.
    assert_eq!(tempo(&plain), 1, "{:?}", plain.places());
    let told = Bench::read_with(vec![found(Code::TempoAssumed, 0, None)]);
    assert_eq!(tempo(&told), 1, "{:?}", told.places());
    assert_eq!(told.desk.status.n_looks, plain.desk.status.n_looks);
}

#[test]
fn the_flute_that_stays_muted_is_one_row() {
    let bench = Bench::read_with(Vec::new());
    let of_flute = |row: &ListRow| row.words().contains("con sord.");
    let n = bench.places().into_iter().filter(of_flute).count();
    assert_eq!(n, 1, "{:?}", bench.places());
}

#[test]
fn foot_list_and_plan_count_the_same_places() {
    let hairpins = (0..9).map(|bar| found(Code::HairpinOpen, 1, Some(bar)));
    let mut all: Vec<Diagnostic> = hairpins.collect();
    all.push(found(Code::TempoAssumed, 0, None));
    // Notes are worth knowing, but no places to look at.
    all.push(found(Code::PickupFound, 0, Some(0)));
    for found in [Vec::new(), all] {
        let bench = Bench::read_with(found);
        let listed = bench.places().iter().filter(|row| !row.light).count();
        assert_eq!((bench.desk.status.n_looks, bench.n_in_plan()), (listed, listed));
        assert!(listed > 1);
    }
}
