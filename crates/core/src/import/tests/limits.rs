//! What is refused, and with which words; and that a read can be stopped.

use super::compact::document;
use crate::import::{ImportError, InputFile, Watch, read};

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
