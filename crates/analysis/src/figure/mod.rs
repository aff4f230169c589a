//! The figure that the hand draws for a beat pattern: directions first, then geometry in a unit
//! square. Pure: no pens, no sizes, no page and no window.
//!
//! Directions are the conductor's own view, right hand: down, left (across the body), right
//! (outward), up. In the square x grows to the right and y grows downward, so that a screen and a
//! page can scale it as it is. Strokes of a divided beat repeat the direction of their main beat
//! on a smaller scale (US Navy, *Ear Training* course, appendix A; Labuta, *Basic Conducting
//! Techniques*, ch. 5).

use barloom_core::pattern::Pattern;

/// Where the hand goes for a stroke.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Direction {
    /// Down.
    Down,
    /// To the left, across the body.
    Left,
    /// To the right, outward.
    Right,
    /// Inward and up.
    Up,
}

/// One stroke of a pattern.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Stroke {
    /// Where the hand goes.
    pub direction: Direction,
    /// A main stroke; false for the small strokes that divide one.
    pub large: bool,
}

/// A point of the unit square: x to the right, y downward, both 0 to 1.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Point {
    /// From the left edge.
    pub x: f32,
    /// From the top edge.
    pub y: f32,
}

/// A cubic Bezier curve.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Curve {
    /// Where it begins: the end of the curve before.
    pub from: Point,
    /// First control point.
    pub control_1: Point,
    /// Second control point.
    pub control_2: Point,
    /// Where it ends.
    pub to: Point,
}

/// The exact point of a beat.
#[derive(Clone, PartialEq, Debug)]
pub struct Ictus {
    /// From the left edge of the unit square.
    pub x: f32,
    /// From the top edge of the unit square.
    pub y: f32,
    /// What is counted there: the number of the main beat, "+" for what divides it.
    pub label: String,
    /// A main beat; false for a small stroke.
    pub large: bool,
    /// Whether it falls in the bar asked for; differs from true only in patterns over several bars.
    pub here: bool,
}

/// A beat pattern drawn: one continuous path that begins and ends at the same height point, and the
/// points of the beats on it in order.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Figure {
    /// Contiguous; the first begins where the last ends.
    pub path: Vec<Curve>,
    /// One for each stroke, in order.
    pub points: Vec<Ictus>,
}

/// The strokes of a pattern in order.
///
/// `groups` are the groups of the bar in units of the meter's lower figure, as far as known: they
/// decide on which beat a single shape of 5, 7, 10 or 11 changes sides ("Asymmetrical patterns",
/// concert-band handout: cross the vertical plane after beat 2 for 2+3, after beat 3 for 3+2).
/// Groups that do not add up to the beats are ignored.
pub fn strokes(pattern: &Pattern, groups: &[u8]) -> Vec<Stroke> {
    match pattern {
        Pattern::Beats(beats) | Pattern::Joined { beats, .. } => of_beats(*beats, groups),
        Pattern::Divided { beats, by } => divided(&plain(*beats), &vec![*by; (*beats).into()]),
        Pattern::Groups(groups) => large(&plain(u8::try_from(groups.len()).unwrap_or(u8::MAX))),
        Pattern::OneHalf => {
            vec![stroke(Direction::Down, true), stroke(Direction::Up, false)]
        }
        Pattern::OneTwoOfThree => {
            vec![stroke(Direction::Down, true), stroke(Direction::Right, false)]
        }
    }
}

/// The figure of a pattern; of a pattern over several bars the points of its `nth` bar (0-based)
/// are marked as [`Ictus::here`].
pub fn figure(pattern: &Pattern, nth: u8) -> Figure {
    figure_in(pattern, nth, &[])
}

/// The figure of a pattern in a bar with these groups: see [`strokes`].
pub fn figure_in(pattern: &Pattern, nth: u8, groups: &[u8]) -> Figure {
    let strokes = strokes(pattern, groups);
    let spots = spots(&strokes);
    let labels = labels(pattern, &strokes);
    let here = |idx: usize| match pattern {
        Pattern::Joined { bars, .. } => {
            idx * usize::from(*bars) / strokes.len().max(1) == usize::from(nth)
        }
        _ => true,
    };
    let points = strokes.iter().zip(&spots).zip(labels).enumerate();
    let points = points.map(|(idx, ((stroke, spot), label))| Ictus {
        x: spot.x,
        y: spot.y,
        label,
        large: stroke.large,
        here: here(idx),
    });
    Figure { path: path(&strokes, &spots), points: points.collect() }
}

const fn stroke(direction: Direction, large: bool) -> Stroke {
    Stroke { direction, large }
}

fn large(directions: &[Direction]) -> Vec<Stroke> {
    directions.iter().map(|direction| stroke(*direction, true)).collect()
}

/// The undivided shape of so many main beats.
///
/// 1 to 4: Lamb, "The conducting beat patterns", and Gehrkens, *Essentials in Conducting* (1919)
/// pp. 25-27. 5 as 3+2 and 6 as a stretched four: shapes in Rudolf and Green. 7: as 4+3.
fn plain(beats: u8) -> Vec<Direction> {
    use Direction::{Down, Left, Right, Up};
    match beats {
        0 | 1 => vec![Down],
        2 => vec![Down, Up],
        3 => vec![Down, Right, Up],
        4 => vec![Down, Left, Right, Up],
        _ => {
            let left = usize::from(beats - 2).div_ceil(2);
            sided(usize::from(beats), left + 1)
        }
    }
}

/// Down, then left up to and with beat `first_side`, then right, and up on the last.
fn sided(beats: usize, first_side: usize) -> Vec<Direction> {
    let side = |beat: usize| match beat {
        1 => Direction::Down,
        beat if beat == beats => Direction::Up,
        beat if beat <= first_side => Direction::Left,
        _ => Direction::Right,
    };
    (1..=beats).map(side).collect()
}

fn of_beats(beats: u8, groups: &[u8]) -> Vec<Stroke> {
    let total: u32 = groups.iter().copied().map(u32::from).sum();
    let groups = if total == u32::from(beats) && groups.len() > 1 { groups } else { &[] };
    match (beats, groups) {
        (5 | 7, [first, _]) => large(&sided(beats.into(), (*first).into())),
        (7, [a, b, _]) => large(&sided(7, usize::from(a + b).min(5))),
        // Divided four: Labuta ch. 5 fig. 5-1; "hit-tap-tap on every count" for twelve.
        (8..=12, [_, _, _, _]) => divided(&plain(4), groups),
        (8..=11, [_, _, _]) => divided(&plain(3), groups),
        (10 | 11, [_, _, _, _, _]) => divided(&plain(5), groups),
        (8, _) => divided(&plain(4), &[2; 4]),
        (9, _) => divided(&plain(3), &[3; 3]),
        (10, _) => divided(&plain(5), &[2; 5]),
        (11, _) => divided(&plain(4), &[3, 3, 3, 2]),
        (12, _) => divided(&plain(4), &[3; 4]),
        _ => large(&plain(beats)),
    }
}

fn divided(mains: &[Direction], by: &[u8]) -> Vec<Stroke> {
    let beat = |(direction, by): (&Direction, &u8)| {
        let direction = *direction;
        (0..(*by).max(1)).map(move |nth| stroke(direction, nth == 0)).collect::<Vec<_>>()
    };
    mains.iter().zip(by).flat_map(beat).collect()
}

fn labels(pattern: &Pattern, strokes: &[Stroke]) -> Vec<String> {
    let counts_all = !matches!(pattern, Pattern::Divided { .. } | Pattern::OneHalf);
    let mut beat = 0;
    let label = |stroke: &Stroke| {
        if counts_all || stroke.large {
            beat += 1;
            beat.to_string()
        } else {
            String::from("+")
        }
    };
    strokes.iter().map(label).collect()
}

/// Height of the main beats.
const PLANE: f32 = 0.84;

/// Where each stroke has its point: the strokes of each side spread evenly over its region, those
/// that go up stand above each other.
fn spots(strokes: &[Stroke]) -> Vec<Point> {
    let total = |of| strokes.iter().filter(|stroke| stroke.direction == of).count();
    let has_left = total(Direction::Left) > 0;
    let (right_from, up_x) = match (has_left, total(Direction::Right)) {
        (true, _) => (0.66, 0.63),
        (false, 0) => (0.6, 0.68),
        (false, _) => (0.56, 0.54),
    };
    let (mut down, mut left, mut right, mut up) = (0, 0, 0, 0);
    let spot = |stroke: &Stroke| {
        let lift = if stroke.large { 0.0 } else { 0.03 };
        match stroke.direction {
            Direction::Down => {
                down += 1;
                let x = down_x(strokes) + 0.075 * (down - 1) as f32;
                Point { x, y: PLANE - lift }
            }
            Direction::Left => {
                left += 1;
                let x = 0.35 - 0.32 * step(left, total(Direction::Left));
                Point { x, y: PLANE - 0.05 - lift }
            }
            Direction::Right => {
                right += 1;
                let x = right_from + (0.97 - right_from) * step(right, total(Direction::Right));
                Point { x, y: PLANE - 0.05 - lift }
            }
            Direction::Up => {
                up += 1;
                let low = if total(Direction::Right) > 0 { 0.2 } else { 0.06 };
                let y = PLANE - low - 0.16 * (up - 1) as f32;
                Point { x: up_x, y }
            }
        }
    };
    strokes.iter().map(spot).collect()
}

/// The share of the way to a side: one stroke goes most of the way, of several the last goes all.
fn step(nth: usize, of: usize) -> f32 {
    if of == 1 { 0.75 } else { (nth as f32 - 1.0) / (of as f32 - 1.0) }
}

/// Without strokes to the left, the first beat falls left of the middle to leave room for the others.
fn down_x(strokes: &[Stroke]) -> f32 {
    let has = |direction| strokes.iter().any(|stroke| stroke.direction == direction);
    match (has(Direction::Left), has(Direction::Right)) {
        (true, _) => 0.45,
        (false, true) => 0.2,
        (false, false) if strokes.len() <= 2 => 0.4,
        (false, false) => 0.26,
    }
}

/// Where the path begins and ends.
fn top(strokes: &[Stroke]) -> Point {
    Point { x: down_x(strokes) + 0.04, y: 0.05 }
}

/// The continuous path through all points: down from the top, a rebound after each, up at the end.
fn path(strokes: &[Stroke], spots: &[Point]) -> Vec<Curve> {
    let (Some(first), Some(last)) = (spots.first(), spots.last()) else { return Vec::new() };
    let top = top(strokes);
    let mut path = vec![Curve {
        from: top,
        control_1: Point { x: top.x - 0.01, y: 0.3 },
        control_2: Point { x: first.x, y: first.y - 0.3 },
        to: *first,
    }];
    for (pair, stroke) in spots.windows(2).zip(strokes.iter().skip(1)) {
        let [from, to] = pair else { continue };
        path.push(rebound(*from, *to, stroke));
    }
    // The last beat swings outward and up; after a single beat the rebound is all there is.
    let out = if spots.len() == 1 { 0.2 } else { 0.07 };
    path.push(Curve {
        from: *last,
        control_1: Point { x: last.x + out, y: last.y - 0.16 },
        control_2: Point { x: top.x + 0.14, y: 0.3 },
        to: top,
    });
    path
}

/// From one point to the next: off the point and down onto the next one. The wider it travels, the
/// higher the arch; a stroke that rises needs none.
fn rebound(from: Point, to: Point, stroke: &Stroke) -> Curve {
    let wide = (to.x - from.x).abs();
    if stroke.direction == Direction::Up && !stroke.large {
        let middle = (from.y + to.y) / 2.0;
        return Curve {
            from,
            control_1: Point { x: from.x + 0.09, y: middle + 0.02 },
            control_2: Point { x: to.x + 0.09, y: middle },
            to,
        };
    }
    let rise = if stroke.large { 0.1 + 0.2 * wide } else { 0.08 };
    let arch = from.y.min(to.y) - rise;
    let lean = (to.x - from.x) * 0.25;
    Curve {
        from,
        control_1: Point { x: from.x + lean, y: arch },
        control_2: Point { x: to.x - lean, y: arch },
        to,
    }
}

#[cfg(test)]
mod tests;
