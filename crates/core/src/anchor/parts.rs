//! Parts that got another name in a changed score: found by what they play.
//!
//! A part's name follows from its instrument and number, so "flute" becomes "flute-1" when an
//! edition adds a second flute.

use super::bars_seen;
use crate::diag::{Code, Diagnostic, Place};
use crate::part::{PartIdx, PartKey};
use crate::score::Score;
use crate::study::{Correction, Item, Study};
use std::collections::{BTreeMap, BTreeSet};

/// A part is the same when so many of its bars, out of ten, are found in the other.
const SAME_OF_TEN: usize = 6;

/// The new names of the study's parts that the score does not have under their own.
pub(super) fn renamed(study: &Study, read: &Score) -> BTreeMap<PartKey, PartKey> {
    let missing = study.parts.iter().enumerate();
    let missing: Vec<(usize, &PartKey)> = missing
        .map(|(idx, part)| (idx, &part.key))
        .filter(|(_, key)| read.part_by_key(key).is_none())
        .collect();
    let known = |key: &PartKey| study.parts.iter().any(|part| part.key == *key);
    let fresh: Vec<PartIdx> =
        read.parts().filter(|(_, part)| !known(&part.key)).map(|(idx, _)| idx).collect();
    let mut renames = BTreeMap::new();
    if missing.is_empty() || fresh.is_empty() {
        return renames;
    }
    let mut candidates = hashes_of(read, &fresh);
    for (idx, key) in missing {
        let bars = study.movements.iter().flat_map(|row| &row.bars);
        let own: BTreeSet<u64> =
            bars.filter_map(|bar| bar.parts.get(idx).copied()).filter(|hash| *hash != 0).collect();
        let best = candidates
            .iter()
            .map(|(part, hashes)| (own.intersection(hashes).count(), *part))
            .max_by_key(|(n_shared, part)| (*n_shared, std::cmp::Reverse(*part)));
        let same =
            best.filter(|(n_shared, _)| *n_shared > 0 && n_shared * 10 >= own.len() * SAME_OF_TEN);
        if let Some((_, part)) = same
            && let Some(new) = read.parts.get(part.idx())
        {
            renames.insert(key.clone(), new.key.clone());
            candidates.remove(&part);
        }
    }
    renames
}

fn hashes_of(read: &Score, parts: &[PartIdx]) -> BTreeMap<PartIdx, BTreeSet<u64>> {
    let places: Vec<Option<PartIdx>> = parts.iter().copied().map(Some).collect();
    let mut hashes: BTreeMap<PartIdx, BTreeSet<u64>> = BTreeMap::new();
    for movement in &read.movements {
        for bar in bars_seen(movement, &places) {
            for (part, hash) in parts.iter().zip(bar.parts) {
                if hash != 0 {
                    hashes.entry(*part).or_default().insert(hash);
                }
            }
        }
    }
    hashes
}

/// Gives the study's parts their new names, in the list of parts and in every entry.
pub(super) fn rename(
    study: &mut Study,
    renames: &BTreeMap<PartKey, PartKey>,
    diagnostics: &mut Vec<Diagnostic>,
) {
    if renames.is_empty() {
        return;
    }
    let swap = |key: &mut PartKey| {
        if let Some(new) = renames.get(key) {
            *key = new.clone();
        }
    };
    study.parts.iter_mut().for_each(|part| swap(&mut part.key));
    for mut entry in study.take_entries_by_layers() {
        match &mut entry.item {
            Item::Mark(mark) => mark.parts.iter_mut().for_each(swap),
            Item::Cue(cue) => swap(&mut cue.part),
            Item::Seat(seat) => swap(&mut seat.part),
            Item::Correction(
                Correction::Instrument { part, .. }
                | Correction::Players { part, .. }
                | Correction::Device { part, .. },
            ) => swap(part),
            _ => {}
        }
        // The new names are names of no part that the study knew, so no two decisions can meet.
        let kept = study.restore(entry);
        debug_assert!(kept.is_ok(), "{kept:?}");
    }
    for (old, new) in renames {
        diagnostics.push(Diagnostic {
            code: Code::PartRenamed,
            place: Place { part: Some((new.to_string(), new.to_string())), ..Place::default() },
            message: format!("this part was {old} before; it was found by what it plays"),
            hint: None,
            more: 0,
        });
    }
}
