//! Pages of plans built by hand: what is printed, that it is the same each time, and that user text
//! stays text.

use crate::{ExportOptions, Paper, Typeset};
use barloom_analysis::plan::*;
use barloom_core::event::{FermataShape, Level};
use barloom_core::instrument::Family;
use barloom_core::meter::Meter;
use barloom_core::pattern::Pattern;
use barloom_core::study::Sign;
use barloom_core::time::Quarters;

fn beating(pattern: &str, chosen: bool, changes: bool) -> PlanBeating {
    let pattern: Pattern = pattern.parse().unwrap();
    let n = pattern.strokes();
    let stroke = |idx: usize| (idx as f32 / n as f32, StrokeSign::Given);
    PlanBeating {
        text: pattern.to_string(),
        strokes: (0..n).map(stroke).collect(),
        pattern,
        nth: 0,
        chosen,
        changes,
    }
}

fn bar(idx: usize) -> PlanBar {
    let new_meter = match idx {
        0 => Some("4/4"),
        12 => Some("7/8"),
        20 => Some("3/4"),
        _ => None,
    };
    let (pattern, chosen) = match idx {
        0..12 => ("4", false),
        12..20 => ("2+2+3", true),
        _ => ("3", idx.is_multiple_of(2)),
    };
    PlanBar {
        label: (idx + 1).to_string(),
        name: (idx + 1).to_string(),
        quarters: if idx < 12 {
            4.0
        } else if idx < 20 {
            3.5
        } else {
            3.0
        },
        seconds: idx as f64 * 2.0,
        rehearsal: (idx % 16 == 8).then(|| char::from(b'A' + (idx / 16) as u8 % 26).to_string()),
        meter: new_meter.map(|meter| meter.parse::<Meter>().unwrap()),
        strong: idx.is_multiple_of(4),
        beating: Some(beating(pattern, chosen, new_meter.is_some())),
        share: (idx % 7) as f32 / 7.0,
        n_sounding: (idx % 7) as u32,
        band: (!idx.is_multiple_of(7))
            .then_some((Level::P, if idx % 9 < 4 { Level::Mf } else { Level::Ff })),
        holds: if idx == 11 {
            vec![(0.75, Hold::Fermata(FermataShape::Normal))]
        } else {
            Vec::new()
        },
        final_after: idx == 57,
        ..PlanBar::default()
    }
}

fn row(part: usize) -> PlanRow {
    let sound = |bar: usize| Sound {
        from: 0.0,
        to: 1.0,
        level: Level::ALL.get(4 + (bar / 6 + part) % 8).copied(),
        muted: part == 3,
        manner: [SoundManner::Ordinary, SoundManner::Plucked, SoundManner::Tremolo][part % 3],
    };
    PlanRow {
        family: if part < 6 { Family::Woodwinds } else { Family::Strings },
        name: format!("Part {}", part + 1),
        sounds: (0..58).map(|bar| ((bar + part) % 9 > 2).then(|| sound(bar))).collect(),
    }
}

const PATTERNS: &str = "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1(half), 1(2 of 3), 2/2, 2/3, 3/2, 4/2, 4/3, \
    2+2+3, 3+2, 3 bars of 3";

fn beating_row(pattern: &str) -> BeatingRow {
    BeatingRow {
        place: String::from("I, 13"),
        until: String::from("20"),
        n_bars: 8,
        meter: String::from("7/8"),
        rate: Some((Quarters::ONE, 84.0)),
        pattern: pattern.parse().unwrap(),
        groups: Vec::new(),
        words: format!("in {pattern}"),
        chosen: pattern.len() > 1,
        reason: String::from("quarter = 84, the beat is kept"),
    }
}

fn group(from: usize, to: usize, level: u8, sum: &str) -> PlanGroup {
    let count = to + 1 - from;
    PlanGroup {
        from,
        to,
        level,
        name: String::new(),
        count,
        text: count.to_string(),
        sum: sum.to_owned(),
    }
}

fn movement(n_parts: usize) -> PlanMovement {
    let at = |bar: usize, share: f32| Spot { bar, share };
    PlanMovement {
        numeral: String::from("I"),
        heading: String::from("I. Low water"),
        n_bars: 58,
        seconds: 116.0,
        played_seconds: 150.0,
        order: String::from("1–8 twice, 9–58"),
        meters: vec![String::from("4/4"), String::from("7/8"), String::from("3/4")],
        bars: (0..58).map(bar).collect(),
        tempi: vec![PlanTempo {
            words: String::from("Largamente"),
            metronome: Some((Quarters::new(3, 2).unwrap(), String::from("52"))),
            ..PlanTempo::default()
        }],
        groups: vec![
            group(0, 11, 2, "4+4+4"),
            group(0, 3, 1, ""),
            group(4, 7, 1, ""),
            group(8, 11, 1, ""),
        ],
        devices: vec![PlanDevice {
            from: at(2, 0.0),
            to: at(20, 0.5),
            words: String::from("con sord. tpt"),
            muted: true,
            ended: true,
        }],
        hairpins: vec![PlanHairpin {
            from: at(14, 0.5),
            to: at(18, 1.0),
            louder: true,
            n_parts: 2,
        }],
        entries: vec![
            PlanEntry {
                at: at(5, 0.5),
                rest_from: at(1, 0.0),
                who: String::from("hn 3"),
                cue: CueState::Wanted,
            },
            PlanEntry {
                at: at(9, 0.0),
                rest_from: at(0, 0.0),
                who: String::from("tba"),
                cue: CueState::Proposed,
            },
        ],
        rows: (0..n_parts).map(row).collect(),
        section_rows: (0..n_parts.min(20)).map(row).collect(),
        marks: vec![PlanMark {
            layer: 0,
            from: at(4, 0.0),
            to: Some(7),
            sign: Sign::Watch,
            text: HOSTILE.to_owned(),
            parts: String::new(),
        }],
        entrances: vec![EntranceRow {
            place: String::from("I, 6"),
            beat: String::from("3"),
            parts: String::from("Horn 3"),
            rest: String::from("4 bars, 0:08"),
            level: String::from("mf"),
            cue: CueState::Wanted,
        }],
        beatings: PATTERNS.split(", ").map(beating_row).collect(),
        ..PlanMovement::default()
    }
}

/// Text that would do harm if it were ever read as markup.
const HOSTILE: &str = "#import \"x\": * $x^2$ *keep* _low_ [a] <b> @c \\ // = ~ & é";

fn plan(n_parts: usize) -> StudyPlan {
    StudyPlan {
        title: String::from("The Tide Mill"),
        composer: String::from("A. Composer"),
        author: String::from("M. Conductor"),
        version: 3,
        forces: String::from("3(3.=picc.) 2 2 2 – 4 2 3 1 – timpani – strings"),
        families: vec![FamilyRow {
            family: String::from("Woodwinds"),
            parts: vec![String::from("Flute 1")],
        }],
        needs: vec![NeedRow {
            part: String::from("Trumpet 1"),
            what: vec![String::from("mute (I)")],
        }],
        movements: vec![movement(n_parts)],
        cue_places: vec![CuePlace {
            movement: 0,
            place: String::from("6"),
            beat: String::from("3"),
            parts: String::from("Horn 3"),
            who: String::from("third horn"),
            how: HOSTILE.to_owned(),
            reasons: vec![String::from("rest of 4 bars")],
            state: CueState::Wanted,
            clash: String::from("together with Vc. on another side"),
        }],
        cues: vec![CueRow {
            movement: 0,
            place: String::from("I, 6"),
            bar: String::from("6"),
            beat: String::from("3"),
            part: String::from("Horn 3"),
            part_idx: 2,
            who: String::from("third horn"),
            how: HOSTILE.to_owned(),
            reasons: vec![String::from("rest of 4 bars")],
            state: CueState::Wanted,
            clash: String::from("together with Vc. on another side"),
        }],
        layers: vec![PlanLayer {
            name: HOSTILE.to_owned(),
            marks: vec![MarkRow {
                place: String::from("I, 5 to 8"),
                parts: String::new(),
                sign: Sign::Watch,
                text: HOSTILE.to_owned(),
            }],
        }],
        seats: vec![SeatRow {
            depth: "front",
            sides: vec![String::from("Vn. I"), String::new(), String::new(), HOSTILE.to_owned()],
        }],
        looks: vec![LookRow { place: String::from("I, 9"), what: HOSTILE.to_owned(), n: 1 }],
    }
}

fn options(paper: Paper) -> ExportOptions {
    ExportOptions { paper, date: Some((2026, 11, 25)) }
}

/// For a person to look at: set PLAN_OUT to a folder.
fn show(name: &str, pdf: &[u8]) {
    if let Some(folder) = std::env::var_os("BARLOOM_PLAN_OUT") {
        let path = std::path::Path::new(&folder).join(name);
        std::io::Write::write_all(&mut std::fs::File::create(path).unwrap(), pdf).unwrap();
    }
}

#[test]
fn equal_plans_give_equal_bytes() {
    let pdf = || crate::pdf(&plan(14), &options(Paper::A4)).unwrap();
    let first = pdf();
    assert!(first.starts_with(b"%PDF-"));
    assert!(first == pdf(), "two runs differ");
    show("hand.pdf", &first);
    let png = || Typeset::of(&plan(2), &options(Paper::A4)).unwrap().png(0.5).unwrap();
    assert!(png() == png());
}

#[test]
fn every_paper_and_size_of_orchestra_is_set() {
    for (paper, n_parts) in [(Paper::A4, 1), (Paper::Letter, 60), (Paper::A3, 60)] {
        let pages = Typeset::of(&plan(n_parts), &options(paper)).unwrap();
        assert!(pages.n_pages() >= 6, "{paper:?}: {}", pages.n_pages());
        show(&format!("{paper:?}-{n_parts}.pdf"), &pages.pdf().unwrap());
        let picture = pages.png_page(0, 1.0).unwrap().unwrap();
        assert!(picture.starts_with(b"\x89PNG"));
        let width = u32::from_be_bytes(picture[16..20].try_into().unwrap());
        assert_eq!(f64::from(width), paper.size_pt().0.round(), "{paper:?}");
        assert!(pages.png_page(pages.n_pages(), 1.0).is_none());
    }
}

#[test]
fn an_empty_plan_is_one_page() {
    let pages = Typeset::of(&StudyPlan::default(), &ExportOptions::default()).unwrap();
    assert_eq!(pages.n_pages(), 1);
    assert!(!pages.pdf().unwrap().is_empty());
}

#[test]
fn odd_movements_are_set() {
    let mut plan = plan(3);
    plan.title = "A title that goes on and on ".repeat(20);
    let long = "word".repeat(200);
    plan.movements[0].heading = long.clone();
    plan.movements[0].tempi[0].words = long.clone();
    plan.movements[0].rows[0].name = long.clone();
    plan.movements[0].bars[8].rehearsal = Some(long.clone());
    plan.movements[0].bars[3].label = long.clone();
    plan.movements[0].marks[0].text = long.clone();
    plan.movements[0].entries[0].who = long;
    plan.movements[0].bars[5].meter = Some(Meter::default());
    plan.movements[0].bars[5].quarters = 0.0;
    plan.movements[0].bars[6].quarters = 400.0;
    plan.movements.push(PlanMovement::default());
    let pdf = crate::pdf(&plan, &options(Paper::A4)).unwrap();
    show("odd.pdf", &pdf);
}

#[test]
fn passages_side_by_side_are_set_at_any_length() {
    use barloom_analysis::compare::{Cell, Sheet, SheetRow};
    let row = |nth: usize| SheetRow {
        head: String::from("Level"),
        first: format!("bar {nth}"),
        second: format!("bar {}", nth + 100),
        text: String::from("ff instead of p, #C E\u{266d} [not markup]"),
        evidence: String::from("measured"),
        pairs: (nth, nth),
    };
    let sheet = |n: usize, n_parts: usize| Sheet {
        title: String::from("The Tide Mill"),
        first: String::from("I, bars 1\u{2013}8"),
        second: String::from("III, bars 9\u{2013}16"),
        summary: vec![String::from("8 bars answer each other.")],
        stayed: (0..n / 2).map(row).collect(),
        changed: (0..n).map(row).collect(),
        bars: (0..n).map(|nth| (nth.to_string(), (nth + 100).to_string())).collect(),
        n_changed: (0..n).map(|nth| nth % 12).collect(),
        parts: (0..n_parts)
            .map(|part| (format!("Part {part}"), vec![(Cell::Line, Cell::Plays); n]))
            .collect(),
    };
    for (n, n_parts, least) in [(0, 0, 1), (1, 1, 1), (30, 24, 2), (1000, 40, 10)] {
        let pages = Typeset::of_sheet(&sheet(n, n_parts), &options(Paper::A4)).unwrap();
        assert!(pages.n_pages() >= least, "{n}: {}", pages.n_pages());
        show(&format!("passages-{n}.pdf"), &pages.pdf().unwrap());
    }
}
