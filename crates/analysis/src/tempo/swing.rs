//! Where pairs of notes are played unevenly: what the score says, in words, in a figure over the
//! staff, or for playback.

use barloom_core::score::{Movement, TempoKind};
use barloom_core::time::{Quarters, Ticks};

/// Pairs of notes begin to swing, or are even again.
#[derive(Clone, PartialEq, Debug)]
pub struct SwingChange {
    /// From where.
    pub at: Ticks,
    /// Uneven from here; false where pairs are even again.
    pub on: bool,
    /// The first of a pair to the second; `None` if the score gives no numbers.
    pub ratio: Option<(u32, u32)>,
    /// The note value of each of a pair.
    pub unit: Quarters,
    /// As written; empty where only playback says so.
    pub words: String,
}

/// The changes of a movement in order, one for each place.
pub(super) fn changes(movement: &Movement) -> Vec<SwingChange> {
    let mut out: Vec<SwingChange> = Vec::new();
    for mark in &movement.tempi {
        let (on, ratio, unit) = match mark.kind {
            TempoKind::Swing { ratio, unit } => (true, ratio, unit),
            TempoKind::Straight => (false, None, Quarters::new(1, 2).unwrap_or(Quarters::ONE)),
            _ => continue,
        };
        let change = SwingChange { at: mark.at, on, ratio, unit, words: mark.words.clone() };
        match out.last_mut().filter(|last| last.at == change.at && last.on == on) {
            // The word says that it swings, the figure or the playback how.
            Some(last) => {
                if last.ratio.is_none() && change.ratio.is_some() {
                    (last.ratio, last.unit) = (change.ratio, change.unit);
                }
                if last.words.is_empty() {
                    last.words = change.words;
                }
            }
            None => out.push(change),
        }
    }
    out
}
