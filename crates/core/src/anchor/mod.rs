//! Finding every address of a study again when the score has changed.
//!
//! The study's bar tables are compared with those of the score as it is now; entries move with
//! their bars. Nothing is dropped: what lost its bar stands at the nearest place, what lost its
//! subject to another decision becomes a mark, and every doubt is a diagnostic.

mod align;
mod entries;
mod parts;
mod seen;

pub use seen::bars_seen;

use crate::arrange::source_movement;
use crate::bar::{BarIndex, MovementId};
use crate::diag::{Code, Diagnostic, Place};
use crate::part::PartIdx;
use crate::score::Score;
use crate::study::{BarSeen, MovementRow, PartSeen, SourceRow, Span, Study};
use align::{Found, How};
use std::collections::BTreeMap;

/// A study fitted to a score.
#[derive(Clone, Debug)]
pub struct Reanchored {
    /// The study with its tables and addresses brought up to date.
    pub study: Study,
    /// What is doubtful, and what changed at all.
    pub diagnostics: Vec<Diagnostic>,
    /// Whether the study differs from before.
    pub changed: bool,
}

/// Fits a study to the score that its sources give now. `read.sources` and the study's sources
/// agree in number and order.
pub fn reanchor(study: &Study, read: &Score) -> Reanchored {
    let mut diagnostics = Vec::new();
    let before = study;
    let mut renamed = study.clone();
    parts::rename(&mut renamed, &parts::renamed(study, read), &mut diagnostics);
    let study = &renamed;
    let mut fitted = study.clone();
    refresh_sources(&mut fitted, read, &mut diagnostics);
    fitted.parts = parts_seen(read);
    let old_parts = part_places(read, &study.parts);
    let new_parts = part_places(read, &fitted.parts);
    let mut moves = Moves::default();
    let pieces = pieces_of(study);
    for (source, group) in group_by_source(&pieces) {
        fit_source(study, &mut fitted, read, source, &group, &old_parts, &mut moves);
    }
    for row in &mut fitted.movements {
        row.bars = bars_of_row(row, read, &new_parts, study, &mut diagnostics);
    }
    entries::move_all(&mut fitted, &moves, read, &mut diagnostics);
    entries::report_missing_parts(&fitted, read, &mut diagnostics);
    let changed = fitted != *before;
    Reanchored { study: fitted, diagnostics, changed }
}

/// The parts of a score as a study remembers them.
pub fn parts_seen(score: &Score) -> Vec<PartSeen> {
    let seen =
        |part: &crate::part::Part| PartSeen { key: part.key.clone(), name: part.name.clone() };
    score.parts.iter().map(seen).collect()
}

/// Where the study's parts are in a score.
pub fn part_places(score: &Score, parts: &[PartSeen]) -> Vec<Option<PartIdx>> {
    parts.iter().map(|part| score.part_by_key(&part.key)).collect()
}

fn refresh_sources(study: &mut Study, read: &Score, diagnostics: &mut Vec<Diagnostic>) {
    for (row, source) in study.sources.iter_mut().zip(&read.sources) {
        let SourceRow::File { path, fingerprint } = row else { continue };
        if *fingerprint == source.fingerprint {
            continue;
        }
        *fingerprint = source.fingerprint;
        diagnostics.push(Diagnostic {
            code: Code::SourceChanged,
            place: Place { file: path.clone(), ..Place::default() },
            message: String::from("the score file is not the one the study was saved with"),
            hint: Some(String::from("look through the places listed with it, then save")),
            more: 0,
        });
    }
}

/// A run of one source's bars in a row of the study.
#[derive(Clone, Debug)]
struct Piece {
    row: usize,
    span: usize,
    /// First bar in the row's own numbering.
    row_start: usize,
    /// First bar in the source movement's numbering.
    from: usize,
    n_bars: usize,
    source: (usize, usize),
}

fn pieces_of(study: &Study) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (row_idx, row) in study.movements.iter().enumerate() {
        let mut row_start = 0;
        for (span_idx, span) in row.spans.iter().enumerate() {
            let rest = row.bars.len().saturating_sub(row_start);
            let stated = span.to.map(|to| (to.idx() + 1).saturating_sub(span.from.idx()));
            let n_bars = stated.unwrap_or(rest).min(rest);
            pieces.push(Piece {
                row: row_idx,
                span: span_idx,
                row_start,
                from: span.from.idx(),
                n_bars,
                source: (span.source, span.movement),
            });
            row_start += n_bars;
        }
    }
    pieces
}

type Grouped<'a> = BTreeMap<(usize, usize), Vec<&'a Piece>>;

fn group_by_source(pieces: &[Piece]) -> Grouped<'_> {
    let mut groups = Grouped::new();
    for piece in pieces {
        groups.entry(piece.source).or_default().push(piece);
    }
    for group in groups.values_mut() {
        group.sort_by_key(|piece| piece.from);
    }
    groups
}

/// Where the bars of the study's movements are now.
#[derive(Default)]
struct Moves {
    by_movement: BTreeMap<MovementId, Vec<(BarIndex, How)>>,
}

impl Moves {
    fn set(&mut self, movement: MovementId, old_bar: usize, to: (BarIndex, How)) {
        let bars = self.by_movement.entry(movement).or_default();
        while bars.len() <= old_bar {
            bars.push((BarIndex::from(bars.len()), How::Same));
        }
        bars[old_bar] = to;
    }

    /// The new place of a bar; bars of sources that are gone stay where they are.
    fn of(&self, movement: MovementId, bar: BarIndex) -> (BarIndex, How) {
        let bars = self.by_movement.get(&movement);
        bars.and_then(|bars| bars.get(bar.idx())).copied().unwrap_or((bar, How::Same))
    }
}

/// Fits all rows that take bars of one source movement.
fn fit_source(
    study: &Study,
    fitted: &mut Study,
    read: &Score,
    source: (usize, usize),
    pieces: &[&Piece],
    old_parts: &[Option<PartIdx>],
    moves: &mut Moves,
) {
    let Some(movement) = source_movement(read, source.0, source.1) else { return };
    let new = bars_seen(movement, old_parts);
    let old: Vec<BarSeen> = pieces
        .iter()
        .filter_map(|piece| {
            let bars = &study.movements.get(piece.row)?.bars;
            bars.get(piece.row_start..piece.row_start + piece.n_bars)
        })
        .flatten()
        .cloned()
        .collect();
    let found = align::align(&old, &new);
    let mut first = 0;
    let mut images: Vec<&[Found]> = Vec::new();
    for piece in pieces {
        images.push(found.get(first..first + piece.n_bars).unwrap_or_default());
        first += piece.n_bars;
    }
    for (place, piece) in pieces.iter().enumerate() {
        let next = pieces.get(place + 1).zip(images.get(place + 1));
        let next = next.filter(|(next, _)| next.from == piece.from + piece.n_bars);
        let next_from = next.and_then(|(_, found)| found.first()?.bar);
        let own = images.get(place).copied().unwrap_or_default();
        fit_span(fitted, piece, own, next_from, new.len());
    }
    for (piece, found) in pieces.iter().zip(images) {
        move_bars(fitted, piece, found, new.len(), moves);
    }
}

/// Sets the ends of a span: it begins where its first bar is now, and ends where its last bar is,
/// or right before the span that followed it.
fn fit_span(
    fitted: &mut Study,
    piece: &Piece,
    found: &[Found],
    next_from: Option<BarIndex>,
    n_new: usize,
) {
    let row = fitted.movements.get_mut(piece.row);
    let Some(span) = row.and_then(|row| row.spans.get_mut(piece.span)) else { return };
    if piece.from > 0
        && let Some(first) = found.first().and_then(|found| found.bar)
    {
        span.from = first;
    }
    let last = BarIndex::from(n_new.saturating_sub(1));
    span.from = span.from.min(last);
    if span.to.is_some() {
        let before_next = next_from.map(|next| BarIndex(next.0.saturating_sub(1)));
        let own = found.last().and_then(|found| found.bar);
        let to = before_next.or(own).or(span.to).map_or(last, |to| to.min(last));
        span.to = Some(to.max(span.from));
    }
}

fn move_bars(fitted: &Study, piece: &Piece, found: &[Found], n_new: usize, moves: &mut Moves) {
    let Some(row) = fitted.movements.get(piece.row) else { return };
    let Some(span) = row.spans.get(piece.span) else { return };
    // Where the span begins in the row now: after the spans before it, which are never open.
    let before = row.spans.iter().take(piece.span);
    let start: usize = before.map(|span| span_len(span, n_new)).sum();
    let n_bars = span_len(span, n_new);
    for (nth, found) in found.iter().enumerate() {
        let bar = found.bar.map_or(0, BarIndex::idx).saturating_sub(span.from.idx());
        let bar = BarIndex::from(start + bar.min(n_bars.saturating_sub(1)));
        moves.set(row.id, piece.row_start + nth, (bar, found.how));
    }
}

/// The number of bars a span takes from a source movement of `n_bars`.
fn span_len(span: &Span, n_bars: usize) -> usize {
    let end = span.to.map_or(n_bars, |to| to.idx() + 1);
    end.saturating_sub(span.from.idx())
}

/// The bars of a row as they are now; what cannot be found keeps its old bars.
fn bars_of_row(
    row: &MovementRow,
    read: &Score,
    parts: &[Option<PartIdx>],
    study: &Study,
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<BarSeen> {
    let mut bars = Vec::new();
    for span in &row.spans {
        let Some(movement) = source_movement(read, span.source, span.movement) else {
            let file = read.sources.get(span.source).map(|source| source.name.clone());
            diagnostics.push(Diagnostic {
                code: Code::MovementGone,
                place: Place {
                    file: file.unwrap_or_default(),
                    movement: study.movement_idx(row.id),
                    ..Place::default()
                },
                message: format!(
                    "\"{}\" was movement {} of this file, which no longer has so many",
                    row.title,
                    span.movement.wrapping_add(1)
                ),
                hint: Some(String::from("its marks are kept; choose its source again")),
                more: 0,
            });
            return row.bars.clone();
        };
        let seen = bars_seen(movement, parts);
        let end = span.to.map_or(seen.len(), |to| (to.idx() + 1).min(seen.len()));
        bars.extend(seen.get(span.from.idx()..end).unwrap_or_default().iter().cloned());
    }
    bars
}
