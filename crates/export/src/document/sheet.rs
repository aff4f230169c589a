//! Two passages side by side as pages: one template, the sheet as data, the strips as drawings.

use super::{BOTTOM_PT, Files, SIDE_PT, TOP_PT, long_date, room};
use crate::figures::beside;
use crate::options::{ExportError, ExportOptions};
use crate::world::PlanWorld;
use barloom_analysis::compare::{Sheet, SheetRow};
use serde_json::{Value, json};
use typst::foundations::Bytes;

const TEMPLATE: &str = include_str!("sheet.typ");

/// The world in which a sheet is set.
pub(crate) fn world(sheet: &Sheet, options: &ExportOptions) -> Result<PlanWorld, ExportError> {
    let mut files = Files::default();
    let (width, height) = options.paper.size_pt();
    let (room_width, _) = room(options.paper);
    let strips: Vec<Value> =
        beside::draw(sheet, room_width).into_iter().map(|strip| files.add(strip)).collect();
    let data = json!({
        "paper": { "width": width, "height": height, "side": SIDE_PT, "top": TOP_PT, "bottom": BOTTOM_PT },
        "title": sheet.title,
        "date": options.date.map(long_date),
        "first": sheet.first,
        "second": sheet.second,
        "summary": sheet.summary,
        "strips": strips,
        "changed": rows(&sheet.changed),
        "stayed": rows(&sheet.stayed),
    });
    let text =
        serde_json::to_vec(&data).map_err(|error| ExportError::Typesetting(error.to_string()))?;
    files.files.insert(String::from("/sheet.json"), Bytes::new(text));
    PlanWorld::new(TEMPLATE, files.files)
        .ok_or_else(|| ExportError::Typesetting(String::from("the template has no place")))
}

fn rows(rows: &[SheetRow]) -> Vec<Value> {
    rows.iter()
        .map(|row| json!([row.head, row.first, row.second, row.text, row.evidence]))
        .collect()
}
