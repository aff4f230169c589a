//! Bar maps: a movement without a score file, typed in a plain grammar of our own.
//!
//! ```text
//! title: Night Music
//! parts: 2 flutes, oboe, 4 horns in F, timpani, strings
//! pickup 1/4, 8 x 4/4, 3 x 7/8 (2+2+3), 4/4, free 6/4
//! C at 9, double after 8, repeat 1-8
//! tempo Andante quarter = 72 at 1, rit at 10 to 12, a tempo at 13
//! ```
//!
//! Items are parted by commas, semicolons or line ends; a `#` begins a remark up to the line's end.
//! What holds many commas itself, `title:` and `parts:`, goes on to the next semicolon or line end.
//!
//! | Item | Meaning |
//! |---|---|
//! | `8 x 4/4`, `4/4`, `3+2/8`, `2/4+3/8` | so many bars of this meter, one if no number is given |
//! | `3 x 7/8 (2+2+3)` | the same with its groups, which must add up |
//! | `free 6/4` | a bar without measure that lasts about so long |
//! | `pickup 1/4` | an upbeat of this length; only as the first bar |
//! | `C at 9`, `"Più lento" at 9` | a rehearsal mark at the start of a bar |
//! | `tempo quarter = 72 at 1` | a metronome mark; also `= 66-72`, `= ca. 72`, `dotted half = 54` |
//! | `tempo Allegro at 9`, `tempo Allegro half = 80 at 9` | a tempo word, alone or with its mark |
//! | `tempo quarter = dotted quarter at 20` | the old value lasts as long as the new one |
//! | `rit at 20`, `accel at 30 to 33` | slower or faster by degrees, up to a place or the next tempo |
//! | `a tempo at 22`, `tempo primo at 40` | back to the tempo before, or to the first |
//! | `double after 8` | a double barline |
//! | `repeat 1-8`, `repeat 1-8 x 3` | a repeat, played twice or so often |
//! | `ending 1 7-8`, `ending 2 9` | the bars of an ending |
//! | `title: …`, `parts: …` | the movement's title; its parts in score order |
//!
//! Bars are counted from 1, a pickup not counted (it is bar 0). A place is a bar, or a bar and a
//! beat of its meter: `at 9 beat 3`. Values are whole, half, quarter, eighth, sixteenth and
//! thirty-second, each also dotted. A part is a name the catalog of instruments knows, with a
//! number of players before it or their numbers after it; `strings` stands for violin 1 and 2,
//! viola, cello and double bass.

mod build;
mod items;
mod parts;
mod reader;
mod scan;
mod tempi;

use crate::diag::Diagnostic;
use crate::score::Score;

/// What is wrong with a bar map. Line and column are 1-based, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, column {column}: expected {expected}, found {found}")]
pub struct BarMapError {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
    /// What would have been right.
    pub expected: String,
    /// What stands there.
    pub found: String,
}

/// The most bars of a map.
pub const MAX_BARS: usize = 10_000;

/// Reads a bar map: a score of one movement with bars and no notes. `name` stands for a title that
/// the map does not give. The diagnostics name the instruments that nobody knows.
///
/// # Errors
/// With line, column and what was expected, at the first thing that is wrong.
pub fn read(text: &str, name: &str) -> Result<(Score, Vec<Diagnostic>), BarMapError> {
    let items = scan::items(text)?;
    let map = items::parse(&items)?;
    Ok(build::score(&map, text, name))
}

#[cfg(test)]
mod tests;
