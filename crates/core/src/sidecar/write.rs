//! The layout of the study file: which lines there are and in what order.

use super::VERSION;
use super::text::line;
use super::v1::{BarRecord, EntryRecord, MovementRecord, PartRecord, SourceRecord};
use crate::study::{Entry, Item, PlaceKey, Study};
use serde::Serialize;

const HEAD: &str = "\
// A study made with Barloom. One entry a line; places are \"m3 b47 +1/2\": movement 3, its bar 47
// counted from 1 in written order, half a quarter into the bar.
";

/// The whole text.
pub(super) fn study_text(study: &Study) -> String {
    let mut text = String::from(HEAD);
    text.push_str("(\n");
    field(&mut text, "version", &VERSION);
    field(&mut text, "title", &study.title);
    field(&mut text, "author", &study.author);
    field(&mut text, "saved", &study.version);
    list(&mut text, "sources", study.sources.iter().map(|row| line(&SourceRecord::from(row))));
    list(&mut text, "parts", study.parts.iter().map(|part| line(&PartRecord::from(part))));
    text.push_str("  movements: [\n");
    for row in &study.movements {
        let head = line(&MovementRecord::head(row));
        // The bars come last in the record, so that its end can be opened for them.
        let open = head.strip_suffix("])").unwrap_or(&head);
        text.push_str(&format!("    {open}\n"));
        for bar in &row.bars {
            text.push_str(&format!("      {},\n", line(&BarRecord::from(bar))));
        }
        text.push_str("    ]),\n");
    }
    text.push_str("  ],\n");
    let mut entries: Vec<&Entry> = study.entries().collect();
    entries.sort_by_cached_key(|entry| sort_key(study, entry));
    list(&mut text, "entries", entries.into_iter().map(|entry| line(&EntryRecord::from(entry))));
    text.push_str(")\n");
    text
}

fn field(text: &mut String, name: &str, value: &impl Serialize) {
    text.push_str(&format!("  {name}: {},\n", line(value)));
}

fn list(text: &mut String, name: &str, lines: impl Iterator<Item = String>) {
    text.push_str(&format!("  {name}: [\n"));
    for line in lines {
        text.push_str(&format!("    {line},\n"));
    }
    text.push_str("  ],\n");
}

/// Kind, then place, then id. Layers stand first, in the user's order.
fn sort_key(study: &Study, entry: &Entry) -> (u8, PlaceKey) {
    let kind = match &entry.item {
        Item::Layer(_) => 0,
        Item::Correction(_) => 1,
        Item::Tempo(_) => 2,
        Item::Order(_) => 3,
        Item::Beating(_) => 4,
        Item::Group(_) => 5,
        Item::Cue(_) => 6,
        Item::Mark(_) => 7,
        Item::Seat(_) => 8,
    };
    (kind, study.place_key(entry))
}
