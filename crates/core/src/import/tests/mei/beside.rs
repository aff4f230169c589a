//! What hangs beside the staves: levels, hairpins, words, tempi, signs, and how they find their
//! place. Sources: MEI 5 guidelines, chapter 4, "Timestamps and Durations" and the sections named.

use super::*;
use crate::event::{BreathShape, CaesuraShape, Device, FermataPlace, FermataShape, Level, Manner};
use crate::score::TempoKind;
use crate::time::Quarters;

const FOUR: &str = "<note xml:id='a' dur='4' pname='c' oct='4'/><note xml:id='b' dur='4' pname='d' oct='4'/>\
                    <note xml:id='c' dur='4' pname='e' oct='4'/><note xml:id='d' dur='4' pname='f' oct='4'/>";

fn beside(what: &str) -> Import {
    read_bars(&[&format!("{FOUR}|{what}"), "<note xml:id='e' dur='1' pname='c' oct='4'/>"])
}

/// "Dynamics in CMN": a level stands at a beat of a staff or at an event.
#[test]
fn levels_stand_at_beats_and_events() {
    for place in ["staff='1' tstamp='3'", "startid='#c'"] {
        let import = beside(&format!("<dynam {place}>pp</dynam>"));
        let [level] = markings(&import) else { panic!("{:?}", markings(&import)) };
        assert_eq!(level.kind, MarkingKind::Level(Level::Pp));
        assert_eq!(at(&import, level.at), "2", "{place}");
    }
    let import = beside("<dynam tstamp='2.5'>sfz</dynam><dynam tstamp='1'>cresc.</dynam>");
    assert_eq!(
        kinds(&import),
        [&MarkingKind::Growing { louder: true, to: None }, &MarkingKind::Accent { then: None }]
    );
    assert_eq!(at(&import, markings(&import)[1].at), "3/2");
}

/// In 6/8 a beat of a place is an eighth ("In 6/8 time, 2m+3 ends on the third eighth").
#[test]
fn places_count_units_of_the_meter() {
    let bar =
        "<note dur='4' dots='1' pname='c' oct='4'/><note dur='4' dots='1' pname='c' oct='4'/>";
    let text = document(
        &flute("6", "8"),
        &format!(
            "<section>{}</section>",
            measures(&[
                &format!("{bar}|<hairpin form='cres' tstamp='4' tstamp2='2m+3'/>"),
                bar,
                bar
            ])
        ),
    );
    let import = read_text(&text);
    let [hairpin] = markings(&import) else { panic!("{:?}", markings(&import)) };
    assert_eq!(at(&import, hairpin.at), "3/2");
    let MarkingKind::Hairpin { louder: true, end, .. } = hairpin.kind else {
        panic!("{hairpin:?}")
    };
    assert_eq!(at(&import, end), "7");
}

#[test]
fn hairpins_end_at_events_beats_or_with_their_bar() {
    let end = |what: &str| {
        let import = beside(what);
        match markings(&import)[0].kind {
            MarkingKind::Hairpin { end, .. } => (at(&import, end), codes(&import).join(" ")),
            ref other => panic!("{other:?}"),
        }
    };
    let text = |text: &str, codes: &str| (text.to_owned(), codes.to_owned());
    assert_eq!(end("<hairpin form='dim' startid='#a' endid='#e'/>"), text("4", ""));
    assert_eq!(end("<hairpin form='dim' startid='#b' endid='#b'/>"), text("2", ""));
    assert_eq!(end("<hairpin form='dim' tstamp='1' tstamp2='1m+3' niente='true'/>"), text("6", ""));
    assert_eq!(end("<hairpin form='dim' tstamp='1'/>"), text("4", "hairpin-open"));
}

/// Words are understood as those of any other format.
#[test]
fn words_become_devices_and_jumps() {
    let import = beside(
        "<dir startid='#b'>con <rend fontstyle='italic'>sord.</rend></dir><dir tstamp='4'>D.C. al Fine</dir>",
    );
    assert!(kinds(&import).contains(&&MarkingKind::Device { device: Device::Mute, on: true }));
    let movement = &import.score.movements[0];
    let jump = movement.bars.as_slice()[0].flow.jump.as_ref().map(ToString::to_string);
    assert_eq!(jump.as_deref(), Some("D.C. al Fine"));
    let import = beside("<dir tstamp='1'>Wachtelschlag</dir>");
    assert_eq!(codes(&import), ["words-unknown"]);
}

/// tempo: mm counts mm.unit; midi.bpm is for playback; marks may also stand in the words.
#[test]
fn tempi_are_read_from_attributes_and_words() {
    let tempi = |what: &str| -> Vec<TempoKind> {
        beside(what).score.movements[0].tempi.iter().map(|mark| mark.kind.clone()).collect()
    };
    let mark = |unit: Quarters, per_minute| TempoKind::Metronome {
        unit,
        per_minute,
        up_to: None,
        about: false,
    };
    let dotted = Quarters::new(3, 2).unwrap();
    assert_eq!(tempi("<tempo tstamp='1' mm='66' mm.unit='4' mm.dots='1'/>"), [mark(dotted, 66.0)]);
    assert_eq!(
        tempi(
            "<tempo tstamp='1' mm='84' mm.unit='4' midi.bpm='84'>Andante (\u{eca5} = 84)</tempo>"
        )[..1],
        [mark(Quarters::ONE, 84.0)]
    );
    assert_eq!(tempi("<tempo tstamp='1' midi.bpm='50'/>"), [TempoKind::Playback(50.0)]);
    let import = beside("<tempo tstamp='1' mm='84' mm.unit='4' midi.bpm='60'>Andante</tempo>");
    assert!(codes(&import).contains(&"tempo-conflict"));
    let import = beside("<tempo tstamp='1' mm='fast'/>");
    assert!(codes(&import).contains(&"tempo-unreadable"));
    let import = beside("<tempo tstamp='3' tstamp2='1m+1'>rit.</tempo>");
    let [gradual] = &import.score.movements[0].tempi[..] else { panic!() };
    assert!(
        matches!(gradual.kind, TempoKind::Gradual { faster: false, end: Some(_) }),
        "{gradual:?}"
    );
}

/// "Fermata": an attribute, or an element with a shape; at the barline behind the last beat.
#[test]
fn fermatas_stand_on_notes_rests_and_barlines() {
    let check = |layer: &str, expected: (FermataShape, FermataPlace)| {
        let import = read_bars(&[layer]);
        let kinds = kinds(&import);
        assert_eq!(kinds, [&MarkingKind::Fermata(expected.0, expected.1)], "{layer}");
        import
    };
    let on_note = (FermataShape::Normal, FermataPlace::Note);
    let import = check("<note fermata='above' dur='1' pname='c' oct='4'/>", on_note);
    assert_eq!(with_trait(&import, NoteTraits::FERMATA), [0]);
    check(
        "<note xml:id='a' dur='1' pname='c' oct='4'/>|<fermata shape='square' startid='#a'/>",
        (FermataShape::Square, FermataPlace::Note),
    );
    let import = check(
        "<mRest xml:id='a'/>|<fermata startid='#a'/>",
        (FermataShape::Normal, FermataPlace::Rest),
    );
    assert!(import.score.movements[0].music[0].rests[0].fermata);
    check(
        "<rest dur='2'/><rest dur='2'/>|<fermata tstamp='3'/>",
        (FermataShape::Normal, FermataPlace::Rest),
    );
    check(
        "<note dur='1' pname='c' oct='4'/>|<fermata tstamp='5'/>",
        (FermataShape::Normal, FermataPlace::Barline),
    );
}

#[test]
fn ornaments_and_manners_reach_their_notes() {
    let import = beside(
        "<trill startid='#a'/><mordent tstamp='2' staff='1'/><gliss startid='#c' endid='#d'/>\
         <arpeg plist='#d'/><breath tstamp='2'/><caesura tstamp='4'/>",
    );
    let manners: Vec<Manner> = notes(&import, 0).iter().map(|note| note.manner).collect();
    let expected = [
        Manner::TRILL,
        Manner::ORNAMENT | Manner::MORDENT,
        Manner::GLISSANDO,
        Manner::ARPEGGIO | Manner::GLISSANDO_ENDS,
        Manner::NONE,
    ];
    assert_eq!(manners, expected);
    assert_eq!(
        kinds(&import),
        [&MarkingKind::Breath(BreathShape::Comma), &MarkingKind::Caesura(CaesuraShape::Normal)]
    );
}

#[test]
fn slurs_and_beams_reach_their_notes() {
    let import = beside(
        "<slur startid='#a' endid='#c'/><phrase tstamp='1' tstamp2='1m+1'/><beamSpan plist='#d #e'/>",
    );
    assert_eq!(with_trait(&import, NoteTraits::SLUR_BEGINS), [0]);
    assert_eq!(with_trait(&import, NoteTraits::SLUR_ENDS), [2, 4]);
    assert_eq!(with_trait(&import, NoteTraits::BEAM_BEGINS), [3]);
    assert_eq!(with_trait(&import, NoteTraits::BEAM_GOES_ON), [4]);
}

/// Element harpPedal of MEI 5: a string that is not named is natural.
#[test]
fn harp_pedals_are_in_their_order() {
    let import = beside("<harpPedal tstamp='1' d='f' b='f' f='s'/>");
    assert_eq!(kinds(&import), [&MarkingKind::HarpPedals([-1, 0, -1, 0, 1, 0, 0])]);
}

/// Rehearsal marks and repeat marks belong to the bar they stand at the start of.
#[test]
fn marks_of_the_bar() {
    let import = beside(
        "<reh tstamp='1'><rend rend='box'>A</rend></reh><repeatMark tstamp='0' func='segno'/>\
         <reh tstamp='5'>B</reh><repeatMark func='fine' tstamp='5'>Fine</repeatMark>",
    );
    let bars = import.score.movements[0].bars.as_slice();
    assert_eq!(bars[0].rehearsal.as_deref(), Some("A"));
    assert_eq!(bars[1].rehearsal.as_deref(), Some("B"));
    assert!(bars[0].flow.segno.is_some() && bars[0].flow.fine.is_some());
    assert!(bars[1].flow.segno.is_none());
}

/// A reference to nothing leaves the sign at its beat, or at the start of its bar.
#[test]
fn lost_references_are_said() {
    let import = beside("<dynam startid='#gone' tstamp='2'>f</dynam>");
    assert_eq!(codes(&import), ["reference-unknown"]);
    assert_eq!(at(&import, markings(&import)[0].at), "1");
    let import = beside("<dynam startid='#gone'>f</dynam>");
    assert_eq!(at(&import, markings(&import)[0].at), "0");
}
