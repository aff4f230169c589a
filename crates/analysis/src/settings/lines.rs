//! How lines relate: textures, doublings, who leads, passages side by side.

use barloom_core::time::Quarters;

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
    /// What is taken off for the share of the bar in which a part rests: short chords accompany.
    pub silence: f32,
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
            silence: 0.25,
            instrument: 0.15,
            change_cost: 0.4,
            change_inside_cost: 0.1,
        }
    }
}

/// When something in a passage is called the same as in another. The trade has no figures for it; all
/// are settings without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct CompareSettings {
    /// Share of a line's attacks that must be found again for it to be the same line, 0 to 1.
    pub line_share: f32,
    /// Share of the sounding pitch classes, beat by beat, that makes the same harmony, 0 to 1.
    pub harmony_share: f32,
    /// So many semitones higher or lower is another register.
    pub register_semitones: u32,
    /// From this share on, 0 to 1, a tempo is another one.
    pub tempo_share: f32,
}

impl Default for CompareSettings {
    fn default() -> Self {
        Self { line_share: 0.6, harmony_share: 0.7, register_semitones: 7, tempo_share: 0.04 }
    }
}
