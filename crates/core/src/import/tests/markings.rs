//! Levels, hairpins, techniques, tempi.

use super::compact::{findings, read_parts};
use crate::event::{Device, FermataPlace, FermataShape, Level, Marking, MarkingKind};
use crate::import::Import;
use crate::instrument::InstrumentId;
use crate::score::TempoKind;
use crate::time::Quarters;

fn kinds(import: &Import) -> Vec<MarkingKind> {
    let markings = import.score.movements[0].music[0].markings.iter();
    markings.map(|marking: &Marking| marking.kind.clone()).collect()
}

fn tempi(import: &Import) -> Vec<(String, TempoKind)> {
    let marks = import.score.movements[0].tempi.iter();
    marks.map(|mark| (mark.words.clone(), mark.kind.clone())).collect()
}

fn direction(inside: &str) -> String {
    format!("{{<direction><direction-type>{inside}</direction-type></direction>}}")
}

#[test]
fn levels_come_from_signs_words_glyphs_and_notations() {
    let other = direction("<dynamics><other-dynamics>sempre_</other-dynamics><pp/></dynamics>");
    let noted = "{<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration>\
                 <notations><dynamics><ff/></dynamics></notations></note>}";
    let import = read_parts(&[&format!(
        "Flute: @4/4 !mf C4:4 'p_dolce' C4:4 '\u{e522}\u{e522}' C4:4 {other} {noted}"
    )]);
    let level = MarkingKind::Level;
    assert_eq!(
        kinds(&import),
        [
            level(Level::Mf),
            level(Level::P),
            MarkingKind::Expression,
            level(Level::Ff),
            level(Level::Pp),
            level(Level::Ff)
        ]
    );
    assert!(findings(&import).is_empty(), "{:?}", findings(&import));
}

#[test]
fn the_sf_family_is_accents() {
    let import = read_parts(&["Flute: @4/4 !sfz C4:4 !fp C4:4 !sf C4:8"]);
    assert_eq!(
        kinds(&import),
        [
            MarkingKind::Accent { then: None },
            MarkingKind::Accent { then: Some(Level::P) },
            MarkingKind::Accent { then: None }
        ]
    );
}

#[test]
fn hairpins_end_where_they_stop_and_fade_to_nothing() {
    let start = direction("<wedge_type=\"diminuendo\"_number=\"2\"/>");
    let stop = direction("<wedge_type=\"stop\"_number=\"2\"_niente=\"yes\"/>");
    let import = read_parts(&[&format!("Flute: @4/4 {start} C4:16 | C4:8 {stop} C4:8")]);
    let [MarkingKind::Hairpin { louder, end, niente }] = kinds(&import)[..] else {
        panic!("{:?}", kinds(&import))
    };
    let movement = &import.score.movements[0];
    assert_eq!((louder, niente), (false, true));
    assert_eq!(movement.resolution.quarters(end), Quarters::whole(6));
}

#[test]
fn growth_in_words_has_an_end_if_dashes_say_so() {
    let start = "{<direction><direction-type><words>cresc.</words></direction-type>\
                 <direction-type><dashes_type=\"start\"_number=\"1\"/></direction-type></direction>}";
    let stop = direction("<dashes_type=\"stop\"_number=\"1\"/>");
    let import = read_parts(&[&format!("Flute: @4/4 {start} C4:16 | 'dim.' C4:4 {stop} C4:12")]);
    let resolution = import.score.movements[0].resolution;
    let end = resolution.ticks(Quarters::whole(5)).unwrap();
    assert_eq!(
        kinds(&import),
        [
            MarkingKind::Hairpin { louder: true, end, niente: false },
            MarkingKind::Growing { louder: false, to: None }
        ]
    );
}

#[test]
fn techniques_are_states_with_their_words() {
    let import = read_parts(&[
        "Violin: @4/4 'con_sord.,_pizz.' C4:8 'arco' C4:8 | 'sul_pont.' C4:8 'ord.' C4:8",
    ]);
    let device = |device, on| MarkingKind::Device { device, on };
    assert_eq!(
        kinds(&import),
        [
            device(Device::Mute, true),
            device(Device::Plucked, true),
            device(Device::Plucked, false),
            device(Device::Bridge, true),
            device(Device::Bridge, false)
        ]
    );
    let first = &import.score.movements[0].music[0].markings[0];
    assert_eq!(&*first.words, "con sord., pizz.");
}

#[test]
fn words_split_over_two_directions_are_joined() {
    let import = read_parts(&["Violin: @4/4 'con' 'sord.' C4:16"]);
    assert_eq!(kinds(&import), [MarkingKind::Device { device: Device::Mute, on: true }]);
    let import = read_parts(&["Violin: @4/4 'dolce' 'pizz.' C4:16"]);
    assert_eq!(kinds(&import).len(), 2);
}

#[test]
fn words_and_playback_of_one_technique_are_one_marking() {
    let both = "{<direction><direction-type><words>pizz.</words></direction-type>\
                <sound_pizzicato=\"yes\"/></direction>}";
    let import = read_parts(&[&format!("Violin: @4/4 {both} C4:16")]);
    assert_eq!(kinds(&import), [MarkingKind::Device { device: Device::Plucked, on: true }]);
    let only = "{<sound_pizzicato=\"yes\"/>}";
    let import = read_parts(&[&format!("Violin: @4/4 {only} C4:16")]);
    assert_eq!(kinds(&import).len(), 1);
}

#[test]
fn fermatas_breaths_and_harp_pedals() {
    let note = "{<note><pitch><step>C</step><octave>4</octave></pitch><duration>12</duration>\
                <notations><fermata>angled</fermata><articulations><breath-mark/></articulations>\
                </notations></note>}";
    let bar = "{<barline_location=\"right\"><fermata/></barline>}";
    let pedals = direction(
        "<harp-pedals><pedal-tuning><pedal-step>F</pedal-step><pedal-alter>1</pedal-alter>\
         </pedal-tuning></harp-pedals>",
    );
    let import = read_parts(&[&format!("Harp: @3/4 {pedals} {note} {bar} | C4:12")]);
    assert_eq!(
        kinds(&import),
        [
            MarkingKind::HarpPedals([0, 0, 0, 0, 1, 0, 0]),
            MarkingKind::Fermata(FermataShape::Angled, FermataPlace::Note),
            MarkingKind::Breath(Default::default()),
            MarkingKind::Fermata(FermataShape::Normal, FermataPlace::Barline),
        ]
    );
}

#[test]
fn changes_of_instrument_are_in_the_music() {
    let import = read_parts(&["Flute 3: @4/4 C4:16 | 'muta_in_Flauto_piccolo' R:16 | C5:16"]);
    let named = |name| InstrumentId::by_name(name).unwrap();
    let music = &import.score.movements[0].music[0];
    let taken: Vec<InstrumentId> = music.instruments.iter().map(|taken| taken.instrument).collect();
    assert_eq!(taken, [named("flute"), named("piccolo")]);
    assert_eq!(import.score.parts[0].players[0].also, [named("piccolo")]);
}

#[test]
fn a_kind_in_brackets_is_no_second_instrument() {
    let import = read_parts(&["Trombone_3_(bass): @4/4 C3:16", "Flute_3_(Piccolo): @4/4 C5:16"]);
    let also = |part: usize| import.score.parts[part].players[0].also.clone();
    let names = [import.score.parts[0].name.as_str(), import.score.parts[1].name.as_str()];
    assert!(names.iter().any(|name| name.contains("bass")), "{names:?}");
    let all: Vec<InstrumentId> = [also(0), also(1)].concat();
    assert_eq!(all, [InstrumentId::by_name("piccolo").unwrap()]);
}

#[test]
fn metronome_marks_are_read_with_dots_ranges_and_equations() {
    let mark = |inside: &str| direction(&format!("<metronome>{inside}</metronome>"));
    let dotted =
        mark("<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>ca._60-66</per-minute>");
    let equal = mark("<beat-unit>quarter</beat-unit><beat-unit>half</beat-unit>");
    let import = read_parts(&[&format!("Flute: @4/4 {dotted} C4:16 | {equal} C4:16")]);
    assert_eq!(
        tempi(&import).into_iter().map(|(_, kind)| kind).collect::<Vec<_>>(),
        [
            TempoKind::Metronome {
                unit: Quarters::new(3, 2).unwrap(),
                per_minute: 60.0,
                up_to: Some(66.0),
                about: true
            },
            TempoKind::Equation { old: Quarters::ONE, new: Quarters::whole(2) }
        ]
    );
}

#[test]
fn tempo_words_are_marks_and_stand_once() {
    let import = read_parts(&[
        "Flute: @4/4 'Allegro_con_brio' C4:16 | 'poco_rit.' C4:16 | 'a_tempo' C4:16 | 'Tempo_I' C4:16",
        "Oboe: @4/4 'Allegro_con_brio' C4:16 | 'rit.' C4:16 | C4:16 | C4:16",
    ]);
    assert_eq!(
        tempi(&import),
        [
            (String::from("Allegro con brio"), TempoKind::Term),
            (String::from("poco rit."), TempoKind::Gradual { faster: false, end: None }),
            (String::from("a tempo"), TempoKind::ATempo),
            (String::from("Tempo I"), TempoKind::TempoPrimo),
        ]
    );
    let german = read_parts(&["Flute: @4/4 'Sehr_langsam' C4:16 | 'Lebhaft' C4:16 | 'Vif' C4:16"]);
    assert_eq!(tempi(&german).len(), 3);
}

/// `sound tempo` counts quarters whatever the beat unit: dotted quarter = 72 is 108 (MusicXML 4.0,
/// documentation of `sound`).
#[test]
fn printed_and_playback_tempi_are_compared() {
    let both = |tempo: u32| {
        format!(
            "{{<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/>\
             <per-minute>72</per-minute></metronome></direction-type><sound_tempo=\"{tempo}\"/></direction>}}"
        )
    };
    let agree = read_parts(&[&format!("Flute: @6/8 {} C4:12", both(108))]);
    assert!(findings(&agree).is_empty(), "{:?}", findings(&agree));
    assert_eq!(tempi(&agree).len(), 2);
    let differ = read_parts(&[&format!("Flute: @6/8 {} C4:12", both(72))]);
    assert_eq!(findings(&differ).len(), 1);
}

#[test]
fn unknown_words_are_kept_and_listed_once() {
    let import =
        read_parts(&["Oboe: @4/4 'Wachtelschlag' C4:16 | 'Wachtelschlag' C4:16 | 'dolce' C4:16"]);
    assert_eq!(kinds(&import), [MarkingKind::Words, MarkingKind::Words, MarkingKind::Expression]);
    let found = findings(&import);
    assert_eq!(found.len(), 1);
    assert!(found[0].message.contains("1 times more"), "{}", found[0].message);
}
