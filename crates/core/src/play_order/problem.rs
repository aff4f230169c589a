//! What may not fit together about repeats and jumps, in words.

use crate::bar::BarIndex;
use std::fmt;

/// Repeats or jumps that do not fit together, and the bar where that shows.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OrderProblem {
    /// Where.
    pub bar: BarIndex,
    /// What.
    pub kind: OrderProblemKind,
}

/// What does not fit.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum OrderProblemKind {
    /// Dal segno without a segno; the jump goes to the beginning.
    NoSegno,
    /// A jump to a segno of this name, which is not there; it goes to the last one before.
    OtherSegno(String),
    /// To coda without a coda; play goes straight on.
    NoCoda,
    /// "Al coda", but nothing says where to leave; play goes on as if to the end, then to the coda.
    NoWayToCoda,
    /// No ending has the number of this pass; play goes on behind the endings.
    NoEnding(u32),
    /// Two endings of one group have this number; the first is played.
    EndingTwice(u32),
    /// An ending that is not the last has no repeat sign; play goes back as if it had.
    RepeatMissing,
    /// The repeat sign says so many times, the endings count to another number.
    TimesAgainstEndings(u32, u32),
    /// A repeat begins and nothing ends it; it is played once.
    RepeatOpen,
    /// A jump without a fine; play goes to the middle section or a thick barline inside the movement,
    /// or to the end.
    NoFine,
    /// "To coda" in a movement without a jump back; it is never taken.
    NeverLeft,
    /// The order never ends, or is longer than anything playable; it was cut off.
    TooLong,
}

impl fmt::Display for OrderProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match &self.kind {
            OrderProblemKind::NoSegno => {
                "a jump to the segno, but there is no segno; it goes to the beginning"
            }
            OrderProblemKind::OtherSegno(name) => {
                return write!(
                    f,
                    "a jump to the segno \"{name}\", but no segno has that name; it goes to the \
                     last segno before it"
                );
            }
            OrderProblemKind::NoCoda => {
                "a jump to the coda, but there is no coda; play goes straight on"
            }
            OrderProblemKind::NoWayToCoda => {
                "a jump back \"al Coda\", but nothing says where to leave for the coda; play goes \
                 to the thick barline or as far as the jump, then to the coda"
            }
            OrderProblemKind::NoEnding(pass) => {
                return write!(
                    f,
                    "no ending is marked for pass {pass}; play goes on behind the endings"
                );
            }
            OrderProblemKind::EndingTwice(number) => {
                return write!(f, "two endings have the number {number}; the first is played");
            }
            OrderProblemKind::RepeatMissing => {
                "the ending has no repeat sign, though another ending follows; play goes back as \
                 if it had one"
            }
            OrderProblemKind::TimesAgainstEndings(times, endings) => {
                return write!(
                    f,
                    "the repeat sign says {times} times, the endings count to {endings}; the \
                     endings count"
                );
            }
            OrderProblemKind::RepeatOpen => {
                "a repeat begins here and nothing ends it; it is played once"
            }
            OrderProblemKind::NoFine => {
                "a jump back, but nothing says where to end; play goes to the middle section, the \
                 thick barline or the end"
            }
            OrderProblemKind::NeverLeft => {
                "\"to coda\" stands here, but no jump leads back, so it is never taken"
            }
            OrderProblemKind::TooLong => {
                "the repeats and jumps do not come to an end; the order was cut off"
            }
        })
    }
}
