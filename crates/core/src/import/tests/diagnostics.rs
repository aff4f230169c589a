//! One small input for every finding of the reader, with the findings that must come of it.

use super::compact::{document, findings, read_text};
use super::mei;
use crate::diag::{CODES, Code};
use crate::import::{Import, InputFile, Watch, read};
use std::collections::BTreeSet;

/// An input and the codes it causes, in order; [`Code::TempoAssumed`] and [`Code::MeterMissing`] are
/// left out unless they are what is meant.
struct Case {
    text: String,
    expected: Vec<Code>,
}

fn case(parts: &[&str], expected: &[Code]) -> Case {
    Case { text: document(parts), expected: expected.to_vec() }
}

/// A case whose document is changed before it is read.
fn changed(parts: &[&str], from: &str, to: &str, expected: &[Code]) -> Case {
    let text = document(parts);
    assert!(text.contains(from), "{from} is not in {text}");
    Case { text: text.replacen(from, to, 1), expected: expected.to_vec() }
}

fn cases() -> Vec<Case> {
    let wedge = |kind: &str| {
        format!(
            "{{<direction><direction-type><wedge_type=\"{kind}\"/></direction-type></direction>}}"
        )
    };
    let dynamic = "{<direction><direction-type><dynamics><other-dynamics>qz</other-dynamics>\
                   </dynamics></direction-type></direction>}";
    let metronome = |text: &str| {
        format!(
            "{{<direction><direction-type><metronome><beat-unit>quarter</beat-unit>\
             <per-minute>{text}</per-minute></metronome></direction-type><sound_tempo=\"60\"/></direction>}}"
        )
    };
    let rehearsal = |mark: &str| {
        format!(
            "{{<direction><direction-type><rehearsal>{mark}</rehearsal></direction-type></direction>}}"
        )
    };
    let flute = "Flute: @4/4 C4:16";
    let listed = "<score-part id=\"P9\"><part-name>Oboe</part-name></score-part></part-list>";
    vec![
        case(&[flute], &[]),
        changed(&[flute], "</part-list>", listed, &[Code::PartListOdd]),
        case(&["Kazoophon: @4/4 C4:16"], &[Code::InstrumentUnknown]),
        case(
            &[
                &format!("Flute: @4/4 {} C4:16", rehearsal("A")),
                &format!("Oboe: @4/4 {} C4:16", rehearsal("B")),
            ],
            &[Code::RehearsalConflict],
        ),
        changed(&["Flute: @4/4 C4:4"], "<divisions>4</divisions>", "", &[Code::DivisionsMissing]),
        changed(
            &["Flute: @4/4 C4:4"],
            ">4</div",
            ">-4</div",
            &[Code::DivisionsUnreadable, Code::DivisionsMissing],
        ),
        case(&["Flute: @4/4 C4:x r:16"], &[Code::DurationUnreadable]),
        case(&["Flute: @4/4 C4 C4:16"], &[Code::DurationUnreadable]),
        case(
            &["Flute: @4/4 C4:3.000000001 >12.999999999"],
            &[Code::BarLengthOdd, Code::DurationRounded, Code::DurationRounded],
        ),
        case(&["Flute: @4/4 C4:8 <16 C4:16"], &[Code::BackupTooLong]),
        case(&["Flute: @4/4 C4:99999999 | C4:16"], &[Code::BarLengthOdd, Code::BarTooLong]),
        case(&["Flute: @4/4 +C4:16"], &[Code::ChordWithoutNote]),
        case(&["Flute: @4/4 C4:16 +E4:20"], &[Code::ChordNoteCut]),
        changed(
            &[flute],
            "<pitch><step>C</step><octave>4</octave></pitch>",
            "",
            &[Code::NoteUnreadable],
        ),
        case(&["Flute: @4/4 Q4:16"], &[Code::PitchUnreadable]),
        changed(&["Flute: @4/4 C#4:16"], ">1</alter>", ">0.3</alter>", &[Code::PitchRounded]),
        changed(
            &[flute],
            "</duration>",
            "</duration><accidental>sharp</accidental>",
            &[Code::AlterationMissing],
        ),
        case(&["Flute: @x/4 C4:16"], &[Code::MeterUnreadable]),
        case(&["Flute: @4/4 C4:8 @3/4 C4:8 | C4:12"], &[Code::MeterInsideBar]),
        case(&["Flute: @4/4 C4:16 | C4:20 | C4:16"], &[Code::BarLengthOdd]),
        changed(
            &["Flute: @4/4 C4:16 | C4:16"],
            "<measure number=\"2\">",
            "<measure number=\"2\" non-controlling=\"yes\">",
            &[Code::BarlinesApart],
        ),
        changed(
            &["Flute: @4/4 C4:16"],
            "</voice>",
            "</voice><type>half</type>",
            &[Code::ValueDiffers],
        ),
        case(&["Flute: @4/4 C4:16 | C4:16", "Oboe: @2/2 C4:16 | C4:16"], &[Code::MeterDiffers]),
        case(&["Flute: @4/4 C4:16 | C4:16", "Oboe: @4/4 C4:16 | C4:8"], &[Code::BarLengthsDiffer]),
        case(&["Flute: @4/4 C4:16 | C4:16", "Oboe: @4/4 C4:16"], &[Code::BarsMissing]),
        case(&["Flute: @4/4 C4:4 | C4:16"], &[Code::PickupFound]),
        case(&["Flute: @4/4 C4:16 | C4:16 || | #1 C4:16 | #2 C4:16"], &[Code::MovementSplit]),
        case(&[&format!("Flute: @4/4 {} C4:16", wedge("crescendo"))], &[Code::HairpinOpen]),
        case(&[&format!("Flute: @4/4 {} C4:16", wedge("stop"))], &[Code::HairpinUnbegun]),
        case(&["Flute: @4/4 ~C4:8 D4:8"], &[Code::TieOpen]),
        case(
            &[
                "Violin: @4/4 A4:16^<technical><harmonic><artificial/><base-pitch/></harmonic></technical>",
            ],
            &[Code::HarmonicUnclear],
        ),
        case(&[&format!("Flute: @4/4 {} C4:16", metronome("fast"))], &[Code::TempoUnreadable]),
        case(&[&format!("Flute: @4/4 {} C4:16", metronome("90"))], &[Code::TempoConflict]),
        case(&["Flute: @4/4 'Wachtelschlag' C4:16"], &[Code::WordsUnknown]),
        case(
            &[&format!("Flute: @4/4 {dynamic} C4:16")],
            &[Code::DynamicUnknown, Code::WordsUnknown],
        ),
        case(&["Flute: @4/4 C4:16 | C4:16 'D.S.'"], &[Code::OrderUnclear, Code::OrderUnclear]),
        Case {
            text: mei::bars(&["<note dur='1' pname='c' oct='4'/>"]).replace("5.0", "3.0.0"),
            expected: vec![Code::VersionOther],
        },
        Case {
            text: mei::bars(&[
                "<app><rdg><mRest/></rdg><lem><note dur='1' pname='c' oct='4'/></lem></app>",
            ]),
            expected: vec![Code::ReadingChosen],
        },
        Case {
            text: mei::bars(&["<note dur='1' pname='c' oct='4'/><neume/>"]),
            expected: vec![Code::ElementUnknown],
        },
        Case {
            text: mei::bars(&["<note dur='1' pname='c' oct='4'/>|<trill startid='#gone'/>"]),
            expected: vec![Code::ReferenceUnknown],
        },
        Case {
            text: mei::bars(&["<note dur='1' pname='f' oct='4'/>"])
                .replace("lines=", "keysig='1s' lines="),
            expected: vec![Code::AlterationImplied],
        },
    ]
}

#[test]
fn every_case_causes_its_findings_and_no_others() {
    let mut wrong = String::new();
    for Case { text, expected } in cases() {
        let import = read_text(&text);
        let found: Vec<Code> = findings(&import).iter().map(|found| found.code).collect();
        if found != expected {
            wrong += &format!("{found:?} not {expected:?} of\n{text}\n");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// Findings about a whole file, which need bytes rather than text.
fn about_files() -> Vec<(Import, Code)> {
    let read_bytes = |bytes: Vec<u8>| {
        read(&[InputFile { name: String::from("a.mxl"), bytes }], &Watch::default()).unwrap()
    };
    let horns = |name: &str| {
        let bytes = document(&[&format!("{name}: @4/4 C4:16")]).into_bytes();
        InputFile { name: format!("{name}.xml"), bytes }
    };
    let text = document(&["Fl\u{f6}te: @4/4 C4:16"]);
    let latin: Vec<u8> = text.chars().map(|letter| letter as u8).collect();
    let mut packed = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    packed.start_file("a.xml", zip::write::SimpleFileOptions::default()).unwrap();
    std::io::Write::write_all(&mut packed, text.as_bytes()).unwrap();
    let packed = packed.finish().unwrap().into_inner();
    vec![
        (read_bytes(latin), Code::EncodingAssumed),
        (read_bytes(packed), Code::ContainerOdd),
        (read_text(&document(&["Flute: C4:16"])), Code::MeterMissing),
        (read_text(&document(&["Flute: @4/4 C4:16"])), Code::TempoAssumed),
        (
            read(&[horns("Horns 1.2"), horns("Horn")], &Watch::default()).unwrap(),
            Code::PartMatchDoubtful,
        ),
    ]
}

#[test]
fn findings_about_files_name_them() {
    for (import, code) in about_files() {
        let found = import.diagnostics.iter().find(|found| found.code == code);
        let found = found.unwrap_or_else(|| panic!("{code:?} is not in {:?}", import.diagnostics));
        assert!(!found.place.file.is_empty() && !found.place.entry.is_empty());
    }
}

/// Codes of findings that other parts of this crate cause, and test.
const ELSEWHERE: &[&str] = &[
    "source-changed",
    "movement-gone",
    "movement-unused",
    "join-rounded",
    "bar-changed",
    "bar-doubtful",
    "bar-gone",
    "place-moved",
    "part-gone",
    "part-renamed",
    "decision-displaced",
    "correction-unplaced",
    "tempo-unclear",
    "technique-unclear",
];

#[test]
fn every_code_has_an_input_that_causes_it() {
    let mut covered: BTreeSet<&str> = ELSEWHERE.iter().copied().collect();
    covered.extend(cases().iter().flat_map(|case| &case.expected).map(|code| code.name()));
    covered.extend(about_files().iter().map(|(_, code)| code.name()));
    let missing: Vec<&str> =
        CODES.iter().map(|row| row.name).filter(|name| !covered.contains(name)).collect();
    assert!(missing.is_empty(), "no input causes {missing:?}");
}

#[test]
fn places_are_exact() {
    let import = read_text(&document(&["Flute: @4/4 C4:16 | C4:8 'Wachtelschlag' C4:8"]));
    let found = findings(&import)[0];
    assert_eq!(found.place.part, Some((String::from("P1"), String::from("Flute"))));
    assert_eq!(found.place.bar.as_ref().map(|(bar, name)| (bar.0, name.as_str())), Some((1, "2")));
    assert_eq!(found.place.at.map(|at| at.to_string()).as_deref(), Some("2"));
    let text = document(&["Flute: @4/4 C4:16 | C4:8 'Wachtelschlag' C4:8"]);
    let line = text.lines().nth(found.place.line as usize - 1).unwrap();
    assert!(line.contains("Wachtelschlag") && found.place.column == 1, "{}", found.place);
}

#[test]
fn many_findings_of_a_kind_are_counted() {
    let bar = "C4:8 <16 C4:16";
    let bars = vec![bar; 500].join(" | ");
    let import = read_text(&document(&[&format!("Flute: @4/4 {bars}")]));
    let found = findings(&import);
    assert_eq!(found.len() as u32, crate::import::limits::MAX_LISTED);
    let last = found.last().unwrap();
    assert_eq!(last.more, 480);
    assert!(last.to_string().ends_with("and 480 more of this kind"), "{last}");
}
