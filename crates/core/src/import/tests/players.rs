//! Who plays: condensed parts, numbers beside the notes, voices, chords.

use super::compact::read_parts;
use crate::event::{MarkingKind, PlayersMark};
use crate::import::Import;
use crate::part::PlayerSet;

/// The players of each note as digits, `*` for everyone.
fn players(import: &Import) -> String {
    let notes = import.score.movements[0].music[0].notes.iter();
    let show = |set: PlayerSet| {
        if set.is_all() {
            return String::from("*");
        }
        (0..15)
            .filter(|player| set.contains(*player))
            .map(|player| (player + 1).to_string())
            .collect()
    };
    notes.map(|note| show(note.players)).collect::<Vec<_>>().join(" ")
}

fn names(import: &Import) -> Vec<&str> {
    import.score.parts[0].players.iter().map(|player| player.name.as_str()).collect()
}

#[test]
fn players_are_counted_from_the_name() {
    let count =
        |name: &str| read_parts(&[&format!("{name}: @4/4 C4:16")]).score.parts[0].players.len();
    for (name, expected) in [
        ("Flutes 1.2", 2),
        ("Horns 1-4", 4),
        ("2 Oboes", 2),
        ("Corni I. II.", 2),
        ("3 Posaunen", 3),
        ("2 Flöten", 2),
        ("2. Flöte", 1),
        ("Horns in F 3.4", 2),
        ("Corni I, II", 2),
        ("1.2. Oboe", 2),
        ("Trombones I–III", 3),
        ("Fagotti", 2),
        ("Flute 3", 1),
        ("Flöte 3 (auch Piccolo)", 1),
        ("Clarinet in B flat", 1),
        ("Violins I", 1),
        ("Violoncelli", 1),
        ("Timpani", 1),
    ] {
        assert_eq!(count(name), expected, "{name}");
    }
    assert_eq!(names(&read_parts(&["Horns 3.4: @4/4 C4:16"])), ["Horn 3", "Horn 4"]);
}

#[test]
fn numbers_beside_the_notes_hold_until_all_play_again() {
    let import = read_parts(&["Oboes 1.2: @4/4 C4:4 '1.' C4:4 '2.' C4:4 'a_2' C4:4"]);
    assert_eq!(players(&import), "* 1 2 *");
    let solo = read_parts(&["Horns 3.4: @4/4 'IV._Solo' C4:16"]);
    assert_eq!(players(&solo), "2");
}

#[test]
fn two_voices_are_two_players_and_chords_are_shared() {
    let import = read_parts(&["Flutes 1.2: @2/4 v1 C5:8 <8 v2 E4:8 | v1 C4:4 +E4:4 D4:4"]);
    assert_eq!(players(&import), "1 2 2 1 *");
    let four = read_parts(&["Horns 1-4: @2/4 v1 C5:8 <8 v2 E4:8"]);
    assert_eq!(players(&four), "12 34");
}

#[test]
fn a_voice_that_rests_leaves_the_other_player_alone() {
    let import = read_parts(&["Flutes 1.2: @2/4 v1 C5:8 <8 v2 r:8"]);
    assert_eq!(players(&import), "1");
}

/// Scores with one part for each player still print "I." and "a 2": nobody is bound by it.
#[test]
fn a_part_for_one_player_means_nobody_else() {
    let import = read_parts(&["Oboe 1: @4/4 'I.' C4:8 'a._2' C4:8"]);
    assert_eq!(players(&import), "* *");
    let marks: Vec<MarkingKind> =
        import.score.movements[0].music[0].markings.iter().map(|m| m.kind.clone()).collect();
    let mark = MarkingKind::Players;
    assert_eq!(marks, [mark(PlayersMark::Named), mark(PlayersMark::All)]);
}

#[test]
fn a_part_whose_words_name_two_players_has_two() {
    let import = read_parts(&["Oboe: @4/4 'a_2' C4:8 'I.' C4:8"]);
    assert_eq!(names(&import), ["Oboe 1", "Oboe 2"]);
    assert_eq!(players(&import), "* 1");
}

#[test]
fn levels_bind_those_who_play() {
    let import = read_parts(&["Oboes 1.2: @4/4 '1.' !p C4:16"]);
    let level = import.score.movements[0].music[0].markings.last().unwrap();
    assert!(matches!(level.kind, MarkingKind::Level(_)));
    assert!(level.players.contains(0) && !level.players.contains(1));
}

/// Parts of one instrument side by side are one player each, though they print "I." and "a 2"; two
/// players in one of them must be named.
#[test]
fn twin_parts_without_numbers_hold_one_player_each() {
    let twins =
        read_parts(&["Oboe: @4/4 'I.' C4:8 'a_2' C4:8", "Oboe: @4/4 'II.' C4:8 'a_2' C4:8"]);
    assert!(twins.score.parts.iter().all(|part| part.players.len() == 1));
    let pairs = read_parts(&[
        "Horn: @4/4 '1.' C4:8 '2.' C4:8",
        "Horn: @4/4 '3.' C4:4 '4.' C4:4 'a_2' C4:8",
    ]);
    let names = |part: usize| -> Vec<&str> {
        pairs.score.parts[part].players.iter().map(|player| player.name.as_str()).collect()
    };
    assert_eq!(names(0), ["Horn 1", "Horn 2"]);
    assert_eq!(names(1), ["Horn 3", "Horn 4"]);
}

fn stemmed(step: &str, voice: u8, stem: &str) -> String {
    format!(
        "{{<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>16</duration>\
         <voice>{voice}</voice><stem>{stem}</stem></note>}}"
    )
}

/// The player above has the stems up, whichever voice the file names first (common practice of
/// condensed staves).
#[test]
fn stems_tell_the_upper_player() {
    let usual = format!("{} <16 {}", stemmed("G", 1, "up"), stemmed("C", 2, "down"));
    assert_eq!(players(&read_parts(&[&format!("Flutes 1.2: @4/4 {usual}")])), "1 2");
    let reversed = format!("{} <16 {}", stemmed("C", 1, "down"), stemmed("G", 2, "up"));
    assert_eq!(players(&read_parts(&[&format!("Flutes 1.2: @4/4 {reversed}")])), "2 1");
}

fn on_staff(step: &str, staff: u8) -> String {
    format!(
        "{{<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>8</duration>\
         <voice>{staff}</voice><staff>{staff}</staff></note>}}"
    )
}

/// Four horns on two staves: 1 and 2 above, 3 and 4 below; a number printed at a staff means that
/// staff.
#[test]
fn each_staff_has_its_own_players() {
    let both = format!("{} <8 {}", on_staff("C", 1), on_staff("E", 2));
    let third = "{<direction><direction-type><words>3.</words></direction-type><staff>2</staff>\
                 </direction>}";
    let bars = format!("{both} {third} {both}");
    let import = read_parts(&[&format!("Horns 1-4: @4/4 {bars}")]);
    assert_eq!(players(&import), "12 34 12 3");
}

/// A group names the instrument once, its parts have numbers only.
#[test]
fn a_group_names_the_instrument_of_its_parts() {
    let text = super::compact::document(&["1.2.: @4/4 C4:16", "3.4.: @4/4 C4:16"]);
    let group =
        "<part-list><part-group type=\"start\"><group-name>Horns in F</group-name></part-group>";
    let import = super::compact::read_text(&text.replacen("<part-list>", group, 1));
    let parts = &import.score.parts;
    assert_eq!([parts[0].name.as_str(), &parts[1].name], ["Horns in F 1.2.", "Horns in F 3.4."]);
    assert_eq!(parts[1].instrument.get().name, "horn");
    assert_eq!(parts[1].players[0].name, "Horn 3");
}
