//! What is written, on small scores that are read for it.

use super::direction::device_words;
use super::{Excerpt, SelectError, excerpt, select};
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::event::{Device, MarkingKind};
use barloom_core::import::{self, InputFile, Watch};
use barloom_core::score::Score;

/// Reads a score of one part, four quarters a bar; `bars` are the contents of its measures.
fn score(instrument: &str, bars: &[&str]) -> Score {
    let mut text = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>{instrument}\
         </part-name></score-part></part-list><part id=\"P1\">"
    );
    for (idx, bar) in bars.iter().enumerate() {
        let attributes = "<attributes><divisions>1</divisions><time><beats>4</beats>\
             <beat-type>4</beat-type></time></attributes>";
        let attributes = if idx == 0 { attributes } else { "" };
        text += &format!("<measure number=\"{}\">{attributes}{bar}</measure>", idx + 1);
    }
    text += "</part></score-partwise>";
    read(text.into_bytes(), "a.musicxml")
}

fn read(bytes: Vec<u8>, name: &str) -> Score {
    let file = InputFile { name: name.to_owned(), bytes };
    import::read(&[file], &Watch::default()).unwrap().score
}

fn note(step: &str, length: u32, more: &str) -> String {
    format!(
        "<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>{length}</duration>\
         {more}</note>"
    )
}

fn words(text: &str) -> String {
    format!("<direction><direction-type><words>{text}</words></direction-type></direction>")
}

/// The canonical words of every technique read back as that technique, for an instrument that has it.
#[test]
fn words_of_techniques_read_back_as_themselves() {
    for device in Device::ALL {
        let instrument = match device {
            Device::Stopped | Device::Brassy => "Horn",
            Device::Flutter => "Flute",
            Device::Muffled | Device::LetRing => "Timpani",
            _ => "Violin",
        };
        let text = words(device_words(device, true)) + &note("C", 4, "");
        let score = score(instrument, &[&text]);
        let found = score.movements[0].music[0].markings.iter();
        let found: Vec<_> = found.map(|marking| marking.kind.clone()).collect();
        assert_eq!(found, [MarkingKind::Device { device, on: true }], "{device}");
    }
}

#[test]
fn a_sound_that_is_cut_begins_anew_and_what_is_in_force_is_stated() {
    let loud = "<direction><direction-type><dynamics><f/></dynamics></direction-type></direction>";
    let first = words("con sord.") + loud + &note("C", 4, "<tie type=\"start\"/>");
    let second = note("C", 4, "<tie type=\"stop\"/><tie type=\"start\"/>");
    let third = note("C", 4, "<tie type=\"stop\"/>");
    let basis = Basis::of(score("Violin", &[&first, &second, &third]));
    let whole = select(&basis.score, None, &[]).unwrap();
    let middle = Excerpt { from: BarIndex(1), to: BarIndex(1), ..whole };
    for compressed in [false, true] {
        let bytes = excerpt(&basis, &middle, None, compressed).unwrap();
        let name = if compressed { "a.mxl" } else { "a.musicxml" };
        let again = read(bytes, name);
        let movement = &again.movements[0];
        let music = &movement.music[0];
        assert_eq!(movement.bars.as_slice()[0].label, "2");
        assert!(music.notes[0].is_counted());
        let words: Vec<&str> = music.markings.iter().map(|marking| &*marking.words).collect();
        assert_eq!(words, ["con sord.", ""]);
        let text = excerpt(&basis, &middle, None, false).unwrap();
        assert!(!String::from_utf8(text).unwrap().contains("<tie "));
    }
}

#[test]
fn bars_and_parts_are_named_as_they_are_printed() {
    let bar = note("C", 4, "");
    let score = score("Oboe 1", &[&bar, &bar, &bar]);
    let bars =
        |text: &str| select(&score, Some(text), &[]).map(|excerpt| (excerpt.from.0, excerpt.to.0));
    assert_eq!(bars("2..3"), Ok((1, 2)));
    assert_eq!(bars("1:2"), Ok((1, 1)));
    assert_eq!(bars("1:"), Ok((0, 2)));
    assert_eq!(bars("..2"), Ok((0, 1)));
    assert_eq!(bars("#3"), Ok((2, 2)));
    assert!(matches!(bars("3..2"), Err(SelectError::Backward { .. })));
    assert!(matches!(bars("4:1..2"), Err(SelectError::NoMovement { .. })));
    let message = bars("7..9").unwrap_err().to_string();
    assert_eq!(message, "no bar is labeled \"7\" in movement 1, which has bars 1 to 3");
    let part = |name: &str| select(&score, None, &[name.to_owned()]);
    assert_eq!(part("oboe 1").unwrap().parts.len(), 1);
    assert_eq!(part("P1").unwrap().parts.len(), 1);
    let message = part("Tuba").unwrap_err().to_string();
    assert!(message.contains("Oboe 1"), "{message}");
}
