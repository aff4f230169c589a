//! How long bars are: what notes, chords and skips add up to.

use crate::diag::Code;
use crate::import::{Import, InputFile, Watch, read};

/// A score of one part in 4/4, two divisions a quarter.
fn score(measures: &str) -> Import {
    let text = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Oboe\
         </part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes>\
         <divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
         </attributes>{measures}</measure></part></score-partwise>"
    );
    let file = InputFile { name: String::from("score.musicxml"), bytes: text.into_bytes() };
    read(&[file], &Watch::default()).unwrap()
}

fn note(extra: &str, duration: u32) -> String {
    format!(
        "<note>{extra}<pitch><step>C</step><octave>5</octave></pitch>\
         <duration>{duration}</duration></note>"
    )
}

fn lengths(import: &Import) -> Vec<String> {
    let movement = &import.score.movements[0];
    let bars = movement.bars.iter();
    bars.map(|(_, bar)| movement.resolution.quarters(bar.length).to_string()).collect()
}

fn has(import: &Import, code: Code) -> bool {
    import.diagnostics.iter().any(|finding| finding.code == code)
}

const NEXT: &str = "</measure><measure number=\"2\">";
const SKIP: &str = "<forward><duration>2</duration></forward>";

#[test]
fn a_skip_fills_every_bar_but_the_last() {
    let three = note("", 6);
    let import = score(&format!("{three}{SKIP}{NEXT}{three}{SKIP}"));
    assert_eq!(lengths(&import), ["4", "3"]);
    let import = score(&format!("{three}{NEXT}<forward><duration>8</duration></forward>"));
    assert_eq!(lengths(&import), ["3", "4"], "a last bar of nothing but a skip keeps its length");
}

#[test]
fn a_chord_note_does_not_lengthen_its_bar() {
    let import = score(&format!("{}{}", note("", 8), note("<chord/>", 9)));
    assert_eq!(lengths(&import), ["4"]);
    assert!(has(&import, Code::ChordNoteCut));
    let movement = &import.score.movements[0];
    let (_, music) = movement.parts().next().unwrap();
    assert!(music.notes.iter().all(|note| note.end() == movement.bars.end()));
}

#[test]
fn a_chord_note_without_a_note_is_the_first_of_its_chord() {
    let chord = |duration| note("<chord/>", duration);
    let import = score(&format!("{}{}{}", chord(4), chord(4), note("", 4)));
    assert_eq!(lengths(&import), ["4"]);
    assert!(has(&import, Code::ChordWithoutNote));
}
