//! Statements that files break in two, or make twice: texts split over directions, techniques stated
//! in words and for playback.

use super::resolve::PartFacts;
use super::sentence::{self, Reader};
use super::split;
use crate::event::MarkingKind;
use crate::import::raw::{RawMarking, RawWords};
use crate::instrument::Family;

/// Markings of one place that are compared with each other.
const MAX_AT_ONE_PLACE: usize = 64;

/// Texts split over neighboring directions at one place ("con" and "sord.") are joined where that
/// leaves fewer words unknown, or makes a phrase of two modifiers.
pub(super) fn join_split(words: Vec<RawWords>, facts: PartFacts<'_>) -> Vec<RawWords> {
    let family = facts.instrument.map_or(Family::Other, |instrument| instrument.get().family);
    let reader = Reader { family, doubles: facts.doubles };
    let mut out: Vec<RawWords> = Vec::with_capacity(words.len());
    for next in words {
        let joins = out.last().filter(|last| {
            let short = last.text.len() + next.text.len() < 200;
            let plain = !last.framed && !next.framed;
            short && plain && last.pos == next.pos && last.staff == next.staff
        });
        let joined = joins.and_then(|last| {
            let text = format!("{} {}", last.text, next.text);
            let apart = [&last.text, &next.text].map(|text| sentence::understand(text, reader));
            let joined = sentence::understand(&text, reader);
            let unknown: usize = apart.iter().map(|sentence| sentence.unknown).sum();
            let pieces: usize = apart.iter().map(|sentence| sentence.pieces.len()).sum();
            let empty = apart.iter().any(|sentence| sentence.pieces.is_empty());
            let better = joined.unknown < unknown
                || joined.unknown == unknown && empty && joined.pieces.len() >= pieces;
            better.then_some(text)
        });
        let joined =
            joined.or_else(|| out.last().and_then(|last| split::continued(last, &next, reader)));
        match (joined, out.last_mut()) {
            (Some(text), Some(last)) => {
                last.text = text;
                last.end = last.end.or(next.end);
                last.with_tempo |= next.with_tempo;
                last.with_jump |= next.with_jump;
                last.prominent |= next.prominent;
            }
            _ => out.push(next),
        }
    }
    out
}

/// A technique that words and a playback attribute both state at one place is one marking: the one
/// with the words stays.
pub(super) fn drop_repeated_devices(markings: &mut Vec<RawMarking>) {
    let device = |marking: &RawMarking| match marking.kind {
        MarkingKind::Device { device, on } => Some((device, on)),
        _ => None,
    };
    let mut drop = vec![false; markings.len()];
    for (idx, marking) in markings.iter().enumerate() {
        let Some(kind) = device(marking).filter(|_| marking.words.is_empty()) else { continue };
        let before = markings.get(..idx).unwrap_or_default().iter().rev();
        let after = markings.get(idx + 1..).unwrap_or_default().iter();
        let here = |other: &&RawMarking| other.pos == marking.pos;
        let said = before
            .take(MAX_AT_ONE_PLACE)
            .take_while(here)
            .chain(after.take(MAX_AT_ONE_PLACE).take_while(here))
            .any(|other| device(other) == Some(kind) && !other.words.is_empty());
        if let Some(flag) = drop.get_mut(idx) {
            *flag = said;
        }
    }
    let mut flags = drop.into_iter();
    markings.retain(|_| !flags.next().unwrap_or(false));
}
