//! The community MusicXML test suite again (MIT license): what its files on pitch, transposition,
//! notations, percussion and staff groups say, argued by hand from their texts and the MusicXML 4.0
//! specification.

use std::path::PathBuf;

use barloom_core::event::{Manner, MarkingKind, Note};
use barloom_core::import::Import;
use barloom_core::score::PartMusic;

use crate::{outside, works};

const WHAT: &str = "pitch and notations in the community MusicXML test suite";

fn suite() -> Option<PathBuf> {
    Some(outside::data(WHAT)?.join("musicxml-suite/xmlFiles"))
}

fn read(folder: &std::path::Path, name: &str) -> Import {
    works::read(&folder.join(name)).unwrap()
}

fn parts(import: &Import) -> &[PartMusic] {
    &import.score.movements[0].music
}

fn keys(music: &PartMusic) -> Vec<f64> {
    music.notes.iter().filter_map(|note| Some(note.sounding?.midi())).collect()
}

/// "Trumpet in Bb, Horn in Eb, Piano; all of them show the C major scale": C4 to C5 in all parts.
#[test]
fn transposing_parts_sound_one_scale() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "72a-TransposingInstruments.xml");
    for music in parts(&import) {
        assert_eq!(keys(music), [60.0, 62.0, 64.0, 65.0, 67.0, 69.0, 71.0, 72.0]);
    }
    let by: Vec<i32> = parts(&import)
        .iter()
        .map(|music| music.transposition_at(1, music.notes[0].onset).semitones())
        .collect();
    assert_eq!(by, [-2, -9, 0]);
    assert_eq!(import.score.movements[0].keys[0].fifths, 0, "all parts are in C at concert pitch");
}

/// Eleven transpositions up to three octaves and a tritone, each of one note that sounds C5.
#[test]
fn every_transposition_of_the_suite_sounds_the_same_note() {
    let Some(folder) = suite() else { return };
    for name in ["72b-TransposingInstruments-Full.xml", "72d-TransposingInstruments-scorePitch.xml"]
    {
        let import = read(&folder, name);
        assert_eq!(parts(&import).len(), 11, "{name}");
        for music in parts(&import) {
            assert_eq!(keys(music), [72.0], "{name}, part {}", music.source_id);
        }
    }
}

/// Written C4 three times: clarinet in E flat, then in B flat.
#[test]
fn a_transposition_changes_inside_a_part() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "72c-TransposingInstruments-Change.xml");
    assert_eq!(keys(&parts(&import)[0]), [63.0, 58.0, 58.0]);
}

/// Two octaves up and down, one octave up and down: the pitches in the file sound as they are.
#[test]
fn ottava_lines_move_no_pitch() {
    let Some(folder) = suite() else { return };
    let expected = [69.0, 72.0, 93.0, 48.0, 47.0, 81.0, 81.0, 59.0, 60.0];
    let import = read(&folder, "33d-Spanners-OctaveShifts.xml");
    assert_eq!(keys(&parts(&import)[0]), expected);
}

/// Timpani with a tied roll have pitches (E3, A2); cymbals and triangle have none and are printed on
/// E5 C5 D5 and F4 F4 E4.
#[test]
fn percussion_is_pitched_or_printed_somewhere() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "73a-Percussion.xml");
    let [timpani, cymbals, triangle] = parts(&import) else { panic!("three parts") };
    assert_eq!(keys(timpani), [52.0, 52.0, 45.0]);
    let counted = |music: &PartMusic| music.notes.iter().filter(|note| note.is_counted()).count();
    assert_eq!([counted(timpani), counted(cymbals), counted(triangle)], [2, 3, 3]);
    let printed = |music: &PartMusic| -> Vec<String> {
        assert!(keys(music).is_empty());
        music.notes.iter().map(|note| note.written.unwrap().to_string()).collect()
    };
    assert_eq!(printed(cymbals), ["E5", "C5", "D5"]);
    assert_eq!(printed(triangle), ["F4", "F4", "E4"]);
    let names: Vec<&str> =
        import.score.parts.iter().map(|part| part.instrument.get().name).collect();
    assert_eq!(names, ["timpani", "cymbals", "triangle"]);
}

/// Tremolos of 4, 2, 1 and 3 strokes and one without measure, each written on one head of a chord:
/// they hold for the stem.
#[test]
fn a_tremolo_on_one_head_holds_for_the_chord() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "21g-Chords-Tremolos.musicxml");
    let notes = &parts(&import)[0].notes;
    let mut strokes: Vec<(i64, u8)> =
        notes.iter().map(|note| (note.onset.0, note.tremolo)).collect();
    strokes.dedup();
    let strokes: Vec<u8> = strokes.into_iter().map(|(_, strokes)| strokes).collect();
    assert_eq!(strokes, [4, 2, 1, 3, 255]);
}

fn shown(notes: &[Note], flags: &[(Manner, char)]) -> String {
    let show = |note: &Note| {
        flags.iter().find(|(flag, _)| note.manner.has(*flag)).map_or('.', |(_, letter)| *letter)
    };
    notes.iter().map(show).collect()
}

/// Glissandi of every style, then slides: each from one note to the next.
#[test]
fn glissandi_and_slides_begin_and_end() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "33h-Spanners-Glissando.xml");
    let flags = [
        (Manner::GLISSANDO, 'g'),
        (Manner::GLISSANDO_ENDS, ')'),
        (Manner::SLIDE, 's'),
        (Manner::SLIDE_ENDS, ']'),
    ];
    let lines = shown(&parts(&import)[0].notes, &flags);
    assert_eq!(lines, "g)g)g)g)g)s]s]s]s]s]");
}

/// The trill begins on the second sixteenth and lasts over the dotted quarter; the grace notes
/// before and after are not trilled, though the line ends on the last of them.
#[test]
fn a_trill_reaches_to_the_turn_after_it() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "33f-Trill-EndingOnGraceNote.xml");
    let flags = [(Manner::TRILL_GOES_ON, '~'), (Manner::TRILL, 't')];
    assert_eq!(shown(&parts(&import)[0].notes, &flags), "..t.~..");
}

/// Wavy lines one after the other: where one ends the next begins.
#[test]
fn wavy_lines_follow_each_other() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "99c-Wavy-Lines-No-Numbers.xml");
    let flags = [(Manner::TRILL_GOES_ON, '~'), (Manner::TRILL, 't')];
    assert_eq!(shown(&parts(&import)[0].notes, &flags), "t~~");
}

/// One voice that runs over both staves of a piano: each note knows its staff.
#[test]
fn a_voice_may_cross_the_staves() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "43d-MultiStaff-StaffChange.xml");
    let first = parts(&import)[0].notes.iter().filter(|note| note.bar.0 == 0);
    let staves: Vec<u8> = first.map(|note| note.staff).collect();
    assert_eq!(staves, [2, 1, 2, 1, 1, 1, 2, 2]);
}

/// A printed name that overrides the plain one, and a name with line breaks in it.
#[test]
fn parts_are_named_as_they_are_printed() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "41i-PartNameDisplay-Override.xml");
    assert_eq!(import.score.parts[1].name, "Overridden Part Name");
    assert_eq!(import.score.parts[1].short, "Overr.abbrv.");
    let import = read(&folder, "41e-StaffGroups-InstrumentNames-Linebroken.xml");
    assert_eq!(import.score.parts[0].name, "Long Staff Name");
}

/// An orchestra in nested groups: each part is the instrument that its name says, one player each.
#[test]
fn an_orchestra_in_groups_keeps_its_instruments() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "41c-StaffGroups.xml");
    let names: Vec<&str> =
        import.score.parts.iter().take(11).map(|part| part.instrument.get().name).collect();
    let expected = [
        "piccolo",
        "flute",
        "flute",
        "oboe",
        "cor anglais",
        "piccolo clarinet",
        "clarinet",
        "clarinet",
        "bass clarinet",
        "bassoon",
        "bassoon",
    ];
    assert_eq!(names, expected);
    assert!(import.score.parts.iter().all(|part| part.players.len() == 1));
}

/// Every technical sign of the standard on one note each: bows, harmonics of each kind, open string,
/// stopped, snap pizzicato; nothing stands there twice.
#[test]
fn signs_of_technique_are_told_apart() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "32ab-Notations3.xml");
    let notes = &parts(&import)[0].notes;
    let count = |flag: Manner| notes.iter().filter(|note| note.manner.has(flag)).count();
    assert!(count(Manner::HARMONIC) >= 3 && count(Manner::ARTIFICIAL) >= 1);
    for (flag, what) in [
        (Manner::UP_BOW, "up-bow"),
        (Manner::DOWN_BOW, "down-bow"),
        (Manner::OPEN_STRING, "open string"),
        (Manner::STOPPED, "stopped"),
        (Manner::SNAP, "snap pizzicato"),
    ] {
        assert_eq!(count(flag), 1, "{what}");
    }
    // All are written at C5, and no sign moves a pitch that the file does not move.
    assert!(keys(&parts(&import)[0]).iter().all(|key| *key == 72.0));
}

/// Breath marks and caesuras hang on notes.
#[test]
fn breaths_and_caesuras_are_markings() {
    let Some(folder) = suite() else { return };
    let import = read(&folder, "32a-Notations.xml");
    let kinds: Vec<&MarkingKind> = parts(&import)[0].markings.iter().map(|m| &m.kind).collect();
    assert!(kinds.iter().any(|kind| matches!(kind, MarkingKind::Breath(_))), "{kinds:?}");
    assert!(kinds.iter().any(|kind| matches!(kind, MarkingKind::Caesura(_))), "{kinds:?}");
}
