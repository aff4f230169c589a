//! The table "Texture".

use super::super::lists::Scene;
use super::super::words;
use super::{PlanTable, longest};
use crate::texture::{TextureClass, TextureSpan};

/// More rows than this are not read on paper.
const MOST_ROWS: usize = 36;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let spans: Vec<&TextureSpan> =
        scene.tracks.textures.iter().filter(|span| span.class != TextureClass::Silence).collect();
    let (kept, note) = longest(&spans, MOST_ROWS, |span| (span.from, span.to));
    let row = |span: &&TextureSpan| {
        vec![
            scene.place(span.from),
            words::n_bars((span.to.0 - span.from.0 + 1) as usize),
            span.words(),
            span.numbers(),
        ]
    };
    PlanTable {
        name: "Texture",
        note,
        heads: vec!["From bar", "Length", "Texture", "What it rests on"],
        wide: 3,
        rows: kept.into_iter().map(row).collect(),
    }
}
