//! Spans of bars, written and read again: what is in force at the first bar, and the slice of the
//! whole that they must equal.
//!
//! Equal are the bars (label, length, meter), all heads with who plays them but for the ties and slurs that are cut, the
//! counts (a sound that is cut counts as begun), the compass, and at the first bar level, techniques,
//! instrument, transposition and tempo. Everywhere: free time and swing.

use barloom_analysis::Tracks;
use barloom_analysis::tempo::TempoTrack;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::basis::Basis;
use barloom_core::event::{Device, Level, Note, NoteTraits};
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic, Score};
use barloom_core::time::Ticks;
use barloom_export::musicxml::{self, Excerpt};

use super::{WHAT, all_parts, files, read, tables};
use crate::{outside, works};

/// Some spans of a movement, the same at every run: its beginning, its end, and a few inside.
pub(super) fn some(score: &Score, movement: usize) -> Vec<Excerpt> {
    let n = score.movements[movement].bars.len();
    if n < 2 {
        return Vec::new();
    }
    let mut dice = 0x2545_f491_u64 + n as u64;
    let mut below = |limit: usize| {
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (dice >> 33) as usize % limit
    };
    let mut spans = vec![(0, n / 2), (n / 2, n - 1)];
    if n > 20 {
        for _ in 0..4 {
            let from = below(n);
            spans.push((from, (from + 1 + below(24)).min(n - 1)));
        }
    }
    let parts = all_parts(score);
    let excerpt = |(from, to): (usize, usize)| Excerpt {
        movement,
        from: BarIndex::from(from),
        to: BarIndex::from(to),
        parts: parts.clone(),
    };
    spans.into_iter().map(excerpt).collect()
}

/// What of a span is not what it should be.
fn wrong(basis: &Basis, tracks: &Tracks, excerpt: &Excerpt) -> Vec<String> {
    let movement = &basis.score.movements[excerpt.movement];
    let bytes = musicxml::excerpt(basis, excerpt, None, false).unwrap();
    let import = read(String::from_utf8(bytes).unwrap());
    let again = Basis::of(import.score);
    let (again, own) = works::analyzed(again.score);
    let mut found = Vec::new();
    if again.score.movements.len() != 1 {
        return vec![format!("became {} movements", again.score.movements.len())];
    }
    let piece = &again.score.movements[0];
    let start = movement.bars.get(excerpt.from).unwrap().start;
    let mut compare = |what: String, wanted: String, have: String| {
        if wanted != have {
            found.push(format!("{what}: {wanted} became {have}"));
        }
    };
    compare("bars".into(), bars(movement, excerpt.from, excerpt.to), bars_of_all(piece));
    let (tempo, own_tempo) = (&tracks.movements[excerpt.movement].tempo, &own.movements[0].tempo);
    let speed = |value: f64| format!("{value:.4}");
    compare(
        "tempo at the start".into(),
        speed(tempo.quarters_per_minute(start)),
        speed(own_tempo.quarters_per_minute(Ticks::ZERO)),
    );
    compare("free time".into(), free(movement, tempo, excerpt), free_of_all(piece, own_tempo));
    let span = (start, movement.bars.get(excerpt.to).unwrap().end());
    let own_span = (Ticks::ZERO, piece.bars.end());
    compare(
        "swing".into(),
        tables::swing(movement, tempo, span),
        tables::swing(piece, own_tempo, own_span),
    );
    let pieces = piece.music.iter().filter(|music| music.present);
    let places = piece.parts().map(|(part, _)| part);
    for (((part, whole), music), place) in movement.parts().zip(pieces).zip(places) {
        let name = &whole.source_name;
        let inside = |note: &&Note| (excerpt.from..=excerpt.to).contains(&note.bar);
        let wanted: Vec<&Note> = whole.notes.iter().filter(inside).collect();
        compare(
            format!("{name}: heads"),
            heads(movement, &wanted, excerpt.from, start),
            heads(piece, &music.notes.iter().collect::<Vec<_>>(), BarIndex(0), Ticks::ZERO),
        );
        let cut = |note: &&&Note| {
            let mut begun = (**note).clone();
            begun.traits.clear(NoteTraits::CONTINUES);
            note.onset == start && excerpt.from > BarIndex(0) && begun.is_counted()
        };
        let counted = wanted.iter().filter(|note| note.is_counted()).count();
        let begun = wanted.iter().filter(cut).filter(|note| !note.is_counted()).count();
        let have = music.notes.iter().filter(|note| note.is_counted()).count();
        compare(format!("{name}: notes"), (counted + begun).to_string(), have.to_string());
        compare(
            format!("{name}: state"),
            state(basis, tracks, (excerpt.movement, part), whole, start),
            state(&again, &own, (0, place), music, Ticks::ZERO),
        );
    }
    for finding in &import.diagnostics {
        let code = finding.code.name();
        if ["hairpin-unbegun", "divisions-missing"].iter().any(|bad| code.ends_with(bad)) {
            found.push(finding.to_string());
        }
    }
    found
}

fn bars(movement: &Movement, from: BarIndex, to: BarIndex) -> String {
    let inside = movement.bars.iter().filter(|(idx, _)| (from..=to).contains(idx));
    let line = |(_, bar): (BarIndex, &Bar)| {
        let length = movement.resolution.quarters(bar.length);
        format!("{} {length} {}", bar.label, bar.meter)
    };
    inside.map(line).collect::<Vec<_>>().join(", ")
}

fn bars_of_all(movement: &Movement) -> String {
    bars(movement, BarIndex(0), movement.bars.last_index().unwrap())
}

/// In which bars no clock holds at the start, counted from the first of the span.
fn free(movement: &Movement, tempo: &TempoTrack, excerpt: &Excerpt) -> String {
    let inside = movement.bars.iter().filter(|(idx, _)| (excerpt.from..=excerpt.to).contains(idx));
    let is_free = |bar: &Bar| tempo.segment_at(bar.start).is_some_and(|segment| segment.free);
    let free = inside.filter(|(_, bar)| is_free(bar));
    free.map(|(idx, _)| (idx.0 - excerpt.from.0).to_string()).collect::<Vec<_>>().join(" ")
}

fn free_of_all(movement: &Movement, tempo: &TempoTrack) -> String {
    let to = movement.bars.last_index().unwrap();
    let all = Excerpt { movement: 0, from: BarIndex(0), to, parts: Vec::new() };
    free(movement, tempo, &all)
}

/// The heads with everything but ties and slurs.
fn heads(movement: &Movement, notes: &[&Note], from: BarIndex, start: Ticks) -> String {
    let line = |note: &&Note| {
        let mut traits = note.traits;
        traits.clear(NoteTraits::CONTINUES | NoteTraits::TIED_ON);
        traits.clear(NoteTraits::SLUR_BEGINS | NoteTraits::SLUR_ENDS);
        let quarters = |ticks: Ticks| movement.resolution.quarters(ticks);
        format!(
            "{} {} in {} {:?} {:?} {} {:?} {:?} {} {:?}",
            quarters(note.onset - start),
            quarters(note.length),
            note.bar.0 - from.0,
            note.written,
            note.sounding,
            note.staff,
            traits,
            note.manner,
            note.tremolo,
            note.players
        )
    };
    let mut lines: Vec<String> = notes.iter().map(line).collect();
    lines.sort();
    lines.join("\n")
}

/// Level, techniques, instrument and transposition of a part at a place.
fn state(
    basis: &Basis,
    tracks: &Tracks,
    (movement, part): (usize, PartIdx),
    music: &PartMusic,
    at: Ticks,
) -> String {
    let tracks = &tracks.movements[movement];
    let level: Option<Level> = tracks.dynamics.level_at(part, at);
    let mut devices: Vec<Device> = tracks.devices.at(part, at).map(|span| span.device).collect();
    devices.sort();
    devices.dedup();
    let first = basis.score.parts.get(part.idx()).map(|part| part.instrument);
    let instrument = music.instrument_at(at).or(first);
    format!("{level:?} {devices:?} {instrument:?} {:?}", music.transposition_at(1, at))
}

fn assert_spans(score: Score, name: &str) -> String {
    let movements = 0..score.movements.len();
    let spans = movements.flat_map(|movement| some(&score, movement)).collect();
    wrong_in(score, name, spans)
}

/// What is not as it should be in these spans.
pub(super) fn wrong_in(score: Score, name: &str, spans: Vec<Excerpt>) -> String {
    let (basis, tracks) = works::analyzed(score);
    let mut all = String::new();
    for excerpt in spans {
        let wrong = wrong(&basis, &tracks, &excerpt);
        if !wrong.is_empty() {
            let (from, to) = (excerpt.from.0, excerpt.to.0);
            let shown: Vec<String> = wrong.iter().take(5).map(|line| shortened(line)).collect();
            let shown = shown.join("\n  ");
            all.push_str(&format!(
                "{name} {}: {from}-{to}: {}\n  {shown}\n",
                excerpt.movement,
                wrong.len()
            ));
        }
    }
    all
}

/// The place where two long texts part.
fn shortened(line: &str) -> String {
    if line.len() < 400 {
        return line.to_owned();
    }
    let Some((wanted, have)) = line.split_once(" became ") else { return line.to_owned() };
    let name = wanted.split_once(": ").map_or("", |(name, _)| name);
    let pairs = wanted.lines().zip(have.lines());
    let apart = pairs.skip(1).find(|(wanted, have)| wanted != have);
    format!("{name} ... {apart:?} ({} and {} lines)", wanted.lines().count(), have.lines().count())
}

#[test]
fn spans_of_the_suite_are_slices_of_the_whole() {
    let Some(data) = outside::data(WHAT) else { return };
    let mut all = String::new();
    for path in files(&data.join("musicxml-suite/xmlFiles")) {
        let Ok(import) = works::read(&path) else { continue };
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        all.push_str(&assert_spans(import.score, &name));
    }
    assert!(all.is_empty(), "{all}");
}

#[test]
fn spans_of_the_orchestral_movements_are_slices_of_the_whole() {
    let Some(data) = outside::data(WHAT) else { return };
    let mut all = String::new();
    for path in files(&data.join("orchestra")) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        all.push_str(&assert_spans(works::read(&path).unwrap().score, &name));
    }
    assert!(all.is_empty(), "{all}");
}

#[test]
fn spans_of_the_example_are_slices_of_the_whole() {
    assert_eq!(assert_spans(works::example().score, "example"), "");
}

/// A condensed part whose stems do not tell the voices apart: the voice with the lower number is the
/// first player's (common practice), also where a span begins with the lower voice alone.
#[test]
fn players_stay_who_they_are_where_a_span_begins_with_the_lower_voice() {
    let note = |step: &str, voice: u8| {
        format!(
            "<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>4</duration>\
             <voice>{voice}</voice></note>"
        )
    };
    let back = "<backup><duration>4</duration></backup>";
    let both = |first: &str, second: &str| note(first, 1) + back + &note(second, 2);
    let bars = [both("G", "E"), note("D", 2), both("A", "F"), note("B", 1), both("C", "C")];
    let mut text = String::from(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Flutes 1.2\
         </part-name></score-part></part-list><part id=\"P1\">",
    );
    for (idx, bar) in bars.iter().enumerate() {
        let attributes = "<attributes><divisions>1</divisions><time><beats>4</beats>\
             <beat-type>4</beat-type></time></attributes>";
        let attributes = if idx == 0 { attributes } else { "" };
        text += &format!("<measure number=\"{}\">{attributes}{bar}</measure>", idx + 1);
    }
    let score = read(text + "</part></score-partwise>").score;
    let first = &score.movements[0].music[0].notes;
    let players: std::collections::BTreeSet<String> =
        first.iter().map(|note| format!("{:?}", note.players)).collect();
    assert!(players.len() >= 2, "both players are told apart");
    let parts = all_parts(&score);
    let every = (0..5).flat_map(|from| (from..5).map(move |to| (from, to)));
    let excerpt = |(from, to): (u32, u32)| Excerpt {
        movement: 0,
        from: BarIndex(from),
        to: BarIndex(to),
        parts: parts.clone(),
    };
    let spans = every.map(excerpt).collect();
    assert_eq!(wrong_in(score, "two voices", spans), "");
}
