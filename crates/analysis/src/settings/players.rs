//! What is extreme or long for players: ranges, breath, rest.

/// What counts as extreme inside the range of an instrument, in semitones; common practice, the
/// figures without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct RangeSettings {
    /// So many below the top it is high, where no source says what is comfortable.
    pub high_semitones: i32,
    /// So many over the bottom double reeds and saxophones are hard to play softly.
    pub low_soft_semitones: i32,
    /// So many below the top brass are hard to play very softly.
    pub high_soft_semitones: i32,
}

impl Default for RangeSettings {
    fn default() -> Self {
        Self { high_semitones: 3, low_soft_semitones: 4, high_soft_semitones: 5 }
    }
}

/// What is long for wind players, in seconds; common practice, without a published source. Players
/// know better.
#[derive(Clone, PartialEq, Debug)]
pub struct ComfortSettings {
    /// Without a place to breathe.
    pub breath_seconds: f64,
    /// The same for flutes, tubas and contrabassoons, which spend more air.
    pub short_breath_seconds: f64,
    /// The shortest gap that gives a breath.
    pub breath_gap_seconds: f64,
    /// A note as long as this that no slur joins to the next can be shortened for a breath.
    pub breath_note_seconds: f64,
    /// Without a bar of rest.
    pub rest_seconds: f64,
}

impl Default for ComfortSettings {
    fn default() -> Self {
        Self {
            breath_seconds: 20.0,
            short_breath_seconds: 12.0,
            breath_gap_seconds: 0.25,
            breath_note_seconds: 0.5,
            rest_seconds: 180.0,
        }
    }
}
