//! One entry of a study: an item with who, when and where in the user's order.

use super::{EntryId, Item};

/// A place in the user's own order that survives a merge: texts compared letter by letter, with room
/// between any two.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct OrderKey(pub String);

const FIRST: u8 = b'a';
const LAST: u8 = b'z';

impl OrderKey {
    /// Whether it is a key: small letters, the last of them not the first letter, or nothing.
    pub fn is_valid(&self) -> bool {
        let bytes = self.0.as_bytes();
        bytes.iter().all(u8::is_ascii_lowercase) && bytes.last() != Some(&FIRST)
    }

    /// A key after `before` and before `after`; `None` means the beginning or the end.
    ///
    /// If the two are in the wrong order or equal, the answer follows `before`.
    pub fn between(before: Option<&Self>, after: Option<&Self>) -> Self {
        let low = before.map_or(&[][..], |key| key.0.as_bytes());
        let high = after.map(|key| key.0.as_bytes()).filter(|high| *high > low);
        let mut key = Vec::new();
        let mut bounded = high.is_some();
        for idx in 0.. {
            let floor = low.get(idx).copied().unwrap_or(FIRST - 1);
            let ceiling = match high.filter(|_| bounded) {
                Some(high) => high.get(idx).copied().unwrap_or(FIRST - 1),
                None => LAST + 1,
            };
            if ceiling > floor + 1 {
                let middle = floor + (ceiling - floor).div_ceil(2);
                key.push(middle.clamp(FIRST, LAST));
                // A key may not end in the first letter: nothing would fit before it.
                if key.last() == Some(&FIRST) {
                    key.push(FIRST + 12);
                }
                break;
            }
            key.push(floor.max(FIRST));
            bounded &= ceiling == floor.max(FIRST);
        }
        Self(String::from_utf8_lossy(&key).into_owned())
    }
}

/// An item of the study with its history.
#[derive(Clone, PartialEq, Debug)]
pub struct Entry {
    /// Permanent.
    pub id: EntryId,
    /// Who made or last changed it; empty if unknown.
    pub author: String,
    /// When, in seconds since 1970-01-01 UTC; 0 if unknown.
    pub changed: u64,
    /// Its place in the user's order.
    pub order: OrderKey,
    /// What it is.
    pub item: Item,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_is_always_room_between_two_keys() {
        let mut keys = vec![OrderKey::between(None, None)];
        for step in 0..300_usize {
            let at = (step * 7919) % (keys.len() + 1);
            let before = at.checked_sub(1).and_then(|idx| keys.get(idx));
            let key = OrderKey::between(before, keys.get(at));
            keys.insert(at, key);
            assert!(keys.windows(2).all(|pair| pair[0] < pair[1]), "{keys:?}");
        }
        for _ in 0..100 {
            let key = OrderKey::between(None, keys.first());
            assert!(key < keys[0], "{key:?} {:?}", keys[0]);
            keys.insert(0, key);
        }
    }
}
