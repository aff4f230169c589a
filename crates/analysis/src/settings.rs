//! Every threshold of the analyses, with its source. Users may change each.

use barloom_core::time::Quarters;

/// Thresholds of the analyses.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Below this many beats a minute the beat is divided. 40: the pulse needs more information
    /// below it ("5.1 Subdividing", open university conducting course).
    pub divide_below_bpm: f64,
    /// Below this the divided beat is offered as an alternative. 50: Labuta, *Basic Conducting
    /// Techniques* ch. 5.
    pub offer_divided_below_bpm: f64,
    /// Below this many dotted beats a minute the beats of 6/8, 9/8 and 12/8 are divided in three.
    /// 50, so that the small beats stay below 150; Gehrkens, *Essentials in Conducting* p. 25 gives
    /// 6, 9 and 12 for very slow movements, without a figure.
    pub divide_compound_below_bpm: f64,
    /// Above this the next larger beat is taken. 140: common practice, textbooks' exercises cluster
    /// at 140 to 144.
    pub merge_above_bpm: f64,
    /// Above this the larger beat is offered. 120: common practice, 120 to 126.
    pub offer_merged_above_bpm: f64,
    /// While the tempo changes by degrees, a pattern is kept until its threshold is passed by this
    /// share, so that it does not flicker. 0.15; no published figure.
    pub keep_pattern_share: f64,
    /// Quarters a minute where the score says nothing at all.
    pub assumed_quarters_per_minute: f64,
    /// What a ritardando without a stated end comes down to, as a share of the tempo before it.
    /// 0.8: common practice.
    pub slowing_factor: f64,
    /// What an accelerando without a stated end goes up to. 1.2: common practice.
    pub quickening_factor: f64,
    /// So many bars a change by degrees lasts when neither its end nor a further tempo is written.
    /// 4; no published figure.
    pub gradual_bars: u32,
    /// What "più mosso" and the like multiply the tempo by when no figure is written. 1.15; no
    /// published figure.
    pub quicker_term_factor: f64,
    /// What "meno mosso" and the like multiply the tempo by. 0.85; no published figure.
    pub slower_term_factor: f64,
    /// What speaks for giving a cue.
    pub cue: CuePoints,
    /// What makes parts double each other.
    pub doublings: DoublingSettings,
    /// What makes a part the leading one.
    pub leading: LeadingSettings,
    /// Where one texture ends and the next begins.
    pub texture: TextureSettings,
}

/// Limits between textures. The measures are Huron's (1989); he prints regions and no limits, so that
/// the figures are settings without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct TextureSettings {
    /// From this synchrony of attacks on, 0 to 1, it is homophony.
    pub synchrony: f32,
    /// From this share of moves in one direction on, 0 to 1, lines do not go their own ways.
    pub together: f32,
    /// From so much of a line on, 0 to 1, a part has one of its own.
    pub melodic: f32,
    /// From this share of the parts that play in the movement on, it is a tutti.
    pub tutti_share: f32,
    /// Down to this share a tutti goes on for a bar or two.
    pub tutti_keeps_share: f32,
    /// What a change of the class costs against calling a bar otherwise than measured, which costs 1.
    pub change_cost: f32,
}

impl Default for TextureSettings {
    fn default() -> Self {
        Self {
            synchrony: 0.7,
            together: 0.75,
            melodic: 0.45,
            tutti_share: 0.85,
            tutti_keeps_share: 0.6,
            change_cost: 0.8,
        }
    }
}

/// Points for the leading part of a bar. The kinds of evidence are common practice; the numbers have
/// no published source.
#[derive(Clone, PartialEq, Debug)]
pub struct LeadingSettings {
    /// The highest of all that sound; the lowest has nothing, the others are between.
    pub register: f32,
    /// All there is to a tune: moves, steps, varied rhythm. Held and repeated notes have nothing.
    pub melodic: f32,
    /// Marked solo.
    pub solo: f32,
    /// New after at least two bars of rest, for two bars.
    pub novelty: f32,
    /// For each degree louder than the mean of all that sound.
    pub level: f32,
    /// For each part that plays along, four at most.
    pub doubling: f32,
    /// Of an instrument that usually has the line; as much is taken from one that rarely does.
    pub instrument: f32,
    /// What a change of the leader costs.
    pub change_cost: f32,
    /// What a change costs between parts that play one line.
    pub change_inside_cost: f32,
}

impl Default for LeadingSettings {
    fn default() -> Self {
        Self {
            register: 0.45,
            melodic: 1.0,
            solo: 0.5,
            novelty: 0.25,
            level: 0.1,
            doubling: 0.06,
            instrument: 0.15,
            change_cost: 0.4,
            change_inside_cost: 0.1,
        }
    }
}

/// When two parts play one line. The trade has no figures for it; all are settings without a
/// published source, chosen so that parts of one chord are not taken for doublings.
#[derive(Clone, PartialEq, Debug)]
pub struct DoublingSettings {
    /// Notes in common from which a doubling counts, at least that many moves included.
    pub least_notes: u32,
    /// The same for a phrase that both play from its first note to its last.
    pub least_phrase_notes: u32,
    /// The same where one part plays only some notes of the other's line.
    pub least_partial_notes: u32,
    /// The same for parallel thirds and sixths.
    pub least_parallel_notes: u32,
    /// Share of the notes that must be common, 0 to 1.
    pub least_share: f32,
    /// Moves of one part alone that a doubling outlives.
    pub patience_moves: f32,
    /// Silence of both that a doubling outlives, in quarters.
    pub gap_quarters: Quarters,
    /// The shortest rest that parts phrases, in quarters.
    pub phrase_rest_quarters: Quarters,
}

impl Default for DoublingSettings {
    fn default() -> Self {
        Self {
            least_notes: 5,
            least_phrase_notes: 3,
            least_partial_notes: 6,
            least_parallel_notes: 6,
            least_share: 0.8,
            patience_moves: 3.0,
            gap_quarters: Quarters::whole(4),
            phrase_rest_quarters: Quarters::whole(1),
        }
    }
}

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
        }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            divide_below_bpm: 40.0,
            offer_divided_below_bpm: 50.0,
            divide_compound_below_bpm: 50.0,
            merge_above_bpm: 140.0,
            offer_merged_above_bpm: 120.0,
            keep_pattern_share: 0.15,
            assumed_quarters_per_minute: 96.0,
            slowing_factor: 0.8,
            quickening_factor: 1.2,
            gradual_bars: 4,
            quicker_term_factor: 1.15,
            slower_term_factor: 0.85,
            cue: CuePoints::default(),
            doublings: DoublingSettings::default(),
            leading: LeadingSettings::default(),
            texture: TextureSettings::default(),
        }
    }
}
