//! Written note values: type, dots and the ratio of a tuplet for an exact length.

use barloom_core::event::Tuplet;
use barloom_core::time::Quarters;

/// The names of the note types from the longest, each half of the one before; the first is 32
/// quarters long.
const TYPES: [&str; 14] = [
    "maxima", "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th",
    "128th", "256th", "512th", "1024th",
];

/// The place of the quarter in [`TYPES`].
const QUARTER: usize = 5;

/// A note value as it is drawn.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Value {
    /// Its place among the types.
    kind: usize,
    /// How many dots.
    pub(super) dots: u8,
    /// So many notes in the time of so many.
    pub(super) ratio: Option<(u32, u32)>,
}

impl Value {
    /// The name of its type.
    pub(super) fn name(self) -> &'static str {
        TYPES.get(self.kind).copied().unwrap_or("quarter")
    }

    /// How many beams or flags it has.
    pub(super) fn beams(self) -> usize {
        self.kind.saturating_sub(QUARTER)
    }

    /// The value of a length of which nothing is known, with the ratio of a tuplet if it needs one;
    /// `None` if no single value can last so long.
    pub(super) fn of(length: Quarters) -> Option<Self> {
        if let Some(plain) = Self::plain(length) {
            return Some(plain);
        }
        // The ratio names as many notes as the denominator asks for.
        let odd = u32::try_from(odd_part(length.denominator())).ok()?;
        let below = 1 << odd.max(1).ilog2();
        let drawn = Self::plain(length.scaled(i64::from(odd), i64::from(below))?)?;
        Some(Self { ratio: Some((odd, below)), ..drawn })
    }

    /// The value of a head or rest that lasts so long in a tuplet. The notes of a tremolo between two
    /// of them are drawn twice as long.
    pub(super) fn in_tuplet(length: Quarters, tuplet: Tuplet, tremolo_pair: bool) -> Option<Self> {
        let drawn = length.scaled(i64::from(tuplet.actual), i64::from(tuplet.normal))?;
        Self::plain(drawn.scaled(if tremolo_pair { 2 } else { 1 }, 1)?)
    }

    /// A value without a ratio, with up to three dots.
    pub(super) fn plain(length: Quarters) -> Option<Self> {
        let (num, den) = (length.numerator(), length.denominator());
        if num <= 0 || !den.unsigned_abs().is_power_of_two() {
            return None;
        }
        // 2^e, times 3, 7, 15 over 2, 4, 8 for the dots.
        let odd = odd_part(num);
        let dots: u32 = match odd {
            1 => 0,
            3 => 1,
            7 => 2,
            15 => 3,
            _ => return None,
        };
        let exponent = i64::from((num / odd).trailing_zeros()) + i64::from(dots)
            - i64::from(den.trailing_zeros());
        let kind = usize::try_from(QUARTER as i64 - exponent).ok()?;
        (kind < TYPES.len()).then_some(Self { kind, dots: dots as u8, ratio: None })
    }

    /// A length as values without ratios that are tied to each other, the longest first; `None` if
    /// there are none, or more than six.
    pub(super) fn tied(length: Quarters) -> Option<Vec<Self>> {
        let mut left = length;
        let mut values = Vec::new();
        while !left.is_zero() {
            if values.len() == 6 {
                return None;
            }
            if let Some(value) = Self::plain(left) {
                values.push(value);
                break;
            }
            let (kind, value) = TYPES.iter().enumerate().find_map(|(kind, _)| {
                let value = type_length(kind)?;
                (value <= left).then_some((kind, value))
            })?;
            values.push(Self { kind, dots: 0, ratio: None });
            left = left.checked_sub(value)?;
        }
        (!values.is_empty()).then_some(values)
    }
}

fn type_length(kind: usize) -> Option<Quarters> {
    Quarters::new(32, 1 << kind)
}

fn odd_part(number: i64) -> i64 {
    if number == 0 { 1 } else { number >> number.trailing_zeros() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: Option<Value>) -> Option<String> {
        let value = value?;
        let ratio = value.ratio.map_or(String::new(), |(a, n)| format!(" {a}:{n}"));
        Some(format!("{}{}{ratio}", value.name(), ".".repeat(value.dots.into())))
    }

    /// Values and ratios as notation draws them (common practice).
    #[test]
    fn lengths_are_drawn_as_musicians_write_them() {
        let cases = [
            ("1", "quarter"),
            ("3/2", "quarter."),
            ("7/4", "quarter.."),
            ("4", "whole"),
            ("6", "whole."),
            ("1/8", "32nd"),
            ("1/3", "eighth 3:2"),
            ("2/3", "quarter 3:2"),
            ("1/5", "16th 5:4"),
            ("4/7", "quarter 7:4"),
            ("1/6", "16th 3:2"),
            ("2/11", "16th 11:8"),
        ];
        for (length, drawn) in cases {
            let value = Value::of(length.parse().unwrap());
            assert_eq!(shown(value).as_deref(), Some(drawn), "{length}");
        }
        assert_eq!(Value::of("5/4".parse().unwrap()), None);
        assert_eq!(Value::of("0".parse().unwrap()), None);
        let in_tuplet = |length: &str, actual, normal, pair| {
            let tuplet = Tuplet::new(actual, normal).unwrap();
            shown(Value::in_tuplet(length.parse().unwrap(), tuplet, pair))
        };
        assert_eq!(in_tuplet("1/2", 3, 2, false).as_deref(), Some("eighth."));
        assert_eq!(in_tuplet("3/4", 2, 3, false).as_deref(), Some("eighth"));
        assert_eq!(in_tuplet("1", 1, 1, true).as_deref(), Some("half"));
    }

    #[test]
    fn what_no_head_can_last_is_tied() {
        let tied = Value::tied("5/4".parse().unwrap()).unwrap();
        let names: Vec<&str> = tied.iter().map(|value| value.name()).collect();
        assert_eq!(names, ["quarter", "16th"]);
        assert_eq!(Value::tied("1/3".parse().unwrap()), None);
        assert_eq!(Value::plain("1/8".parse().unwrap()).unwrap().beams(), 3);
    }
}
