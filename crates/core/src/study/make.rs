//! A study for a score that nobody has studied yet.

use super::{Entry, IdMaker, Item, Layer, MovementRow, OrderKey, SourceRow, Span, Study};
use crate::anchor::{bars_seen, part_places, parts_seen};
use crate::bar::BarIndex;
use crate::score::Score;

/// The layers that a new study begins with: what the hands do, what to listen for, what to ask.
pub const FIRST_LAYERS: [&str; 3] = ["Hands", "Sound", "Questions"];

impl Study {
    /// A study for a score: its movements in the order in which they were read, and three layers.
    /// `sources` holds one row for each of the score's sources, in their order.
    pub fn for_score(score: &Score, sources: Vec<SourceRow>, ids: &mut IdMaker, now: u64) -> Self {
        let parts = parts_seen(score);
        let places = part_places(score, &parts);
        let mut n_in_source = vec![0; score.sources.len().max(1)];
        let mut study = Self { title: score.title.clone(), sources, parts, ..Self::default() };
        for movement in &score.movements {
            let nth = n_in_source.get_mut(movement.source);
            let nth = nth.map_or(0, |nth| std::mem::replace(nth, *nth + 1));
            study.movements.push(MovementRow {
                id: movement.id,
                title: movement.title.clone(),
                spans: vec![Span {
                    source: movement.source,
                    movement: nth,
                    from: BarIndex(0),
                    to: None,
                }],
                bars: bars_seen(movement, &places),
            });
        }
        let mut order = None;
        for name in FIRST_LAYERS {
            let key = OrderKey::between(order.as_ref(), None);
            let layer = Layer { name: name.to_owned(), shown: true, locked: false };
            let item = Item::Layer(layer);
            let (id, author) = (ids.next_id(), String::new());
            let entry = Entry { id, author, changed: now, order: key.clone(), item };
            let made = study.restore(entry);
            debug_assert!(made.is_ok(), "{made:?}");
            order = Some(key);
        }
        study
    }
}
