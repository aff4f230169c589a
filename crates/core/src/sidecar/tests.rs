//! Tests of the study file as a whole.

use super::*;
use crate::journal::Line;
use crate::study::testing;
use quickcheck::quickcheck;

quickcheck! {
    fn what_is_written_reads_the_same(study: testing::AnyStudy) -> bool {
        let text = write(&study.0);
        let read = parse(&text);
        read.as_ref() == Ok(&study.0) && write(&read.unwrap()) == text
    }

    fn edits_are_one_line_and_read_the_same(edit: testing::AnyEdit) -> bool {
        let content = Line::Edit(7, edit.0);
        let line = journal_line(&content);
        !line.contains('\n') && parse_journal_line(&line) == Ok(content)
    }
}

quickcheck! {
    /// A flipped byte gives an error with a place or another study, and never anything worse.
    fn a_flipped_byte_is_answered(at: usize, flip: u8) -> bool {
        let mut bytes = write(&testing::small_study()).into_bytes();
        let at = at % bytes.len();
        bytes[at] ^= flip;
        match read(&bytes) {
            Ok(study) => parse(&write(&study)) == Ok(study),
            Err(SidecarError::Syntax { line, column, .. }) => line >= 1 && column >= 1,
            Err(_) => true,
        }
    }
}

#[test]
fn damage_is_an_error_with_line_and_column() {
    let text = write(&testing::small_study());
    let broken = text.replace("sign: \"watch\"", "sign: \"wotch\"");
    assert_ne!(text, broken);
    let expected = text.lines().position(|line| line.contains("\"watch\"")).unwrap() + 1;
    let Err(SidecarError::Syntax { line, message, .. }) = parse(&broken) else {
        panic!("{:?}", parse(&broken))
    };
    assert_eq!(line, expected);
    assert!(message.contains("wotch"), "{message}");
    for cut in (0..text.len() - 2).filter(|cut| text.is_char_boundary(*cut)) {
        assert!(parse(&text[..cut]).is_err(), "cut at {cut} was taken");
    }
}

#[test]
fn unknown_fields_and_versions_are_refused_by_name() {
    let text = write(&testing::small_study());
    let later = text.replace("  version: 1,", "  version: 2,\n  glow: [1, (a: 2)],");
    assert_eq!(parse(&later), Err(SidecarError::Version { found: 2, line: 4 }));
    let unknown = text.replacen("Layer(name", "Layer(glow: 3, name", 1);
    let error = parse(&unknown).unwrap_err().to_string();
    assert!(error.contains("glow"), "{error}");
    assert_eq!(read(b"(\n\xff"), Err(SidecarError::NotText { line: 2 }));
}

#[test]
fn an_entry_that_contradicts_another_is_refused_with_its_line() {
    let study = testing::small_study();
    let text = write(&study);
    let beating = text.lines().find(|line| line.contains("Beating(")).unwrap();
    let id = study.entries().find(|e| e.item.kind_name() == "beating").unwrap().id.to_string();
    let other = beating.replace(&id, "222222222223");
    let doubled = text.replace(beating, &format!("{beating}\n{other}"));
    let expected = doubled.lines().position(|line| line == other).unwrap() + 1;
    let error = parse(&doubled).unwrap_err();
    assert!(matches!(error, SidecarError::Entry { line, .. } if line == expected), "{error}");
}

#[test]
fn a_source_or_movement_number_nought_is_refused_or_finds_nothing() {
    let text = write(&testing::small_study());
    let broken = text.replacen("source: 1", "source: 0", 1);
    let error = parse(&broken).unwrap_err().to_string();
    assert!(error.contains("source 0, which does not exist"), "{error}");
    let broken = text.replacen("source: 1", "source: 18446744073709551615", 1);
    assert!(parse(&broken).is_err());
    let study = parse(&text.replacen("movement: 1", "movement: 0", 1)).unwrap();
    assert_eq!(parse(&write(&study)).as_ref(), Ok(&study));
    let fitted = crate::anchor::reanchor(&study, &crate::score::Score::default()).study;
    crate::basis::Basis::build(&crate::score::Score::default(), &fitted, 1);
}

#[test]
fn one_entry_is_one_line() {
    let study = testing::small_study();
    let text = write(&study);
    let n_entries = text.lines().filter(|line| line.contains(", id: \"")).count();
    assert_eq!(n_entries, study.entries().count());
    assert!(
        text.contains("Cue(at: \"m1 b2 +1/2\", part: \"flute-1\", who: \"1.\", id: "),
        "{text}"
    );
}
