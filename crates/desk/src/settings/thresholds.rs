//! The thresholds of the proposals that a user may change, in beats or quarters a minute.

use barloom_analysis::settings::Settings;
use serde::{Deserialize, Serialize};
use std::ops::RangeInclusive;

/// Thresholds of tempo and beating. Values outside [`Thresholds::RANGE`] are drawn into it when
/// they are used.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(default)]
pub struct Thresholds {
    /// Below this the beat is divided.
    pub divide_below: f64,
    /// Below this the divided beat is offered.
    pub offer_divided_below: f64,
    /// Below this the dotted beat of 6/8, 9/8 and 12/8 is divided.
    pub divide_compound_below: f64,
    /// Above this the next larger beat is taken.
    pub merge_above: f64,
    /// Above this the larger beat is offered.
    pub offer_merged_above: f64,
    /// Quarters a minute where the score says nothing.
    pub assumed_quarters: f64,
}

/// A threshold as the settings page shows it: name, where the usual value comes from, value.
pub(crate) type Row<'a> = (&'static str, &'static str, &'a mut f64);

impl Thresholds {
    /// What may be set.
    pub const RANGE: RangeInclusive<f64> = 20.0..=300.0;

    /// The settings of the analyses with these thresholds.
    pub fn analysis(&self) -> Settings {
        let within = |value: f64| {
            if value.is_nan() { *Self::RANGE.start() } else { value.clamp(20.0, 300.0) }
        };
        Settings {
            divide_below_bpm: within(self.divide_below),
            offer_divided_below_bpm: within(self.offer_divided_below),
            divide_compound_below_bpm: within(self.divide_compound_below),
            merge_above_bpm: within(self.merge_above),
            offer_merged_above_bpm: within(self.offer_merged_above),
            assumed_quarters_per_minute: within(self.assumed_quarters),
            ..Settings::default()
        }
    }

    /// The thresholds for the settings page.
    pub(crate) fn rows(&mut self) -> [Row<'_>; 6] {
        [
            (
                "Divide the beat below",
                "40: an open university conducting course, \u{201c}Subdividing\u{201d}",
                &mut self.divide_below,
            ),
            (
                "Offer divided beats below",
                "50: Labuta, Basic Conducting Techniques, chapter 5",
                &mut self.offer_divided_below,
            ),
            (
                "Divide the dotted beat below",
                "50: after Gehrkens, Essentials in Conducting, page 25, who gives no figure",
                &mut self.divide_compound_below,
            ),
            ("Join beats above", "140: common practice", &mut self.merge_above),
            ("Offer joined beats above", "120: common practice", &mut self.offer_merged_above),
            (
                "Quarters a minute where nothing is stated",
                "96: shown as assumed wherever it is used",
                &mut self.assumed_quarters,
            ),
        ]
    }
}

impl Default for Thresholds {
    fn default() -> Self {
        let usual = Settings::default();
        Self {
            divide_below: usual.divide_below_bpm,
            offer_divided_below: usual.offer_divided_below_bpm,
            divide_compound_below: usual.divide_compound_below_bpm,
            merge_above: usual.merge_above_bpm,
            offer_merged_above: usual.offer_merged_above_bpm,
            assumed_quarters: usual.assumed_quarters_per_minute,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn untouched_thresholds_are_those_of_the_analyses() {
        assert_eq!(Thresholds::default().analysis(), Settings::default());
    }

    #[test]
    fn impossible_values_are_drawn_into_the_range() {
        let odd = Thresholds { merge_above: 1e9, divide_below: f64::NAN, ..Thresholds::default() };
        let settings = odd.analysis();
        assert_eq!((settings.merge_above_bpm, settings.divide_below_bpm), (300.0, 20.0));
    }
}
