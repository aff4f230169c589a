//! Upbeats inside a movement, bars split at repeats and endings, bars of odd lengths.

use super::compact::{findings, read_parts};
use crate::bar::Bar;
use crate::diag::Code;
use crate::import::Import;

/// The lengths of all bars in quarters, `p` behind upbeats and `c` behind further parts of a bar.
fn shown(import: &Import) -> String {
    let movement = &import.score.movements[0];
    let show = |bar: &Bar| {
        let kind = match (bar.pickup, bar.continues) {
            (true, _) => "p",
            (_, true) => "c",
            _ => "",
        };
        format!("{}{kind}", movement.resolution.quarters(bar.length))
    };
    movement.bars.as_slice().iter().map(show).collect::<Vec<_>>().join(" ")
}

fn codes(import: &Import) -> Vec<Code> {
    findings(import).iter().map(|found| found.code).collect()
}

fn ending(number: u32, music: &str) -> String {
    format!(
        "{{<barline_location=\"left\"><ending_number=\"{number}\"_type=\"start\"/></barline>}} {music} \
         {{<barline_location=\"right\"><ending_number=\"{number}\"_type=\"stop\"/></barline>}}"
    )
}

const DOUBLE: &str = "{<barline_location=\"right\"><bar-style>light-light</bar-style></barline>}";

/// Common practice: the last bar of a section gives back the upbeat that it began with.
#[test]
fn the_last_bar_makes_up_for_the_upbeat() {
    let import = read_parts(&["Flute: @4/4 #i C4:4 | #1 C4:16 | #2 C4:12 :| | #3 C4:16"]);
    assert_eq!(shown(&import), "1p 4 3 4");
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
    let import = read_parts(&["Flute: @4/4 #i C4:4 | #1 C4:16 | #2 C4:12"]);
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
}

#[test]
fn a_section_in_the_middle_may_begin_with_an_upbeat() {
    let import = read_parts(&[&format!("Flute: @3/4 C4:12 | C4:12 {DOUBLE} | #i C4:4 | #3 C4:12")]);
    assert_eq!(shown(&import), "3 3 1p 3");
    // Without any line before it, a bar that the file does not count is one as well.
    let import = read_parts(&["Flute: @3/4 C4:12 | C4:12 | #i C4:4 | #3 C4:12"]);
    assert_eq!(shown(&import), "3 3 1p 3");
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
}

#[test]
fn a_first_bar_may_be_split_too() {
    let import = read_parts(&["Flute: @4/4 #1 C4:12 :| | #i |: C4:4 | #2 C4:16"]);
    assert_eq!(shown(&import), "3 1c 4");
    let import = read_parts(&["Flute: @4/4 #1 C4:4 | #i C4:4 | #i C4:8 | #2 C4:16"]);
    assert_eq!(shown(&import), "1 1c 2c 4");
}

/// Every ending goes on from the bar before the first of them.
#[test]
fn endings_each_complete_the_bar_before_them() {
    let import = read_parts(&[&format!(
        "Flute: @4/4 #i |: C4:4 | #1 C4:16 | #2 {} | #3 {} | #i |: C4:4 | #4 C4:16 :|",
        ending(1, "C4:12 :|"),
        ending(2, "C4:12"),
    )]);
    assert_eq!(shown(&import), "1p 4 3 3 1c 4");
    assert!(codes(&import).is_empty(), "{:?}", findings(&import));
    // The bar is split before the endings: both are its second half.
    let import = read_parts(&[&format!(
        "Flute: @4/4 #1 |: C4:16 | #2 C4:12 | #i {} | #i {} | #3 C4:16",
        ending(1, "C4:4 :|"),
        ending(2, "C4:4"),
    )]);
    assert_eq!(shown(&import), "4 3 1c 1c 4");
}

#[test]
fn a_bar_of_odd_length_is_reported_once_and_kept() {
    let import = read_parts(&["Flute: @4/4 C4:16 | C4:12 | C4:20 | C4:16"]);
    assert_eq!(shown(&import), "4 3 5 4");
    assert_eq!(codes(&import), [Code::BarLengthOdd, Code::BarLengthOdd]);
    // Where the parts disagree, that is what is said.
    let import = read_parts(&["Flute: @4/4 C4:16 | C4:20", "Oboe: @4/4 C4:16 | C4:16"]);
    assert_eq!(codes(&import), [Code::BarLengthsDiffer]);
}

#[test]
fn without_a_meter_only_the_file_can_say_what_an_upbeat_is() {
    assert_eq!(shown(&read_parts(&["Flute: #i C4:4 | #1 C4:16"])), "1p 4");
    assert_eq!(shown(&read_parts(&["Flute: #1 C4:4 | #2 C4:16"])), "1 4");
}
