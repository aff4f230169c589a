//! The thresholds of the analyses that a user may change: a table of all, and the values that differ
//! from the usual ones.

mod row;
mod table;

pub use row::{Section, Threshold};
pub use table::SECTIONS;

use barloom_analysis::settings::Settings;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The thresholds that were changed, by key. All others are as usual, also those of later versions.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(from = "Kept", into = "Kept")]
pub struct Thresholds {
    changed: BTreeMap<String, f64>,
}

impl Thresholds {
    /// The settings of the analyses with these thresholds. Values out of range are drawn into it; keys
    /// that nobody knows are left out.
    pub fn analysis(&self) -> Settings {
        let mut settings = Settings::default();
        for row in rows() {
            if let Some(value) = self.changed.get(row.key) {
                (row.set)(&mut settings, row.within(*value));
            }
        }
        settings
    }

    /// The value of a row.
    pub fn value(&self, row: &Threshold) -> f64 {
        self.changed.get(row.key).map_or_else(|| row.usual(), |value| row.within(*value))
    }

    /// Whether a row has another value than usual.
    pub fn is_changed(&self, row: &Threshold) -> bool {
        self.changed.contains_key(row.key)
    }

    /// Changes the value of a row; the usual value is no change.
    pub fn put(&mut self, row: &Threshold, value: f64) {
        let value = row.within(value);
        if value == row.usual() {
            self.changed.remove(row.key);
        } else {
            self.changed.insert(row.key.to_owned(), value);
        }
    }

    /// Gives all rows of a section their usual values.
    pub fn reset(&mut self, section: &Section) {
        for row in section.rows {
            self.changed.remove(row.key);
        }
    }
}

/// All rows.
fn rows() -> impl Iterator<Item = &'static Threshold> {
    SECTIONS.iter().flat_map(|section| section.rows)
}

/// As the settings file keeps them: the changed ones by key, and the six that the first version knew
/// under its names, so that either version reads what the other has written.
#[derive(Serialize, Deserialize)]
#[serde(default)]
struct Kept {
    divide_below: f64,
    offer_divided_below: f64,
    divide_compound_below: f64,
    merge_above: f64,
    offer_merged_above: f64,
    assumed_quarters: f64,
    changed: BTreeMap<String, f64>,
}

/// The keys of what the first version knew, in the order of [`Kept::first_version`].
const FIRST_VERSION: [&str; 6] = [
    "divide_below_bpm",
    "offer_divided_below_bpm",
    "divide_compound_below_bpm",
    "merge_above_bpm",
    "offer_merged_above_bpm",
    "assumed_quarters_per_minute",
];

impl Kept {
    fn first_version(&mut self) -> [&mut f64; 6] {
        [
            &mut self.divide_below,
            &mut self.offer_divided_below,
            &mut self.divide_compound_below,
            &mut self.merge_above,
            &mut self.offer_merged_above,
            &mut self.assumed_quarters,
        ]
    }
}

impl Default for Kept {
    fn default() -> Self {
        let usual = Settings::default();
        Self {
            divide_below: usual.divide_below_bpm,
            offer_divided_below: usual.offer_divided_below_bpm,
            divide_compound_below: usual.divide_compound_below_bpm,
            merge_above: usual.merge_above_bpm,
            offer_merged_above: usual.offer_merged_above_bpm,
            assumed_quarters: usual.assumed_quarters_per_minute,
            changed: BTreeMap::new(),
        }
    }
}

impl From<Kept> for Thresholds {
    fn from(mut kept: Kept) -> Self {
        let mut thresholds = Self { changed: std::mem::take(&mut kept.changed) };
        for (key, value) in FIRST_VERSION.into_iter().zip(kept.first_version()) {
            if let Some(row) = rows().find(|row| row.key == key) {
                thresholds.put(row, *value);
            }
        }
        thresholds
    }
}

impl From<Thresholds> for Kept {
    fn from(thresholds: Thresholds) -> Self {
        let mut kept = Self::default();
        for (key, value) in FIRST_VERSION.into_iter().zip(kept.first_version()) {
            if let Some(row) = rows().find(|row| row.key == key) {
                *value = thresholds.value(row);
            }
        }
        Self { changed: thresholds.changed, ..kept }
    }
}

#[cfg(test)]
mod tests;
