//! The play order checked against small movements written as words, one a bar.

use super::*;
use crate::bar::{Bar, BarFlow, BarTable, Barline, Jump, JumpTo, Until, WayOut};
use crate::meter::Meter;
use crate::time::Ticks;

/// A movement from words, one a bar: `|:` repeat start, `trio` a middle section, `:|` end (`:|3` three times, `:|j` also
/// after a jump), `1.` an ending, `]` its stop, `S` segno, `C` coda, `DC`, `DS`, `toC`, `fine`, `||`
/// a final barline, joined by commas; `-` for nothing. A name follows `S`, `C`, `toC`, `DS` after
/// `=`, times follow a jump or way out after `@`; jumps take `/fine`, `/coda`, `/segno`, `/poi`,
/// `/con` and `/senza`.
fn movement(text: &str) -> Movement {
    let bars = text.split_whitespace().map(bar).collect();
    Movement { bars: BarTable::new(bars), ..Movement::default() }
}

fn bar(word: &str) -> Bar {
    let mut flow = BarFlow::default();
    let mut barline = Barline::Single;
    for sign in word.split(',') {
        let (head, passes) = sign.split_once('@').unwrap_or((sign, ""));
        let passes: Vec<u32> = passes.split('+').filter_map(|pass| pass.parse().ok()).collect();
        let mut pieces = head.split('/');
        let head = pieces.next().unwrap_or_default();
        let (head, name) = head.split_once('=').unwrap_or((head, ""));
        let name = name.to_owned();
        match head {
            "|:" => flow.repeat_start = true,
            "trio" => flow.middle = true,
            "S" => flow.segno = Some(name),
            "C" => flow.coda = Some(name),
            "DC" | "DS" => {
                let to = if head == "DC" { JumpTo::Beginning } else { JumpTo::Segno };
                let mut jump = Jump { to, segno: name, passes, ..Jump::default() };
                for piece in pieces {
                    match piece.trim_end_matches(char::is_numeric) {
                        "fine" => jump.until = Until::Fine,
                        "coda" => {
                            jump.until = Until::Coda;
                            jump.coda = piece["coda".len()..].to_owned();
                        }
                        "segno" => jump.until = Until::Segno,
                        "poi" => jump.then_coda = true,
                        "con" => jump.repeats = Some(true),
                        "senza" => jump.repeats = Some(false),
                        other => panic!("{other}"),
                    }
                }
                flow.jump = Some(jump);
            }
            "toC" => flow.to_coda = Some(WayOut { name, passes }),
            "fine" => flow.fine = Some(WayOut { name, passes }),
            "||" => barline = Barline::Final,
            "]" => flow.ending_stops = true,
            "-" => {}
            sign if sign.starts_with(":|") => {
                flow.repeat_after_jump = sign.ends_with('j').then_some(true);
                let times = sign[2..].trim_end_matches('j');
                flow.repeat_end = Some(times.parse().unwrap_or(2));
            }
            ending => {
                let numbers = ending.split('.').filter(|number| !number.is_empty());
                flow.endings = numbers.map(|number| number.parse().unwrap()).collect();
            }
        }
    }
    Bar {
        start: Ticks::ZERO,
        length: Ticks(4),
        nominal: Ticks(4),
        meter: Meter::simple(4, 4),
        other_meter: None,
        label: String::new(),
        pickup: false,
        continues: false,
        rehearsal: None,
        barline,
        flow,
        line: 0,
    }
}

fn order(text: &str, plan: &MovementPlan) -> (String, usize) {
    let (spans, problems) = play_order(&movement(text), plan);
    (in_words(&spans), problems.len())
}

fn in_words(spans: &[(BarIndex, BarIndex)]) -> String {
    let spans = spans.iter().map(|(from, to)| format!("{}-{}", from.0, to.0));
    spans.collect::<Vec<_>>().join(" ")
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

/// Minuet and trio: the trio's repeats are its own, and the da capo plays the minuet alone, without
/// its repeats (common practice).
#[test]
fn a_middle_section_is_a_section_of_its_own() {
    check("- :| fine trio :| DC", "0-1 0-4 3-5 0-2");
    check("- :| trio :|,DC/fine fine", "0-1 0-3 2-3 0-4");
    // Without a fine the middle section says where the minuet ends, which is a finding.
    let plan = MovementPlan::default();
    assert_eq!(order("- :| - :| trio :| DC", &plan), (String::from("0-1 0-3 2-5 4-6 0-3"), 1));
    assert_eq!(order("- - trio DC C -", &plan), (String::from("0-3 0-1 4-5"), 1));
    assert_eq!(order("|: :| trio,|: :|,DC", &plan), (String::from("0-1 0-3 2-3 0-1"), 1));
}

/// Nested repeats: the inner one is played in full each time through the outer one (MusicXML 4.0
/// allows a repeat inside a repeat and says nothing else).
#[test]
fn repeats_nest() {
    check("|: - |: :| - :|", "0-3 2-5 0-3 2-5");
    check("|: |: :|3 :| -", "0-2 1-2 1-3 0-2 1-2 1-4");
    // The endings of the outer section behind an inner repeat.
    check("|: |: :| 1.,:| 2. -", "0-2 1-3 0-2 1-2 4-5");
}

/// `ending` of MusicXML 4.0: "The number attribute indicates which times the ending is played."
#[test]
fn endings_hold_for_the_times_they_name() {
    check("|: 1.2.3.,:| 4. -", "0-1 0-1 0-1 0-0 2-3");
    check("|: 1.,:| 2.,:| 3. -", "0-1 0-0 2-2 0-0 3-4");
    check("|: 1.3.,:| 2.,:| 4.", "0-1 0-0 2-2 0-1 0-0 3-3");
    check("|: 1. 1.,:| 2.,] -", "0-2 0-0 3-4");
    // Two sections with endings stand next to each other: numbers that fall begin another group.
    check("|: 1.,:| 2.,] |: 1.,:| 2.", "0-1 0-0 2-4 3-3 5-5");
    // A lone bracket: what follows it stands for the second ending (common practice).
    check("|: 1.,:| - -", "0-1 0-0 2-3");
    check("|: 1.2.,:| - -", "0-1 0-1 0-0 2-3");
}

/// `sound` of MusicXML 4.0: "Dacapo indicates to go back to the beginning of the movement"; "By
/// default, a dalsegno or dacapo attribute indicates that the jump should occur the first time
/// through, while a tocoda attribute indicates the jump should occur the second time through."
#[test]
fn jumps_go_back_and_leave() {
    check("- fine - DC", "0-3 0-1");
    check("- fine - DC/fine", "0-3 0-1");
    check("- S - toC DS C -", "0-4 1-3 5-6");
    check("- S - toC DS/coda - C -", "0-4 1-3 6-7");
    check("- toC - DC C", "0-3 0-1 4-4");
    // A way out that the words do not ask for is passed by.
    check("- toC fine DC/fine C", "0-3 0-2");
    check("- fine toC DC/coda C", "0-3 0-2 4-4");
    // "Al segno": up to the sign, and then the coda (common practice of the 18th century).
    check("- - S - DC/segno", "0-4 0-1");
    check("- - S - DC/segno/poi C -", "0-4 0-1 5-6");
    // "E poi la coda" at the end of a trio: the minuet up to its thick barline, then the coda.
    check("|: :| - || |: :| DC/poi C", "0-1 0-5 4-6 0-3 7-7");
    // Fine behind the jump: the music goes on there after it was played again.
    check("- S DS/fine - fine -", "0-2 1-4");
}

/// Common practice: after a jump back the music is played without its repeats, unless the page says
/// otherwise. `repeat` of MusicXML 4.0: "The after-jump attribute indicates if the repeats are
/// played after a jump due to a da capo or dal segno."
#[test]
fn repeats_after_a_jump_follow_the_page() {
    check("|: :| fine - DC", "0-1 0-4 0-2");
    check("|: :| fine - DC/con", "0-1 0-4 0-1 0-2");
    check("|: :| fine - DC/senza", "0-1 0-4 0-2");
    check("|: :|j fine - DC", "0-1 0-4 0-1 0-2");
    check("|: :|j fine - DC/senza", "0-1 0-4 0-2");
    // A sign inside a repeated passage: con rep. goes back to the repeat sign.
    check("|: S :| fine DS/con", "0-2 0-4 1-2 0-3");
    // Fine at the end of a repeated passage ends only when it was repeated.
    check("|: :|,fine - DC/con", "0-1 0-3 0-1 0-1");
    // What is new behind the jump, in the coda, has its repeats.
    check("- toC DC/coda C,|: :| -", "0-2 0-1 3-4 3-5");
    // A jump inside a repeated passage is taken the last time through.
    check("|: DC :| fine", "0-2 0-1 0-3");
    check("- |: :|,DC fine", "0-2 1-2 0-3");
}

/// After a jump the last ending is played (common practice), but for one whose number says that it
/// is played then: "it can also indicate whether an ending is played during a larger dal segno or da
/// capo repeat" (`ending`, MusicXML 4.0), or in which alone play can leave.
#[test]
fn endings_after_a_jump() {
    check("|: 1.,:| 2.,] fine DC", "0-1 0-0 2-4 0-0 2-3");
    check("|: 1.3.,:| 2.,] fine DC", "0-1 0-0 2-4 0-1 3-3");
    check("|: 1.,:| 2.,],fine - DC", "0-1 0-0 2-4 0-0 2-2");
    check("|: 1.,:|,fine 2.,] - DC", "0-1 0-0 2-4 0-1");
    check("|: 1.,:| 2.,toC - DC C", "0-1 0-0 2-4 0-0 2-2 5-5");
    // With repeats the endings count from the first again.
    check("|: 1.,:| 2.,] fine DC/con", "0-1 0-0 2-4 0-1 0-0 2-3");
    // First time da capo, second time on: the brackets stand over the end of the piece.
    check("- 1.,DC 2. -", "0-1 0-0 2-3");
}

/// `sound` of MusicXML 4.0: "If there are multiple jumps, the value of these parameters can be used
/// to name and distinguish them."
#[test]
fn several_signs_are_told_apart() {
    check("S=a - S=b - DS=a fine", "0-4 0-5");
    check("S=a - S=b - DS=b fine", "0-4 2-5");
    // Without names the last sign before the jump is meant; "D.S.S." is the second sign.
    check("S - S - DS fine", "0-4 2-5");
    check("S S - fine DS=2", "0-4 1-3");
    // Two codas, each with its jump.
    check("S toC DS C - DS C -", "0-2 0-1 3-5 0-1 6-7");
    check("- S toC=1 - toC=2 DS/coda1 C=1 - DS/coda2 C=2 -", "0-5 1-2 6-8 1-4 9-10");
    check("S toC=coda1 - DS C=coda2 - C=coda1 -", "0-3 0-1 6-7");
    // The name of the only sign does not matter.
    check("- S=x - DS=y fine", "0-3 1-4");
}

/// `time-only` of MusicXML 4.0: "which times through the repeated section that the element applies".
#[test]
fn jumps_hold_at_the_times_they_name() {
    check("|: toC@2 :| C", "0-2 0-1 3-3");
    check("|: fine@2 :|", "0-2 0-1");
    check("- DC@1 fine", "0-1 0-2");
    check("- fine@3 - DC@1+2", "0-3 0-3 0-1");
}

#[test]
fn what_does_not_fit_is_said_and_ends() {
    use OrderProblemKind as Kind;
    let says = |text: &str, expected: &str, kinds: &[Kind]| {
        let (spans, problems) = play_order(&movement(text), &MovementPlan::default());
        let found: Vec<Kind> = problems.iter().map(|problem| problem.kind.clone()).collect();
        assert_eq!((in_words(&spans).as_str(), found.as_slice()), (expected, kinds), "{text}");
        assert!(problems.iter().all(|problem| !problem.to_string().is_empty()));
    };
    says("- - DS", "0-2 0-2", &[Kind::NoSegno, Kind::NoFine]);
    says("S - S - DS=x fine", "0-4 2-5", &[Kind::OtherSegno(String::from("x"))]);
    says("- toC fine DC", "0-3 0-2", &[Kind::NoCoda]);
    says("- - DC/coda C -", "0-2 0-4", &[Kind::NoWayToCoda]);
    says("- || - DC", "0-3 0-1", &[Kind::NoFine]);
    says("- DC -", "0-1 0-2", &[Kind::NoFine]);
    says("- - trio DC", "0-3 0-1", &[Kind::NoFine]);
    says("|: 1.,:| 3. -", "0-1 0-0 3-3", &[Kind::NoEnding(2)]);
    says("|: 1. 2. -", "0-1 0-0 2-3", &[Kind::RepeatMissing]);
    says("|: 1.,:|,] 1.,:|,] 2.", "0-1 0-0 3-3", &[Kind::EndingTwice(1)]);
    says("|: 1.,:|4 2. -", "0-1 0-0 2-3", &[Kind::TimesAgainstEndings(4, 2)]);
    says("- |: - -", "0-3", &[Kind::RepeatOpen]);
    says("- toC - C", "0-3", &[Kind::NeverLeft]);
    assert_eq!(order("", &MovementPlan::default()), (String::new(), 0));
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
        let words = [
            "-", "|:", ":|", ":|3", "1.,:|", "2.", "1.2.,]", "S", "C", "DC", "DS", "toC", "fine",
            "DC/con", "DS/coda/poi", "DC/segno", "toC@2", "||", ":|j",
        ];
        let text: Vec<&str> =
            signs.iter().take(40).map(|sign| words[usize::from(*sign) % words.len()]).collect();
        let movement = movement(&text.join(" "));
        let (spans, _) = play_order(&movement, &MovementPlan::default());
        let last = movement.bars.len();
        spans.iter().all(|(from, to)| from <= to && to.idx() < last)
    }
}
