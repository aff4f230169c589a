//! Time signatures as written: composite, additive, without measure. What the conductor beats in
//! them is a different thing and lives in [`crate::pattern`].

use crate::time::Quarters;
use std::fmt;
use std::str::FromStr;

/// One pair of a time signature, such as `4/4`, or `3+2/8` with two groups.
#[derive(Clone, PartialEq, Eq, Debug, Hash)]
pub struct MeterTerm {
    /// The groups of the upper figure in order, each at least 1; one group unless it is additive.
    pub groups: Vec<u32>,
    /// The lower figure: 1, 2, 4, 8, ... as printed, at least 1.
    pub unit: u32,
}

impl MeterTerm {
    /// The upper figure summed.
    pub fn beats(&self) -> u32 {
        self.groups.iter().sum()
    }
}

/// How a signature is printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Hash, Default)]
pub enum MeterSign {
    /// As figures.
    #[default]
    Figures,
    /// The sign for common time.
    Common,
    /// The sign for alla breve.
    Cut,
    /// The upper figure alone.
    SingleNumber,
    /// The upper figure over a note in place of the lower one.
    Note,
    /// The upper figure over a dotted note, three of the lower figure's: 2 over a dotted quarter
    /// for 6/8.
    DottedNote,
    /// Not printed: the bar has the length, the page does not say so.
    Hidden,
}

/// A time signature: terms that follow each other in the bar. No terms means without measure.
#[derive(Clone, PartialEq, Eq, Debug, Hash, Default)]
pub struct Meter {
    /// The terms in order; empty when the music is unmeasured (senza misura).
    pub terms: Vec<MeterTerm>,
    /// The printed sign.
    pub sign: MeterSign,
}

impl Meter {
    /// A plain signature such as 3/4.
    pub fn simple(beats: u32, unit: u32) -> Self {
        Self { terms: vec![MeterTerm { groups: vec![beats], unit }], sign: MeterSign::Figures }
    }

    /// Whether the music is unmeasured.
    pub fn is_unmeasured(&self) -> bool {
        self.terms.is_empty()
    }

    /// The length of a full bar; `None` when unmeasured or not representable.
    pub fn bar_length(&self) -> Option<Quarters> {
        if self.is_unmeasured() {
            return None;
        }
        self.terms.iter().try_fold(Quarters::ZERO, |sum, term| {
            sum.checked_add(Quarters::new(i64::from(term.beats()) * 4, i64::from(term.unit))?)
        })
    }

    /// The smallest lower figure's note value that all terms are whole multiples of: 8 for 2/4+3/8.
    pub fn unit(&self) -> u32 {
        self.terms.iter().map(|term| term.unit).max().unwrap_or(4)
    }

    /// Beats in units of [`Self::unit`]: 7 for 2/4+3/8.
    pub fn beats(&self) -> u32 {
        let unit = self.unit();
        self.terms.iter().map(|term| term.beats() * (unit / term.unit.max(1)).max(1)).sum()
    }

    /// The groups that the signature itself states, in units of [`Self::unit`]; one group per term
    /// unless a term is additive. `[7]` for 7/8, `[3, 2]` for 3+2/8, `[4, 3]` for 2/4+3/8.
    pub fn stated_groups(&self) -> Vec<u32> {
        let unit = self.unit();
        let scale = |term: &MeterTerm| (unit / term.unit.max(1)).max(1);
        self.terms
            .iter()
            .flat_map(|term| term.groups.iter().map(move |group| group * scale(term)))
            .collect()
    }

    /// Whether the upper figure divides into threes as in 6/8, 9/8 and 12/8: one undivided term, a
    /// multiple of three above three, over quarters or shorter (common practice).
    pub fn is_compound(&self) -> bool {
        match self.terms.as_slice() {
            [term] => {
                term.groups.len() == 1
                    && term.beats() > 3
                    && term.beats().is_multiple_of(3)
                    && term.unit >= 4
            }
            _ => false,
        }
    }
}

impl fmt::Display for Meter {
    /// `4/4`, `3+2/8`, `2/4+3/8`; `senza misura` when unmeasured.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_unmeasured() {
            return f.write_str("senza misura");
        }
        for (idx, term) in self.terms.iter().enumerate() {
            if idx > 0 {
                f.write_str("+")?;
            }
            let groups: Vec<String> = term.groups.iter().map(u32::to_string).collect();
            write!(f, "{}/{}", groups.join("+"), term.unit)?;
        }
        Ok(())
    }
}

/// A text that is not a time signature such as `3/4` or `3+2/8`.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a time signature such as 3/4, 3+2/8 or 2/4+3/8")]
pub struct MeterError(String);

impl FromStr for Meter {
    type Err = MeterError;

    /// Reads what [`fmt::Display`] writes. Figures from 1 to 999.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let fail = || MeterError(text.to_owned());
        if text == "senza misura" {
            return Ok(Self::default());
        }
        let figure = |s: &str| s.trim().parse::<u32>().ok().filter(|n| (1..=999).contains(n));
        let mut terms = Vec::new();
        let mut groups = Vec::new();
        for piece in text.split('+') {
            match piece.split_once('/') {
                None => groups.push(figure(piece).ok_or_else(fail)?),
                Some((group, unit)) => {
                    groups.push(figure(group).ok_or_else(fail)?);
                    let unit = figure(unit).ok_or_else(fail)?;
                    terms.push(MeterTerm { groups: std::mem::take(&mut groups), unit });
                }
            }
        }
        if !groups.is_empty() || terms.is_empty() {
            return Err(fail());
        }
        Ok(Self { terms, sign: MeterSign::Figures })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signatures_say_their_length_and_groups() {
        for (text, length, groups) in [
            ("4/4", "4", vec![4]),
            ("6/8", "3", vec![6]),
            ("3+2/8", "5/2", vec![3, 2]),
            ("2/4+3/8", "7/2", vec![4, 3]),
        ] {
            let meter: Meter = text.parse().unwrap();
            assert_eq!(meter.to_string(), text);
            assert_eq!(meter.bar_length().unwrap().to_string(), length);
            assert_eq!(meter.stated_groups(), groups);
        }
        assert!("4/".parse::<Meter>().is_err());
        assert!("3+2".parse::<Meter>().is_err());
    }

    #[test]
    fn compound_meters_divide_into_threes() {
        let compound = |text: &str| text.parse::<Meter>().unwrap().is_compound();
        assert!(compound("6/8") && compound("9/8") && compound("12/8") && compound("6/4"));
        assert!(!compound("3/8") && !compound("3/4") && !compound("3+3/8") && !compound("5/8"));
    }
}
