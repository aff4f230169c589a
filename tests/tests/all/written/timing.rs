//! How time is played, written and read again whole and in every span: swing as words, as a ratio for
//! playback and as a figure, and time without a clock.
//!
//! Source of the elements: MusicXML 4.0, `swing` ("straight", "first", "second", "swing-type",
//! "swing-style") and `metronome` ("two eighths are equated to a quarter note / eighth note triplet").

use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::score::TempoKind;
use barloom_export::musicxml::{self, Excerpt};

use super::{all_parts, lost, read, spans};

/// A flute with a whole note in each bar, behind what each bar says.
fn document(bars: &[&str]) -> String {
    let mut text = String::from(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Flute\
         </part-name></score-part></part-list><part id=\"P1\">",
    );
    for (idx, says) in bars.iter().enumerate() {
        let attributes = "<attributes><divisions>1</divisions><time><beats>4</beats>\
             <beat-type>4</beat-type></time></attributes>";
        let attributes = if idx == 0 { attributes } else { "" };
        text += &format!(
            "<measure number=\"{}\">{attributes}{says}<note><pitch><step>C</step><octave>5</octave>\
             </pitch><duration>4</duration><type>whole</type></note></measure>",
            idx + 1
        );
    }
    text + "</part></score-partwise>"
}

fn words(text: &str) -> String {
    format!("<direction><direction-type><words>{text}</words></direction-type></direction>")
}

fn swing(inside: &str) -> String {
    format!("<sound><swing>{inside}</swing></sound>")
}

/// A pair of notes that is played as another pair, 2 to 1.
fn figure(unit: &str, first: &str, second: &str) -> String {
    let note = |value: &str, tuplet: &str| {
        format!("<metronome-note><metronome-type>{value}</metronome-type>{tuplet}</metronome-note>")
    };
    let starts = "<metronome-tuplet type=\"start\"><actual-notes>3</actual-notes>\
         <normal-notes>2</normal-notes></metronome-tuplet>";
    format!(
        "<direction><direction-type><metronome>{}{}<metronome-relation>equals</metronome-relation>\
         {}{}</metronome></direction-type></direction>",
        note(unit, ""),
        note(unit, ""),
        note(first, starts),
        note(second, "")
    )
}

const TWO_TO_ONE: &str = "<first>2</first><second>1</second>";

/// Scores in which how time is played changes from bar to bar.
pub(super) fn scores() -> Vec<String> {
    let ratio = swing(TWO_TO_ONE);
    let of_16ths = swing(
        "<first>3</first><second>2</second><swing-type>16th</swing-type>\
         <swing-style>light funk</swing-style>",
    );
    let (straight, even) = (swing("<straight/>"), words("straight eighths"));
    let fast = "<direction><direction-type><words font-weight=\"bold\">Allegro</words>\
         </direction-type><sound tempo=\"132\"/></direction>";
    let with_tempo = format!("<sound tempo=\"96\"/>{ratio}");
    let styled = swing("<straight/><swing-style>bossa nova</swing-style>");
    let (quarters, eighths) =
        (figure("quarter", "half", "quarter"), figure("eighth", "quarter", "eighth"));
    let (medium, rubato) = (words("Medium swing"), words("Andante rubato"));
    let both = format!("{medium}{ratio}");
    let (ad_lib, in_time) = (words("ad lib."), words("a tempo"));
    let free = words("senza misura");
    let scores: [&[&str]; 6] = [
        &["", &with_tempo, "", &of_16ths, "", &straight, ""],
        &[&medium, "", &even, "", &both, fast, &styled, ""],
        &[fast, &eighths, "", &quarters, "", &straight],
        &[fast, "", &ad_lib, "", "", &in_time, ""],
        &[fast, &rubato, "", "<sound tempo=\"70\"/>", "", fast, &free, ""],
        &[&rubato, &ratio, "", &ad_lib, &even, ""],
    ];
    scores.into_iter().map(document).collect()
}

#[test]
fn swing_and_free_time_are_not_lost() {
    for (nth, text) in scores().into_iter().enumerate() {
        let import = read(text);
        let said = import.score.movements[0].tempi.iter().filter(|mark| {
            matches!(mark.kind, TempoKind::Swing { .. } | TempoKind::Straight | TempoKind::Free)
        });
        assert!(said.count() >= 1, "score {nth} says nothing");
        assert_eq!(lost(import), (Vec::new(), 1), "score {nth}");
    }
}

/// From every bar to every later one.
#[test]
fn swing_and_free_time_hold_in_every_span() {
    let mut all = String::new();
    for (nth, text) in scores().into_iter().enumerate() {
        let score = read(text).score;
        let n_bars = score.movements[0].bars.len();
        let excerpt = |from: usize, to: usize| Excerpt {
            movement: 0,
            from: BarIndex::from(from),
            to: BarIndex::from(to),
            parts: all_parts(&score),
        };
        let every = (0..n_bars)
            .flat_map(|from| (from..n_bars).map(move |to| (from, to)))
            .collect::<Vec<_>>();
        let every = every.into_iter().map(|(from, to)| excerpt(from, to)).collect();
        all += &spans::wrong_in(score, &format!("score {nth}"), every);
    }
    assert!(all.is_empty(), "{all}");
}

/// What stands in the file, by the standard.
#[test]
fn swing_is_written_as_the_standard_has_it() {
    let ratio = swing(TWO_TO_ONE);
    let straight = swing("<straight/>");
    let basis = Basis::of(read(document(&["", &ratio, "", &straight, ""])).score);
    let written = |from: u32, to: u32| {
        let (from, to) = (BarIndex(from), BarIndex(to));
        let excerpt = Excerpt { movement: 0, from, to, parts: all_parts(&basis.score) };
        let bytes = musicxml::excerpt(&basis, &excerpt, None, false).unwrap();
        String::from_utf8(bytes).unwrap().split_whitespace().collect::<String>()
    };
    let wanted = "<sound><swing><first>2</first><second>1</second><swing-type>eighth</swing-type>\
         </swing></sound>";
    let inside = written(2, 2);
    assert!(inside.contains(wanted), "{inside}");
    assert!(!inside.contains("<words"), "nothing is printed in the score: {inside}");
    let before = written(0, 0);
    assert!(!before.contains("swing"), "{before}");
    let behind = written(4, 4);
    assert!(behind.contains("<sound><swing><straight/></swing></sound>"), "{behind}");
    let all = written(0, 4);
    assert_eq!(all.matches("<swing>").count(), 2, "{all}");
}
