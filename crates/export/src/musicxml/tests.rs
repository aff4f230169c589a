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

/// A bar that is split at a repeat is one bar with one label; its second half has none, the same, or
/// is not counted (MusicXML 4.0, `measure`, attribute `implicit`: bars "that should never be
/// numbered", such as the second half of one divided by a repeat).
#[test]
fn a_bar_split_at_a_repeat_is_taken_whole_at_either_end() {
    let end = "<barline location=\"right\"><repeat direction=\"backward\"/></barline>";
    let note = |length: u32| note("C", length, "");
    for second in
        ["number=\"X1\" implicit=\"yes\"", "number=\"2\" implicit=\"yes\"", "number=\"2\""]
    {
        // The halves of the last make more than a bar: only the label says that it is one.
        for (one, other) in [(3, 1), (3, 2)] {
            if (one, other) == (3, 2) && second != "number=\"2\"" {
                continue;
            }
            let text = format!(
                "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Oboe\
                 </part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\">\
                 <attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>\
                 </time></attributes>{whole}</measure><measure number=\"2\">{}{end}</measure>\
                 <measure {second}>{}</measure><measure number=\"3\">{whole}</measure></part>\
                 </score-partwise>",
                note(one),
                note(other),
                whole = note(4),
            );
            let score = read(text.into_bytes(), "a.musicxml");
            let bars = |text: &str| {
                select(&score, Some(text), &[]).map(|excerpt| (excerpt.from.0, excerpt.to.0))
            };
            assert_eq!(bars("2"), Ok((1, 2)), "{second}");
            assert_eq!(bars("2..2"), Ok((1, 2)), "{second}");
            assert_eq!(bars("1..2"), Ok((0, 2)), "{second}");
            assert_eq!(bars("2..3"), Ok((1, 3)), "{second}");
            assert_eq!(bars("..2"), Ok((0, 2)), "{second}");
            assert_eq!(bars("#3"), Ok((2, 2)), "{second}");
        }
    }
}

#[test]
fn a_label_of_several_bars_is_asked_about() {
    let bar = note("C", 4, "");
    let mut score = score("Oboe 1", &[&bar, &bar, &bar, &bar]);
    let mut movement = (*score.movements[0]).clone();
    let mut bars = movement.bars.as_slice().to_vec();
    for (bar, label) in bars.iter_mut().zip(["1", "2", "1", "2"]) {
        label.clone_into(&mut bar.label);
    }
    movement.bars = barloom_core::bar::BarTable::new(bars);
    score.movements[0] = movement.into();
    let message = select(&score, Some("2"), &[]).unwrap_err().to_string();
    assert!(message.contains("2 bars are labeled \"2\""), "{message}");
    assert!(message.contains("#2, #4"), "{message}");
    let found = select(&score, Some("#2..#3"), &[]).unwrap();
    assert_eq!((found.from.0, found.to.0), (1, 2));
    for wrong in ["#0", "#5"] {
        let found = select(&score, Some(wrong), &[]);
        assert!(matches!(found, Err(SelectError::NoPlace { .. })), "{wrong}");
    }
}
