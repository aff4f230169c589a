//! Exact musical time: fractions of a quarter note for everything that is written down, and whole
//! ticks for everything inside one movement of a score.
//!
//! Nothing here knows bars or meters. Seconds do not exist here; they belong to tempo.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub, SubAssign};
use std::str::FromStr;

/// A length or position in quarter notes as a fraction in lowest terms, denominator positive.
///
/// Used in studies, facts and messages, where ticks would change meaning with the edition.
/// Arithmetic is checked: it answers `None` rather than wrap or round.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Quarters {
    num: i64,
    den: i64,
}

impl Quarters {
    /// No time at all.
    pub const ZERO: Self = Self { num: 0, den: 1 };
    /// One quarter note.
    pub const ONE: Self = Self { num: 1, den: 1 };

    /// `num / den` quarters in lowest terms; `None` if `den` is 0 or the value does not fit.
    pub fn new(num: i64, den: i64) -> Option<Self> {
        Self::reduced(i128::from(num), i128::from(den))
    }

    /// A whole number of quarters.
    pub const fn whole(quarters: i32) -> Self {
        Self { num: quarters as i64, den: 1 }
    }

    fn reduced(num: i128, den: i128) -> Option<Self> {
        if den == 0 {
            return None;
        }
        let divisor = gcd(num.unsigned_abs(), den.unsigned_abs()) as i128 * den.signum();
        Some(Self {
            num: i64::try_from(num / divisor).ok()?,
            den: i64::try_from(den / divisor).ok()?,
        })
    }

    /// The numerator in lowest terms; negative for negative values.
    pub const fn numerator(self) -> i64 {
        self.num
    }

    /// The denominator in lowest terms, at least 1.
    pub const fn denominator(self) -> i64 {
        self.den
    }

    /// Whether this is exactly zero.
    pub const fn is_zero(self) -> bool {
        self.num == 0
    }

    /// The sum, `None` when it does not fit.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        let (a, b) = (i128::from(self.num), i128::from(self.den));
        let (c, d) = (i128::from(other.num), i128::from(other.den));
        Self::reduced(a * d + c * b, b * d)
    }

    /// The difference, `None` when it does not fit.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        self.checked_add(Self { num: other.num.checked_neg()?, den: other.den })
    }

    /// This value times `num / den`, `None` when `den` is 0 or the result does not fit.
    pub fn scaled(self, num: i64, den: i64) -> Option<Self> {
        Self::reduced(
            i128::from(self.num) * i128::from(num),
            i128::from(self.den) * i128::from(den),
        )
    }

    /// The value as a float, for drawing and for seconds only.
    pub fn as_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }
}

impl Default for Quarters {
    fn default() -> Self {
        Self::ZERO
    }
}

impl Ord for Quarters {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        let left = i128::from(self.num) * i128::from(other.den);
        let right = i128::from(other.num) * i128::from(self.den);
        left.cmp(&right)
    }
}

impl PartialOrd for Quarters {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Quarters {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.den {
            1 => write!(f, "{}", self.num),
            den => write!(f, "{}/{den}", self.num),
        }
    }
}

impl fmt::Debug for Quarters {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}q")
    }
}

/// A text that is not a fraction of quarters such as `3` or `-1/2`.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a number of quarters such as 3 or 1/2")]
pub struct QuartersError(String);

impl FromStr for Quarters {
    type Err = QuartersError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (num, den) = text.split_once('/').unwrap_or((text, "1"));
        let parsed = num.trim().parse().ok().zip(den.trim().parse().ok());
        parsed
            .and_then(|(num, den)| Self::new(num, den))
            .ok_or_else(|| QuartersError(text.to_owned()))
    }
}

/// A position in, or a length of, one movement, in ticks of that movement's [`Resolution`].
///
/// Positions count from the start of the movement in written order. The importer proves that the
/// end of the movement fits before it builds one, so sums of positions inside it cannot overflow.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Debug)]
pub struct Ticks(pub i64);

impl Ticks {
    /// The start of a movement, or no length.
    pub const ZERO: Self = Self(0);

    /// The length from `start` to `self`, zero if `self` lies before it.
    pub fn since(self, start: Self) -> Self {
        Self((self.0 - start.0).max(0))
    }
}

impl Add for Ticks {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Ticks {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl AddAssign for Ticks {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl SubAssign for Ticks {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Sum for Ticks {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        Self(iter.map(|ticks| ticks.0).sum())
    }
}

/// Ticks in a quarter note, one value for a whole movement, 1 to [`Resolution::MAX`].
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Resolution(u32);

impl Resolution {
    /// The finest resolution allowed: with it, a movement may last some 400 million quarters.
    pub const MAX: u32 = 1 << 31;

    /// A resolution of `ticks` per quarter, `None` outside 1..=[`Self::MAX`].
    pub fn new(ticks: u32) -> Option<Self> {
        (1..=Self::MAX).contains(&ticks).then_some(Self(ticks))
    }

    /// Ticks in one quarter note.
    pub const fn ticks_per_quarter(self) -> u32 {
        self.0
    }

    /// The exact length in quarters.
    pub fn quarters(self, ticks: Ticks) -> Quarters {
        Quarters::new(ticks.0, i64::from(self.0)).unwrap_or_default()
    }

    /// The ticks of an exact length, `None` if it is not whole at this resolution or too long.
    pub fn ticks(self, quarters: Quarters) -> Option<Ticks> {
        let scaled = quarters.scaled(i64::from(self.0), 1)?;
        (scaled.denominator() == 1).then_some(Ticks(scaled.numerator()))
    }

    /// The last whole tick at or before an exact position: for addresses of an older edition that
    /// fall between ticks.
    pub fn ticks_floor(self, quarters: Quarters) -> Option<Ticks> {
        let scaled = quarters.scaled(i64::from(self.0), 1)?;
        Some(Ticks(scaled.numerator().div_euclid(scaled.denominator())))
    }

    /// Quarters as a float, for drawing and for seconds only.
    pub fn as_f64(self, ticks: Ticks) -> f64 {
        ticks.0 as f64 / f64::from(self.0)
    }
}

impl Default for Resolution {
    fn default() -> Self {
        Self(1)
    }
}

/// Greatest common divisor; `gcd(0, n)` is `n`, and `gcd(0, 0)` is 1 so that it can be divided by.
fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_kept_in_lowest_terms() {
        let q = |num, den| Quarters::new(num, den).unwrap();
        assert_eq!(q(6, 4).to_string(), "3/2");
        assert_eq!(q(3, -6).to_string(), "-1/2");
        assert_eq!(q(0, -7), Quarters::ZERO);
        assert_eq!(q(1, 3).checked_add(q(1, 6)), Some(q(1, 2)));
        assert!(q(1, 3) < q(1, 2));
        assert_eq!("57/2".parse(), Ok(q(57, 2)));
        assert!("1/0".parse::<Quarters>().is_err());
    }

    #[test]
    fn overflow_is_an_answer_not_a_wrap() {
        let huge = Quarters::new(i64::MAX, 1).unwrap();
        assert_eq!(huge.checked_add(Quarters::ONE), None);
        assert_eq!(huge.scaled(2, 1), None);
        assert_eq!(Quarters::new(i64::MIN, -1), None);
    }

    #[test]
    fn ticks_and_quarters_agree() {
        let resolution = Resolution::new(48).unwrap();
        let third = Quarters::new(1, 3).unwrap();
        assert_eq!(resolution.ticks(third), Some(Ticks(16)));
        assert_eq!(resolution.quarters(Ticks(16)), third);
        assert_eq!(resolution.ticks(Quarters::new(1, 5).unwrap()), None);
        assert_eq!(resolution.ticks_floor(Quarters::new(1, 5).unwrap()), Some(Ticks(9)));
    }
}
