//! Jumps as files write them: by words only, by `sound` only, by both; names, times, contradictions.

use super::compact::{findings, read_parts};
use crate::basis::MovementPlan;
use crate::diag::Code;
use crate::import::Import;
use crate::play_order::play_order;

fn played(import: &Import) -> String {
    let (spans, _) = play_order(&import.score.movements[0], &MovementPlan::default());
    let spans = spans.iter().map(|(from, to)| format!("{}-{}", from.0, to.0));
    spans.collect::<Vec<_>>().join(" ")
}

/// Bars of a flute, what is written in each; the order expected, and findings about the order.
#[track_caller]
fn check(bars: &[&str], expected: &str, problems: &[&str]) {
    let bars: Vec<String> = bars.iter().map(|bar| format!("{bar} C4:16")).collect();
    let import = read_parts(&[&format!("Flute: @4/4 {}", bars.join(" | "))]);
    assert_eq!(played(&import), expected, "{bars:?}");
    let found = findings(&import);
    let found: Vec<&str> = found.iter().map(|found| found.message.as_str()).collect();
    assert_eq!(found.len(), problems.len(), "{found:?}");
    for (found, part) in found.iter().zip(problems) {
        assert!(found.contains(part), "{found:?} says nothing of {part:?}");
    }
}

const SEGNO: &str = "{<direction><direction-type><segno/></direction-type></direction>}";
const CODA: &str = "{<direction><direction-type><coda/></direction-type></direction>}";

/// The heading may say more, and is no less a tempo for it.
#[test]
fn a_trio_is_found_by_its_heading() {
    let no_fine = "nothing says where to end";
    check(&["", "", "'Trio._Vivace'", "'Menuetto_da_Capo'"], "0-3 0-1", &[no_fine]);
    check(&["", "", "'Piano_Trio'", "'D.C.'"], "0-3 0-3", &[no_fine]);
}

/// `sound` of MusicXML 4.0: dacapo, segno, dalsegno, coda, tocoda, fine.
#[test]
fn words_and_playback_say_the_same_order() {
    let [capo, fine] = ["{<sound_dacapo=\"yes\"/>}", "{<sound_fine=\"yes\"/>}"];
    let both = "{<direction><direction-type><words>D.C._al_Fine</words></direction-type>\
                <sound_dacapo=\"yes\"/></direction>}";
    for (jump, end) in
        [("'D.C._al_Fine'", "'Fine'"), (capo, fine), (both, "'Fine'"), (capo, "'Fine'")]
    {
        check(&["", end, "", jump], "0-3 0-1", &[]);
    }
    let named = "{<sound_segno=\"a\"/>}";
    let back = "{<sound_dalsegno=\"a\"/>}";
    let leave = "{<sound_tocoda=\"b\"/>}";
    let arrive = "{<sound_coda=\"b\"/>}";
    check(&["", named, leave, back, arrive], "0-3 1-2 4-4", &[]);
    check(&["", SEGNO, "'To_Coda'", "'D.S._al_Coda'", CODA], "0-3 1-2 4-4", &[]);
    check(&["", SEGNO, "'To_Coda'", "'D.S._al_Coda'", "'Coda'"], "0-3 1-2 4-4", &[]);
}

/// Common practice: a sign drawn beside the words "D.S." or "To Coda" belongs to them.
#[test]
fn signs_beside_the_words_are_a_part_of_them() {
    let back = "{<direction><direction-type><words>D.S._al_</words></direction-type>\
                <direction-type><coda/></direction-type></direction>}";
    let to = "{<direction><direction-type><words>To_</words></direction-type><direction-type>\
              <coda/></direction-type></direction>}";
    check(&["", SEGNO, to, back, CODA], "0-3 1-2 4-4", &[]);
    // In a direction of its own, right beside.
    let apart = format!("'To_Coda' {CODA}");
    check(&["", SEGNO, &apart, "'D.S._al_Coda'", CODA], "0-3 1-2 4-4", &[]);
    // Words and the segno in one direction.
    let back = "{<direction><direction-type><words>D.S._</words></direction-type><direction-type>\
                <segno/></direction-type></direction>}";
    check(&["", SEGNO, "'Fine'", back], "0-3 1-2", &[]);
}

/// `barline` of MusicXML 4.0 carries segno and coda, and names for them.
#[test]
fn signs_on_barlines_stand_at_the_next_bar() {
    let left = "{<barline_location=\"left\"_segno=\"x\"><segno/></barline>}";
    check(&["", left, "'Fine'", "{<sound_dalsegno=\"x\"/>}"], "0-3 1-2", &[]);
    let import = read_parts(&[
        "Flute: @4/4 C4:16 {<barline_location=\"right\"><segno/></barline>} | C4:16 | \
         'Fine' C4:16 | C4:16 'D.S.'",
    ]);
    assert_eq!(played(&import), "0-3 1-2");
}

/// `time-only` and `after-jump` of MusicXML 4.0, "senza rep." and "con rep." in words.
#[test]
fn times_and_repeats_are_as_stated() {
    check(
        &["|:", "{<sound_tocoda=\"c\"_time-only=\"2\"/>}", ":|", "{<sound_coda=\"c\"/>}"],
        "0-2 0-1 3-3",
        &[],
    );
    check(&["|:", ":|", "'Fine'", "", "'D.C._con_rep.'"], "0-1 0-4 0-1 0-2", &[]);
    check(&["|:", ":|", "'Fine'", "", "'D.C._senza_rep.'"], "0-1 0-4 0-2", &[]);
    let stays = "{<barline_location=\"right\"><repeat_direction=\"backward\"_after-jump=\"yes\"/></barline>}";
    check(&["|:", stays, "'Fine'", "", "'D.C.'"], "0-1 0-4 0-1 0-2", &[]);
    check(&["|:", "'3x' :|", ""], "0-1 0-1 0-2", &[]);
}

#[test]
fn contradictions_are_said_with_their_place() {
    let both = "{<direction><direction-type><words>D.S._al_Fine</words></direction-type>\
                <sound_dacapo=\"yes\"/></direction>}";
    check(&["", SEGNO, "'Fine'", both], "0-3 1-2", &["the words say D.S. al Fine"]);
    let four =
        "{<barline_location=\"right\"><repeat_direction=\"backward\"_times=\"4\"/></barline>}";
    let words = format!("'3x' {four}");
    check(&["|:", &words, ""], "0-1 0-1 0-2", &["the words count"]);
    check(&["|:", "", ""], "0-2", &["nothing ends it"]);

    let import = read_parts(&[
        "Flute: @4/4 'Fine' C4:16 | 'D.C.' C4:16",
        "Oboe: @4/4 {<direction><direction-type><segno/></direction-type></direction>} C4:16 | \
         'D.S.' C4:16",
    ]);
    let found = findings(&import);
    let [found] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(found.code, Code::OrderUnclear);
    assert!(found.message.contains("Flute has D.C., Oboe has D.S."), "{found}");
    let bar = found.place.bar.as_ref().map(|(bar, _)| bar.0);
    assert!(bar == Some(1) && found.place.line > 0, "{found}");
}
