//! Signs that stand for music: repeats of bars and beats, slashes; rests over several bars.

use super::compact::{read_parts, read_text};
use crate::import::Import;
use crate::part_bars::RepeatedBar;

fn style(attributes: &str, content: &str) -> String {
    let content = content.replace(' ', "_");
    format!("{{<attributes><measure-style{attributes}>{content}</measure-style></attributes>}}")
}

fn repeat(kind: &str, bars: &str) -> String {
    style("", &format!("<measure-repeat type=\"{kind}\">{bars}</measure-repeat>"))
}

/// `bar<source` or `bar:staff<source` and the sign, of the first part.
fn shown(import: &Import) -> String {
    let show = |repeat: &RepeatedBar| {
        let staff = repeat.staff.map_or(String::new(), |staff| format!(":{staff}"));
        let source = repeat.source.map_or(String::new(), |source| format!("<{}", source.0));
        format!("{}{staff}{source} {}", repeat.bar.0, repeat.sign.name())
    };
    let repeated = import.score.movements[0].music[0].repeated_bars.iter();
    repeated.map(show).collect::<Vec<_>>().join(", ")
}

fn counted(import: &Import) -> usize {
    import.score.movements[0].music[0].notes.iter().filter(|note| note.is_counted()).count()
}

/// MusicXML 4.0, `measure-repeat`: "The stop type indicates the first measure where the repeats are
/// no longer displayed."
#[test]
fn a_bar_repeat_names_the_bar_that_is_heard_again() {
    let import = read_parts(&[&format!(
        "Violin: @4/4 C4:16 | {} R:16 | R:16 | {} C4:16",
        repeat("start", "1"),
        repeat("stop", "")
    )]);
    assert_eq!(shown(&import), "1<0 bar repeat, 2<0 bar repeat");
    // To the end of the part where it is never stopped, and begun anew in each bar.
    let start = repeat("start", "1");
    let import = read_parts(&[&format!("Violin: @4/4 C4:16 | {start} R:16 | {start} R:16 | R:16")]);
    assert_eq!(shown(&import), "1<0 bar repeat, 2<0 bar repeat, 3<0 bar repeat");
}

#[test]
fn patterns_of_several_bars_are_repeated_in_order() {
    let import = read_parts(&[&format!(
        "Violin: @4/4 C4:16 | D4:16 | {} R:16 | R:16 | R:16 | R:16 | {} C4:16",
        repeat("start", "2"),
        repeat("stop", "")
    )]);
    assert_eq!(shown(&import), "2<0 bar repeat, 3<1 bar repeat, 4<0 bar repeat, 5<1 bar repeat");
    let import = read_parts(&[&format!(
        "Violin: @4/4 C4:16 | D4:16 | E4:16 | F4:16 | {} R:16 | R:16 | R:16 | R:16",
        repeat("start", "4")
    )]);
    assert_eq!(shown(&import), "4<0 bar repeat, 5<1 bar repeat, 6<2 bar repeat, 7<3 bar repeat");
    // Nothing stands before the sign.
    let import = read_parts(&[&format!("Violin: @4/4 {} R:16 | R:16", repeat("start", "1"))]);
    assert_eq!(shown(&import), "0 bar repeat, 1 bar repeat");
}

/// The standard asks files to spell out what the sign stands for; on the page there are no notes, so
/// they are not counted, but they sound.
#[test]
fn notes_under_a_sign_sound_and_are_not_counted() {
    let import = read_parts(&[&format!(
        "Violin: @4/4 C4:8 D4:8 | {} C4:8 D4:8 | {} E4:16",
        repeat("start", "1"),
        repeat("stop", "")
    )]);
    assert_eq!((shown(&import).as_str(), counted(&import)), ("1<0 bar repeat", 3));
    let notes = &import.score.movements[0].music[0].notes;
    assert_eq!((notes.len(), notes.iter().filter(|note| note.begins_sound()).count()), (5, 5));
}

/// MusicXML 4.0, `slash`: with `use-stems` the rhythm is stated, without it each beat has a slash.
#[test]
fn slashes_begin_and_end_inside_bars() {
    let slash = |kind: &str, more: &str| style("", &format!("<slash type=\"{kind}\"{more}/>"));
    let import = read_parts(&[&format!(
        "Violin: @4/4 C4:4 {} B4:4 B4:4 {} E4:4 | F4:16 | {} B4:4 r:12 | {} C4:16",
        slash("start", ""),
        slash("stop", ""),
        slash("start", " use-stems=\"yes\""),
        slash("stop", "")
    )]);
    assert_eq!((shown(&import).as_str(), counted(&import)), ("0 slashes, 2 slashes with stems", 4));
    // A sign that begins at the end of a bar is for the next one.
    let import = read_parts(&[&format!("Violin: @4/4 C4:16 {} | R:16", slash("start", ""))]);
    assert_eq!((shown(&import).as_str(), counted(&import)), ("1 slashes", 1));
    let beat = style("", "<beat-repeat type=\"start\" slashes=\"1\"/>");
    let import = read_parts(&[&format!("Violin: @4/4 C4:4 {beat} r:12")]);
    assert_eq!(shown(&import), "0 beat repeat");
}

/// MusicXML 4.0, `except-voice`: "used to specify a combination of slash notation and regular
/// notation"; `measure-style` has a `number` for one staff.
#[test]
fn signs_may_leave_voices_and_staves_alone() {
    let slash = style("", "<slash type=\"start\"><except-voice>2</except-voice></slash>");
    let import = read_parts(&[&format!("Piano: @4/4 {slash} B4:16 <16 v2 C4:8 D4:8")]);
    assert_eq!((shown(&import).as_str(), counted(&import)), ("0 slashes", 2));
    let start = style("_number=\"2\"", "<measure-repeat type=\"start\">1</measure-repeat>");
    let import = read_parts(&[&format!("Piano: @4/4 C4:16 | {start} C4:8 D4:8")]);
    assert_eq!((shown(&import).as_str(), counted(&import)), ("1:2<0 bar repeat", 3));
}

#[test]
fn rests_over_several_bars_are_kept_as_printed() {
    let rest = style("", "<multiple-rest>2</multiple-rest>");
    let import = read_parts(&[&format!("Violin: @4/4 C4:16 | {rest} R:16 | R:16 | C4:16")]);
    let music = &import.score.movements[0].music[0];
    assert_eq!(music.multiple_rests, [(crate::bar::BarIndex(1), 2)]);
    assert!(music.repeated_bars.is_empty() && music.rests.iter().all(|rest| rest.whole_bar));
}

#[test]
fn signs_hold_on_in_timewise_scores() {
    let bar = |number: u32, music: &str| {
        format!("<measure number=\"{number}\"><part id=\"P1\">{music}</part></measure>")
    };
    let rest = "<note><rest measure=\"yes\"/><duration>4</duration></note>";
    let start = "<attributes><measure-style><measure-repeat type=\"start\">1</measure-repeat>\
                 </measure-style></attributes>";
    let head = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>\
                </time></attributes><note><pitch><step>C</step><octave>4</octave></pitch>\
                <duration>4</duration></note>";
    let import = read_text(&format!(
        "<score-timewise><part-list><score-part id=\"P1\"><part-name>Violin</part-name>\
         </score-part></part-list>{}{}{}</score-timewise>",
        bar(1, head),
        bar(2, &format!("{start}{rest}")),
        bar(3, rest)
    ));
    assert_eq!(shown(&import), "1<0 bar repeat, 2<0 bar repeat");
}
