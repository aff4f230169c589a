//! A row of the table of thresholds.

use barloom_analysis::settings::Settings;
use barloom_core::time::Quarters;

/// Thresholds of one analysis.
#[derive(Debug)]
pub struct Section {
    /// The heading.
    pub name: &'static str,
    /// What holds for all of its rows; empty if nothing does.
    pub note: &'static str,
    /// The rows.
    pub rows: &'static [Threshold],
}

/// A threshold that can be changed.
#[derive(Debug)]
pub struct Threshold {
    /// The name in the settings file: the path of the field.
    pub key: &'static str,
    /// The name on the page.
    pub name: &'static str,
    /// What it counts: "s", "dB", "points"; empty for plain numbers.
    pub unit: &'static str,
    /// Where the usual value comes from.
    pub source: &'static str,
    /// The least and the greatest value.
    pub range: (f64, f64),
    /// Digits behind the point.
    pub decimals: usize,
    pub(super) get: fn(&Settings) -> f64,
    pub(super) set: fn(&mut Settings, f64),
}

impl Threshold {
    /// The usual value.
    pub fn usual(&self) -> f64 {
        (self.get)(&Settings::default())
    }

    /// A value drawn into the range and rounded to the digits shown.
    pub fn within(&self, value: f64) -> f64 {
        let (low, high) = self.range;
        if value.is_nan() {
            return self.usual();
        }
        let tens = 10_f64.powi(i32::try_from(self.decimals).unwrap_or_default());
        (value.clamp(low, high) * tens).round() / tens
    }

    /// How far a value moves with a point of a drag.
    pub fn speed(&self) -> f64 {
        if self.decimals == 0 { 0.1 } else { 0.01 }
    }
}

/// A number of the settings.
pub(super) trait Number: Copy {
    /// Digits behind the point that are shown.
    const DECIMALS: usize;
    fn number(self) -> f64;
    fn of(value: f64) -> Self;
}

impl Number for f64 {
    const DECIMALS: usize = 2;
    fn number(self) -> f64 {
        self
    }
    fn of(value: f64) -> Self {
        value
    }
}

impl Number for f32 {
    const DECIMALS: usize = 2;
    fn number(self) -> f64 {
        // What was written with few digits is shown with few.
        (f64::from(self) * 1e4).round() / 1e4
    }
    fn of(value: f64) -> Self {
        value as Self
    }
}

impl Number for u32 {
    const DECIMALS: usize = 0;
    fn number(self) -> f64 {
        self.into()
    }
    fn of(value: f64) -> Self {
        // Drawn into a range of small numbers before.
        value.round() as Self
    }
}

impl Number for i32 {
    const DECIMALS: usize = 0;
    fn number(self) -> f64 {
        self.into()
    }
    fn of(value: f64) -> Self {
        value.round() as Self
    }
}

impl Number for u8 {
    const DECIMALS: usize = 0;
    fn number(self) -> f64 {
        self.into()
    }
    fn of(value: f64) -> Self {
        value.round() as Self
    }
}

impl Number for Quarters {
    const DECIMALS: usize = 2;
    fn number(self) -> f64 {
        self.as_f64()
    }
    fn of(value: f64) -> Self {
        Self::new((value * 100.0).round() as i64, 100).unwrap_or_default()
    }
}

/// The decimals of the field that a getter reads.
pub(super) const fn decimals<N: Number>(_field: fn(&Settings) -> N) -> usize {
    N::DECIMALS
}

/// Rows from fields: `field.path, "name", "unit", least..=greatest, "source";`.
macro_rules! rows {
    ($($($field:ident).+, $name:literal, $unit:literal, $low:literal..=$high:literal, $source:literal;)*) => {
        &[$($crate::settings::thresholds::row::Threshold {
            key: stringify!($($field).+),
            name: $name,
            unit: $unit,
            source: $source,
            range: ($low, $high),
            decimals: $crate::settings::thresholds::row::decimals(|settings| settings.$($field).+),
            get: |settings| $crate::settings::thresholds::row::Number::number(settings.$($field).+),
            set: |settings, value| {
                settings.$($field).+ = $crate::settings::thresholds::row::Number::of(value);
            },
        },)*]
    };
}
pub(super) use rows;
