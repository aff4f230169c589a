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
        if let (Some(before), None) = (before, after) {
            return before.next();
        }
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

impl OrderKey {
    /// A key after this one with as much room behind it as can be: a counter whose digits are the
    /// letters b to y, one digit more than there are letters z before it. So thousands of entries
    /// put one after the other have keys of a few letters.
    fn next(&self) -> Self {
        const DIGITS: std::ops::RangeInclusive<u8> = FIRST + 1..=LAST - 1;
        let bytes = self.0.as_bytes();
        let n_high = bytes.iter().take_while(|byte| **byte == LAST).count();
        let digit = |place: usize| bytes.get(n_high + place).copied().unwrap_or(FIRST);
        let mut digits: Vec<u8> = (0..=n_high).map(digit).collect();
        for place in (0..digits.len()).rev() {
            if digits[place] < *DIGITS.end() {
                digits[place] += 1;
                // What lies below a digit that grew may be as low as it gets.
                digits[place + 1..].fill(*DIGITS.start());
                digits.iter_mut().for_each(|digit| *digit = (*digit).max(*DIGITS.start()));
                let key = [vec![LAST; n_high], digits].concat();
                return Self(String::from_utf8_lossy(&key).into_owned());
            }
        }
        let key = [vec![LAST; n_high + 1], vec![*DIGITS.start(); n_high + 2]].concat();
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
            let key = OrderKey::between(keys.last(), None);
            assert!(key > *keys.last().unwrap() && key.is_valid(), "{key:?}");
            keys.push(key);
        }
        for _ in 0..100 {
            let key = OrderKey::between(None, keys.first());
            assert!(key < keys[0], "{key:?} {:?}", keys[0]);
            keys.insert(0, key);
        }
    }

    #[test]
    fn keys_put_one_after_the_other_stay_short() {
        let mut key = OrderKey::between(None, None);
        for _ in 0..10_000 {
            let next = OrderKey::between(Some(&key), None);
            assert!(next > key && next.is_valid(), "{key:?} {next:?}");
            key = next;
        }
        assert!(key.0.len() <= 5, "{key:?}");
        for before in ["", "a", "b", "mz", "y", "yz", "z", "za", "zy", "zyz", "zyy", "zaz", "zzaab"]
        {
            let before = OrderKey(before.into());
            let next = OrderKey::between(Some(&before), None);
            assert!(next > before && next.is_valid(), "{before:?} {next:?}");
        }
    }
}
