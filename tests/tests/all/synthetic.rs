//! The maker of large scores.

use barloom_tests::synthetic::{of_size, repeated};

const TWO_BARS: &str = "<score-partwise><part-list><score-part id=\"A\"/></part-list>\
    <part id=\"A\"><measure number=\"7\" width=\"1\"><note/></measure>\
    <measure width=\"2\" number=\"X1\"/></part></score-partwise>";

#[test]
fn bars_are_numbered_on_and_nothing_else_changes() {
    assert_eq!(
        repeated(TWO_BARS, 2).unwrap(),
        "<score-partwise><part-list><score-part id=\"A\"/></part-list>\
         <part id=\"A\"><measure number=\"1\" width=\"1\"><note/></measure>\
         <measure width=\"2\" number=\"2\"/><measure number=\"3\" width=\"1\"><note/></measure>\
         <measure width=\"2\" number=\"4\"/></part></score-partwise>"
    );
    // The head of so small a document is half of it and is not repeated.
    let large = of_size(TWO_BARS, 100_000).unwrap();
    assert!((40_000..=100_000).contains(&large.len()), "{}", large.len());
    assert_eq!(repeated("<score-timewise/>", 2), None);
}
