//! Meters beyond one signature for all: double signatures, bars in turn, signatures inside a bar,
//! and parts that have a meter of their own.

use super::compact::{findings, read_parts};
use crate::diag::Code;
use crate::import::Import;
use crate::meter::MeterSign;
use crate::part_bars::OwnMeter;

/// A `time` element with attributes and content, spaces as `_`.
fn time(attributes: &str, content: &str) -> String {
    let content = content.replace(' ', "_");
    format!("{{<attributes><time{attributes}>{content}</time></attributes>}}")
}

fn pair(beats: &str, unit: u32) -> String {
    format!("<beats>{beats}</beats><beat-type>{unit}</beat-type>")
}

/// `meter` or `meter(other)` of every bar.
fn shown(import: &Import) -> String {
    let bars = import.score.movements[0].bars.as_slice().iter();
    let show = |bar: &crate::bar::Bar| match &bar.other_meter {
        Some(other) => format!("{}({other})", bar.meter),
        None => bar.meter.to_string(),
    };
    bars.map(show).collect::<Vec<_>>().join(" ")
}

/// `from-to:meter` or `from-to:staff:meter` of a part's own meters.
fn own(import: &Import, part: usize) -> String {
    let show = |own: &OwnMeter| {
        let staff = own.staff.map_or(String::new(), |staff| format!("{staff}:"));
        format!("{}-{}:{staff}{}", own.from.0, own.to.0, own.meter)
    };
    let own = import.score.movements[0].music[part].meters.iter();
    own.map(show).collect::<Vec<_>>().join(" ")
}

fn codes(import: &Import) -> Vec<Code> {
    findings(import).iter().map(|found| found.code).collect()
}

/// MusicXML 4.0, `interchangeable`: "the second in a pair of interchangeable dual time signatures,
/// such as the 6/8 in 3/4 (6/8)". Both are as long; the first is the meter.
#[test]
fn the_first_of_two_interchangeable_signatures_is_the_meter() {
    let content = format!(
        "{}<interchangeable><time-relation>parentheses</time-relation>{}</interchangeable>",
        pair("3", 4),
        pair("6", 8)
    );
    let import = read_parts(&[&format!("Flute: {} C4:12 | C4:12", time("", &content))]);
    assert_eq!(shown(&import), "3/4(6/8) 3/4(6/8)");
    assert!(codes(&import).is_empty());
}

/// Two signatures of different lengths, printed side by side at the head, each bar in one of them
/// (common practice: alternating meters).
#[test]
fn of_two_signatures_the_one_that_a_bar_fills_is_its_meter() {
    let content = format!(
        "{}<interchangeable><time-relation>space</time-relation>{}</interchangeable>",
        pair("3", 4),
        pair("2", 4)
    );
    let text = format!("Flute: {} C4:12 | C4:8 | C4:8 | C4:12 | R:8", time("", &content));
    let import = read_parts(&[&text]);
    assert_eq!(shown(&import), "3/4(2/4) 2/4(3/4) 2/4(3/4) 3/4(2/4) 2/4(3/4)");
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
    assert!(import.score.movements[0].bars.iter().all(|(_, bar)| bar.length == bar.nominal));
}

/// A composite signature fills each bar with its sum (MusicXML 4.0, `time`), unless the bars take its
/// pairs in turn, which files of older programs mean by it.
#[test]
fn a_composite_signature_may_stand_for_bars_in_turn() {
    let composite = time("", &format!("{}{}", pair("2", 4), pair("3", 4)));
    let sum = read_parts(&[&format!("Flute: {composite} C4:20 | C4:20")]);
    assert_eq!(shown(&sum), "2/4+3/4 2/4+3/4");
    let turns =
        read_parts(&[&format!("Flute: {composite} C4:8 | C4:12 | C4:8 | R:12 | @3/4 C4:12")]);
    assert_eq!(shown(&turns), "2/4(3/4) 3/4(2/4) 2/4(3/4) 3/4(2/4) 3/4");
    assert!(codes(&turns).is_empty(), "{:?}", findings(&turns));
    // The second bar is the rest of the first, cut at a repeat.
    let split = read_parts(&[&format!("Flute: {composite} C4:20 | C4:8 :| | #i |: C4:12")]);
    assert_eq!(shown(&split), "2/4+3/4 2/4+3/4 2/4+3/4");
    assert!(split.score.movements[0].bars.as_slice()[2].continues);
}

/// MusicXML 4.0, `time-symbol`: common, cut, dotted-note, normal, note, single-number.
#[test]
fn the_printed_sign_is_kept() {
    let signs = [
        ("common", MeterSign::Common),
        ("cut", MeterSign::Cut),
        ("single-number", MeterSign::SingleNumber),
        ("note", MeterSign::Note),
        ("dotted-note", MeterSign::DottedNote),
        ("normal", MeterSign::Figures),
    ];
    for (symbol, sign) in signs {
        let meter = time(&format!("_symbol=\"{symbol}\""), &pair("6", 8));
        let import = read_parts(&[&format!("Flute: {meter} C4:12 | C4:12")]);
        assert_eq!(import.score.movements[0].bars.as_slice()[1].meter.sign, sign, "{symbol}");
    }
    let hidden = time("_print-object=\"no\"", &pair("5", 8));
    let import = read_parts(&[&format!("Flute: @4/4 C4:16 | {hidden} C4:10")]);
    let bar = &import.score.movements[0].bars.as_slice()[1];
    assert_eq!((bar.meter.to_string().as_str(), bar.meter.sign), ("5/8", MeterSign::Hidden));
    assert!(codes(&import).is_empty());
}

#[test]
fn a_signature_at_the_end_of_a_bar_announces_the_next() {
    let import = read_parts(&["Flute: @4/4 C4:16 @3/4 | C4:12 | C4:12"]);
    assert_eq!(shown(&import), "4/4 3/4 3/4");
    assert!(codes(&import).is_empty());
    // The next bar states it again.
    let import = read_parts(&["Flute: @4/4 C4:16 @3/4 | @3/4 C4:12"]);
    assert_eq!(shown(&import), "4/4 3/4");
    // Inside a bar it cannot count for the bar.
    let import = read_parts(&["Flute: @4/4 C4:8 @3/4 C4:8 | C4:12"]);
    assert_eq!(shown(&import), "4/4 3/4");
    assert_eq!(codes(&import), [Code::MeterInsideBar]);
    // A second voice states what holds already.
    let import = read_parts(&["Flute: @4/4 C4:16 <16 v2 C4:8 @4/4 C4:8 | C4:16"]);
    assert_eq!((shown(&import).as_str(), codes(&import).len()), ("4/4 4/4", 0));
}

/// Parts in meters of their own between the same barlines, equally long (3/4 against 6/8) or not.
#[test]
fn a_part_keeps_its_own_meter() {
    let import = read_parts(&["Flute: @3/4 C4:12 | C4:12", "Oboe: @6/8 C4:12 | C4:12"]);
    assert_eq!((shown(&import).as_str(), own(&import, 1).as_str()), ("3/4 3/4", "0-1:6/8"));
    assert_eq!(own(&import, 0), "");
    assert_eq!(codes(&import), [Code::MeterDiffers]);
    let import = read_parts(&["Flute: @2/4 C4:8 | C4:8", "Oboe: @6/8 C4:12 | C4:12"]);
    assert_eq!((shown(&import).as_str(), own(&import, 1).as_str()), ("2/4 2/4", "0-1:6/8"));
    let music = &import.score.movements[0].music[1];
    let meter = music.own_meter(crate::bar::BarIndex(1), 1).map(ToString::to_string);
    assert_eq!(meter.as_deref(), Some("6/8"));
}

#[test]
fn an_own_meter_ends_where_the_part_agrees_again() {
    let import = read_parts(&[
        "Flute: @3/4 C4:12 | C4:12 | C4:12 | @2/4 C4:8",
        "Oboe: @3/4 C4:12 | @6/8 C4:12 | @3/4 C4:12 | C4:8",
    ]);
    assert_eq!(own(&import, 1), "1-1:6/8");
    // It holds on while the first part changes, and ends when that one arrives at it.
    let import = read_parts(&[
        "Flute: @3/4 C4:12 | @9/8 C4:18 | @6/8 C4:12",
        "Oboe: @6/8 C4:12 | C4:12 | C4:12",
    ]);
    assert_eq!(own(&import, 1), "0-1:6/8");
}

/// MusicXML 4.0, `time`: "The number attribute allows a time signature to apply to only the
/// specified staff in the part."
#[test]
fn staves_may_differ() {
    let two = format!(
        "{} {}",
        time("_number=\"1\"", &pair("4", 4)),
        time("_number=\"2\"", &pair("12", 8))
    );
    let staves = "{<attributes><staves>2</staves></attributes>}";
    let import = read_parts(&[&format!("Piano: {staves} {two} C4:16 | C4:16")]);
    assert_eq!((shown(&import).as_str(), own(&import, 0).as_str()), ("4/4 4/4", "0-1:2:12/8"));
    let second = time("_number=\"2\"", &pair("3", 4));
    let import = read_parts(&[&format!("Piano: {staves} {second} C4:12")]);
    assert_eq!((shown(&import).as_str(), own(&import, 0).as_str()), ("3/4", ""));
}

#[test]
fn a_signature_that_the_first_part_forgot_counts() {
    let import =
        read_parts(&["Flute: @4/4 C4:16 | C4:12 | C4:12", "Oboe: @4/4 C4:16 | @3/4 C4:12 | R:12"]);
    assert_eq!((shown(&import).as_str(), own(&import, 1).as_str()), ("4/4 3/4 3/4", ""));
    assert_eq!(codes(&import), [Code::MeterDiffers]);
}

#[test]
fn own_meters_are_carried_into_the_next_movement() {
    let import = read_parts(&[
        "Flute: @3/4 C4:12 | #2 C4:12 || | #1 C4:12 | #2 C4:12",
        "Oboe: @6/8 C4:12 | #2 C4:12 || | #1 C4:12 | #2 C4:12",
    ]);
    let second = &import.score.movements[1];
    assert_eq!(second.music[1].meters.len(), 1);
    assert_eq!((second.music[1].meters[0].from.0, second.music[1].meters[0].to.0), (0, 1));
}
