//! Which instrument is in whose hands, what is struck, how strings are tuned; transposition by
//! staff and of parts made from concert scores.

use super::compact::{document, findings, read_parts, read_text};
use crate::event::{Device, MarkingKind, Note};
use crate::import::Import;
use crate::pitch::Doubling;
use crate::score::PartMusic;

fn music(import: &Import) -> &PartMusic {
    &import.score.movements[0].music[0]
}

fn sounds(import: &Import) -> Vec<f64> {
    let pitch = |note: &Note| note.sounding.map(|pitch| pitch.midi());
    music(import).notes.iter().filter_map(pitch).collect()
}

/// `players instrument@bar` for each change, players as digits, `*` for everyone.
fn hands(import: &Import) -> String {
    let movement = &import.score.movements[0];
    let show = |taken: &crate::score::InHand| {
        let players: String = match taken.players.is_all() {
            true => String::from("*"),
            false => (0..15)
                .filter(|player| taken.players.contains(*player))
                .map(|player| (player + 1).to_string())
                .collect(),
        };
        let (bar, at) = movement.place(taken.at);
        format!("{players} {}@{}+{at}", taken.instrument, bar.0)
    };
    music(import).instruments.iter().map(show).collect::<Vec<_>>().join(", ")
}

/// A document whose first part lists these instruments.
fn with_instruments(parts: &[&str], names: &[&str]) -> String {
    let list: String = names
        .iter()
        .enumerate()
        .map(|(idx, name)| {
            format!(
                "<score-instrument id=\"I{}\"><instrument-name>{name}</instrument-name>\
                 </score-instrument>",
                idx + 1
            )
        })
        .collect();
    document(parts).replacen("</part-name>", &format!("</part-name>{list}"), 1)
}

/// A whole note that names an instrument.
fn played(pitch: &str, by: usize, voice: u8) -> String {
    let pitch = match pitch {
        "x" => String::from(
            "<unpitched><display-step>C</display-step><display-octave>5</display-octave></unpitched>",
        ),
        step => format!("<pitch><step>{step}</step><octave>5</octave></pitch>"),
    };
    format!(
        "{{<note>{pitch}<duration>16</duration><instrument_id=\"I{by}\"/><voice>{voice}</voice></note>}}"
    )
}

#[test]
fn a_note_that_names_another_instrument_takes_it_up() {
    let bars = format!("{} | {} | {}", played("C", 1, 1), played("D", 2, 1), played("E", 1, 1));
    let text = with_instruments(&[&format!("Flute: @4/4 {bars}")], &["Flute", "Piccolo"]);
    let import = read_text(&text);
    assert_eq!(hands(&import), "* flute@0+0, * piccolo@1+0, * flute@2+0");
    assert_eq!(import.score.parts[0].players[0].also[0].get().name, "piccolo");
}

#[test]
fn players_of_one_part_have_instruments_of_their_own() {
    let bars = format!(
        "{} <16 {} | {} <16 {}",
        played("C", 1, 1),
        played("A", 1, 2),
        played("C", 1, 1),
        played("A", 2, 2)
    );
    let text = with_instruments(&[&format!("Flutes 1.2: @4/4 {bars}")], &["Flute", "Piccolo"]);
    let import = read_text(&text);
    assert_eq!(hands(&import), "* flute@0+0, 2 piccolo@1+0");
    let music = music(&import);
    let of = |idx: usize| {
        let note = &music.notes[idx];
        music.instrument_of(note.players, note.onset).unwrap().get().name
    };
    assert_eq!([of(0), of(1), of(2), of(3)], ["flute", "flute", "flute", "piccolo"]);
    let words = read_parts(&["Flutes 1.2: @4/4 C5:16 | '2._muta_in_Piccolo' R:16 | '2.' C6:16"]);
    assert_eq!(hands(&words), "* flute@0+0, 2 piccolo@1+0");
    let players = &words.score.parts[0].players;
    assert!(players[0].also.is_empty());
    assert_eq!(players[1].also[0].get().name, "piccolo");
}

/// `instrument-change` inside `sound` (MusicXML 4.0).
#[test]
fn a_playback_change_takes_up_another_instrument() {
    let change = "{<sound><instrument-change_id=\"I1\"><instrument-sound>wind.reed.english-horn\
                  </instrument-sound></instrument-change></sound>}";
    let import = read_parts(&[&format!("Oboe: @4/4 C5:16 | {change} C5:16")]);
    assert_eq!(hands(&import), "* oboe@0+0, * cor anglais@1+0");
}

#[test]
fn percussion_strikes_many_and_takes_up_none() {
    let bars = format!("{} | {} | {}", played("x", 1, 1), played("x", 2, 1), played("x", 3, 1));
    let names = ["Snare Drum", "Bass Drum", "Oil drum"];
    let import = read_text(&with_instruments(&[&format!("Percussion: @4/4 {bars}")], &names));
    let music = music(&import);
    assert_eq!(music.instruments.len(), 1);
    let struck: Vec<&str> =
        music.notes.iter().map(|note| &*music.struck[usize::from(note.struck) - 1].name).collect();
    assert_eq!(struck, names);
    let known = music.struck[0].instrument.unwrap();
    assert_eq!(known.get().name, "snare drum");
    // Where it stands on the staff (display-step, display-octave).
    let note = &music.notes[0];
    assert_eq!((note.sounding, note.written.unwrap().to_string().as_str()), (None, "C5"));
}

/// `transpose` may hold for one staff only (MusicXML 4.0, attribute `number`).
#[test]
fn staves_are_transposed_each_for_itself() {
    let transpose = |number: u8, chromatic: i32| {
        format!("<transpose_number=\"{number}\"><chromatic>{chromatic}</chromatic></transpose>")
    };
    let attributes = format!(
        "{{<attributes><staves>2</staves>{}{}</attributes>}}",
        transpose(1, -2),
        transpose(2, -7)
    );
    let note = |staff: u8| {
        format!(
            "{{<note><pitch><step>C</step><octave>5</octave></pitch><duration>16</duration>\
             <voice>{staff}</voice><staff>{staff}</staff></note>}}"
        )
    };
    let all = "{<attributes><transpose><chromatic>0</chromatic></transpose></attributes>}";
    let bars =
        format!("{attributes} {} <16 {} | {all} {} <16 {}", note(1), note(2), note(1), note(2));
    let import = read_parts(&[&format!("Winds: @4/4 {bars}")]);
    assert_eq!(sounds(&import), [70.0, 65.0, 72.0, 72.0]);
    let music = music(&import);
    let at =
        |staff, note: usize| music.transposition_at(staff, music.notes[note].onset).semitones();
    assert_eq!([at(1, 0), at(2, 0), at(1, 2), at(2, 2)], [-2, -7, 0, 0]);
}

/// A key of a transposed staff is brought to concert pitch wherever the transposition stands in the
/// element (in the schema it comes behind the key).
#[test]
fn keys_of_transposed_parts_are_concert_keys() {
    let attributes = "{<attributes><key><fifths>3</fifths></key><transpose><diatonic>-1</diatonic>\
                      <chromatic>-2</chromatic></transpose></attributes>}";
    let import = read_parts(&[&format!("Clarinet: @4/4 {attributes} C5:16")]);
    assert_eq!(import.score.movements[0].keys[0].fifths, 1);
}

/// In a score at concert pitch the notes are where they sound; `for-part` says how the player's part
/// will be transposed (MusicXML 4.0, `for-part`, `concert-score`).
#[test]
fn a_concert_score_is_not_transposed_by_its_parts() {
    let part = "{<attributes><for-part><part-transpose><diatonic>-1</diatonic><chromatic>-2\
                </chromatic></part-transpose></for-part></attributes>}";
    let import = read_parts(&[&format!("Clarinet: @4/4 {part} K0 C5:16")]);
    assert_eq!(sounds(&import), [72.0]);
    assert!(music(&import).transpositions.is_empty());
    assert_eq!(music(&import).part_transpositions[0].transposition.semitones(), -2);
    assert_eq!(import.score.movements[0].keys[0].fifths, 0);
}

#[test]
fn a_doubling_octave_is_kept() {
    let double = |above: &str| {
        format!(
            "{{<attributes><transpose><chromatic>0</chromatic><double{above}/></transpose></attributes>}}"
        )
    };
    let doubled = |above: &str| {
        let import = read_parts(&[&format!("Cello: @4/4 {} C3:16", double(above))]);
        let music = music(&import);
        music.transposition_at(1, music.notes[0].onset).doubled
    };
    assert_eq!(doubled(""), Some(Doubling::Below));
    assert_eq!(doubled("_above=\"yes\""), Some(Doubling::Above));
}

/// Pitches in the file are already in the octave that sounds: neither the line nor the clef moves
/// them (MusicXML 4.0, `octave-shift` and `clef-octave-change`).
#[test]
fn ottava_lines_and_octave_clefs_move_nothing() {
    for size in [8, 15, 22] {
        let shift = |kind: &str| {
            format!(
                "{{<direction><direction-type><octave-shift_type=\"{kind}\"_size=\"{size}\"/>\
                 </direction-type></direction>}}"
            )
        };
        let bars = format!("{} C7:8 {} C5:8", shift("down"), shift("stop"));
        let import = read_parts(&[&format!("Flute: @4/4 {bars}")]);
        assert_eq!(sounds(&import), [96.0, 72.0]);
        assert_eq!(music(&import).notes[0].written.unwrap().to_string(), "C7");
        assert!(findings(&import).is_empty());
    }
    let clef = "{<attributes><clef><sign>G</sign><line>2</line><clef-octave-change>-1\
                </clef-octave-change></clef></attributes>}";
    let import = read_parts(&[&format!("Tenor: @4/4 {clef} C4:16")]);
    assert_eq!(sounds(&import), [60.0]);
    assert_eq!(music(&import).clefs[0].octaves, -1);
}

/// `scordatura` names strings from high to low; pitches of the part stay what the file says
/// (MusicXML 4.0: written and sounding pitch are tied by `transpose` alone).
#[test]
fn scordatura_is_kept_and_moves_no_pitch() {
    let accord = |string: u8, step: &str, alter: i8, octave: u8| {
        format!(
            "<accord_string=\"{string}\"><tuning-step>{step}</tuning-step>\
             <tuning-alter>{alter}</tuning-alter><tuning-octave>{octave}</tuning-octave></accord>"
        )
    };
    let bars = format!(
        "{{<direction><direction-type><scordatura>{}{}</scordatura></direction-type></direction>}} G3:16",
        accord(1, "E", -1, 5),
        accord(4, "A", 0, 3)
    );
    let import = read_parts(&[&format!("Violin: @4/4 {bars}")]);
    let MarkingKind::Scordatura(strings) = &music(&import).markings[0].kind else {
        panic!("{:?}", music(&import).markings);
    };
    let shown: Vec<String> =
        strings.iter().map(|tuning| format!("{}: {}", tuning.string, tuning.pitch)).collect();
    assert_eq!(shown, ["1: Eb5", "4: A3"]);
    assert_eq!(sounds(&import), [55.0]);
}

/// A mute named on a note holds for that note only; named in a `sound` element it holds until
/// another (MusicXML 4.0, `play`).
#[test]
fn playback_mutes_hold_as_long_as_the_standard_says() {
    let play = "<play><mute>straight</mute></play>";
    let muted = format!(
        "{{<note><pitch><step>C</step><octave>5</octave></pitch><duration>8</duration>{play}</note>}}"
    );
    let devices = |bars: &str| {
        let import = read_parts(&[&format!("Trumpet: @4/4 {bars}")]);
        let movement = &import.score.movements[0];
        let markings = movement.music[0].markings.iter();
        let device = |marking: &crate::event::Marking| match marking.kind {
            MarkingKind::Device { device: Device::Mute, on } => {
                Some((movement.resolution.quarters(marking.at).to_string(), on))
            }
            _ => None,
        };
        markings
            .filter_map(device)
            .map(|(at, on)| format!("{at}{}", if on { "+" } else { "-" }))
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(devices(&format!("{muted} C5:8 | C5:16")), "0+ 2-");
    let sound = "{<sound><play_id=\"I1\"><mute>on</mute></play></sound>}";
    assert_eq!(devices(&format!("C5:8 {sound} C5:8 | C5:16")), "2+");
}

/// The crook is changed, the player keeps the horn; what then sounds is what `transpose` says.
#[test]
fn a_change_of_crook_is_no_change_of_instrument() {
    let import = read_parts(&["Horn in F: @4/4 T-4,-7 C5:16 | 'muta_in_D' T-6,-10 C5:16"]);
    assert_eq!(sounds(&import), [65.0, 62.0]);
    assert_eq!(hands(&import), "* horn@0+0");
    assert!(findings(&import).is_empty(), "{:?}", findings(&import));
}
