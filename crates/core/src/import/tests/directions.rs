//! Directions: every type of the standard, levels by staff, growth with a goal, hairpins that files
//! write in any order, tempi in words, free time, swing, rehearsal marks.

use super::compact::{document, findings, read_parts, read_text};
use crate::event::{Device, Level, Marking, MarkingKind};
use crate::import::Import;
use crate::score::TempoKind;
use crate::time::Quarters;

fn direction(inside: &str) -> String {
    format!("{{<direction><direction-type>{inside}</direction-type></direction>}}")
}

fn markings(import: &Import) -> &[Marking] {
    &import.score.movements[0].music[0].markings
}

fn kinds(import: &Import) -> Vec<MarkingKind> {
    markings(import).iter().map(|marking| marking.kind.clone()).collect()
}

fn tempi(import: &Import) -> Vec<TempoKind> {
    import.score.movements[0].tempi.iter().map(|mark| mark.kind.clone()).collect()
}

fn q(num: i64, den: i64) -> Quarters {
    Quarters::new(num, den).unwrap()
}

/// Where a marking stands and ends, in quarters.
fn spans(import: &Import) -> Vec<(bool, f64, f64)> {
    let resolution = import.score.movements[0].resolution;
    let span = |marking: &Marking| match marking.kind {
        MarkingKind::Hairpin { louder, end, .. } => {
            Some((louder, resolution.as_f64(marking.at), resolution.as_f64(end)))
        }
        _ => None,
    };
    markings(import).iter().filter_map(span).collect()
}

/// What becomes of a type of direction.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Treatment {
    /// A marking, a tempo, a sign for the order of play, or a rehearsal mark.
    Typed,
    /// It only lengthens or places something else, or changes nothing that a study asks for.
    Unread,
}

/// The content of `direction-type` in MusicXML 4.0, each with a small example.
const TYPES: &[(&str, &str, Treatment)] = &[
    ("rehearsal", "<rehearsal>B</rehearsal>", Treatment::Typed),
    ("segno", "<segno/>", Treatment::Typed),
    ("coda", "<coda/>", Treatment::Typed),
    ("words", "<words>dolce</words>", Treatment::Typed),
    ("symbol", "<symbol>dynamicForte</symbol>", Treatment::Typed),
    ("wedge", "<wedge_type=\"crescendo\"/>", Treatment::Typed),
    ("dynamics", "<dynamics><f/></dynamics>", Treatment::Typed),
    ("dashes", "<dashes_type=\"start\"/>", Treatment::Unread),
    ("bracket", "<bracket_type=\"start\"_line-end=\"none\"/>", Treatment::Unread),
    ("pedal", "<pedal_type=\"start\"/>", Treatment::Unread),
    (
        "metronome",
        "<metronome><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome>",
        Treatment::Typed,
    ),
    ("octave-shift", "<octave-shift_type=\"up\"/>", Treatment::Unread),
    (
        "harp-pedals",
        "<harp-pedals><pedal-tuning><pedal-step>D</pedal-step><pedal-alter>0</pedal-alter>\
         </pedal-tuning></harp-pedals>",
        Treatment::Typed,
    ),
    ("damp", "<damp/>", Treatment::Typed),
    ("damp-all", "<damp-all/>", Treatment::Typed),
    ("eyeglasses", "<eyeglasses/>", Treatment::Typed),
    ("string-mute", "<string-mute_type=\"on\"/>", Treatment::Typed),
    (
        "scordatura",
        "<scordatura><accord_string=\"4\"><tuning-step>C</tuning-step>\
         <tuning-octave>3</tuning-octave></accord></scordatura>",
        Treatment::Typed,
    ),
    ("image", "<image_source=\"a.png\"_type=\"image/png\"/>", Treatment::Unread),
    (
        "principal-voice",
        "<principal-voice_type=\"start\"_symbol=\"Hauptstimme\"/>",
        Treatment::Typed,
    ),
    ("percussion", "<percussion><metal>gong</metal></percussion>", Treatment::Typed),
    (
        "accordion-registration",
        "<accordion-registration><accordion-high/></accordion-registration>",
        Treatment::Unread,
    ),
    ("staff-divide", "<staff-divide_type=\"down\"/>", Treatment::Unread),
    ("other-direction", "<other-direction>con_sord.</other-direction>", Treatment::Typed),
];

#[test]
fn every_type_of_direction_has_a_treatment() {
    for (name, example, treatment) in TYPES {
        let import = read_parts(&[&format!("Violin: @4/4 {} C4:16 | C4:16", direction(example))]);
        let movement = &import.score.movements[0];
        let bar = &movement.bars.as_slice()[0];
        let typed = !movement.music[0].markings.is_empty()
            || !movement.tempi.is_empty()
            || movement.music[0].instruments.len() > 1
            || bar.rehearsal.is_some()
            || bar.flow.segno.is_some()
            || bar.flow.coda.is_some();
        assert_eq!(typed, *treatment == Treatment::Typed, "{name}: {import:?}");
    }
}

/// Between the staves of a keyboard a level holds for both hands (common practice).
#[test]
fn levels_hold_for_the_staves_they_are_written_for() {
    let level = |letters: &str, staff: u8, placement: &str| {
        format!(
            "{{<direction_placement=\"{placement}\"><direction-type><dynamics><{letters}/></dynamics>\
             </direction-type><staff>{staff}</staff></direction>}}"
        )
    };
    let staves = "{<attributes><staves>2</staves></attributes>}";
    let part = |name: &str| {
        format!(
            "{name}: @4/4 {staves} {} {} {} {} C4:16",
            level("p", 1, "below"),
            level("f", 1, "above"),
            level("mf", 2, "above"),
            level("pp", 2, "below")
        )
    };
    let of = |name: &str| -> Vec<Option<u8>> {
        markings(&read_parts(&[&part(name)])).iter().map(|marking| marking.staff).collect()
    };
    assert_eq!(of("Piano"), [None, Some(1), None, Some(2)]);
    assert_eq!(of("Violin"), [Some(1), Some(1), Some(2), Some(2)]);
}

/// Signs may be combined (MusicXML 4.0, `dynamics`: "such as sfmp"); "più" and "poco" change what the
/// sign behind them says (common practice).
#[test]
fn combined_and_shaded_signs() {
    let import = read_parts(&[&format!(
        "Flute: @4/4 {} C4:2 {} C4:2 {} C4:2 {} C4:2 {} C4:2 'più' !p C4:2 'poco_f' C4:4",
        direction("<dynamics><p/><f/></dynamics>"),
        direction("<dynamics><sf/><mp/></dynamics>"),
        direction("<words>più</words></direction-type><direction-type><dynamics><f/></dynamics>"),
        direction("<dynamics><other-dynamics>mf_espr.</other-dynamics></dynamics>"),
        direction("<dynamics><other-dynamics_smufl=\"dynamicSforzatoPiano\"/></dynamics>"),
    )]);
    assert_eq!(
        kinds(&import),
        [
            MarkingKind::Accent { then: Some(Level::F) },
            MarkingKind::Accent { then: Some(Level::Mp) },
            MarkingKind::Relative { louder: true },
            MarkingKind::Level(Level::Mf),
            MarkingKind::Expression,
            MarkingKind::Accent { then: Some(Level::P) },
            MarkingKind::Relative { louder: false },
            MarkingKind::Level(Level::Mf),
        ]
    );
    assert!(findings(&import).is_empty(), "{:?}", findings(&import));
}

#[test]
fn growth_knows_where_it_leads() {
    let import = read_parts(&[
        "Flute: @4/4 'cresc._al_ff' C4:4 'dim._al_niente' C4:4 'cresc._-_-_f' C4:4 'p_cresc.' C4:4 | 'dim._al_fine' C4:16",
    ]);
    let found = kinds(&import);
    assert_eq!(
        found[..5],
        [
            MarkingKind::Growing { louder: true, to: Some(Level::Ff) },
            MarkingKind::Growing { louder: false, to: Some(Level::N) },
            MarkingKind::Growing { louder: true, to: Some(Level::F) },
            MarkingKind::Level(Level::P),
            MarkingKind::Growing { louder: true, to: None },
        ]
    );
    assert_eq!(spans(&import), [(false, 4.0, 8.0)]);
}

#[test]
fn words_spread_over_the_bars_are_one() {
    let import = read_parts(&["Flute: @4/4 'cre_-' C4:4 'scen_-' C4:4 'do' C4:8 | C4:16"]);
    assert_eq!(kinds(&import), [MarkingKind::Growing { louder: true, to: None }]);
    let import = read_parts(&["Flute: @4/4 'cresc.' C4:4 'poco' C4:4 'a_poco' C4:8"]);
    assert_eq!(kinds(&import).len(), 1);
    assert_eq!(&*markings(&import)[0].words, "cresc. poco a poco");
    let pieces = direction("<words>con</words><words>sord.</words>");
    let import = read_parts(&[&format!("Violin: @4/4 {pieces} C4:16")]);
    assert_eq!(kinds(&import), [MarkingKind::Device { device: Device::Mute, on: true }]);
    let pieces = direction("<words>p</words><words>izz.</words>");
    let import = read_parts(&[&format!("Violin: @4/4 {pieces} C4:16")]);
    assert_eq!(kinds(&import), [MarkingKind::Device { device: Device::Plucked, on: true }]);
}

#[test]
fn hairpins_of_several_voices_keep_their_ends() {
    let wedge = |kind: &str, voice: u8| {
        format!(
            "{{<direction><direction-type><wedge_type=\"{kind}\"_number=\"1\"/></direction-type>\
             <voice>{voice}</voice></direction>}}"
        )
    };
    // Both voices number from 1 and both hairpins cross the barline.
    let import = read_parts(&[&format!(
        "Flute: @4/4 {} C4:16 <16 v2 {} C4:16 | v1 C4:4 {} C4:12 <16 v2 C4:8 {} C4:8",
        wedge("crescendo", 1),
        wedge("diminuendo", 2),
        wedge("stop", 1),
        wedge("stop", 2)
    )]);
    assert_eq!(spans(&import), [(true, 0.0, 5.0), (false, 0.0, 6.0)]);
    assert!(findings(&import).is_empty(), "{:?}", findings(&import));
    // The end stands in the voice that is written first.
    let import = read_parts(&[&format!(
        "Flute: @4/4 C4:8 {} C4:8 <16 v2 {} C4:16",
        wedge("stop", 1),
        wedge("crescendo", 1)
    )]);
    assert_eq!(spans(&import), [(true, 0.0, 2.0)]);
    assert!(findings(&import).is_empty(), "{:?}", findings(&import));
    // Without any end it lasts to the next level in its bar.
    let import = read_parts(&[&format!("Flute: @4/4 {} C4:8 !f C4:8", wedge("crescendo", 1))]);
    assert_eq!(spans(&import), [(true, 0.0, 2.0)]);
    assert_eq!(findings(&import).len(), 1);
}

/// Without `sound="yes"` an offset moves only the appearance (MusicXML 4.0, `offset`).
#[test]
fn a_tempo_begins_where_it_is_heard() {
    let tempo = |heard: &str| {
        format!(
            "{{<direction><direction-type><words>Presto</words></direction-type><offset{heard}>-4</offset>\
             <sound_tempo=\"180\"/></direction>}}"
        )
    };
    let at = |heard: &str| {
        let import = read_parts(&[&format!("Flute: @4/4 C4:8 {} C4:8", tempo(heard))]);
        let movement = &import.score.movements[0];
        let at = |mark: &crate::score::TempoMark| movement.resolution.as_f64(mark.at);
        movement.tempi.iter().map(at).collect::<Vec<f64>>()
    };
    assert_eq!(at(""), [2.0, 2.0]);
    assert_eq!(at("_sound=\"yes\""), [1.0, 1.0]);
}

/// MusicXML 4.0, `metronome`: tuplets over several notes, "two eighths are equated to a quarter note /
/// eighth note triplet"; `swing`: a ratio and a note value.
#[test]
fn relations_of_notes_are_tempi_or_swing() {
    let note = |value: &str, tuplet: &str| {
        let figures = "<actual-notes>3</actual-notes><normal-notes>2</normal-notes>";
        let tuplet = if tuplet.is_empty() {
            String::new()
        } else {
            format!("<metronome-tuplet_type=\"{tuplet}\">{figures}</metronome-tuplet>")
        };
        format!("<metronome-note><metronome-type>{value}</metronome-type>{tuplet}</metronome-note>")
    };
    let mark = |old: &str, new: &str| {
        let relation = "<metronome-relation>equals</metronome-relation>";
        direction(&format!("<metronome>{old}{relation}{new}</metronome>"))
    };
    let two = note("eighth", "") + &note("eighth", "");
    let swing = mark(&two, &(note("quarter", "start") + &note("eighth", "stop")));
    let three = note("eighth", "start") + &note("eighth", "") + &note("eighth", "stop");
    let same = mark(&note("eighth", ""), &note("eighth", ""));
    let import = read_parts(&[&format!(
        "Flute: @4/4 {swing} C4:16 | {} C4:16 | {same} C4:16",
        mark(&three, &note("half", ""))
    )]);
    assert_eq!(
        tempi(&import),
        [
            TempoKind::Swing { ratio: Some((2, 1)), unit: q(1, 2) },
            TempoKind::Equation { old: q(1, 1), new: q(2, 1) },
            TempoKind::Equation { old: q(1, 2), new: q(1, 2) },
        ]
    );
    let sound = "{<sound><swing><first>3</first><second>1</second><swing-type>16th</swing-type></swing></sound>}";
    let off = "{<sound><swing><straight/></swing></sound>}";
    let import =
        read_parts(&[&format!("Flute: @4/4 {sound} C4:16 | {off} C4:16 | 'Medium_Swing' C4:16")]);
    assert_eq!(
        tempi(&import),
        [
            TempoKind::Swing { ratio: Some((3, 1)), unit: q(1, 4) },
            TempoKind::Straight,
            TempoKind::Swing { ratio: None, unit: q(1, 2) },
        ]
    );
}

#[test]
fn tempi_in_words_count_their_notes_or_the_beat() {
    let import = read_parts(&[
        "Flute: @6/8 'Andante_(quarter_=_72)' C4:12 | 'M.M._60' C4:12 | '♩._=_92–100' C4:12",
    ]);
    let rates: Vec<_> = tempi(&import)
        .into_iter()
        .filter_map(|kind| match kind {
            TempoKind::Metronome { unit, per_minute, up_to, .. } => Some((unit, per_minute, up_to)),
            _ => None,
        })
        .collect();
    assert_eq!(rates, [(q(1, 1), 72.0, None), (q(3, 2), 60.0, None), (q(3, 2), 92.0, Some(100.0))]);
}

#[test]
fn a_picture_among_words_is_no_word() {
    let import = read_parts(&[&format!(
        "Flute: @4/4 {} C4:16",
        direction(
            "<words_font-weight=\"bold\">Langsam_(</words></direction-type><direction-type>\
             <other-direction>quarter_note</other-direction></direction-type><direction-type>\
             <words>)</words>"
        )
    )]);
    assert_eq!(tempi(&import), [TempoKind::Term]);
    assert!(findings(&import).is_empty(), "{:?}", findings(&import));
}

#[test]
fn places_without_a_clock_are_tempi() {
    for text in ["rubato", "colla_parte", "senza_misura", "a_piacere", "frei", "suivez"] {
        let import = read_parts(&[&format!("Flute: @4/4 C4:16 | '{text}' C4:16")]);
        assert_eq!(tempi(&import), [TempoKind::Free], "{text}");
    }
    let import = read_parts(&["Flute: @4/4 C4:16 | 'Lento,_senza_tempo' C4:16"]);
    assert_eq!(tempi(&import), [TempoKind::Term, TempoKind::Free]);
    let import = read_parts(&["Flute: @4/4 'ad_lib.' C4:16"]);
    assert_eq!(kinds(&import), [MarkingKind::Expression], "the part is optional");
    let import = read_parts(&["Flute: @4/4 'molto_rall._al_fine' C4:16 | C4:16"]);
    let end = import.score.movements[0].bars.end();
    assert_eq!(tempi(&import), [TempoKind::Gradual { faster: false, end: Some(end) }]);
}

#[test]
fn rehearsal_marks_are_no_bar_numbers() {
    let framed = |text: &str| direction(&format!("<words_enclosure=\"square\">{text}</words>"));
    let bold = direction("<words_font-weight=\"bold\">D</words>");
    let import = read_parts(&[&format!(
        "Flute: @4/4 {} C4:16 | {} C4:16 | {bold} C4:16 | 'in_F' C4:16",
        framed("12"),
        framed("2"),
    )]);
    let bars = import.score.movements[0].bars.as_slice().iter();
    let marks: Vec<_> = bars.map(|bar| bar.rehearsal.as_deref()).collect();
    assert_eq!(marks, [Some("12"), None, Some("D"), None]);
    assert!(!kinds(&import).iter().any(|kind| matches!(kind, MarkingKind::Level(_))));
}

/// Wording: encyclopedia articles on mutes, MusicXML 4.0 documentation; the rest common practice.
#[test]
fn devices_are_known_with_and_without_their_accents() {
    let on = |device| MarkingKind::Device { device, on: true };
    let off = |device| MarkingKind::Device { device, on: false };
    for (text, kind) in [
        ("mit Dämpfer", on(Device::Mute)),
        ("mit Da\u{308}mpfer", on(Device::Mute)),
        ("mit Dampfer", on(Device::Mute)),
        ("levare i sordini", off(Device::Mute)),
        ("enlevez les sourdines", off(Device::Mute)),
        ("Dämpfer fort", off(Device::Mute)),
        ("gezupft", on(Device::Plucked)),
        ("avec l'archet", off(Device::Plucked)),
        ("mit dem Holz geschlagen", on(Device::Wood)),
        ("sur le chevalet", on(Device::Bridge)),
        ("auf dem Griffbrett", on(Device::Fingerboard)),
    ] {
        let part = format!("Violin: @4/4 '{}' C4:16", text.replace(' ', "_"));
        let import = read_text(&document(&[&part]));
        assert_eq!(kinds(&import), [kind], "{text}");
    }
}
