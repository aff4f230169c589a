//! Note values: tuplets, voices without names, rests for whole bars, grace notes, divisions.

use super::compact::{findings, read_parts};
use crate::diag::Code;
use crate::event::{Note, NoteTraits, Tuplet};
use crate::import::Import;

/// A note in the middle of the staff: type, duration, and further elements before `notations`.
fn note(kind: &str, duration: &str, more: &str) -> String {
    let more = more.replace(' ', "_");
    format!(
        "{{<note><pitch><step>C</step><octave>5</octave></pitch><duration>{duration}</duration>\
         <voice>1</voice><type>{kind}</type>{more}</note>}}"
    )
}

fn ratio(actual: u32, normal: u32) -> String {
    format!(
        "<time-modification><actual-notes>{actual}</actual-notes>\
         <normal-notes>{normal}</normal-notes></time-modification>"
    )
}

fn notes(import: &Import) -> &[Note] {
    &import.score.movements[0].music[0].notes
}

fn onsets(import: &Import) -> String {
    let resolution = import.score.movements[0].resolution;
    let show = |note: &Note| format!("{}", resolution.quarters(note.onset));
    notes(import).iter().map(show).collect::<Vec<_>>().join(" ")
}

fn codes(import: &Import) -> Vec<Code> {
    findings(import).iter().map(|found| found.code).collect()
}

const DIVISIONS: &str = "{<attributes><divisions>60</divisions></attributes>}";

/// MusicXML 4.0, `time-modification`: "indicates tuplets, double-note tremolos, and other durational
/// changes"; a nested tuplet states the product: a triplet inside a quintuplet is 15 for 8.
#[test]
fn tuplets_keep_their_ratio() {
    let begin = "<notations><tuplet type=\"start\"/></notations>";
    let end = "<notations><tuplet type=\"stop\"/></notations>";
    let import = read_parts(&[&format!(
        "Flute: @2/4 {DIVISIONS} {} {} {} {} r:28",
        note("eighth", "20", &format!("{}{begin}", ratio(3, 2))),
        note("eighth", "20", &ratio(3, 2)),
        note("eighth", "20", &format!("{}{end}", ratio(3, 2))),
        note("quarter", "32", &ratio(15, 8)),
    )]);
    let ratios: Vec<Tuplet> = notes(&import).iter().map(|note| note.tuplet).collect();
    let of = |actual, normal| Tuplet::new(actual, normal).unwrap();
    assert_eq!(ratios, [of(3, 2), of(3, 2), of(3, 2), of(15, 8)]);
    assert_eq!(onsets(&import), "0 1/3 2/3 1");
    assert!(notes(&import)[0].traits.has(NoteTraits::TUPLET_BEGINS));
    assert!(notes(&import)[2].traits.has(NoteTraits::TUPLET_ENDS | NoteTraits::TUPLET));
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
}

/// A quarter triplet over the barline: half its notes in each bar.
#[test]
fn tuplets_go_over_barlines() {
    let triplet = note("quarter", "40", &ratio(3, 2));
    let import = read_parts(&[&format!(
        "Flute: @2/4 {DIVISIONS} C4:80 {triplet} | {triplet} {triplet} C4:40"
    )]);
    assert_eq!(onsets(&import), "0 4/3 2 8/3 10/3");
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
}

#[test]
fn the_duration_counts_where_the_printed_value_differs() {
    let import = read_parts(&[&format!(
        "Flute: @2/4 {DIVISIONS} {} {}",
        note("quarter", "90", ""),
        note("quarter", "30", "<dot/>")
    )]);
    assert_eq!(onsets(&import), "0 3/2");
    assert_eq!(codes(&import), [Code::ValueDiffers, Code::ValueDiffers]);
    let text = &findings(&import)[1].message;
    assert_eq!(text, "a dotted quarter has a duration of 1/2 quarters, not 3/2");
    // Four divisions cannot tell thirds: less than one division apart is the grain of the file.
    let third = |duration: &str| note("eighth", duration, &ratio(3, 2));
    let import =
        read_parts(&[&format!("Flute: @1/4 {} {} {}", third("1"), third("1"), third("2"))]);
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
    // A whole rest is printed in bars of any length (common practice).
    let import = read_parts(&[
        "Flute: @3/4 {<note><rest/><duration>12</duration><type>whole</type></note>}",
    ]);
    assert!(codes(&import).is_empty());
}

/// Two notes of a tremolo are printed with twice their value (MusicXML 4.0, `tremolo`): no tuplet.
#[test]
fn the_halves_of_a_tremolo_are_no_tuplet() {
    let tremolo = |kind: &str| {
        format!(
            "{}<notations><ornaments><tremolo type=\"{kind}\">3</tremolo></ornaments></notations>",
            ratio(2, 1)
        )
    };
    let import = read_parts(&[&format!(
        "Violin: @2/4 {} {}",
        note("half", "4", &tremolo("start")),
        note("half", "4", &tremolo("stop"))
    )]);
    assert!(notes(&import).iter().all(|note| note.tuplet.is_none()));
    assert!(notes(&import).iter().all(|note| !note.traits.any(NoteTraits::TUPLET)));
    assert!(codes(&import).is_empty());
}

#[test]
fn notes_without_a_voice_are_told_apart_where_the_file_steps_back() {
    let plain = |step: &str, duration: u32| {
        format!(
            "{{<note><pitch><step>{step}</step><octave>5</octave></pitch>\
             <duration>{duration}</duration></note>}}"
        )
    };
    let import = read_parts(&[&format!(
        "Piano: @2/4 {} {} <8 {} | {} {}",
        plain("C", 4),
        plain("D", 4),
        plain("E", 8),
        plain("F", 4),
        plain("G", 4)
    )]);
    let voices: Vec<u8> = notes(&import).iter().map(|note| note.voice).collect();
    assert_eq!(voices, [1, 2, 1, 1, 1]);
    assert_eq!(onsets(&import), "0 0 1 2 3");
}

#[test]
fn voices_may_have_any_name_and_cross_staves() {
    let on_staff = |voice: &str, staff: u32| {
        format!(
            "{{<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration>\
             <voice>{voice}</voice><staff>{staff}</staff></note>}}"
        )
    };
    let import = read_parts(&[&format!(
        "Piano: @2/4 {} {} <8 {} {}",
        on_staff("upper", 1),
        on_staff("upper", 2),
        on_staff("lower", 2),
        on_staff("lower", 1)
    )]);
    let places: Vec<(u8, u8)> =
        notes(&import).iter().map(|note| (note.voice, note.staff)).collect();
    assert_eq!(places, [(1, 1), (2, 2), (2, 1), (1, 2)]);
    assert_eq!(import.score.movements[0].music[0].staves, 2);
}

/// MusicXML 4.0, `rest`: `measure="yes"` is "a complete measure rest", whatever its duration.
#[test]
fn a_rest_for_the_whole_bar_is_as_long_as_the_bar() {
    let import = read_parts(&["Flute: @3/4 R:16 | C4:12", "Oboe: @3/4 C4:12 | R:4"]);
    let movement = &import.score.movements[0];
    let lengths = |part: usize| {
        let rests = movement.music[part].rests.iter();
        rests.map(|rest| movement.resolution.quarters(rest.length).to_string()).collect::<Vec<_>>()
    };
    assert_eq!((lengths(0), lengths(1)), (vec![String::from("3")], vec![String::from("3")]));
    assert!(movement.bars.iter().all(|(_, bar)| bar.length == bar.nominal));
}

/// MusicXML 4.0, `grace`: `steal-time-previous` takes the time from the note before; the notes stand
/// at the end of the bar and belong to it.
#[test]
fn grace_notes_before_a_barline_belong_to_their_bar() {
    let after = "{<note><grace_steal-time-previous=\"20\"_slash=\"yes\"/><pitch><step>D</step>\
                 <octave>5</octave></pitch></note>}";
    let import = read_parts(&[&format!("Flute: @2/4 C5:8 {after} | C5:8")]);
    let grace = &notes(&import)[1];
    assert!(grace.traits.has(NoteTraits::GRACE_AFTER | NoteTraits::GRACE_STROKE));
    assert_eq!((grace.bar.0, onsets(&import).as_str()), (0, "0 2 2"));
}

#[test]
fn divisions_change_inside_bars_and_between_parts() {
    let to = |n: u32| format!("{{<attributes><divisions>{n}</divisions></attributes>}}");
    let import = read_parts(&[
        &format!("Flute: @2/4 C4:4 {} D4:7 | E4:14", to(7)),
        &format!("Oboe: @2/4 {} C4:11 D4:5 E4:6 | F4:22", to(11)),
    ]);
    assert_eq!(onsets(&import), "0 1 2");
    let movement = &import.score.movements[0];
    let oboe = movement.music[1].notes.iter();
    let oboe: Vec<String> =
        oboe.map(|note| movement.resolution.quarters(note.onset).to_string()).collect();
    assert_eq!(oboe.join(" "), "0 1 16/11 2");
    assert!(codes(&import).is_empty());
}
