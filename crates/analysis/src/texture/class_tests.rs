//! Textures of the schoolbook in Huron's plane ("Characterizing musical textures", ICMC 1989): a hymn is
//! high in synchrony and semblant motion, a fugue low in both.

use super::*;
use crate::settings::Settings;
use crate::testing::{analyzed, movement};

fn classes(parts: &[&str]) -> Vec<(u32, u32, &'static str)> {
    let (_, tracks) = analyzed(movement(parts));
    let spans = &tracks.movements[0].textures;
    spans.iter().map(|span| (span.from.0, span.to.0, span.class.name())).collect()
}

#[test]
fn one_voice_two_in_octaves_and_a_rest() {
    let seen = classes(&[
        "violin: 4/4 c5:1 d5 e5 f5 | c5:1 d5 e5 f5 | g5:1 f5 e5 d5 | r:4",
        "cello: 4/4 r:4 | c4:1 d4 e4 f4 | g4:1 f4 e4 d4 | r:4",
    ]);
    assert_eq!(seen, [(0, 0, "solo"), (1, 2, "octaves"), (3, 3, "silence")]);
}

#[test]
fn a_hymn_is_homophony() {
    let seen = classes(&[
        "violin: 4/4 e5:1 f5 g5 f5 | e5:1 d5 c5:2",
        "violin: 4/4 c5:1 c5 d5 c5 | c5:1 b4 g4:2",
        "viola: 4/4 g4:1 a4 b4 a4 | g4:1 g4 e4:2",
        "cello: 4/4 c4:1 a3 g3 d4 | c4:1 g3 c3:2",
    ]);
    assert_eq!(seen, [(0, 1, "homophony")]);
}

#[test]
fn a_tune_over_repeated_chords_is_melody_and_accompaniment() {
    let seen = classes(&[
        "oboe: 4/4 g5:1( a5:1/2 b5 c6:1 b5:1) | a5:1( g5:1/2 f5 e5:2)",
        "violin: 4/4 e4:1/2 e4 e4 e4 e4:1/2 e4 e4 e4 | d4:1/2 d4 d4 d4 c4:1/2 c4 c4 c4",
        "viola: 4/4 c4:1/2 c4 c4 c4 c4:1/2 c4 c4 c4 | b3:1/2 b3 b3 b3 c4:1/2 c4 c4 c4",
        "cello: 4/4 c3:4 | g2:2 c3",
    ]);
    assert_eq!(seen, [(0, 1, "melody and accompaniment")]);
}

#[test]
fn lines_of_their_own_are_polyphony() {
    let seen = classes(&[
        "violin: 4/4 c5:1 d5:1/2 e5 f5:1 e5 | d5:1/2 c5 b4:1 c5:3/2 d5:1/2",
        "viola: 4/4 e4:3/2 f4:1/2 g4:1/2 f4 e4:1 | f4:1 g4:1/2 a4 g4:1 f4",
        "cello: 4/4 r:1/2 c4:1/2 b3 a3 g3:1 a3:1/2 b3 | c4:3/2 b3:1/2 a3:1/2 g3 f3:1",
    ]);
    assert_eq!(seen, [(0, 1, "polyphony")]);
}

#[test]
fn everyone_is_a_tutti_and_its_relation_is_kept() {
    let chord = |instrument: &str, pitch: &str| format!("{instrument}: 4/4 {pitch}:2 {pitch}");
    let parts: Vec<String> = [
        ("flute", "c6"),
        ("oboe", "g5"),
        ("horn", "e4"),
        ("trumpet", "c5"),
        ("violin", "e5"),
        ("cello", "c3"),
    ]
    .iter()
    .map(|(instrument, pitch)| chord(instrument, pitch))
    .collect();
    let lines: Vec<&str> = parts.iter().map(String::as_str).collect();
    let (_, tracks) = analyzed(movement(&lines));
    let span = &tracks.movements[0].textures[0];
    assert_eq!((span.class, span.relation), (TextureClass::Tutti, TextureClass::Homophony));
    assert!(span.synchrony > 0.99 && Settings::default().texture.tutti_share < 1.0);
}

/// Homophony is a matter of voices, not of players: a keyboard or divided strings have it alone.
#[test]
fn one_part_in_chords_is_homophony_and_no_solo() {
    let chords = "piano: 4/4 c4+e4+g4:1 c4+f4+a4 b3+d4+g4 c4+e4+g4";
    assert_eq!(classes(&[chords, "violin: 4/4 r:4"]), [(0, 0, "homophony")]);
}

/// Rimsky-Korsakov, ch. I: in loud music a trumpet is as strong as four woodwinds, in soft music as one.
#[test]
fn a_span_tells_its_weight_and_register() {
    let (_, tracks) =
        analyzed(movement(&["flute: 4/4 !f c6:4 | r:4", "trumpet: 4/4 !f c5:4 | !p c5:4"]));
    let spans = &tracks.movements[0].textures;
    let seen: Vec<_> = spans.iter().map(|span| (span.class, span.weight)).collect();
    assert_eq!((seen[0].1, seen[1].1), (5.0, 1.0), "{seen:?}");
    let register = spans[0].register.map(|(low, high)| high.midi() - low.midi());
    // The flute in c sounds as written; the trumpet an octave or so below it.
    assert!(register.is_some_and(|width| width >= 12.0));
}
