//! Pitches, lengths, ties, chords, voices.

use super::compact::{read_parts, read_text};
use crate::event::{Manner, Note, NoteTraits};
use crate::import::Import;

fn notes(import: &Import) -> &[Note] {
    &import.score.movements[0].music[0].notes
}

/// `pitch@onset+length` in MIDI keys and quarters.
fn shown(import: &Import) -> String {
    let resolution = import.score.movements[0].resolution;
    let show = |note: &Note| {
        let pitch = note.sounding.map_or(String::from("x"), |pitch| pitch.midi().to_string());
        let onset = resolution.quarters(note.onset);
        format!("{pitch}@{onset}+{}", resolution.quarters(note.length))
    };
    notes(import).iter().map(show).collect::<Vec<_>>().join(" ")
}

#[test]
fn notes_stand_where_they_are_written() {
    let import = read_parts(&["Flute: @4/4 C4:4 r:2 D4:2 E4:8 | F#5:6 Bb3:10"]);
    assert_eq!(shown(&import), "60@0+1 62@3/2+1/2 64@2+2 78@4+3/2 58@11/2+5/2");
}

#[test]
fn chords_begin_together_and_do_not_move_on() {
    let import = read_parts(&["Piano: @4/4 C4:8 +E4:8 +G4:4 D4:8"]);
    assert_eq!(shown(&import), "60@0+2 64@0+2 67@0+1 62@2+2");
    assert!(notes(&import)[1].traits.has(NoteTraits::CHORD));
}

#[test]
fn voices_go_back_and_are_numbered_as_they_appear() {
    let import = read_parts(&["Piano: @2/4 v5 C4:8 <8 v2 E4:4 >2 F4:2"]);
    assert_eq!(shown(&import), "60@0+2 64@0+1 65@3/2+1/2");
    let voices: Vec<u8> = notes(&import).iter().map(|note| note.voice).collect();
    assert_eq!(voices, [1, 2, 2]);
}

#[test]
fn grace_notes_have_no_length_and_come_before_the_note() {
    let import = read_parts(&["Flute: @2/4 gD5 gE5 C5:8"]);
    assert_eq!(shown(&import), "74@0+0 76@0+0 72@0+2");
    assert!(!notes(&import)[0].is_counted() && notes(&import)[0].sounds());
}

/// A head continues a sound if it has a stopping `tie`, or a stopping `tied` where there is no
/// `tie` at all (MusicXML 4.0: `tie` is the sound, `tied` the picture).
#[test]
fn ties_follow_the_sound_and_else_the_picture() {
    let import = read_parts(&["Flute: @4/4 ~C4:4 =C4:4 -C4:4 C4:4"]);
    let counted: Vec<bool> = notes(&import).iter().map(Note::is_counted).collect();
    assert_eq!(counted, [true, false, false, true]);
    let tied = "<notations><tied_type=\"stop\"/></notations></note>";
    let text = super::compact::document(&["Flute: @2/4 C4:4 C4:4"]);
    let (before, after) = text.rsplit_once("</note>").unwrap();
    let import = read_text(&format!("{before}{}{after}", tied.replace('_', " ")));
    assert!(!notes(&import)[1].is_counted());
    let with_tie = before.replacen("<voice>", "<tie type=\"start\"/><voice>", 2);
    let import = read_text(&format!("{with_tie}{}{after}", tied.replace('_', " ")));
    assert!(notes(&import)[1].is_counted());
}

/// Written and sounding: the transposition table in the MusicXML 4.0 documentation of `transpose`;
/// horn in F written C5 sounds F4, clarinet in A written C4 sounds A3 ("Ranges of Orchestral
/// Instruments", orchestralibrary reference table).
#[test]
fn transposing_parts_sound_where_they_should() {
    assert_eq!(shown(&read_parts(&["Horn in F: @4/4 T-4,-7 C5:16"])), "65@0+4");
    assert_eq!(shown(&read_parts(&["Clarinet in A: @4/4 T-2,-3 C4:16"])), "57@0+4");
    assert_eq!(shown(&read_parts(&["Clarinet in Eb: @4/4 T2,3 C5:16"])), "75@0+4");
    let piccolo = "{<attributes><transpose><chromatic>0</chromatic>\
                   <octave-change>1</octave-change></transpose></attributes>}";
    assert_eq!(shown(&read_parts(&[&format!("Piccolo: @4/4 {piccolo} D4:16")])), "74@0+4");
    let bass = "{<attributes><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic>\
                <octave-change>-1</octave-change></transpose></attributes>}";
    assert_eq!(shown(&read_parts(&[&format!("Bass clarinet: @4/4 {bass} C4:16")])), "46@0+4");
    // A change in the middle of a part.
    let change = read_parts(&["Clarinet: @4/4 T-1,-2 C4:16 | T-2,-3 C4:16"]);
    assert_eq!(shown(&change), "58@0+4 57@4+4");
    assert_eq!(change.score.movements[0].music[0].transpositions.len(), 2);
}

#[test]
fn quarter_tones_are_exact() {
    let note = "{<note><pitch><step>C</step><alter>0.5</alter><octave>4</octave></pitch>\
                <duration>16</duration></note>}";
    assert_eq!(shown(&read_parts(&[&format!("Flute: @4/4 {note}")])), "60.5@0+4");
}

#[test]
fn cue_notes_and_hidden_notes_and_unpitched_ones_are_told_apart() {
    let hidden = "{<note_print-object=\"no\"><pitch><step>C</step><octave>4</octave></pitch>\
                  <duration>4</duration></note>}";
    let import = read_parts(&[&format!("Flute: @4/4 cC4:4 {hidden} x:4 r:4")]);
    let notes = notes(&import);
    assert!(!notes[0].is_counted() && !notes[0].sounds());
    assert!(notes[1].is_counted() && notes[1].traits.has(NoteTraits::HIDDEN));
    assert!(notes[2].is_counted() && notes[2].sounding.is_none());
}

#[test]
fn what_hangs_on_a_note_is_kept() {
    let note = "{<note><pitch><step>C</step><octave>4</octave></pitch><duration>16</duration>\
        <beam_number=\"1\">begin</beam><notations><slur_type=\"start\"/><articulations><staccato/>\
        <accent/></articulations><ornaments><trill-mark/><tremolo_type=\"single\">3</tremolo>\
        </ornaments><technical><up-bow/></technical><fermata_type=\"upright\">square</fermata>\
        </notations></note>}";
    let import = read_parts(&[&format!("Violin: @4/4 {note}")]);
    let note = &notes(&import)[0];
    let manner = Manner::STACCATO | Manner::ACCENT | Manner::TRILL | Manner::UP_BOW;
    assert!(note.manner.has(manner), "{:?}", note.manner);
    let traits = NoteTraits::BEAM_BEGINS | NoteTraits::SLUR_BEGINS | NoteTraits::FERMATA;
    assert!(note.traits.has(traits), "{:?}", note.traits);
    assert_eq!(note.tremolo, 3);
}

#[test]
fn every_note_knows_its_line() {
    let text =
        super::compact::document(&["Flute: @4/4 C4:8 D4:8 | E4:16", "Oboe: @4/4 C4:16 | D4:16"]);
    let import = read_text(&text);
    for music in &import.score.movements[0].music {
        for note in &music.notes {
            let line = text.lines().nth(note.line as usize - 1).unwrap();
            assert!(line.starts_with("<note>"), "line {}: {line}", note.line);
        }
    }
}

#[test]
fn a_timewise_score_gives_the_same_music() {
    let partwise = read_parts(&["Flute: @2/4 C4:8 | D4:8", "Oboe: @2/4 E4:8 | F4:8"]);
    let measure = |number: u32, head: &str, flute: &str, oboe: &str| {
        let note = |step: &str| {
            format!(
                "<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>8</duration><voice>1</voice></note>"
            )
        };
        format!(
            "<measure number=\"{number}\"><part id=\"P1\">{head}{}</part><part id=\"P2\">{head}{}</part></measure>",
            note(flute),
            note(oboe)
        )
    };
    let head = "<attributes><divisions>4</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>";
    let text = format!(
        "<score-timewise><part-list><score-part id=\"P1\"><part-name>Flute</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Oboe</part-name></score-part></part-list>{}{}</score-timewise>",
        measure(1, head, "C", "E"),
        measure(2, "", "D", "F")
    );
    let timewise = read_text(&text);
    let plain = |import: &Import| {
        let music = import.score.movements[0].music.iter();
        music
            .map(|m| m.notes.iter().map(|n| (n.onset, n.sounding)).collect())
            .collect::<Vec<Vec<_>>>()
    };
    assert_eq!(plain(&timewise), plain(&partwise));
    assert_eq!(timewise.score.movements[0].bars.len(), 2);
}

/// A part keeps its signatures as printed, of one staff or of all, on the circle of fifths or with
/// accidentals of its own (MusicXML 4.0, `key`: `fifths`, or `key-step` and `key-alter`).
#[test]
fn signatures_are_kept_as_printed() {
    use crate::pitch::Step;
    use crate::score::KeySignature;
    let text = super::compact::document(&["Clarinet in B flat: @2/4 C4:8"]);
    let keys = "<key><fifths>2</fifths><mode>major</mode></key><key number=\"2\"><key-step>F\
        </key-step><key-alter>1</key-alter><key-step>E</key-step><key-alter>-0.5</key-alter></key>";
    let transpose = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>";
    let text = text.replacen("<time>", &format!("{keys}<time>"), 1);
    let text = text.replacen("</time>", &format!("</time>{transpose}"), 1);
    let import = read_text(&text);
    let movement = &import.score.movements[0];
    let found: Vec<_> =
        movement.music[0].keys.iter().map(|key| (key.staff, key.signature.clone())).collect();
    let circle = KeySignature::Circle { fifths: 2, mode: String::from("major") };
    let free = KeySignature::Free(vec![(Step::F, 2), (Step::E, -1)]);
    assert_eq!(found, [(None, circle), (Some(2), free)]);
    assert_eq!(movement.keys[0].fifths, 0);
}

/// The alteration says what sounds (MusicXML 4.0, `alter`); where the file states none, a player
/// reads the printed sign, and so do two other readers (music21 and partitura).
#[test]
fn a_printed_accidental_counts_where_the_alteration_is_missing() {
    let text = super::compact::document(&["Flute: @2/4 C4:4 C#4:4"]);
    let printed = |sign: &str| format!("</duration><accidental>{sign}</accidental>");
    let pitches = |text: &str| -> Vec<_> {
        let movement = &read_text(text).score.movements[0];
        movement.music[0].notes.iter().map(|note| note.sounding.map(|p| p.midi())).collect()
    };
    assert_eq!(pitches(&text), [Some(60.0), Some(61.0)]);
    let flat = text.replacen("</duration>", &printed("flat"), 1);
    assert_eq!(pitches(&flat), [Some(59.0), Some(61.0)]);
    let contradicted = text.replace("</duration>", &printed("flat"));
    assert_eq!(pitches(&contradicted), [Some(59.0), Some(61.0)]);
    let natural = text.replacen("</duration>", &printed("natural"), 1);
    assert_eq!(pitches(&natural), [Some(60.0), Some(61.0)]);
}
