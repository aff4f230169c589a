//! What speaks for a cue, and when cues clash.

use barloom_core::time::Quarters;

/// Points for the need of a cue. The criteria are those of Heron (2004), J. R. Smith (2024) and
/// the conducting textbooks (Green, Labuta, McElheran, Meier); the numbers are settings without a
/// published source.
#[derive(Clone, Debug, PartialEq)]
pub struct CuePoints {
    /// Rests of at least so many bars, with their points; ascending. 4, 8 and 16 bars: 1, 2, 3.
    pub rests: Vec<(u32, u32)>,
    /// The part's first entrance, after at least one bar of rest.
    pub first: u32,
    /// Marked solo.
    pub solo: u32,
    /// At most two parts sound.
    pub exposed: u32,
    /// Three or more parts of one family enter together.
    pub section: u32,
    /// Not on a notated beat.
    pub off_beat: u32,
    /// Within a bar after a change of tempo or meter or a fermata.
    pub after_change: u32,
    /// The mute or the instrument changed during the rest.
    pub after_swap: u32,
    /// A single stroke of percussion or harp.
    pub single_stroke: u32,
    /// Takes up a line just heard, as the voices of a fugue do.
    pub imitation: u32,
    /// At ppp or softer, or near the top of the range.
    pub extreme: u32,
}

impl Default for CuePoints {
    fn default() -> Self {
        Self {
            rests: vec![(4, 1), (8, 2), (16, 3)],
            first: 3,
            solo: 2,
            exposed: 2,
            section: 1,
            off_beat: 1,
            after_change: 1,
            after_swap: 1,
            single_stroke: 1,
            imitation: 1,
            extreme: 1,
        }
    }
}

/// Imitations and clashes of cues; without a published source. At most about one cue a beat can be given
/// (common practice).
#[derive(Clone, PartialEq, Debug)]
pub struct CueSettings {
    /// So many notes of an entrance are compared with lines just heard, 3 or more.
    pub imitation_notes: u32,
    /// How far back lines are looked for, in quarters.
    pub imitation_quarters: Quarters,
    /// Points from which a proposal counts when clashes are looked for.
    pub clash_need: u32,
    /// So many sides apart two cues clash: of far left, left, middle, right, far right.
    pub sides_apart: u8,
    /// More than so many cues at one moment are a common entry with the downbeat.
    pub most_together: u32,
}

impl Default for CueSettings {
    fn default() -> Self {
        Self {
            imitation_notes: 5,
            imitation_quarters: Quarters::whole(32),
            clash_need: 4,
            sides_apart: 2,
            most_together: 6,
        }
    }
}
