//! Moves the entries of a study with their bars and says what is doubtful about each.

use super::Moves;
use super::align::How;
use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::diag::{Code, Diagnostic, Place};
use crate::hash::Fnv;
use crate::part::PartKey;
use crate::score::Score;
use crate::study::{Entry, EntryId, IdMaker, Item, Layer, Mark, OrderKey, Sign, Study};
use crate::time::Quarters;
use std::collections::BTreeMap;

/// The layer that takes what could not stay what it was.
pub(super) const LOST_LAYER: &str = "Lost places";

/// Moves every entry; the study's bar tables are new already.
pub(super) fn move_all(
    study: &mut Study,
    moves: &Moves,
    read: &Score,
    diagnostics: &mut Vec<Diagnostic>,
) {
    let mut doubts = Doubts::default();
    let mut entries = study.take_entries();
    // Layers first, since marks need them; then the surest, so that a decision whose bar is gone
    // does not take the place of one whose bar is there.
    let surest = |entry: &Entry| match entry.item.place() {
        None => (0, 0),
        Some(place) => match moves.of(place.movement, place.bar).1 {
            How::Same => (1, 0),
            How::Changed => (1, 1),
            How::Doubtful => (1, 2),
            How::Gone => (1, 3),
        },
    };
    entries.sort_by_key(|entry| (surest(entry), entry.id));
    for mut entry in entries {
        let before = entry.item.clone();
        move_item(study, &mut entry.item, moves);
        doubts.note(&before, &entry.item, moves);
        if let Err(lost) = study.restore(entry.clone()) {
            keep_as_mark(study, entry, &before, &lost.to_string(), diagnostics);
        }
    }
    doubts.report(study, read, diagnostics);
}

fn move_item(study: &Study, item: &mut Item, moves: &Moves) {
    item.readdress(|movement, bar| (movement, moves.of(movement, bar).0));
    if let Some(at) = item.point_mut() {
        at.offset = offset_inside(study, *at);
    }
}

/// The offset itself if the bar is long enough, else the last whole quarter inside the bar.
fn offset_inside(study: &Study, at: BarAddress) -> Quarters {
    let row = study.movement(at.movement);
    let length = row.and_then(|row| row.bars.get(at.bar.idx())).map(|bar| bar.length);
    let length = length.unwrap_or_default();
    if at.offset < length {
        return at.offset;
    }
    let last = (length.numerator() - 1).div_euclid(length.denominator());
    Quarters::new(last.max(0), 1).unwrap_or_default()
}

/// Keeps what could not be put back as a mark in a layer of its own, under the same id.
fn keep_as_mark(
    study: &mut Study,
    entry: Entry,
    before: &Item,
    why: &str,
    diagnostics: &mut Vec<Diagnostic>,
) {
    let place = entry.item.place().or_else(|| {
        let first = study.movements.first()?;
        Some(BarAddress::start_of(first.id, BarIndex(0)))
    });
    let at = place.map(|at| BarAddress { offset: offset_inside(study, at), ..at });
    let layer = lost_layer(study, &entry);
    let summary = before.summary();
    let mark = at.zip(layer).map(|(from, layer)| Mark {
        layer,
        from,
        to: None,
        parts: Vec::new(),
        sign: Sign::Text,
        text: summary.clone(),
    });
    let kept = mark.map(|mark| study.restore(Entry { item: Item::Mark(mark), ..entry.clone() }));
    let fate = match kept {
        Some(Ok(())) => format!("kept as a mark in the layer \"{LOST_LAYER}\""),
        _ => String::from("not kept, because the movement has no bars"),
    };
    diagnostics.push(Diagnostic {
        code: Code::DecisionDisplaced,
        place: at.map(|at| place_of(study, at.movement, at.bar)).unwrap_or_default(),
        message: format!("{summary} ({}): {why}; {fate}", entry.id),
        hint: None,
        more: 0,
    });
}

/// The layer for lost places, made when first needed. Its id follows from the entry's, so that
/// opening the same study on the same score twice gives the same result.
fn lost_layer(study: &mut Study, entry: &Entry) -> Option<EntryId> {
    let layers = study.layers();
    if let Some((found, _)) = layers.iter().find(|(_, layer)| layer.name == LOST_LAYER) {
        return Some(found.id);
    }
    let order = OrderKey::between(layers.last().map(|(last, _)| &last.order), None);
    let mut seed = Fnv::new();
    seed.bytes(entry.id.to_string().as_bytes());
    let id = IdMaker::seeded(seed.finish()).next_id();
    let layer = Layer { name: LOST_LAYER.into(), shown: true, locked: false };
    let item = Item::Layer(layer);
    let (author, changed) = (entry.author.clone(), entry.changed);
    study.restore(Entry { id, author, changed, order, item }).ok().map(|()| id)
}

fn place_of(study: &Study, movement: MovementId, bar: BarIndex) -> Place {
    let row = study.movement(movement);
    let label = row.and_then(|row| row.bars.get(bar.idx())).map(|bar| bar.label.clone());
    let name = label.filter(|label| !label.is_empty());
    let name = name.unwrap_or_else(|| format!("number {} from the beginning", bar.idx() + 1));
    Place { movement: study.movement_idx(movement), bar: Some((bar, name)), ..Place::default() }
}

/// What is doubtful, gathered bar by bar.
#[derive(Default)]
struct Doubts {
    bars: BTreeMap<(MovementId, BarIndex, Code), Vec<String>>,
}

impl Doubts {
    fn note(&mut self, before: &Item, after: &Item, moves: &Moves) {
        let Some((place, (movement, last))) = before.place().zip(before.last_bar()) else { return };
        let ends = if place.bar == last { vec![last] } else { vec![place.bar, last] };
        for bar in ends {
            let (to, how) = moves.of(movement, bar);
            let code = match how {
                How::Same => continue,
                How::Changed => Code::BarChanged,
                How::Doubtful => Code::BarDoubtful,
                How::Gone => Code::BarGone,
            };
            self.bars.entry((movement, to, code)).or_default().push(before.summary());
        }
        if let Some(after) = after.place().filter(|after| after.offset != place.offset) {
            let key = (movement, after.bar, Code::PlaceMoved);
            self.bars.entry(key).or_default().push(before.summary());
        }
    }

    fn report(self, study: &Study, read: &Score, diagnostics: &mut Vec<Diagnostic>) {
        for ((movement, bar, code), mut what) in self.bars {
            what.dedup();
            let said = match code {
                Code::BarGone => "the bar is not in the score any more; at the nearest place now",
                Code::BarDoubtful => "the bar has other music now; found by its label or place",
                Code::PlaceMoved => "the bar is shorter now; at its last quarter now",
                _ => "the bar was found again, but has changed",
            };
            let mut place = place_of(study, movement, bar);
            let row = study.movement(movement);
            let source = row.and_then(|row| read.sources.get(row.spans.first()?.source));
            place.file = source.map(|source| source.name.clone()).unwrap_or_default();
            let message = format!("{}: {said}", what.join(", "));
            let hint = Some(String::from("check these places"));
            diagnostics.push(Diagnostic { code, place, message, hint, more: 0 });
        }
    }
}

/// Says which entries name parts that the score does not have.
pub(super) fn report_missing_parts(study: &Study, read: &Score, diagnostics: &mut Vec<Diagnostic>) {
    let mut missing: BTreeMap<&PartKey, usize> = BTreeMap::new();
    for entry in study.entries() {
        for part in entry.item.parts() {
            if read.part_by_key(part).is_none() {
                *missing.entry(part).or_default() += 1;
            }
        }
    }
    for (part, n_entries) in missing {
        diagnostics.push(Diagnostic {
            code: Code::PartGone,
            place: Place { part: Some((part.to_string(), part.to_string())), ..Place::default() },
            message: format!("{n_entries} entries name this part, which the score does not have"),
            hint: Some(String::from("they are kept and listed; give them another part")),
            more: 0,
        });
    }
}
