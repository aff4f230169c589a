//! Files made to cost much more than they are long: counts that multiply, lists that are searched
//! for every element, states that are copied into every bar. Each is read, and everything is
//! computed from it, within the same bounds as damaged files.

use crate::count::peak_of;
use crate::run::{MAX_MORE, MAX_TIME, MAX_TIMES, everything};
use barloom_core::basis::Basis;
use barloom_core::import::{InputFile, Watch, read};
use std::fmt::Write;
use std::time::Instant;

const REST: &str = "<note><rest/><duration>1</duration></note>";
const NOTE: &str = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration>";

/// A partwise score of parts with their names and bars.
fn score(parts: &[(&str, String)]) -> String {
    let mut list = String::new();
    let mut music = String::new();
    for (nth, (name, bars)) in parts.iter().enumerate() {
        let _ = write!(list, "<score-part id=\"{nth}\"><part-name>{name}</part-name></score-part>");
        let _ = write!(music, "<part id=\"{nth}\">{bars}</part>");
    }
    format!("<score-partwise><part-list>{list}</part-list>{music}</score-partwise>")
}

fn one(bars: String) -> String {
    score(&[("Oboe", bars)])
}

/// Bars with numbers and this in each of them.
fn bars(count: usize, music: &str) -> String {
    (1..=count).map(|number| format!("<measure number=\"{number}\">{music}</measure>")).collect()
}

/// One bar with many of something.
fn many(count: usize, music: &str) -> String {
    one(format!("<measure>{}{REST}</measure>", music.repeat(count)))
}

/// One bar with something numbered.
fn numbered(count: usize, music: impl Fn(usize) -> String) -> String {
    let music: String = (0..count).map(music).collect();
    one(format!("<measure>{music}</measure>"))
}

fn direction(kind: &str) -> String {
    format!("<direction><direction-type>{kind}</direction-type></direction>")
}

fn hostile() -> Vec<(&'static str, String)> {
    let repeat = "<barline location=\"left\"><repeat direction=\"forward\"/></barline>\
                  <barline><repeat direction=\"backward\" times=\"100\"/></barline>";
    let open_ending =
        "<barline location=\"left\"><ending number=\"1-100\" type=\"start\"/></barline>";
    let endless = "<barline location=\"left\"><ending number=\"1\" type=\"start\"/></barline>";
    let jump = "<direction><direction-type><segno/></direction-type>\
                <sound dalsegno=\"a\" dacapo=\"yes\" tocoda=\"a\"/></direction>";
    let group = ["1"; 4].join("+");
    let meter = format!("<beats>{group}</beats><beat-type>4</beat-type>").repeat(8);
    let meter = format!("<attributes><time>{meter}</time></attributes>");
    let final_bar = "<barline><bar-style>light-heavy</bar-style></barline>";
    let suite = format!("<measure number=\"1\"/><measure number=\"2\">{final_bar}</measure>");
    let instruments: String =
        (0..4000).map(|nth| format!("<score-instrument id=\"i{nth}\"/>")).collect();
    let played: String = (0..4000)
        .map(|nth| format!("<note><instrument id=\"i{nth}\"/><rest/><duration>1</duration></note>"))
        .collect();
    let long_name = "x".repeat(20_000);
    let bad = "<note><rest/><duration>x</duration></note>";
    let empty: Vec<(&str, String)> =
        (0..900).map(|_| ("Flute", String::from("<measure/>"))).collect();
    let nameless: Vec<(&str, String)> =
        (0..900).map(|_| ("", String::from("<measure/>"))).collect();
    let with_long = [("Tuba", bars(10_000, "")), ("Horn", String::new())];
    let mut wide: Vec<(&str, String)> = empty.clone();
    wide.push(("Tuba", "<measure/>".repeat(11_000)));
    let opera: Vec<(&str, String)> = (0..60)
        .map(|nth| ("Horn", if nth > 0 { String::new() } else { suite.repeat(400) }))
        .collect();
    vec![
        ("bars that hold nothing", one("<measure/>".repeat(30_000))),
        ("parts that are all called the same", score(&empty)),
        ("parts without a name", score(&nameless)),
        ("one long part beside many short ones", score(&wide)),
        ("bars beside a part without any", score(&with_long)),
        ("movements of two bars in many parts", score(&opera)),
        ("a long meter over many bars", one(bars(1, &meter) + &"<measure/>".repeat(10_000))),
        ("an ending that never stops", one(bars(1, open_ending) + &"<measure/>".repeat(10_000))),
        ("an ending without a second", one(bars(5_000, endless) + &bars(1, repeat))),
        ("repeats in every bar", one(bars(2_000, repeat))),
        ("repeats that begin in every bar", one(bars(2_000, "<barline location=\"left\"><repeat direction=\"forward\"/></barline>") + &bars(2_000, "<barline><repeat direction=\"backward\" times=\"100\"/></barline>"))),
        ("jumps in every bar", one(bars(2_000, jump))),
        ("jumps and repeats in every bar", one(bars(1_000, &[jump, repeat, open_ending].concat()))),
        ("notes that say nothing", many(15_000, "<note/>")),
        ("a chord of thousands", many(4_000, &format!("{}<chord/>{}</note>", &NOTE[..6], &NOTE[6..]))),
        ("ties that nothing continues", numbered(3_000, |nth| format!("{}<voice>{nth}</voice><tie type=\"start\"/></note>", NOTE.replace("<octave>4", &format!("<octave>{}", nth % 10))))),
        ("a voice for every note", numbered(3_000, |nth| format!("{NOTE}<voice>v{nth}</voice></note>"))),
        ("slurs and tuplets left open", many(3_000, &format!("{NOTE}<notations><slur type=\"start\"/><tuplet type=\"start\"/><glissando type=\"start\"/></notations></note>"))),
        ("instruments of one part", one(format!("<measure>{played}</measure>")).replace("</part-name>", &format!("</part-name>{instruments}"))),
        ("findings under a long name", score(&[(&long_name, bars(3_000, bad))])),
        ("findings of many kinds in many parts", score(&vec![("Horn", bars(20, bad)); 200])),
        ("words at one place", many(3_000, &direction("<words>con sord. a 2 pizz. rit.</words>"))),
        ("one text of many words", one(bars(1, &direction(&format!("<words>{}</words>", "a 2 solo ".repeat(20_000)))))),
        ("one word of many letters", one(bars(1, &direction(&format!("<words>{}</words>", "aeiou".repeat(40_000)))))),
        ("words of many bars", one(bars(1_500, &[&direction("<words>nobody knows</words>"), REST].concat()))),
        ("tempi at one place", many(2_000, &direction("<metronome><beat-unit>quarter</beat-unit><per-minute>60</per-minute></metronome>"))),
        ("tempi that differ", numbered(2_000, |nth| format!("<sound tempo=\"{}\"/>{REST}", nth + 1))),
        ("hairpins that begin", many(3_000, &direction("<wedge type=\"crescendo\"/>"))),
        ("hairpins that begin and end", many(2_000, &(direction("<wedge type=\"crescendo\"/>") + REST + &direction("<wedge type=\"stop\"/>")))),
        ("dashes and words", many(1_500, &(direction("<words>cresc.</words>") + &direction("<dashes type=\"start\"/>") + REST + &direction("<dashes type=\"stop\"/>")))),
        ("ottavas that begin", many(3_000, &direction("<octave-shift type=\"down\" size=\"8\"/>"))),
        ("dynamics at one place", many(3_000, &direction("<dynamics><f/></dynamics>"))),
        ("dynamics of many bars", one(bars(1_500, &[&direction("<dynamics><f/></dynamics>"), REST].concat()))),
        ("clefs at one place", many(3_000, "<attributes><clef number=\"7\"><sign>G</sign></clef></attributes>")),
        ("keys and transpositions at one place", many(2_000, "<attributes><key><fifths>3</fifths></key><transpose><chromatic>-2</chromatic></transpose></attributes>")),
        ("fermatas and breaths", one(bars(1_000, &format!("{NOTE}<notations><fermata/><articulations><breath-mark/><caesura/></articulations></notations></note><barline><fermata/></barline>")))),
        ("entrances of every part in every bar", score(&vec![("Horn", bars(150, &[NOTE, "</note>"].concat()) + &bars(150, REST)); 10])),
        ("steps backward and forward", many(4_000, "<backup><duration>1</duration></backup><forward><duration>2</duration></forward>")),
        ("rehearsal marks", one(bars(2_000, &direction("<rehearsal>A</rehearsal>")))),
        ("multiple rests", one(bars(1_000, "<attributes><measure-style><multiple-rest>1000000</multiple-rest></measure-style></attributes>"))),
        ("bars of every length", one((1..=1_500).map(|nth| bars(1, &format!("<note><rest/><duration>{nth}</duration></note>"))).collect())),
        ("deep groups of parts", one(bars(1, REST)).replace("<part-list>", &format!("<part-list>{}", "<part-group type=\"start\" number=\"1\"/>".repeat(3_000)))),
        ("credits", one(bars(1, REST)).replace("<part-list>", &format!("{}<part-list>", "<credit><credit-type>title</credit-type><credit-words>x</credit-words></credit>".repeat(2_000)))),
    ]
}

#[test]
fn files_made_to_cost_much_are_read_within_bounds() {
    let mut over = Vec::new();
    for (what, text) in hostile() {
        let size = text.len();
        let files =
            [InputFile { name: String::from("hostile.musicxml"), bytes: text.into_bytes() }];
        let started = Instant::now();
        let (import, peak) = peak_of(|| read(&files, &Watch::default()));
        let reading = started.elapsed();
        let started = Instant::now();
        let said = match import {
            Ok(import) => {
                everything(&Basis::of(import.score), None, &import.diagnostics);
                String::new()
            }
            Err(error) => format!(", {error}"),
        };
        let computing = started.elapsed();
        println!(
            "{what}: {size} bytes, held {peak}, read {reading:.1?}, computed {computing:.1?}{said}"
        );
        if peak > size * MAX_TIMES + MAX_MORE || reading.max(computing) > MAX_TIME {
            over.push(what);
        }
    }
    assert!(over.is_empty(), "over the bounds: {over:?}");
}
