//! Tests of the bar map's grammar.

use super::*;
use crate::bar::{BarIndex, Barline};
use crate::score::{Movement, TempoKind};
use crate::time::Quarters;
use std::sync::Arc;

fn movement(text: &str) -> Arc<Movement> {
    Arc::clone(&read(text, "Map").unwrap().0.movements[0])
}

#[test]
fn bars_have_meters_groups_and_numbers() {
    let movement = movement("pickup 1/4, 8 x 4/4, 3 x 7/8 (2+2+3), 2/4+3/8, free 6/4");
    let bars = movement.bars.as_slice();
    assert_eq!(bars.len(), 14);
    let said: Vec<String> = [0, 1, 8, 9, 12, 13]
        .iter()
        .map(|idx| {
            let bar = &bars[*idx];
            format!("{}:{}:{}", bar.label, bar.meter, movement.resolution.quarters(bar.length))
        })
        .collect();
    let expected =
        [":4/4:1", "1:4/4:4", "8:4/4:4", "9:2+2+3/8:7/2", "12:2/4+3/8:7/2", "13:senza misura:6"];
    assert_eq!(said, expected);
    assert!(bars[0].pickup && !bars[1].pickup);
    assert_eq!(bars[0].nominal, bars[1].length);
    assert_eq!(bars[13].barline, Barline::Final);
}

#[test]
fn marks_tempi_and_repeats_find_their_bars() {
    let text = "# night music\n12 x 6/8; C at 9, \"Più lento\" at 11, double after 8\n\
                repeat 1-8, ending 1 7-8 ending\n";
    assert!(read(text, "Map").is_err());
    let movement = movement(&text.replace(" ending\n", "\n"));
    let bars = movement.bars.as_slice();
    assert_eq!(bars[8].rehearsal.as_deref(), Some("C"));
    assert_eq!(bars[10].rehearsal.as_deref(), Some("Più lento"));
    assert_eq!(bars[7].barline, Barline::Double);
    assert_eq!((bars[0].flow.repeat_start, bars[7].flow.repeat_end), (true, Some(2)));
    assert_eq!((bars[6].flow.endings.len(), bars[7].flow.ending_stops), (1, true));
}

#[test]
fn tempi_are_marks_words_equations_and_changes_by_degrees() {
    let text = "20 x 3/4, tempo Andante con moto dotted half = 48-52 at 1, rit. at 9 beat 2 to 10,
        a tempo at 11, tempo quarter = dotted quarter at 12, tempo Allegro at 13,
        accel at 14, tempo primo at 18, tempo eighth = ca. 100.5 at 19";
    let movement = movement(text);
    let tempi = &movement.tempi;
    assert_eq!(tempi.len(), 8);
    let unit = Quarters::whole(3);
    let mark = TempoKind::Metronome { unit, per_minute: 48.0, up_to: Some(52.0), about: false };
    assert_eq!((&tempi[0].kind, tempi[0].words.as_str()), (&mark, "Andante con moto"));
    let resolution = movement.resolution;
    let at = |bar: i64, beat: i64| resolution.ticks(Quarters::new(bar * 3 + beat, 1).unwrap());
    assert_eq!(Some(tempi[1].at), at(8, 1));
    assert_eq!(tempi[1].kind, TempoKind::Gradual { faster: false, end: at(9, 0) });
    assert_eq!(tempi[2].kind, TempoKind::ATempo);
    let new = Quarters::new(3, 2).unwrap();
    assert_eq!(tempi[3].kind, TempoKind::Equation { old: Quarters::ONE, new });
    assert_eq!((&tempi[4].kind, tempi[4].words.as_str()), (&TempoKind::Term, "Allegro"));
    assert_eq!(tempi[4].bar, BarIndex(12));
    assert_eq!(tempi[6].kind, TempoKind::TempoPrimo);
    assert!(matches!(tempi[7].kind, TempoKind::Metronome { about: true, .. }));
}

#[test]
fn parts_have_instruments_and_players() {
    let text = "title: Night Music\nparts: 2 flutes, flute 3, strings, nose whistle; 4 x 4/4";
    let (score, diagnostics) = read(text, "Map").unwrap();
    let keys: Vec<&str> = score.parts.iter().map(|part| part.key.0.as_str()).collect();
    let expected = ["flute-1-2", "flute-3", "violins-1", "violins-2", "violas", "cellos"];
    assert_eq!(keys[..6], expected);
    assert_eq!(score.title, "Night Music");
    let players: Vec<&str> = score.parts[0].players.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(players, ["Flute 1", "Flute 2"]);
    assert_eq!(score.parts[1].players.len(), 1);
    assert_eq!(diagnostics.len(), 1);
    assert!(diagnostics[0].to_string().contains("nose whistle"), "{}", diagnostics[0]);
    let music = &score.movements[0].music;
    assert!(music.iter().all(|part| part.present && part.notes.is_empty()));
    assert_eq!(music[0].instruments, [crate::score::InHand::first(score.parts[0].instrument)]);
}

#[test]
fn errors_name_line_column_and_what_was_expected() {
    for (text, line, column, words) in [
        ("", 1, 1, "8 x 4/4"),
        ("8 x 4/4, 3 x 7/8 (2+2+2)", 1, 18, "add up to 7"),
        ("8 x 4/4\nC at 9", 2, 6, "from 1 to 8"),
        ("8 x 4/3", 1, 7, "lower figure"),
        ("8 x", 1, 4, "a meter"),
        ("4/4, 8 4/4", 1, 6, "bars (8 x 4/4)"),
        ("8 x 4/4, tempo quater = 70 at 1", 1, 16, "note value"),
        ("8 x 4/4, tempo quarter = fast at 1", 1, 26, "note value"),
        ("8 x 4/4, rit 3", 1, 14, "\"at\""),
        ("8 x 4/4, rit at 3 beat 5", 1, 24, "from 1 to 4"),
        ("8 x 4/4, repeat 5-3", 1, 19, "before the first"),
        ("8 x 4/4, pickup 1/4", 1, 10, "first bar"),
        ("99999 x 4/4", 1, 1, "10000"),
        ("8 x 4/4, \"open", 1, 15, "quotation mark"),
        ("8 x 4/4 hm", 1, 9, "a comma"),
    ] {
        let error = read(text, "Map").map(|_| ()).expect_err(text);
        assert_eq!((error.line, error.column), (line, column), "{text}: {error}");
        assert!(error.expected.contains(words), "{text}: {error}");
    }
}

/// Words, signs and line ends of the grammar in any order.
#[derive(Clone, Debug)]
struct Soup(String);

impl quickcheck::Arbitrary for Soup {
    fn arbitrary(g: &mut quickcheck::Gen) -> Self {
        const WORDS: [&str; 40] = [
            "8",
            "0",
            "1",
            "4/4",
            "7/8",
            "x",
            "(2+2+3)",
            "(",
            ")",
            "+",
            "/",
            "-",
            "=",
            ",",
            ";",
            "\n",
            "pickup",
            "free",
            "at",
            "beat",
            "tempo",
            "quarter",
            "dotted",
            "Allegro",
            "rit",
            "a",
            "primo",
            "to",
            "double",
            "after",
            "repeat",
            "ending",
            "title:",
            "parts:",
            "#",
            "\"C\"",
            "4294967296",
            "999999999999999999999",
            "é",
            "3.5.1",
        ];
        let start = if bool::arbitrary(g) { "8 x 4/4, " } else { "" };
        let n_words = usize::arbitrary(g) % 30;
        let words = (0..n_words).filter_map(|_| g.choose(&WORDS).copied());
        Self(words.fold(String::from(start), |text, word| text + word + " "))
    }
}

quickcheck::quickcheck! {
    fn no_text_is_too_odd_to_be_answered(soup: Soup, any: String) -> bool {
        [soup.0, any].iter().all(|text| match read(text, "Map") {
            Ok((score, _)) => !score.movements[0].bars.is_empty(),
            Err(error) => error.line >= 1 && error.column >= 1 && !error.expected.is_empty(),
        })
    }
}
