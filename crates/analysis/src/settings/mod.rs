//! Every threshold of the analyses, with its source. Users may change each.

mod changes;
mod cues;
mod lines;
mod players;
mod sound;

pub use changes::ChangeSettings;
pub use cues::{CuePoints, CueSettings};
pub use lines::{CompareSettings, DoublingSettings, LeadingSettings, TextureSettings};
pub use players::{ComfortSettings, RangeSettings};
pub use sound::{BalanceSettings, ContradictionSettings, MixedSettings};

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
    /// Imitations and clashes of cues.
    pub cues: CueSettings,
    /// What makes parts double each other.
    pub doublings: DoublingSettings,
    /// What makes a part the leading one.
    pub leading: LeadingSettings,
    /// Where one texture ends and the next begins.
    pub texture: TextureSettings,
    /// How long changes take.
    pub changes: ChangeSettings,
    /// When attacks of unlike instruments need care.
    pub mixed: MixedSettings,
    /// The estimate of the balance.
    pub balance: BalanceSettings,
    /// What does not fit together.
    pub contradictions: ContradictionSettings,
    /// What is extreme in a range.
    pub ranges: RangeSettings,
    /// What is long for wind players.
    pub comfort: ComfortSettings,
    /// When two passages are called alike.
    pub compare: CompareSettings,
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
            cues: CueSettings::default(),
            doublings: DoublingSettings::default(),
            leading: LeadingSettings::default(),
            texture: TextureSettings::default(),
            changes: ChangeSettings::default(),
            mixed: MixedSettings::default(),
            balance: BalanceSettings::default(),
            contradictions: ContradictionSettings::default(),
            ranges: RangeSettings::default(),
            comfort: ComfortSettings::default(),
            compare: CompareSettings::default(),
        }
    }
}
