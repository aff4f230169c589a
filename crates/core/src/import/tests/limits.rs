//! What is refused, and with which words; and that a read can be stopped.

use super::compact::document;
use crate::import::{ImportError, InputFile, Limits, Watch, read, read_within};

fn refused(bytes: &[u8]) -> ImportError {
    let file = InputFile { name: String::from("a.xml"), bytes: bytes.to_vec() };
    read(&[file], &Watch::default()).unwrap_err()
}

#[test]
fn unreadable_input_is_refused_with_file_and_place() {
    assert_eq!(read(&[], &Watch::default()).unwrap_err(), ImportError::Nothing);
    let cases: [(&[u8], &str); 8] = [
        (b"", "a.xml"),
        (b"not xml at all", "a.xml"),
        (b"<score-partwise><part-list>", "ends before it is complete"),
        (b"<html>\n</html>", "outermost element is <html>"),
        (b"<score-partwise/>", "no bars"),
        (b"<!DOCTYPE a [<!ENTITY b \"c\">]><score-partwise/>", "entities"),
        (b"PK\x03\x04rubbish", "cannot be unpacked"),
        (b"<?xml version=\"1.0\" encoding=\"klingon\"?><a/>", "klingon"),
    ];
    for (bytes, expected) in cases {
        let error = refused(bytes);
        assert!(error.to_string().contains(expected), "{error}");
        assert!(error.to_string().contains("a.xml"), "{error}");
    }
    assert!(refused(b"<score-partwise>\n  <part></score-partwise>").to_string().contains(":2:"));
}

#[test]
fn times_that_cannot_be_held_are_refused() {
    let text = document(&["Flute: C4:4"]);
    let text = text.replace("<divisions>4<", "<divisions>2147483647<");
    let error = refused(text.replace("</part>", "<measure number=\"2\"><attributes><divisions>2147483629</divisions></attributes></measure></part>").as_bytes());
    assert!(matches!(error, ImportError::Resolution { .. }), "{error}");
    // Bars of the greatest length add up beyond what a movement can hold.
    let long = "<measure><note><rest/><duration>99999</duration></note></measure>".repeat(5000);
    let text = format!(
        "<score-partwise><part id=\"P1\"><measure><attributes><divisions>1</divisions></attributes>\
         </measure>{long}</part></score-partwise>"
    );
    let error = refused(text.as_bytes());
    assert!(matches!(error, ImportError::TooLarge { .. }), "{error}");
}

/// A score of parts, each with its bars as they are.
fn score(parts: &[&str]) -> String {
    let ids = 1..=parts.len();
    let list: String = ids.map(|nth| format!("<score-part id=\"P{nth}\"/>\n")).collect();
    let parts =
        parts.iter().zip(1..).map(|(bars, nth)| format!("<part id=\"P{nth}\">\n{bars}</part>\n"));
    let parts: String = parts.collect();
    format!("<score-partwise>\n<part-list>\n{list}</part-list>\n{parts}</score-partwise>")
}

fn bar(number: usize, music: &str) -> String {
    format!("<measure number=\"{number}\">{music}</measure>\n")
}

/// What is said when a score is read within limits that it does not keep; it keeps the usual ones.
#[track_caller]
fn over(text: &str, limits: &Limits) -> String {
    let file = InputFile { name: String::from("a.xml"), bytes: text.as_bytes().to_vec() };
    let files = [file];
    read(&files, &Watch::default()).unwrap();
    let error = read_within(&files, &Watch::default(), limits).unwrap_err();
    assert!(matches!(error, ImportError::TooLarge { .. }), "{error}");
    error.to_string()
}

#[test]
fn every_limit_says_which_it_is_and_where_it_is_met() {
    let rest = "<note><rest/><duration>1</duration></note>";
    let bars: String = (1..=4).map(|number| bar(number, rest)).collect();
    let two = score(&[&bars, &bars]);
    let standard = || Limits::STANDARD;
    let check = |text: &str, limits: Limits, expected: &str| {
        let said = over(text, &limits);
        assert_eq!(said, expected);
    };
    check(
        &two,
        Limits { file_bytes: 100, ..standard() },
        "the file is too large (the limit is 100 bytes): a.xml",
    );
    check(
        &two,
        Limits { bars: 3, ..standard() },
        "a part has too many bars (the limit is 3): a.xml:10:1, in part P1, bar 4",
    );
    check(
        &two,
        Limits { notes: 2, ..standard() },
        "a part has too many notes (the limit is 2): a.xml:10:1, in part P1, bar 4",
    );
    check(
        &two,
        Limits { parts: 1, ..standard() },
        "the score has too many parts (the limit is 1): a.xml:12:1, in part P2",
    );
    check(
        &two,
        Limits { part_bars: 7, ..standard() },
        "the score has too many bars over all parts (the limit is 7): a.xml",
    );
    check(
        &two,
        Limits { movement_quarters: 3, ..standard() },
        "a movement has too many quarters to be held exactly (the limit is 3): a.xml:7:1, in part P1, bar 1",
    );
    check(
        &two,
        Limits { nodes: 12, ..standard() },
        "the document has too many elements (the limit is 12): a.xml",
    );
    let timewise = "<score-timewise><measure number=\"1\">\n<part id=\"x\"/><part id=\"y\"/></measure></score-timewise>";
    check(
        timewise,
        Limits { parts: 1, ..standard() },
        "the score has too many parts (the limit is 1): a.xml:2:15, in part y, bar 1",
    );
}

#[test]
fn movements_are_limited_by_themselves_and_with_their_parts() {
    let end = "<barline><bar-style>light-heavy</bar-style></barline>";
    let numbers = [1, 2, 1, 2, 1, 2];
    let bars: String = numbers.iter().map(|number| bar(*number, end)).collect();
    let text = score(&[&bars, &bars]);
    let expected = "the file has too many movements for 2 parts (the limit is 2): a.xml:11:1, in part P1, bar 1";
    assert_eq!(over(&text, &Limits { movements: 2, ..Limits::STANDARD }), expected);
    assert_eq!(over(&text, &Limits { part_movements: 5, ..Limits::STANDARD }), expected);
}

#[test]
fn nesting_and_attributes_are_counted_before_anything_is_parsed() {
    let refused = |text: &str| refused(text.as_bytes()).to_string();
    let depth = Limits::STANDARD.depth;
    // The general parser is asked because of the reference to something unknown behind.
    let nested = |tag: &str| format!("<score-partwise>\n{}&x;", tag.repeat(depth));
    let expected = "elements are nested too deeply (the limit is 256): a.xml:2";
    assert!(refused(&nested("<a>")).starts_with(expected));
    // What looks like the end of an empty element stands in a value.
    assert!(refused(&nested("<a b=\"/>\">")).starts_with(expected));
    // Elements in comments and quoted text are none.
    let comments = "<!-- <a> --><![CDATA[<b>]]><?c <d> ?>".repeat(depth + 1);
    let said = refused(&format!("<score-partwise>{comments}&x;</score-partwise>"));
    assert!(!said.contains("nested"), "{said}");
    let many: String =
        (0..=Limits::STANDARD.attributes).map(|nth| format!(" a{nth}='>'")).collect();
    let said = refused(&format!("<score-partwise>\n<part{many}/>&x;</score-partwise>"));
    assert!(
        said.starts_with("an element has too many attributes (the limit is 256): a.xml:2"),
        "{said}"
    );
}

#[test]
fn parts_that_are_listed_count_and_so_do_bars_that_are_left_out() {
    let listed = "<score-part id=\"x\"/>\n".repeat(Limits::STANDARD.parts + 1);
    let text = format!(
        "<score-partwise><part-list>\n{listed}</part-list><part id=\"x\"><measure/></part></score-partwise>"
    );
    let said = refused(text.as_bytes()).to_string();
    assert_eq!(said, "the score has too many parts (the limit is 1000): a.xml:1002:1");
    // A few bytes for each part must not become a bar in each measure.
    let parts: String = (0..900).map(|nth| format!("<part id=\"{nth}\"/>")).collect();
    let measures = "<measure/>".repeat(100);
    let text = format!(
        "<score-timewise>{measures}<measure number=\"9\">{parts}</measure></score-timewise>"
    );
    let said = refused(text.as_bytes()).to_string();
    assert!(said.starts_with("parts are missing in too many bars"), "{said}");
    assert!(said.ends_with(", bar 9"), "{said}");
}

#[test]
fn damage_is_refused_in_time_however_long_it_goes_on() {
    // Each of these once made the reader look to the end of the text again and again.
    for piece in [
        "<a",
        "<!--",
        "<part ",
        "<divisions",
        "<duration ",
        "<![CDATA[",
        "<?",
        "</part",
        "<a b='",
        "&",
    ] {
        let text = format!("<score-partwise>{}", piece.repeat(100_000));
        refused(text.as_bytes());
    }
    // Pieces of one text are joined without copying it for each of them.
    let pieces = "x<!-- -->".repeat(100_000);
    let text = score(&[&bar(1, "<note><rest/><duration>1</duration></note>")]);
    let text = text
        .replace("<score-part ", &format!("<movement-title>{pieces}</movement-title><score-part "));
    let file = InputFile { name: String::from("a.xml"), bytes: text.into_bytes() };
    read(&[file], &Watch::default()).unwrap();
}

#[test]
fn names_are_cut_and_not_refused() {
    let text = score(&[&bar(1, "<note><rest/><duration>1</duration></note>")]);
    let name = "long ".repeat(100_000);
    let list = format!("<score-part id=\"P1\"><part-name>{name}</part-name></score-part>");
    let text = text.replace("<score-part id=\"P1\"/>", &list);
    let file = InputFile { name: String::from("a.xml"), bytes: text.into_bytes() };
    let import = read(&[file], &Watch::default()).unwrap();
    assert!(import.score.parts[0].name.len() < 700);
}

#[test]
fn a_stopped_read_says_so() {
    let watch = Watch::default();
    watch.cancel();
    let bytes = document(&["Flute: C4:4"]).into_bytes();
    let file = InputFile { name: String::from("a.xml"), bytes };
    assert_eq!(read(std::slice::from_ref(&file), &watch).unwrap_err(), ImportError::Cancelled);
    let watch = Watch::default();
    read(&[file], &watch).unwrap();
    assert_eq!(watch.permille(), 1000);
}
