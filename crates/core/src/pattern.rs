//! What the conductor beats in a bar: a pattern, apart from the meter that is written.

use std::fmt;
use std::str::FromStr;

/// How a bar is beaten.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Pattern {
    /// So many beats, 1 to 12.
    Beats(u8),
    /// So many main beats (1 to 6), each divided in two, three or four.
    Divided {
        /// Main beats.
        beats: u8,
        /// Strokes to each.
        by: u8,
    },
    /// One stroke to each group, groups in units of the meter's lower figure, two to six groups of
    /// 1 to 6.
    Groups(Vec<u8>),
    /// In one, stopping at the ictus and going on at the half (duple bars).
    OneHalf,
    /// In one, showing two beats of three (triple bars).
    OneTwoOfThree,
    /// So many bars joined under one larger pattern.
    Joined {
        /// Bars in the pattern, 2 to 8.
        bars: u8,
        /// Beats of the pattern, 1 to 12.
        beats: u8,
    },
}

impl Pattern {
    /// Strokes the hand makes in the bar (in all its bars when joined).
    pub fn strokes(&self) -> usize {
        match self {
            Self::Beats(beats) | Self::Joined { beats, .. } => usize::from(*beats),
            Self::Divided { beats, by } => usize::from(*beats) * usize::from(*by),
            Self::Groups(groups) => groups.len(),
            Self::OneHalf | Self::OneTwoOfThree => 2,
        }
    }

    /// Whether the numbers are inside the ranges given at each kind.
    pub fn is_valid(&self) -> bool {
        match self {
            Self::Beats(beats) => (1..=12).contains(beats),
            Self::Divided { beats, by } => (1..=6).contains(beats) && (2..=4).contains(by),
            Self::Groups(groups) => {
                (2..=6).contains(&groups.len()) && groups.iter().all(|g| (1..=6).contains(g))
            }
            Self::OneHalf | Self::OneTwoOfThree => true,
            Self::Joined { bars, beats } => (2..=8).contains(bars) && (1..=12).contains(beats),
        }
    }
}

impl fmt::Display for Pattern {
    /// `4`, `3/2` (three beats each divided in two), `2+2+3`, `1(half)`, `1(2 of 3)`,
    /// `4 bars of 4`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Beats(beats) => write!(f, "{beats}"),
            Self::Divided { beats, by } => write!(f, "{beats}/{by}"),
            Self::Groups(groups) => {
                let groups: Vec<String> = groups.iter().map(u8::to_string).collect();
                f.write_str(&groups.join("+"))
            }
            Self::OneHalf => f.write_str("1(half)"),
            Self::OneTwoOfThree => f.write_str("1(2 of 3)"),
            Self::Joined { bars, beats } => write!(f, "{bars} bars of {beats}"),
        }
    }
}

/// A text that is no pattern.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is not a way of beating; write 4, 3/2 (three divided in two), 2+2+3, 1(half), \
     1(2 of 3) or 3 bars of 3"
)]
pub struct PatternError(String);

impl FromStr for Pattern {
    type Err = PatternError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let fail = || PatternError(text.to_owned());
        let figure = |s: &str| s.trim().parse::<u8>().map_err(|_| fail());
        let trimmed = text.trim();
        let pattern = if trimmed == "1(half)" {
            Self::OneHalf
        } else if trimmed == "1(2 of 3)" {
            Self::OneTwoOfThree
        } else if let Some((bars, beats)) = trimmed.split_once("bars of") {
            Self::Joined { bars: figure(bars)?, beats: figure(beats)? }
        } else if let Some((beats, by)) = trimmed.split_once('/') {
            Self::Divided { beats: figure(beats)?, by: figure(by)? }
        } else if trimmed.contains('+') {
            Self::Groups(trimmed.split('+').map(figure).collect::<Result<_, _>>()?)
        } else {
            Self::Beats(figure(trimmed)?)
        };
        if pattern.is_valid() { Ok(pattern) } else { Err(fail()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_are_read_as_they_are_written() {
        for text in ["1", "12", "4/2", "2+2+3", "1(half)", "1(2 of 3)", "4 bars of 4"] {
            let pattern: Pattern = text.parse().unwrap();
            assert_eq!(pattern.to_string(), text);
        }
        for text in ["0", "13", "", "4/5", "2+", "x", "2+9", "9 bars of 2", "256"] {
            assert!(text.parse::<Pattern>().is_err(), "{text} was taken");
        }
    }

    /// Mann, "Asymmetric and Subdivided Meters", *Music in Motion* ch. 9: fast, the number of
    /// strokes is the number of groups.
    #[test]
    fn strokes_of_grouped_bars_are_the_groups() {
        let strokes = |text: &str| text.parse::<Pattern>().unwrap().strokes();
        assert_eq!(strokes("2+2+3"), 3);
        assert_eq!(strokes("3+2"), 2);
        assert_eq!(strokes("3+3+2"), 3);
        assert_eq!(strokes("3+2+2+3"), 4);
        assert_eq!(strokes("4/2"), 8);
    }
}
