//! Bars: lengths, pickups, split bars, meters, labels, repeats, rehearsal marks, keys.

use super::compact::{findings, read_parts};
use crate::bar::{Bar, BarIndex, JumpTo};
use crate::diag::Code;
use crate::import::Import;
use crate::meter::MeterSign;

fn bars(import: &Import) -> &[Bar] {
    import.score.movements[0].bars.as_slice()
}

/// `label length` with `p` for pickups and `c` for continued bars.
fn shown(import: &Import) -> String {
    let resolution = import.score.movements[0].resolution;
    let show = |bar: &Bar| {
        let kind = match (bar.pickup, bar.continues) {
            (true, _) => "p",
            (_, true) => "c",
            _ => "",
        };
        format!("{}:{}{kind}", bar.label, resolution.quarters(bar.length))
    };
    bars(import).iter().map(show).collect::<Vec<_>>().join(" ")
}

#[test]
fn pickups_are_found_by_length() {
    assert_eq!(shown(&read_parts(&["Flute: #0 @4/4 C4:4 | #1 D4:16 | #2 E4:12"])), ":1p 1:4 2:3");
    assert_eq!(shown(&read_parts(&["Flute: #1 @4/4 C4:4 | #2 D4:16"])), "1:1p 2:4");
    assert_eq!(shown(&read_parts(&["Flute: #i @3/4 C4:4 | #1 D4:12"])), ":1p 1:3");
    // A short last bar is not an upbeat, and neither is a bar alone.
    assert_eq!(shown(&read_parts(&["Flute: @4/4 C4:8"])), "1:2");
}

#[test]
fn bars_split_at_a_repeat_are_two_entries_of_one_bar() {
    let split = read_parts(&["Flute: @4/4 C4:16 | C4:12 :| | #i |: D4:4 | #3 E4:16"]);
    assert_eq!(shown(&split), "1:4 2:3 :1c 3:4");
    // Not marked, but the lengths complete each other at a repeat sign.
    let split = read_parts(&["Flute: @4/4 C4:16 | C4:12 :| | #3 |: D4:4 | #4 E4:16"]);
    assert_eq!(shown(&split), "1:4 2:3 3:1c 4:4");
    // An upbeat to a section that completes nothing.
    let upbeat = read_parts(&["Flute: @4/4 C4:16 :| | #2 |: D4:4 | #3 E4:16"]);
    assert_eq!(shown(&upbeat), "1:4 2:1p 3:4");
}

#[test]
fn the_longest_part_makes_the_bar_and_the_others_are_reported() {
    let import = read_parts(&["Flute: @4/4 C4:12 | C4:16", "Oboe: @4/4 C4:16 | R:16"]);
    assert_eq!(shown(&import), "1:4 2:4");
    assert_eq!(findings(&import).len(), 1);
    // A rest for the whole bar that is longer than the meter does not lengthen it.
    let import = read_parts(&["Flute: @3/4 C4:12 | C4:12", "Oboe: @3/4 R:16 | R:16"]);
    assert_eq!(shown(&import), "1:3 2:3");
}

#[test]
fn empty_bars_are_as_long_as_the_meter_says() {
    assert_eq!(shown(&read_parts(&["Flute: @3/8 C4:6 | #2 | C4:6"])), "1:3/2 2:3/2 3:3/2");
}

/// Composite and additive signatures: MusicXML 4.0, documentation of `time`.
#[test]
fn meters_are_read_in_every_form() {
    let composite = "{<attributes><time><beats>2</beats><beat-type>4</beat-type><beats>3</beats>\
                     <beat-type>8</beat-type></time></attributes>}";
    let free = "{<attributes><time_print-object=\"no\"><senza-misura/></time></attributes>}";
    let common = "{<attributes><time_symbol=\"cut\"><beats>2</beats><beat-type>2</beat-type></time>\
                  </attributes>}";
    let import = read_parts(&[&format!(
        "Flute: @3+2/8 C4:10 | {composite} C4:14 | {free} C4:36 | {common} C4:16"
    )]);
    let meters: Vec<String> = bars(&import).iter().map(|bar| bar.meter.to_string()).collect();
    assert_eq!(meters, ["3+2/8", "2/4+3/8", "senza misura", "2/2"]);
    assert_eq!(shown(&import), "1:5/2 2:7/2 3:9 4:4");
    assert_eq!(bars(&import)[2].nominal, bars(&import)[2].length);
    assert_eq!(bars(&import)[3].meter.sign, MeterSign::Cut);
}

#[test]
fn repeats_endings_and_jumps_are_flow() {
    let ending = |kind: &str, number: &str, side: &str| {
        format!(
            "{{<barline_location=\"{side}\"><ending_number=\"{number}\"_type=\"{kind}\"/></barline>}}"
        )
    };
    let import = read_parts(&[&format!(
        "Flute: @4/4 C4:16 | {} C4:16 | C4:16 :| | {} C4:16 {} | C4:16 'Fine' | C4:16 'D.C._al_Fine'",
        ending("start", "1", "left"),
        ending("start", "2", "left"),
        ending("stop", "2", "right"),
    )]);
    let bars = bars(&import);
    let endings: Vec<&[u32]> = bars.iter().map(|bar| bar.flow.endings.as_slice()).collect();
    assert_eq!(endings, [&[][..], &[1], &[1], &[2], &[], &[]]);
    assert_eq!(bars[2].flow.repeat_end, Some(2));
    assert!(bars[4].flow.fine.is_some());
    assert_eq!(bars[5].flow.jump.as_ref().map(|jump| jump.to), Some(JumpTo::Beginning));
    let words = &import.score.movements[0].music[0].markings;
    assert!(words.is_empty(), "{words:?}");
}

/// Beethoven, op. 132 as it lies in the corpus of music21: the bracket of the first ending closes
/// after a bar, the repeat sign stands four bars later, and the second ending follows it.
#[test]
fn a_short_bracket_reaches_to_its_repeat() {
    let ending = |number: &str| {
        format!(
            "{{<barline_location=\"left\"><ending_number=\"{number}\"_type=\"start\"/></barline>}} C4:16 \
             {{<barline_location=\"right\"><ending_number=\"{number}\"_type=\"stop\"/></barline>}}"
        )
    };
    let import = read_parts(&[&format!(
        "Flute: @4/4 C4:16 | {} | C4:16 | C4:16 :| | {} | C4:16",
        ending("1"),
        ending("2")
    )]);
    let endings: Vec<&[u32]> =
        bars(&import).iter().map(|bar| bar.flow.endings.as_slice()).collect();
    assert_eq!(endings, [&[][..], &[1], &[1], &[1], &[2], &[]]);
}

#[test]
fn segno_and_coda_come_from_signs_words_and_playback() {
    let sign = |sign: &str| {
        format!("{{<direction><direction-type><{sign}/></direction-type></direction>}}")
    };
    let import = read_parts(&[&format!(
        "Flute: @4/4 C4:16 | {} C4:16 | C4:16 {} | C4:16 'D.S._al_Coda' | {} C4:16",
        sign("segno"),
        sign("coda"),
        sign("coda")
    )]);
    let bars = bars(&import);
    assert!(bars[1].flow.segno.is_some());
    assert!(bars[2].flow.to_coda.is_some(), "the first of two coda signs says where to leave");
    assert_eq!(bars[3].flow.jump.as_ref().map(|jump| jump.to), Some(JumpTo::Segno));
    assert!(bars[4].flow.coda.is_some() && bars[3].flow.coda.is_none());
    let sound = "{<sound_dacapo=\"yes\"/>}";
    let import =
        read_parts(&[&format!("Flute: @4/4 C4:16 {{<sound_fine=\"yes\"/>}} | C4:16 {sound}")]);
    assert!(self::bars(&import)[0].flow.fine.is_some());
    assert_eq!(
        self::bars(&import)[1].flow.jump.as_ref().map(|jump| jump.to),
        Some(JumpTo::Beginning)
    );
}

#[test]
fn rehearsal_marks_are_signs_or_framed_words() {
    let sign = "{<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>}";
    let framed = "{<direction><direction-type><words_enclosure=\"square\">B</words></direction-type></direction>}";
    let import = read_parts(&[&format!("Flute: @4/4 {sign} C4:16 | C4:16 {framed} | C4:16")]);
    let marks: Vec<Option<&str>> =
        bars(&import).iter().map(|bar| bar.rehearsal.as_deref()).collect();
    assert_eq!(marks, [Some("A"), None, Some("B")]);
}

/// MusicXML 4.0, `rehearsal`: letters, numbers and section names; a bar may have several of them.
#[test]
fn several_rehearsal_marks_of_a_bar_stand_side_by_side() {
    let sign = |mark: &str| {
        format!(
            "{{<direction><direction-type><rehearsal>{mark}</rehearsal></direction-type></direction>}}"
        )
    };
    let (a, twelve) = (sign("A"), sign("12"));
    let marks = |parts: &[&str]| {
        let import = read_parts(parts);
        let conflict = |found: &&crate::diag::Diagnostic| found.code == Code::RehearsalConflict;
        let said = import.diagnostics.iter().filter(conflict).count();
        (bars(&import)[0].rehearsal.clone().unwrap_or_default(), said)
    };
    let both = format!("Flute: @4/4 {a} {twelve} {a} C4:16");
    assert_eq!(marks(&[&both]), (String::from("A / 12"), 0));
    let other = format!("Oboe: @4/4 {twelve} {a} C4:16");
    assert_eq!(marks(&[&both, &other, "Horn: @4/4 C4:16"]), (String::from("A / 12"), 0));
    let other = format!("Oboe: @4/4 {twelve} C4:16");
    assert_eq!(marks(&[&format!("Flute: @4/4 {a} C4:16"), &other]), (String::from("A / 12"), 1));
}

#[test]
fn keys_are_at_concert_pitch_from_the_strings() {
    let import = read_parts(&[
        "Clarinet in A: @4/4 K-3 T-2,-3 C4:16 | K-1 C4:16",
        "Violin: @4/4 K0 C4:16 | K2 C4:16",
    ]);
    let fifths = |import: &Import| -> Vec<i8> {
        import.score.movements[0].keys.iter().map(|key| key.fifths).collect()
    };
    assert_eq!(fifths(&import), [0, 2]);
    let alone = read_parts(&["Clarinet in A: @4/4 K-3 T-2,-3 C4:16 | K-1 C4:16"]);
    assert_eq!(fifths(&alone), [0, 2]);
}

#[test]
fn repeated_bars_sound_without_notes() {
    let style = |kind: &str| {
        format!(
            "{{<attributes><measure-style><measure-repeat_type=\"{kind}\">1</measure-repeat></measure-style></attributes>}}"
        )
    };
    let import = read_parts(&[&format!(
        "Violin: @4/4 C4:16 | {} R:16 | R:16 | {} R:16",
        style("start"),
        style("stop")
    )]);
    let music = &import.score.movements[0].music[0];
    let bars: Vec<BarIndex> = music.repeated_bars.iter().map(|repeat| repeat.bar).collect();
    assert_eq!(bars, [BarIndex(1), BarIndex(2)]);
    assert_eq!(music.notes.len(), 1);
}
