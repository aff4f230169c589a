//! What is written on and about notes: tremolo, trills, ornaments, glissandi, signs of technique.

use super::compact::{findings, read_parts};
use crate::event::{BreathShape, CaesuraShape, Manner, MarkingKind, Note, NoteTraits, PlusSign};
use crate::import::Import;
use crate::instrument::InstrumentId;
use crate::time::Ticks;

fn notes(import: &Import) -> &[Note] {
    &import.score.movements[0].music[0].notes
}

#[track_caller]
fn manner(notations: &str) -> Manner {
    let import = read_parts(&[&format!("Violin: @4/4 C5:16^{notations}")]);
    assert!(findings(&import).is_empty());
    notes(&import)[0].manner
}

/// The number of strokes is the text of `tremolo`; `unmeasured` has none (MusicXML 4.0).
#[test]
fn tremolos_are_measured_or_not() {
    let strokes = |tremolo: &str| {
        let import = read_parts(&[&format!("Violin: @4/4 C5:16^<ornaments>{tremolo}</ornaments>")]);
        notes(&import)[0].tremolo
    };
    assert_eq!(strokes("<tremolo>1</tremolo>"), 1);
    assert_eq!(strokes("<tremolo_type=\"single\">3</tremolo>"), 3);
    assert_eq!(strokes("<tremolo_type=\"unmeasured\">0</tremolo>"), 255);
}

/// Each note of the pair has half of the written value as its duration, and both sound through the
/// whole (MusicXML 4.0, `tremolo`).
#[test]
fn both_notes_of_a_tremolo_sound_through_the_whole() {
    let timed = "<time-modification><actual-notes>2</actual-notes><normal-notes>1</normal-notes>\
                 </time-modification>";
    let note = |step: &str, kind: &str| {
        format!(
            "{{<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>8</duration>\
             {timed}<notations><ornaments><tremolo_type=\"{kind}\">3</tremolo></ornaments>\
             </notations></note>}}"
        )
    };
    let import =
        read_parts(&[&format!("Violin: @4/4 {} {}", note("C", "start"), note("E", "stop"))]);
    let notes = notes(&import);
    let whole = (Ticks(0), import.score.movements[0].bars.end());
    assert_eq!([notes[0].sound_span(), notes[1].sound_span()], [whole, whole]);
    assert!(notes.iter().all(|note| note.manner.has(Manner::TREMOLO_PAIR) && note.tremolo == 3));
    assert!(
        !notes[0].manner.has(Manner::TREMOLO_ENDS) && notes[1].manner.has(Manner::TREMOLO_ENDS)
    );
    // The ratio of the pair makes no tuplet.
    assert!(!notes[0].traits.has(NoteTraits::TUPLET));
}

fn trills(bars: &str) -> String {
    let import = read_parts(&[&format!("Flute: @4/4 {bars}")]);
    let show = |note: &Note| {
        let trilled = note.manner.has(Manner::TRILL);
        match (trilled, note.manner.has(Manner::TRILL_GOES_ON)) {
            (true, true) => '~',
            (true, false) => 't',
            _ => '.',
        }
    };
    notes(&import).iter().map(show).collect()
}

#[test]
fn a_wavy_line_trills_every_note_to_its_end() {
    let line = |kind: &str| format!("<wavy-line_type=\"{kind}\"/>");
    let (start, stop) = (line("start"), line("stop"));
    let sign = format!("^<ornaments><trill-mark/>{start}</ornaments>");
    let stop_only = format!("^<ornaments>{stop}</ornaments>");
    let both = format!("^<ornaments><trill-mark/>{start}{stop}</ornaments>");
    assert_eq!(trills("C5:8^<ornaments><trill-mark/></ornaments> D5:8"), "t.");
    assert_eq!(trills(&format!("~C5:16{sign} | =C5:16 | -C5:16{stop_only} | D5:16")), "t~~.");
    assert_eq!(trills(&format!("C5:8{both} D5:8")), "t.");
    // The turn after the trill is not trilled, though the line may end there.
    assert_eq!(trills(&format!("C5:16{sign} | gB4 gC5{stop_only} D5:16")), "t...");
    // Another voice is not under the line.
    assert_eq!(trills(&format!("v1 ~C5:8{sign} -C5:8{stop_only} <16 v2 E4:16")), "t.~");
    // A line that does not end marks only its note.
    assert_eq!(trills(&format!("C5:8{sign} D5:8 | E5:16")), "t..");
}

#[test]
fn ornaments_are_told_apart() {
    let on = |name: &str| manner(&format!("<ornaments><{name}/></ornaments>"));
    for turn in ["turn", "inverted-turn", "delayed-turn", "vertical-turn"] {
        assert_eq!(on(turn), Manner::ORNAMENT | Manner::TURN, "{turn}");
    }
    for mordent in ["mordent", "inverted-mordent"] {
        assert_eq!(on(mordent), Manner::ORNAMENT | Manner::MORDENT, "{mordent}");
    }
    for other in ["schleifer", "shake", "haydn", "other-ornament"] {
        assert_eq!(on(other), Manner::ORNAMENT, "{other}");
    }
    let accidental = "<ornaments><trill-mark/><accidental-mark>sharp</accidental-mark></ornaments>";
    assert_eq!(manner(accidental), Manner::TRILL);
}

#[test]
fn glissandi_and_slides_have_two_ends() {
    let line = |name: &str, kind: &str| manner(&format!("<{name}_type=\"{kind}\"/>"));
    assert_eq!(line("glissando", "start"), Manner::GLISSANDO);
    assert_eq!(line("glissando", "stop"), Manner::GLISSANDO_ENDS);
    assert_eq!(line("slide", "start"), Manner::SLIDE);
    assert_eq!(line("slide", "stop"), Manner::SLIDE_ENDS);
    assert_eq!(manner("<arpeggiate/>"), Manner::ARPEGGIO);
    assert_eq!(manner("<non-arpeggiate_type=\"bottom\"/>"), Manner::NON_ARPEGGIO);
}

#[test]
fn signs_of_technique_are_kept_and_fingerings_are_not() {
    let on = |inside: &str| manner(&format!("<technical>{inside}</technical>"));
    assert_eq!(on("<stopped/>"), Manner::STOPPED);
    assert_eq!(on("<open/>"), Manner::OPEN);
    assert_eq!(on("<half-muted/>"), Manner::HALF_STOPPED);
    assert_eq!(on("<open-string/>"), Manner::OPEN_STRING);
    assert_eq!(on("<snap-pizzicato/>"), Manner::SNAP);
    assert_eq!(on("<up-bow/>"), Manner::UP_BOW);
    assert_eq!(on("<down-bow/>"), Manner::DOWN_BOW);
    let closed =
        |how: &str| on(&format!("<harmon-mute><harmon-closed>{how}</harmon-closed></harmon-mute>"));
    assert_eq!(closed("yes"), Manner::STOPPED);
    assert_eq!(closed("no"), Manner::OPEN);
    assert_eq!(closed("half"), Manner::HALF_STOPPED);
    let fingers = "<fingering>2</fingering><string>3</string><thumb-position/><pluck>p</pluck>";
    assert_eq!(on(fingers), Manner::NONE);
}

/// A plus sign stops a horn, closes a mute or a pair of cymbals, and asks strings to be plucked by
/// the left hand (common practice; the sign is `stopped` in MusicXML 4.0).
#[test]
fn the_plus_sign_means_what_the_instrument_can_do() {
    let on = |name: &str| PlusSign::on(InstrumentId::by_name(name).unwrap());
    assert_eq!(on("horn"), PlusSign::HandStopped);
    assert_eq!(on("trumpet"), PlusSign::Closed);
    assert_eq!(on("cymbals"), PlusSign::Closed);
    assert_eq!(on("violin"), PlusSign::LeftHandPlucked);
    assert_eq!(on("flute"), PlusSign::Other);
}

/// The texts of `breath-mark` and `caesura` in MusicXML 4.0.
#[test]
fn breaths_and_caesuras_have_shapes() {
    let kind = |inside: &str| {
        let bars = format!("Flute: @4/4 C5:16^<articulations>{inside}</articulations>");
        let import = read_parts(&[&bars]);
        import.score.movements[0].music[0].markings[0].kind.clone()
    };
    for (text, shape) in [
        ("", BreathShape::Comma),
        ("comma", BreathShape::Comma),
        ("tick", BreathShape::Tick),
        ("upbow", BreathShape::UpBow),
        ("salzedo", BreathShape::Salzedo),
    ] {
        assert_eq!(kind(&format!("<breath-mark>{text}</breath-mark>")), MarkingKind::Breath(shape));
    }
    for (text, shape) in [
        ("", CaesuraShape::Normal),
        ("normal", CaesuraShape::Normal),
        ("thick", CaesuraShape::Thick),
        ("short", CaesuraShape::Short),
        ("curved", CaesuraShape::Curved),
        ("single", CaesuraShape::Single),
    ] {
        assert_eq!(kind(&format!("<caesura>{text}</caesura>")), MarkingKind::Caesura(shape));
    }
}
