//! The figures checked against what the books on conducting say.

use super::*;

fn letters(pattern: &str, groups: &[u8]) -> String {
    let letter = |stroke: Stroke| match (stroke.direction, stroke.large) {
        (Direction::Down, true) => 'D',
        (Direction::Down, false) => 'd',
        (Direction::Left, true) => 'L',
        (Direction::Left, false) => 'l',
        (Direction::Right, true) => 'R',
        (Direction::Right, false) => 'r',
        (Direction::Up, true) => 'U',
        (Direction::Up, false) => 'u',
    };
    strokes(&pattern.parse().unwrap(), groups).into_iter().map(letter).collect()
}

const PATTERNS: &str = "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1(half), 1(2 of 3), 2/2, 2/3, 3/2, 3/3, 4/2, 4/3, \
    2+3, 2+2+3, 3+2+2+3, 3 bars of 3";

/// Lamb, "The conducting beat patterns" (OpenStax): beat 1 always down, the last always up;
/// in three, beat 2 outward; in four, beat 2 to the left. Gehrkens, *Essentials in Conducting*
/// (1919) pp. 25-27: the same.
#[test]
fn simple_patterns_go_where_the_books_say() {
    assert_eq!(letters("1", &[]), "D");
    assert_eq!(letters("2", &[]), "DU");
    assert_eq!(letters("3", &[]), "DRU");
    assert_eq!(letters("4", &[]), "DLRU");
    for pattern in PATTERNS.split(", ").filter(|pattern| !pattern.starts_with("1(")) {
        let letters = letters(pattern, &[]).to_uppercase();
        assert!(letters.starts_with('D'), "{pattern}: {letters}");
        assert!(letters == "D" || letters.ends_with('U'), "{pattern}: {letters}");
    }
}

/// "Asymmetrical patterns" (concert-band handout): cross the vertical plane after beat 2 for
/// 2+3, after beat 3 for 3+2.
#[test]
fn single_shapes_change_side_with_the_group() {
    assert_eq!(letters("5", &[3, 2]), "DLLRU");
    assert_eq!(letters("5", &[2, 3]), "DLRRU");
    // Rudolf and Green, from memory: the stretched four, and seven.
    assert_eq!(letters("6", &[]), "DLLRRU");
    assert_eq!(letters("7", &[4, 3]), "DLLLRRU");
    assert_eq!(letters("7", &[3, 4]), "DLLRRRU");
    for (groups, first) in [([3, 2], 3), ([2, 3], 2)] {
        let points = figure_in(&Pattern::Beats(5), 0, &groups).points;
        for (beat, point) in points.iter().enumerate().skip(1).take(3) {
            assert_eq!(point.x < 0.5, beat < first, "beat {} of {groups:?}", beat + 1);
        }
    }
}

/// US Navy *Ear Training* course, app. A: "To sub-divide, add to each principal beat smaller
/// beats moving in the same direction"; Labuta ch. 5 fig. 5-1 and "hit-tap-tap".
#[test]
fn divided_beats_repeat_the_direction() {
    assert_eq!(letters("8", &[]), "DdLlRrUu");
    assert_eq!(letters("4/2", &[]), "DdLlRrUu");
    assert_eq!(letters("3/2", &[]), "DdRrUu");
    assert_eq!(letters("2/2", &[]), "DdUu");
    assert_eq!(letters("9", &[]), "DddRrrUuu");
    assert_eq!(letters("12", &[]), "DddLllRrrUuu");
    // Lamb fig. 3b: six as three down and three up.
    assert_eq!(letters("2/3", &[]), "DddUuu");
    assert_eq!(letters("11", &[3, 3, 2, 3]), "DddLllRrUuu");
}

/// Mann, "Asymmetric and Subdivided Meters", *Music in Motion* ch. 9: fast irregular bars take
/// the plain pattern of the number of groups.
#[test]
fn grouped_bars_take_the_plain_pattern_of_their_groups() {
    assert_eq!(letters("3+2", &[]), letters("2", &[]));
    assert_eq!(letters("3+3+2", &[]), letters("3", &[]));
    assert_eq!(letters("3+2+2+3", &[]), letters("4", &[]));
}

/// The drawing must show what the letters say.
#[test]
fn the_path_is_closed_and_goes_where_its_strokes_go() {
    for text in PATTERNS.split(", ") {
        let pattern: Pattern = text.parse().unwrap();
        let figure = figure(&pattern, 0);
        let strokes = strokes(&pattern, &[]);
        assert_eq!(figure.points.len(), pattern.strokes(), "{text}");
        assert_eq!(figure.path.first().unwrap().from, figure.path.last().unwrap().to);
        for pair in figure.path.windows(2) {
            assert_eq!(pair[0].to, pair[1].from, "{text}");
        }
        let mut before = figure.path.first().unwrap().from;
        for (stroke, point) in strokes.iter().zip(&figure.points) {
            let (dx, dy) = (point.x - before.x, point.y - before.y);
            match stroke.direction {
                Direction::Down if stroke.large => assert!(dy > 0.5, "{text}"),
                Direction::Down => assert!(dx.abs() < 0.1 && dy <= 0.0, "{text}"),
                Direction::Left => assert!(dx < 0.0, "{text} {point:?}"),
                Direction::Right => assert!(dx > 0.0, "{text} {point:?}"),
                Direction::Up => assert!(dy < 0.0, "{text} {point:?}"),
            }
            assert!((0.0..=1.0).contains(&point.x) && (0.0..=1.0).contains(&point.y));
            before = Point { x: point.x, y: point.y };
        }
    }
}

#[test]
fn a_pattern_over_several_bars_shows_which_beats_are_here() {
    let pattern = Pattern::Joined { bars: 2, beats: 4 };
    let here = |nth| figure(&pattern, nth).points.iter().map(|p| p.here).collect::<Vec<_>>();
    assert_eq!(here(0), [true, true, false, false]);
    assert_eq!(here(1), [false, false, true, true]);
}
