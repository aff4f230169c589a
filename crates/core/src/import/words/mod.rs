//! Words of the trade: from the text of a direction to typed markings, in Italian, German, French
//! and English.
//!
//! [`tokens`] makes words comparable, [`vocabulary`] is the table of what they mean, [`sentence`]
//! finds the longest known phrases in a text, and [`resolve`] turns a part's texts into markings,
//! tempi and jumps, with what is known about the part.

pub(super) mod dynamics;
pub(super) mod glyphs;
pub(super) mod jumps;
mod levels;
mod merge;
pub(super) mod players;
pub(super) mod resolve;
mod sentence;
mod split;
pub(super) mod tempo;
mod tempo_terms;
mod tokens;
mod vocabulary;
mod vocabulary_expression;
pub(super) mod written;
