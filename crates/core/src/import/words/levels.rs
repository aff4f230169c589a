//! What a piece of a text says about the level.

use super::dynamics::Sign;
use super::sentence::Piece;
use super::vocabulary::Meaning;
use crate::event::{Level, MarkingKind};

/// The marking of a piece about the level; `None` if it says nothing about it.
pub(super) fn kind_of(piece: &Piece) -> Option<MarkingKind> {
    match piece {
        Piece::Sign(Sign::Level(level)) | Piece::Known(Meaning::Level(level)) => {
            Some(MarkingKind::Level(*level))
        }
        Piece::Known(Meaning::Relative(louder)) => Some(MarkingKind::Relative { louder: *louder }),
        _ => None,
    }
}

/// The level that a growth leads to, when this piece stands behind it.
pub(super) fn target_of(piece: &Piece) -> Option<Level> {
    match piece {
        Piece::Sign(Sign::Level(level)) | Piece::Known(Meaning::Level(level)) => Some(*level),
        Piece::Known(Meaning::ToNothing) => Some(Level::N),
        _ => None,
    }
}
