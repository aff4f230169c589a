//! Damage to bytes, whatever they are: what bad disks, bad lines and bad programs do.

use super::{Chance, splice};

/// Changes bytes once to four times; the result has at most `max` bytes.
pub fn change(input: &[u8], chance: &mut Chance, max: usize) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..=chance.below(4) {
        bytes = once(&bytes, chance);
        bytes.truncate(max);
    }
    bytes
}

fn once(bytes: &[u8], chance: &mut Chance) -> Vec<u8> {
    let at = chance.below(bytes.len() + 1);
    let length = if chance.once_in(4) { chance.below(bytes.len() + 1) } else { chance.below(16) };
    let span = at..(at + length).min(bytes.len());
    let piece = bytes.get(span.clone()).unwrap_or_default();
    match chance.below(8) {
        0 => splice(bytes, span, &[]),
        1 => splice(bytes, at..at, piece),
        2 => bytes.get(..at).unwrap_or_default().to_vec(),
        3 => {
            let other = chance.below(bytes.len() + 1);
            splice(bytes, other..other, piece)
        }
        4 => splice(bytes, at..at, chance.extreme().as_bytes()),
        5 => {
            let noise: Vec<u8> = piece.iter().map(|_| chance.number() as u8).collect();
            splice(bytes, span, &noise)
        }
        _ => {
            let end = (at + 1).min(bytes.len());
            let flipped = piece.first().map_or(0, |byte| byte ^ (1 << chance.below(8)));
            splice(bytes, at..end, &[flipped])
        }
    }
}
