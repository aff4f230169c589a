//! A comparison as it is shown and printed: sentences, two lists, and a strip of the bars in which
//! every part has a cell for each passage.

use super::{Comparison, Passage, say};
use crate::Tracks;
use crate::say::capital;
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::part::PartIdx;

/// What a part does in a bar.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Cell {
    /// It rests, or there is no such bar.
    #[default]
    Silent,
    /// It plays.
    Plays,
    /// It plays the line.
    Line,
}

/// Something that stayed or changed.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct SheetRow {
    /// What it is about: "Accompaniment".
    pub head: String,
    /// The bars of the first passage: "bars 5–8"; empty if none.
    pub first: String,
    /// The bars of the second passage.
    pub second: String,
    /// In words.
    pub text: String,
    /// What was measured.
    pub evidence: String,
    /// The first pair of bars it is said of, and the last one.
    pub pairs: (usize, usize),
}

/// Two passages on a sheet.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Sheet {
    /// The title of the work.
    pub title: String,
    /// "I, bars 1–8".
    pub first: String,
    /// The second passage in the same way.
    pub second: String,
    /// The whole in a few sentences.
    pub summary: Vec<String>,
    /// What stayed.
    pub stayed: Vec<SheetRow>,
    /// What changed.
    pub changed: Vec<SheetRow>,
    /// The names of the bars of each pair; empty where one is missing.
    pub bars: Vec<(String, String)>,
    /// For each pair how many aspects changed.
    pub n_changed: Vec<usize>,
    /// The parts that play in either, in score order: name, and a cell for each pair and passage.
    pub parts: Vec<(String, Vec<(Cell, Cell)>)>,
}

/// The sheet of a comparison.
pub fn sheet(basis: &Basis, tracks: &Tracks, comparison: &Comparison) -> Sheet {
    let row = |remark: &super::Remark| {
        let pairs = (remark.from, remark.to);
        let head = remark.aspect.map_or("bars", super::Aspect::name);
        SheetRow {
            head: capital(head),
            first: say::place(basis, comparison, pairs, false),
            second: say::place(basis, comparison, pairs, true),
            text: remark.text.clone(),
            evidence: remark.evidence.clone(),
            pairs,
        }
    };
    let of = |stayed: bool| {
        comparison.remarks.iter().filter(|r| r.stayed == stayed).map(row).collect::<Vec<_>>()
    };
    let name = |passage: Passage, bar: Option<BarIndex>| {
        let movement = basis.score.movements.get(passage.movement);
        movement.zip(bar).map_or_else(String::new, |(movement, bar)| movement.bar_name(bar))
    };
    let bars = comparison
        .bars
        .iter()
        .map(|pair| (name(comparison.first, pair.first), name(comparison.second, pair.second)));
    Sheet {
        title: basis.score.title.clone(),
        first: capital(&say::passage(basis, comparison.first)),
        second: capital(&say::passage(basis, comparison.second)),
        summary: comparison.summary.clone(),
        stayed: of(true),
        changed: of(false),
        bars: bars.collect(),
        n_changed: comparison.bars.iter().map(|pair| pair.changed.len()).collect(),
        parts: parts(basis, tracks, comparison),
    }
}

fn parts(
    basis: &Basis,
    tracks: &Tracks,
    comparison: &Comparison,
) -> Vec<(String, Vec<(Cell, Cell)>)> {
    let cell = |passage: Passage, bar: Option<BarIndex>, line: &[PartIdx], part: PartIdx| {
        let playing = tracks.movements.get(passage.movement).map(|tracks| &tracks.playing);
        match bar.zip(playing) {
            Some((bar, playing)) if playing.sounds(part, bar) => {
                if line.contains(&part) {
                    Cell::Line
                } else {
                    Cell::Plays
                }
            }
            _ => Cell::Silent,
        }
    };
    let row = |(part, head): (PartIdx, &barloom_core::part::Part)| {
        let cells: Vec<(Cell, Cell)> = comparison
            .bars
            .iter()
            .map(|pair| {
                let first = cell(comparison.first, pair.first, &pair.first_line, part);
                (first, cell(comparison.second, pair.second, &pair.second_line, part))
            })
            .collect();
        let plays = cells.iter().any(|cells| *cells != (Cell::Silent, Cell::Silent));
        plays.then(|| (head.name.clone(), cells))
    };
    basis.score.parts().filter_map(row).collect()
}
