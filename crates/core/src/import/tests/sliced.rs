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
fn prefixes_of_the_root_hold_in_its_parts() {
    let text = large()
        .replace(
            "<score-partwise ",
            "<score-partwise xmlns:xlink=\"http://www.w3.org/1999/xlink\" ",
        )
        .replacen("<measure number=\"3\">", "<measure number=\"3\"><link xlink:href=\"a\"/>", 1);
    let [sliced, whole] = both_ways(&text);
    assert!(sliced == whole, "the two ways differ");
}

#[test]
fn a_document_that_cannot_be_cut_is_read_whole() {
    let hidden = [
        // What looks like a part, or like its end, is none.
        ("<part-list>", "<!-- <part id=\"P9\"></part> --><part-list>"),
        ("<part-list>", "<?x <part id=\"P9\"></part> ?><part-list>"),
        ("<measure number=\"3\">", "<measure number=\"3\"><!-- </part> -->"),
        ("<measure number=\"3\">", "<measure number=\"3\"><x><![CDATA[</part>]]></x>"),
        ("<part-list>", "<x><part id=\"P9\"></part></x><part-list>"),
        // A prefix that is declared inside a part.
        ("<measure number=\"3\">", "<measure number=\"3\"><x xmlns:a=\"u\" a:b=\"c\"/>"),
    ];
    for (plain, odd) in hidden {
        let text = large().replacen(plain, odd, 1);
        assert!(text.contains(odd), "{odd} is not in the document");
        let [sliced, whole] = both_ways(&text);
        assert!(sliced == whole, "the two ways differ: {odd}");
    }
}

#[test]
fn damage_in_a_part_is_an_error_with_its_place() {
    let damaged = large().replacen("</measure>", "", 1);
    let sheet = Sheet::new("a.xml", "a.xml", &damaged);
    let error = musicxml::read(&sheet, 4, &mut Log::default(), &Watch::default()).unwrap_err();
    assert!(error.to_string().contains("a.xml:"), "{error}");
}
