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
