//! Large documents are read part by part; the result must be the same as from one tree.

use super::compact::document;
use crate::import::log::Log;
use crate::import::raw::RawScore;
use crate::import::xml::Sheet;
use crate::import::{Watch, musicxml};

/// Everything that was read, as text.
fn shown(score: &RawScore, log: &Log) -> String {
    format!("{score:?} {log:?}")
}

fn both_ways(text: &str) -> [String; 2] {
    let sheet = Sheet::new("a.xml", "a.xml", text);
    let (mut log, mut whole_log) = (Log::default(), Log::default());
    let score = musicxml::read(&sheet, 4, &mut log, &Watch::default()).unwrap();
    let whole = musicxml::read_whole(&sheet, 4, &mut whole_log, &Watch::default()).unwrap();
    [shown(&score, &log), shown(&whole, &whole_log)]
}

/// A document large enough to be cut.
fn large() -> String {
    let bars = vec!["!p C4:4 +E4:4 'dolce' r:4 ~C4:8 | -C4:16"; 400].join(" | ");
    let parts = [
        format!("Flute: @4/4 {bars}"),
        format!("Oboe: @4/4 {bars}"),
        format!("Horn: @4/4 T-4,-7 {bars}"),
    ];
    document(&parts.each_ref().map(String::as_str))
}

#[test]
fn parts_by_themselves_give_the_same_as_the_whole() {
    let text = large();
    assert!(text.len() > 300_000, "the document is too small to be cut: {}", text.len());
    let [sliced, whole] = both_ways(&text);
    assert!(sliced == whole, "the two ways differ");
}

#[test]
fn a_document_that_cannot_be_cut_is_read_whole() {
    // The namespace is declared on the root and used inside a part.
    let text = large()
        .replace(
            "<score-partwise ",
            "<score-partwise xmlns:xlink=\"http://www.w3.org/1999/xlink\" ",
        )
        .replacen("<measure number=\"3\">", "<measure number=\"3\"><link xlink:href=\"a\"/>", 1);
    let [sliced, whole] = both_ways(&text);
    assert!(sliced == whole, "the two ways differ");
    let damaged = large().replacen("</measure>", "", 1);
    let sheet = Sheet::new("a.xml", "a.xml", &damaged);
    let error = musicxml::read(&sheet, 4, &mut Log::default(), &Watch::default()).unwrap_err();
    assert!(error.to_string().contains("a.xml:"), "{error}");
}
