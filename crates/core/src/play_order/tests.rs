//! The play order checked against small movements written as words, one a bar.

use super::*;
use crate::bar::{Bar, BarFlow, BarTable, Barline, Jump};
use crate::meter::Meter;
use crate::time::Ticks;

/// A movement from words, one a bar: `|:` repeat start, `:|` end (`:|3` three times), `1.` an
/// ending, `]` its stop, `S` segno, `C` coda, `DC`, `DS`, `toC`, `fine`, `||` a final barline,
/// joined by commas; `-` for nothing.
fn movement(text: &str) -> Movement {
    let mut bars = Vec::new();
    for word in text.split_whitespace() {
        let mut flow = BarFlow::default();
        let mut barline = Barline::Single;
        for sign in word.split(',') {
            match sign {
                "|:" => flow.repeat_start = true,
                "S" => flow.segno = true,
                "C" => flow.coda = true,
                "DC" => flow.jump = Some(Jump::DaCapo),
                "DS" => flow.jump = Some(Jump::DalSegno),
                "toC" => flow.to_coda = true,
                "fine" => flow.fine = true,
                "||" => barline = Barline::Final,
                "]" => flow.ending_stops = true,
                "-" => {}
                sign if sign.starts_with(":|") => {
                    flow.repeat_end = Some(sign[2..].parse().unwrap_or(2));
                }
                ending => {
                    let numbers = ending.split('.').filter(|number| !number.is_empty());
                    flow.endings = numbers.map(|number| number.parse().unwrap()).collect();
                }
            }
        }
        bars.push(Bar {
            start: Ticks::ZERO,
            length: Ticks(4),
            nominal: Ticks(4),
            meter: Meter::simple(4, 4),
            label: String::new(),
            pickup: false,
            continues: false,
            rehearsal: None,
            barline,
            flow,
            line: 0,
        });
    }
    Movement { bars: BarTable::new(bars), ..Movement::default() }
}

fn order(text: &str, plan: &MovementPlan) -> (String, usize) {
    let (spans, problems) = play_order(&movement(text), plan);
    let spans: Vec<String> =
        spans.iter().map(|(from, to)| format!("{}-{}", from.0, to.0)).collect();
    (spans.join(" "), problems.len())
}

#[track_caller]
fn check(text: &str, expected: &str) {
    assert_eq!(order(text, &MovementPlan::default()), (expected.to_owned(), 0), "{text}");
}

/// MusicXML 4.0, `repeat` ("times"), `ending`; jumps: the `sound` element's documentation.
#[test]
fn repeats_and_endings_unroll() {
    check("- - -", "0-2");
    check("- :| -", "0-1 0-2");
    check("- |: :| -", "0-2 1-3");
    check("|: :|3 -", "0-1 0-1 0-2");
    check("|: 1.,:| 2. -", "0-1 0-0 2-3");
    check("|: 1.2.,:| 3.,] -", "0-1 0-1 0-0 2-3");
    check("|: 1. 1.,:| 2. 2. -", "0-2 0-0 3-5");
    check("|: - :| |: - :|", "0-2 0-5 3-5");
    check("|: 1.,:| 2.,|: - :|", "0-1 0-0 2-4 2-4");
    check("|: |: :| - :|", "0-2 1-4 0-2 1-4");
}

#[test]
fn jumps_follow_common_practice() {
    check("- fine - DC", "0-3 0-1");
    check("- S - toC DS C -", "0-4 1-3 5-6");
    check("|: :| fine - DC", "0-1 0-4 0-2");
    check("|: 1.,:| 2.,] fine DC", "0-1 0-0 2-4 0-0 2-3");
    check("- toC - DC C", "0-3 0-1 4-4");
}

#[test]
fn what_does_not_fit_is_said_and_ends() {
    let plan = MovementPlan::default();
    assert_eq!(order("- - DS", &plan).1, 2);
    assert_eq!(order("- toC fine DC", &plan), (String::from("0-3 0-2"), 1));
    assert_eq!(order("- || - DC", &plan), (String::from("0-3 0-1"), 1));
    assert_eq!(order("- DC -", &plan), (String::from("0-1 0-2"), 1));
    assert_eq!(order("|: 1.,:| 3. -", &plan).0, "0-1 0-0 3-3");
    assert_eq!(order("", &plan), (String::new(), 0));
}

#[test]
fn the_plan_leaves_repeats_and_cuts_bars() {
    let bar = |idx: u32| BarIndex(idx);
    let left = MovementPlan { repeats_left: vec![bar(1)], ..MovementPlan::default() };
    assert_eq!(order("|: :| -", &left).0, "0-2");
    assert_eq!(order("|: 1.,:| 2. -", &left).0, "0-0 2-3");
    let cut = MovementPlan { cuts: vec![(bar(1), bar(2))], ..MovementPlan::default() };
    assert_eq!(order("- - - -", &cut).0, "0-0 3-3");
    assert_eq!(order("- |: - :| -", &cut).0, "0-0 3-3 3-4");
    let all = MovementPlan { cuts: vec![(bar(0), bar(9))], ..MovementPlan::default() };
    assert_eq!(order("- - -", &all).0, "");
}

quickcheck::quickcheck! {
    /// Whatever the signs: the walk ends, and only bars that exist are played.
    fn any_signs_give_an_order(signs: Vec<u8>) -> bool {
        let words = ["-", "|:", ":|", ":|3", "1.,:|", "2.", "S", "C", "DC", "DS", "toC", "fine"];
        let text: Vec<&str> =
            signs.iter().take(40).map(|sign| words[usize::from(*sign) % words.len()]).collect();
        let movement = movement(&text.join(" "));
        let (spans, _) = play_order(&movement, &MovementPlan::default());
        let last = movement.bars.len();
        spans.iter().all(|(from, to)| from <= to && to.idx() < last)
    }
}
