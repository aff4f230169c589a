//! Values of the study file that are written as short texts: places, ids, fractions, hashes, times.

use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::event::Device;
use crate::pattern::Pattern;
use crate::study::{Depth, EntryId, Side, Sign};
use crate::time::Quarters;
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::str::FromStr;

/// How RON is read and written here: `Some(x)` is written as `x`.
pub(super) fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

/// A record as one line.
pub(super) fn line<T: Serialize>(record: &T) -> String {
    let config = ron::ser::PrettyConfig::new()
        .extensions(ron::extensions::Extensions::IMPLICIT_SOME)
        .compact_structs(true)
        .compact_arrays(true)
        .compact_maps(true)
        .separate_tuple_members(false);
    let written = ron::ser::to_string_pretty(record, config);
    debug_assert!(written.is_ok(), "{written:?}");
    // The attribute that announces the extension would stand on every line; the reader sets it.
    let written = written.unwrap_or_default();
    match written.strip_prefix("#![enable(implicit_some)]") {
        Some(rest) => rest.trim_start().to_owned(),
        None => written,
    }
}

/// A value that is written as its text form.
macro_rules! as_text {
    ($($name:ident),*) => {$(
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse().map_err(D::Error::custom)
            }
        }
    )*};
}

as_text!(
    Place, Bars, Id, Fraction, Hash, Hashes, Time, Beaten, DeviceName, SignName, SideName,
    DepthName
);

/// A place: `m3 b47 +1/2`.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Place(pub(super) BarAddress);

/// A bar or a run of bars: `m3 b47`, `m3 b47-52`.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Bars {
    pub(super) movement: MovementId,
    pub(super) from: BarIndex,
    pub(super) to: BarIndex,
}

/// The id of an entry.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Id(pub(super) EntryId);

/// Quarters: `3`, `1/2`.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Fraction(pub(super) Quarters);

/// 64 bits as sixteen hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Hash(pub(super) u64);

/// Several of them with spaces between; a dash stands for silence.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Hashes(pub(super) Vec<u64>);

/// Seconds since 1970-01-01 UTC as date and time: `2031-05-04 09:30:00`.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(super) struct Time(pub(super) u64);

/// A pattern.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Beaten(pub(super) Pattern);

/// A device by name.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct DeviceName(pub(super) Device);

/// A sign by name.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct SignName(pub(super) Sign);

/// A side of the stage by name.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct SideName(pub(super) Side);

/// A depth of the stage by name.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct DepthName(pub(super) Depth);

fn bar_number(bar: BarIndex) -> u64 {
    u64::from(bar.0) + 1
}

fn movement_of(word: Option<&str>) -> Option<MovementId> {
    word?.strip_prefix('m')?.parse().ok().map(MovementId)
}

fn bar_of(text: &str) -> Option<BarIndex> {
    let number: u64 = text.parse().ok()?;
    u32::try_from(number.checked_sub(1)?).ok().map(BarIndex)
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let BarAddress { movement, bar, offset } = self.0;
        write!(f, "{movement} b{}", bar_number(bar))?;
        if offset.is_zero() { Ok(()) } else { write!(f, " +{offset}") }
    }
}

impl FromStr for Place {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parse = || {
            let mut words = text.split_whitespace();
            let movement = movement_of(words.next())?;
            let bar = bar_of(words.next()?.strip_prefix('b')?)?;
            let offset = match words.next() {
                Some(word) => word.strip_prefix('+')?.parse().ok()?,
                None => Quarters::ZERO,
            };
            let done = words.next().is_none();
            done.then_some(Self(BarAddress { movement, bar, offset }))
        };
        parse().ok_or_else(|| format!("\"{text}\" is not a place such as m3 b47 or m3 b47 +1/2"))
    }
}

impl fmt::Display for Bars {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} b{}", self.movement, bar_number(self.from))?;
        if self.from == self.to { Ok(()) } else { write!(f, "-{}", bar_number(self.to)) }
    }
}

impl FromStr for Bars {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parse = || {
            let mut words = text.split_whitespace();
            let movement = movement_of(words.next())?;
            let bars = words.next()?.strip_prefix('b')?;
            let (from, to) = bars.split_once('-').unwrap_or((bars, bars));
            let (from, to) = (bar_of(from)?, bar_of(to)?);
            words.next().is_none().then_some(Self { movement, from, to })
        };
        parse().ok_or_else(|| format!("\"{text}\" is not a run of bars such as m3 b47-52"))
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Id {
    type Err = crate::study::IdError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.parse().map(Self)
    }
}

impl fmt::Display for Fraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Fraction {
    type Err = crate::time::QuartersError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.parse().map(Self)
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

impl FromStr for Hash {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let well_formed = text.len() == 16 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
        let hash = u64::from_str_radix(text, 16).ok().filter(|_| well_formed);
        hash.map(Self).ok_or_else(|| format!("\"{text}\" is not sixteen hexadecimal digits"))
    }
}

impl fmt::Display for Hashes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (idx, hash) in self.0.iter().enumerate() {
            let gap = if idx > 0 { " " } else { "" };
            match hash {
                0 => write!(f, "{gap}-")?,
                hash => write!(f, "{gap}{hash:016x}")?,
            }
        }
        Ok(())
    }
}

impl FromStr for Hashes {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let hash = |word: &str| match word {
            "-" => Ok(0),
            word => word.parse::<Hash>().map(|hash| hash.0),
        };
        text.split_whitespace().map(hash).collect::<Result<_, _>>().map(Self)
    }
}

impl Time {
    /// Whether nothing is known.
    pub(super) fn is_unknown(&self) -> bool {
        self.0 == 0
    }
}

impl fmt::Display for Time {
    /// The proleptic Gregorian calendar (days to date after Hinnant, "chrono-Compatible Low-Level
    /// Date Algorithms").
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (days, second) = (self.0 / 86_400, self.0 % 86_400);
        let shifted = days + 719_468;
        let (era, day_of_era) = (shifted / 146_097, shifted % 146_097);
        let leaps = day_of_era / 1460 + day_of_era / 146_096;
        let year_of_era = (day_of_era + day_of_era / 36_524 - leaps) / 365;
        let before = 365 * year_of_era + year_of_era / 4 - year_of_era / 100;
        let day_of_year = day_of_era - before;
        let shifted_month = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * shifted_month + 2) / 5 + 1;
        let month = if shifted_month < 10 { shifted_month + 3 } else { shifted_month - 9 };
        let year = year_of_era + era * 400 + u64::from(month <= 2);
        let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
        write!(f, "{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}")
    }
}

impl FromStr for Time {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parse = || {
            let (date, time) = text.split_once(' ')?;
            let numbers = |text: &str, sign: char| -> Option<[u64; 3]> {
                let numbers: Option<Vec<u64>> = text.split(sign).map(|n| n.parse().ok()).collect();
                numbers?.try_into().ok()
            };
            let [year, month, day] = numbers(date, '-')?;
            let [hour, minute, second] = numbers(time, ':')?;
            let in_range = (1..=12).contains(&month) && (1..=31).contains(&day) && year >= 1970;
            if !in_range || hour > 23 || minute > 59 || second > 59 {
                return None;
            }
            let year = year - u64::from(month <= 2);
            let (era, year_of_era) = (year / 400, year % 400);
            let shifted_month = if month > 2 { month - 3 } else { month + 9 };
            let day_of_year = (153 * shifted_month + 2) / 5 + day - 1;
            let before = year_of_era * 365 + year_of_era / 4 - year_of_era / 100;
            let days = era.checked_mul(146_097)?.checked_add(before + day_of_year)?;
            let seconds = days.checked_sub(719_468)?.checked_mul(86_400)?;
            seconds.checked_add(hour * 3600 + minute * 60 + second).map(Self)
        };
        parse().ok_or_else(|| format!("\"{text}\" is not a time such as 2031-05-04 09:30:00"))
    }
}

impl fmt::Display for Beaten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Beaten {
    type Err = crate::pattern::PatternError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.parse().map(Self)
    }
}

impl fmt::Display for DeviceName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.name())
    }
}

impl FromStr for DeviceName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let names = || Device::ALL.map(Device::name).join(", ");
        let device = Device::from_name(text).map(Self);
        device.ok_or_else(|| format!("\"{text}\" is none of {}", names()))
    }
}

impl fmt::Display for SideName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.name())
    }
}

impl FromStr for SideName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let names = || Side::ALL.map(Side::name).join(", ");
        let side = Side::from_name(text).map(Self);
        side.ok_or_else(|| format!("\"{text}\" is none of {}", names()))
    }
}

impl fmt::Display for DepthName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.name())
    }
}

impl FromStr for DepthName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let names = || Depth::ALL.map(Depth::name).join(", ");
        let depth = Depth::from_name(text).map(Self);
        depth.ok_or_else(|| format!("\"{text}\" is none of {}", names()))
    }
}

impl fmt::Display for SignName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.name())
    }
}

impl FromStr for SignName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let names = || Sign::ALL.map(Sign::name).join(", ");
        let sign = Sign::from_name(text).map(Self);
        sign.ok_or_else(|| format!("\"{text}\" is none of {}", names()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Known pairs of POSIX time (IEEE Std 1003.1, "Seconds Since the Epoch").
    #[test]
    fn times_are_calendar_dates() {
        for (seconds, text) in [
            (0, "1970-01-01 00:00:00"),
            (951_782_400, "2000-02-29 00:00:00"),
            (1_000_000_000, "2001-09-09 01:46:40"),
            (4_107_542_399, "2100-02-28 23:59:59"),
        ] {
            assert_eq!(Time(seconds).to_string(), text);
            assert_eq!(text.parse(), Ok(Time(seconds)));
        }
        assert!("1969-12-31 00:00:00".parse::<Time>().is_err());
        assert!("2000-13-01 00:00:00".parse::<Time>().is_err());
    }

    #[test]
    fn places_read_as_they_are_written() {
        for text in ["m3 b47", "m3 b47 +1/2", "m1 b1 +7"] {
            assert_eq!(text.parse::<Place>().unwrap().to_string(), text);
        }
        for text in ["", "m3", "m3 b0", "b1 m3", "m3 b47 1/2", "m3 b47 +1/2 x", "m3 bx"] {
            assert!(text.parse::<Place>().is_err(), "{text} was taken");
        }
        for text in ["m3 b47", "m3 b47-52"] {
            assert_eq!(text.parse::<Bars>().unwrap().to_string(), text);
        }
    }
}
