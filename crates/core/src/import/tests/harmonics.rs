//! Which pitch a harmonic sounds.

use super::compact::{findings, read_parts};
use crate::diag::Code;
use crate::event::{Manner, NoteTraits};
use crate::import::Import;

fn harmonic(inside: &str) -> String {
    format!("^<technical><harmonic>{inside}</harmonic></technical>")
}

/// What sounds from each head in MIDI keys, `-` for heads that only show the grip.
fn sounds(import: &Import) -> String {
    let notes = import.score.movements[0].music[0].notes.iter();
    let show = |note: &crate::event::Note| match note.sounding {
        Some(pitch) => pitch.midi().to_string(),
        None => String::from(if note.traits.has(NoteTraits::GRIP) { "-" } else { "?" }),
    };
    notes.map(show).collect::<Vec<_>>().join(" ")
}

fn read(part: &str, bars: &str) -> String {
    sounds(&read_parts(&[&format!("{part}: @4/4 {bars}")]))
}

/// Touched fourth: two octaves above the string; fifth: an octave and a fifth; major third: two
/// octaves and a major third; minor third: two octaves and a fifth; major sixth as major third;
/// octave: octave. These are the overtones with a node there (overtone series). The elements are
/// `base-pitch` and `touching-pitch` of MusicXML 4.0.
#[test]
fn an_artificial_harmonic_is_one_sound_at_the_pitch_of_its_overtone() {
    let base = harmonic("<artificial/><base-pitch/>");
    let touch = harmonic("<artificial/><touching-pitch/>");
    // A4 is key 69.
    for (touched, heard) in
        [("D5", 93), ("E5", 88), ("C#5", 97), ("C5", 100), ("F#5", 97), ("A5", 81)]
    {
        let chord = format!("A4:16{base} +{touched}:16{touch}");
        assert_eq!(read("Violin", &chord), format!("- {heard}"), "{touched}");
    }
    let import = read_parts(&[&format!("Violin: @4/4 A4:16{base} +D5:16{touch}")]);
    let notes = &import.score.movements[0].music[0].notes;
    assert!(notes.iter().all(|note| note.manner.has(Manner::HARMONIC | Manner::ARTIFICIAL)));
    // The heads keep their spelling, and each still counts as a head.
    assert_eq!(notes[1].written.unwrap().to_string(), "D5");
    assert!(notes.iter().all(crate::event::Note::is_counted));
    assert!(findings(&import).is_empty());
}

#[test]
fn a_stated_sounding_pitch_counts_and_the_grip_is_silent() {
    let base = harmonic("<artificial/><base-pitch/>");
    let touch = harmonic("<artificial/><touching-pitch/>");
    let heard = harmonic("<artificial/><sounding-pitch/>");
    let all = format!("A4:16{base} +D5:16{touch} +A6:16{heard}");
    assert_eq!(read("Violin", &all), "- - 93");
    let two = format!("A4:16{base} +A6:16{heard}");
    assert_eq!(read("Violin", &two), "- 93");
}

/// Many files mark only one head of the pair, or neither: the other one is its partner.
#[test]
fn a_pair_is_found_when_one_head_says_what_it_is() {
    let touch = harmonic("<artificial/><touching-pitch/>");
    assert_eq!(read("Violin", &format!("A4:16 +D5:16{touch}")), "- 93");
    let base = harmonic("<artificial/><base-pitch/>");
    assert_eq!(read("Violin", &format!("A4:16{base} +D5:16")), "- 93");
    let kindless = harmonic("<artificial/>");
    assert_eq!(read("Violin", &format!("A4:16{kindless} +D5:16{kindless}")), "- 93");
    // An open string touched.
    let (base, touch) =
        (harmonic("<natural/><base-pitch/>"), harmonic("<natural/><touching-pitch/>"));
    assert_eq!(read("Cello", &format!("D3:16{base} +G3:16{touch}")), "- 74");
}

/// A diamond a fourth above an ordinary head on a bowed string is an artificial harmonic (common
/// practice); on other instruments, and at other intervals, a diamond means other things.
#[test]
fn a_diamond_above_a_stopped_string_needs_no_element() {
    let note = |chord: &str, step: &str, octave: u8, head: &str| {
        format!(
            "{{<note>{chord}<pitch><step>{step}</step><octave>{octave}</octave></pitch>\
             <duration>16</duration><voice>1</voice>{head}</note>}}"
        )
    };
    let diamond = "<notehead>diamond</notehead>";
    let fourth = format!("{} {}", note("", "A", 4, ""), note("<chord/>", "D", 5, diamond));
    assert_eq!(read("Violin", &fourth), "- 93");
    assert_eq!(read("Piano", &fourth), "69 74");
    let second = format!("{} {}", note("", "A", 4, ""), note("<chord/>", "B", 4, diamond));
    assert_eq!(read("Violin", &second), "69 71");
    assert_eq!(read("Violin", &note("", "A", 4, diamond)), "69");
}

/// The ring over a note stands for the sounding pitch (common practice of orchestral strings).
#[test]
fn a_natural_harmonic_sounds_as_it_is_written() {
    for inside in ["", "<natural/>", "<natural/><sounding-pitch/>", "<sounding-pitch/>"] {
        let part = format!("Violin: @4/4 D6:16{}", harmonic(inside));
        let import = read_parts(&[&part]);
        assert_eq!(sounds(&import), "86", "{inside}");
        assert!(import.score.movements[0].music[0].notes[0].manner.has(Manner::HARMONIC));
        assert!(findings(&import).is_empty(), "{inside}");
    }
}

#[test]
fn half_a_statement_is_kept_as_written_and_said() {
    for inside in ["<artificial/>", "<artificial/><touching-pitch/>", "<natural/><base-pitch/>"] {
        let import = read_parts(&[&format!("Violin: @4/4 A4:16{}", harmonic(inside))]);
        assert_eq!(sounds(&import), "69", "{inside}");
        let codes: Vec<Code> = findings(&import).iter().map(|found| found.code).collect();
        assert_eq!(codes, [Code::HarmonicUnclear], "{inside}");
    }
    // No overtone has a node a whole tone above the string.
    let (base, touch) =
        (harmonic("<artificial/><base-pitch/>"), harmonic("<artificial/><touching-pitch/>"));
    let import = read_parts(&[&format!("Violin: @4/4 A4:16{base} +B4:16{touch}")]);
    assert_eq!(sounds(&import), "69 71");
    assert_eq!(findings(&import)[0].code, Code::HarmonicUnclear);
}

#[test]
fn a_tied_harmonic_goes_on_as_it_began() {
    let base = harmonic("<artificial/><base-pitch/>");
    let touch = harmonic("<artificial/><touching-pitch/>");
    let bars = format!("~A4:16{base} +~D5:16{touch} | -A4:16 +-D5:16");
    assert_eq!(read("Violin", &bars), "- 93 - 93");
}

#[test]
fn transposed_strings_sound_their_harmonics_transposed() {
    let octave = "{<attributes><transpose><chromatic>0</chromatic>\
                  <octave-change>-1</octave-change></transpose></attributes>}";
    let (base, touch) =
        (harmonic("<artificial/><base-pitch/>"), harmonic("<artificial/><touching-pitch/>"));
    let bars = format!("{octave} A2:16{base} +D3:16{touch}");
    assert_eq!(read("Double bass", &bars), "- 57");
}
