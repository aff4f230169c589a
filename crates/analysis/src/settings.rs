//! Every threshold of the analyses, with its source. Users may change each.

/// Thresholds of the analyses.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Below this many beats a minute the beat is divided. 40: the pulse needs more information
    /// below it ("5.1 Subdividing", open university conducting course).
    pub divide_below_bpm: f64,
    /// Below this the divided beat is offered as an alternative. 50: Labuta, *Basic Conducting
    /// Techniques* ch. 5.
    pub offer_divided_below_bpm: f64,
    /// Above this the next larger beat is taken. 140: common practice, textbooks' exercises cluster
    /// at 140 to 144.
    pub merge_above_bpm: f64,
    /// Above this the larger beat is offered. 120: common practice, 120 to 126.
    pub offer_merged_above_bpm: f64,
    /// Quarters a minute where the score says nothing at all.
    pub assumed_quarters_per_minute: f64,
    /// What a ritardando without a stated end comes down to, as a share of the tempo before it.
    /// 0.8: common practice.
    pub slowing_factor: f64,
    /// What an accelerando without a stated end goes up to. 1.2: common practice.
    pub quickening_factor: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            divide_below_bpm: 40.0,
            offer_divided_below_bpm: 50.0,
            merge_above_bpm: 140.0,
            offer_merged_above_bpm: 120.0,
            assumed_quarters_per_minute: 96.0,
            slowing_factor: 0.8,
            quickening_factor: 1.2,
        }
    }
}
