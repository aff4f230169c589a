//! What the files of the community suite about rests, rhythm, meters, tuplets, voices, staves and
//! incomplete bars must come to. The values are counted by hand in each file from its durations and
//! its own description.

use barloom_core::bar::Bar;
use barloom_core::event::{Note, NoteTraits, Tuplet};
use barloom_core::score::{Movement, PartMusic};

use crate::{outside, works};

/// A file, its bars, and the notes and grace notes of its parts.
type Expected = (&'static str, &'static str, &'static [(usize, usize)]);

/// Bars as `length:meter` in quarters, with `p` for upbeats and `c` for further parts of a bar; then
/// the notes and grace notes of each part.
const EXPECTED: &[Expected] = &[
    (
        "02d-Rests-Multimeasure-TimeSignatures",
        "4:4/4 4:4/4 3:3/4 3:3/4 3:3/4 2:2/4 2:2/4 4:4/4 4:4/4 4:4/4",
        &[(1, 0)],
    ),
    ("02e-Rests-NoType", "1:4/4p 4:4/4", &[(3, 0)]),
    // Two quarters, a step back of one, two quarters.
    ("03b-Rhythm-Backup", "3:4/4", &[(4, 0)]),
    ("03c-Rhythm-DivisionChange", "4:4/4 4:4/4", &[(6, 0)]),
    (
        "11a-TimeSignatures",
        "4:2/2 4:4/4 4:2/2 6:3/2 2:2/4 3:3/4 4:4/4 5:5/4 3/2:3/8 3:6/8 6:12/8",
        // A tie joins two of the twelve heads.
        &[(11, 0)],
    ),
    ("11c-TimeSignatures-CompoundSimple", "5/2:3+2/8 9:5+3+1/4", &[(9, 0)]),
    ("11d-TimeSignatures-CompoundMultiple", "11/2:3/8+2/8+3/4 21/2:5/2+1/8", &[(11, 0)]),
    ("11e-TimeSignatures-CompoundMixed", "11/2:3+2/8+3/4", &[(8, 0)]),
    ("11f-TimeSignatures-SymbolMeaning", "3/2:3/8 5/2:3+2/8 5/2:1/8+2/4", &[(5, 0)]),
    ("11h-TimeSignatures-SenzaMisura", "3/2:senza misura", &[(3, 0)]),
    // On the page, four of the first five notes behind the first are slashes.
    ("22b-Staff-Notestyles", "4:4/4 4:4/4 4:4/4", &[(6, 0)]),
    ("23a-Tuplets", "4:4/4 4:4/4 4:4/4 4:4/4", &[(31, 0)]),
    ("23d-Tuplets-Nested", "2:2/4", &[(9, 0)]),
    ("23f-Tuplets-DurationButNoBracket", "4:4/4", &[(20, 0)]),
    ("24c-GraceNote-MeasureEnd", "4:4/4", &[(2, 2)]),
    ("24d-AfterGrace", "4:4/4", &[(2, 5)]),
    ("42b-MultiVoice-MidMeasureClefChange", "3:6/8 3:6/8", &[(22, 0)]),
    ("43b-MultiStaff-DifferentKeys", "4:4/4", &[(2, 0)]),
    ("43c-MultiStaff-DifferentKeysAfterBackup", "4:4/4", &[(2, 0)]),
    ("43d-MultiStaff-StaffChange", "4:4/4 4:4/4", &[(23, 0)]),
    // No meter is stated.
    ("46b-MidmeasureBarline", "4:senza misura", &[(4, 0)]),
    ("46d-PickupMeasure-ImplicitMeasures", "3/2:4/4p 2:4/4 2:4/4c 3:4/4", &[(8, 0)]),
    ("46e-PickupMeasure-SecondVoiceStartsLater", "1:senza misurap 4:senza misura", &[(6, 0)]),
    // The first bar is short and not marked: it cannot be told from an upbeat.
    ("46f-IncompleteMeasures", "2:4/4p 4:4/4 2:4/4 4:4/4", &[(12, 0)]),
];

const WHAT: &str = "rhythm in the community MusicXML test suite";

/// The one movement of a file.
fn movement(name: &str) -> Option<std::sync::Arc<Movement>> {
    let path = outside::data(WHAT)?.join(format!("musicxml-suite/xmlFiles/{name}.xml"));
    let import = works::read(&path).unwrap();
    Some(import.score.movements[0].clone())
}

fn bars(movement: &Movement) -> String {
    let show = |bar: &Bar| {
        let kind = match (bar.pickup, bar.continues) {
            (true, _) => "p",
            (_, true) => "c",
            _ => "",
        };
        format!("{}:{}{kind}", movement.resolution.quarters(bar.length), bar.meter_text())
    };
    movement.bars.as_slice().iter().map(show).collect::<Vec<_>>().join(" ")
}

fn counts(music: &PartMusic) -> (usize, usize) {
    let graces = music.notes.iter().filter(|note| note.traits.has(NoteTraits::GRACE));
    (music.notes.iter().filter(|note| note.is_counted()).count(), graces.count())
}

#[test]
fn files_about_rhythm_come_to_what_they_show() {
    for (name, expected, notes) in EXPECTED {
        let Some(movement) = movement(name) else { return };
        assert_eq!(bars(&movement), *expected, "{name}");
        let found: Vec<(usize, usize)> = movement.parts().map(|(_, music)| counts(music)).collect();
        assert_eq!(found, *notes, "{name}");
    }
}

/// "Four multi-measure rests: 3 measures, 15 measures, 1 measure, and 12 measures"; the rest of one
/// bar has no element of its own.
#[test]
fn multiple_rests_are_those_that_the_file_describes() {
    let Some(movement) = movement("02c-Rests-MultiMeasureRests") else { return };
    let rests = &movement.music[0].multiple_rests;
    let rests: Vec<(u32, u32)> = rests.iter().map(|(bar, n)| (bar.0, *n)).collect();
    assert_eq!((movement.bars.len(), rests), (31, vec![(0, 3), (3, 15), (19, 12)]));
}

/// The ratios of the file's description: 3:2, 3:2, 3:2, 4:2, 4:1, 7:3, 6:2; and a 5:2 inside a 3:2,
/// whose notes state the product, 15:4.
#[test]
fn tuplets_have_the_ratios_that_the_files_describe() {
    let ratios = |name: &str| {
        let movement = movement(name)?;
        let mut ratios: Vec<Tuplet> = movement.music[0].notes.iter().map(|n| n.tuplet).collect();
        ratios.dedup();
        let show = |tuplet: &Tuplet| format!("{}:{}", tuplet.actual, tuplet.normal);
        Some(ratios.iter().map(show).collect::<Vec<_>>().join(" "))
    };
    let Some(plain) = ratios("23a-Tuplets") else { return };
    assert_eq!(plain, "3:2 4:2 4:1 7:3 6:2 1:1");
    assert_eq!(ratios("23d-Tuplets-Nested").as_deref(), Some("3:2 15:4 3:2"));
}

/// "The voice from the second staff has some notes/chords on the first staff": one voice, two staves.
#[test]
fn a_voice_crosses_the_staves() {
    let Some(movement) = movement("43d-MultiStaff-StaffChange") else { return };
    let notes = &movement.music[0].notes;
    let staves = |notes: &[Note]| notes.iter().map(|note| note.staff).collect::<Vec<_>>();
    assert_eq!(staves(&notes[..8]), [2, 1, 2, 1, 1, 1, 2, 2]);
    let voice = notes[0].voice;
    assert!(notes.iter().all(|note| note.voice == voice));
}

/// "Some grace notes and after-graces (indicated by steal-time-previous and
/// steal-time-following)": the file has one note with the former.
#[test]
fn after_graces_are_told_apart() {
    let Some(movement) = movement("24d-AfterGrace") else { return };
    let graces = movement.music[0].notes.iter().filter(|n| n.traits.has(NoteTraits::GRACE));
    let after: Vec<bool> = graces.map(|n| n.traits.has(NoteTraits::GRACE_AFTER)).collect();
    assert_eq!(after, [true, false, false, false, false]);
}
