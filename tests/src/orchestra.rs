//! A made-up movement for a large orchestra, of any number of bars: 36 parts, sections of eight bars
//! in which a line with its doublings, chords, an accompaniment and silence go from part to part.
//!
//! The same number of bars gives the same text, and more bars go on where fewer end, so that the
//! work of an analysis can be compared between lengths. Nothing of it is music by anybody.

use std::fmt::Write;

/// Name of the part, and the octave (of C, as it sounds) in which it plays.
const PARTS: [(&str, i32); 36] = [
    ("Piccolo", 6),
    ("Flute 1", 5),
    ("Flute 2", 5),
    ("Oboe 1", 5),
    ("Oboe 2", 4),
    ("English Horn", 4),
    ("Clarinet 1", 5),
    ("Clarinet 2", 4),
    ("Bass Clarinet", 3),
    ("Bassoon 1", 3),
    ("Bassoon 2", 2),
    ("Contrabassoon", 1),
    ("Horn 1", 4),
    ("Horn 2", 4),
    ("Horn 3", 4),
    ("Horn 4", 3),
    ("Trumpet 1", 5),
    ("Trumpet 2", 4),
    ("Trumpet 3", 4),
    ("Trombone 1", 3),
    ("Trombone 2", 3),
    ("Bass Trombone", 2),
    ("Tuba", 2),
    ("Timpani", 2),
    ("Snare Drum", 4),
    ("Cymbals", 4),
    ("Glockenspiel", 6),
    ("Xylophone", 5),
    ("Harp", 4),
    ("Celesta", 5),
    ("Piano", 3),
    ("Violin I", 5),
    ("Violin II", 4),
    ("Viola", 4),
    ("Violoncello", 3),
    ("Contrabass", 2),
];

/// Bars of a section.
const SECTION: u64 = 8;

/// Rhythms of a bar of four quarters, in sixteenths.
const RHYTHMS: [&[u32]; 6] = [
    &[4, 4, 4, 4],
    &[6, 2, 4, 4],
    &[2, 2, 2, 2, 2, 2, 2, 2],
    &[8, 4, 4],
    &[4, 2, 2, 3, 1, 4],
    &[1, 1, 1, 1, 2, 2, 4, 4],
];

/// The steps of a major scale in semitones.
const SCALE: [i32; 7] = [0, 2, 4, 5, 7, 9, 11];

/// What a part does in a section.
#[derive(Clone, Copy, PartialEq)]
enum Role {
    Silent,
    /// The line, alike in all parts that have it.
    Line,
    /// Chords in long notes.
    Chord,
    /// Repeated chord notes.
    Pulse,
    /// A line of its own.
    Counter,
}

/// The movement as a partwise document.
pub fn orchestra(n_bars: usize) -> String {
    let mut out = String::from("<score-partwise version=\"4.0\"><part-list>");
    for (part, (name, _)) in PARTS.iter().enumerate() {
        // Writing to a text cannot fail.
        let _ =
            write!(out, "<score-part id=\"P{part}\"><part-name>{name}</part-name></score-part>");
    }
    out.push_str("</part-list>\n");
    for part in 0..PARTS.len() {
        let _ = writeln!(out, "<part id=\"P{part}\">");
        for bar in 0..n_bars as u64 {
            write_bar(&mut out, part as u64, bar);
        }
        out.push_str("</part>\n");
    }
    out.push_str("</score-partwise>\n");
    out
}

/// A number that depends on three others and looks like chance (the finalizer of SplitMix64).
fn chance(kind: u64, one: u64, other: u64) -> u64 {
    let mut mixed = kind
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add(one.wrapping_mul(0xBF58_476D_1CE4_E5B9))
        .wrapping_add(other.wrapping_mul(0x94D0_49BB_1331_11EB));
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    mixed ^ (mixed >> 31)
}

fn role(part: u64, section: u64) -> Role {
    let tutti = section % 6 == 5;
    match chance(1, part, section) % 10 {
        0 | 1 => Role::Line,
        2 | 3 => Role::Chord,
        4 => Role::Pulse,
        5 => Role::Counter,
        6..=8 if tutti => Role::Chord,
        _ if tutti => Role::Line,
        _ => Role::Silent,
    }
}

fn write_bar(out: &mut String, part: u64, bar: u64) {
    let section = bar / SECTION;
    let role = role(part, section);
    let _ = write!(out, "<measure number=\"{}\">", bar + 1);
    if bar == 0 {
        out.push_str(
            "<attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type>\
             </time></attributes>",
        );
        if part == 0 {
            out.push_str(
                "<direction><direction-type><metronome><beat-unit>quarter</beat-unit>\
                 <per-minute>96</per-minute></metronome></direction-type></direction>",
            );
        }
    }
    if role == Role::Silent {
        out.push_str("<note><rest/><duration>16</duration></note></measure>\n");
        return;
    }
    if bar.is_multiple_of(SECTION) {
        signs(out, part, section);
    }
    // All that play the line have the rhythm and the steps of the section's line.
    let voice = if role == Role::Line { 99 } else { part };
    let rhythm: &[u32] = match role {
        Role::Chord => &[16],
        Role::Pulse => RHYTHMS[2],
        _ => RHYTHMS[(chance(2, voice, bar) % 6) as usize],
    };
    let chord = (chance(3, 0, bar) % 7) as i32;
    for (nth, length) in rhythm.iter().enumerate() {
        let degree = match role {
            Role::Line | Role::Counter => (chance(4, voice, bar * 16 + nth as u64) % 9) as i32,
            _ => chord + 2 * (part % 3) as i32,
        };
        write_note(out, part, degree, *length);
    }
    out.push_str("</measure>\n");
}

/// A level at the start of every section, and in strings bow, pluck and mutes.
fn signs(out: &mut String, part: u64, section: u64) {
    let level = ["pp", "p", "mf", "f", "ff"][(chance(5, part / 4, section) % 5) as usize];
    let _ = write!(
        out,
        "<direction><direction-type><dynamics><{level}/></dynamics></direction-type></direction>"
    );
    if part >= 31 {
        let words = ["arco", "pizz.", "con sord.", "senza sord."];
        let words = words[(chance(6, part / 2, section) % 4) as usize];
        let _ = write!(
            out,
            "<direction><direction-type><words>{words}</words></direction-type></direction>"
        );
    }
}

fn write_note(out: &mut String, part: u64, degree: i32, length: u32) {
    let (name, octave) = PARTS[part as usize];
    if matches!(name, "Snare Drum" | "Cymbals") {
        let _ = write!(out, "<note><unpitched/><duration>{length}</duration></note>");
        return;
    }
    let key = 12 * (octave + 1) + 12 * degree.div_euclid(7) + SCALE[degree.rem_euclid(7) as usize];
    let (step, alter) = [
        ("C", 0),
        ("C", 1),
        ("D", 0),
        ("D", 1),
        ("E", 0),
        ("F", 0),
        ("F", 1),
        ("G", 0),
        ("G", 1),
        ("A", 0),
        ("A", 1),
        ("B", 0),
    ][key.rem_euclid(12) as usize];
    let alter = if alter == 0 { "" } else { "<alter>1</alter>" };
    let _ = write!(
        out,
        "<note><pitch><step>{step}</step>{alter}<octave>{}</octave></pitch>\
         <duration>{length}</duration></note>",
        key.div_euclid(12) - 1
    );
}
