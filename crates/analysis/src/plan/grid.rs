//! What the bar grid of a plan draws: its bars, what stands over and under them, the rows of parts
//! and the marks. Plain values; how they are found is not known here.

use super::CueState;
use barloom_core::event::{FermataShape, Level};
use barloom_core::instrument::Family;
use barloom_core::meter::Meter;
use barloom_core::pattern::Pattern;
use barloom_core::study::Sign;
use barloom_core::time::Quarters;

/// A position for drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Spot {
    /// 0-based bar in the movement.
    pub bar: usize,
    /// Share of the bar before it, 0 to 1; 1 only for ends.
    pub share: f32,
}

/// A bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanBar {
    /// The printed number, possibly empty.
    pub label: String,
    /// What a person would call it.
    pub name: String,
    /// Sounding length.
    pub quarters: f64,
    /// Where it begins, in written order.
    pub seconds: f64,
    /// The rehearsal mark at its start.
    pub rehearsal: Option<String>,
    /// The meter, where it changes.
    pub meter: Option<Meter>,
    /// The second half of a bar split at a repeat.
    pub continues: bool,
    /// A double line follows.
    pub double_after: bool,
    /// The final line follows.
    pub final_after: bool,
    /// A repeat begins.
    pub repeat_from: bool,
    /// A repeat ends.
    pub repeat_to: bool,
    /// The ending's numbers: "1."; empty outside.
    pub ending: String,
    /// A group or rehearsal mark begins here.
    pub strong: bool,
    /// How it is beaten, if known.
    pub beating: Option<PlanBeating>,
    /// Share of the orchestra that sounds, 0 to 1.
    pub share: f32,
    /// Parts that sound.
    pub n_sounding: u32,
    /// Softest and loudest level.
    pub band: Option<(Level, Level)>,
    /// Fermatas, breaths, caesuras: share of the bar and kind.
    pub holds: Vec<(f32, Hold)>,
}

/// What stops or lifts the time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hold {
    /// A fermata.
    Fermata(FermataShape),
    /// A breath or lift.
    Breath,
    /// A caesura.
    Caesura,
}

/// The beating of one bar.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanBeating {
    /// The pattern.
    pub pattern: Pattern,
    /// Which bar of a pattern over several bars, 0-based.
    pub nth: u8,
    /// Chosen by the conductor, or proposed.
    pub chosen: bool,
    /// The figure over the strokes: "2", "2+2+3", "3/2".
    pub text: String,
    /// Differs from the bar before.
    pub changes: bool,
    /// Share of the bar and sign of each stroke.
    pub strokes: Vec<(f32, StrokeSign)>,
}

/// How a stroke is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StrokeSign {
    /// A full stroke: given.
    Given,
    /// A dot: passed without asking for sound.
    Passed,
    /// A small slur: held or joined.
    Held,
    /// A hook: lift or breath.
    Lift,
}

/// A tempo mark.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanTempo {
    /// Where.
    pub at: Spot,
    /// As written; possibly empty.
    pub words: String,
    /// The note value counted, and how many a minute ("84", "ca. 60–66").
    pub metronome: Option<(Quarters, String)>,
    /// Old value and new value of an equation.
    pub equation: Option<(Quarters, Quarters)>,
    /// Not in the score: "assumed", "term", "playback" or "plan"; empty if printed.
    pub origin: &'static str,
}

/// A group of bars.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanGroup {
    /// First bar.
    pub from: usize,
    /// Last bar, inclusive.
    pub to: usize,
    /// 1 for the smallest.
    pub level: u8,
    /// Its name; possibly empty.
    pub name: String,
    /// Its bars, pickups left out and split bars counted once.
    pub count: usize,
    /// The count in figures: "4", "5 = 4+1" with an extension.
    pub text: String,
    /// The sum of what it holds: "(4+4)+(3+3+2)"; with " ≠ 17" when the bars say otherwise. Empty if it
    /// holds nothing.
    pub sum: String,
}

/// A technique in force.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanDevice {
    /// From where.
    pub from: Spot,
    /// To where.
    pub to: Spot,
    /// The words as printed and the parts: "con sord. trumpets".
    pub words: String,
    /// Muted, stopped or muffled.
    pub muted: bool,
    /// Whether something ends it before the end of the movement.
    pub ended: bool,
}

/// A hairpin or cresc./dim. of one or more parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanHairpin {
    /// From where.
    pub from: Spot,
    /// To where.
    pub to: Spot,
    /// Louder or softer.
    pub louder: bool,
    /// How many parts.
    pub n_parts: usize,
}

/// Parts that enter together.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanEntry {
    /// Where.
    pub at: Spot,
    /// Where the longest rest among them began.
    pub rest_from: Spot,
    /// Who, short: "hn 3", "woodwinds", "tutti".
    pub who: String,
    /// Whether one of them gets a cue.
    pub cue: CueState,
}

/// A row of the bar grid.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanRow {
    /// The family.
    pub family: Family,
    /// The name.
    pub name: String,
    /// For each bar what sounds, if anything.
    pub sounds: Vec<Option<Sound>>,
}

/// What sounds in one bar of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sound {
    /// Share of the bar where it begins.
    pub from: f32,
    /// Share of the bar where it ends.
    pub to: f32,
    /// The level in force, if one is known.
    pub level: Option<Level>,
    /// Muted, stopped or muffled.
    pub muted: bool,
    /// The manner of playing.
    pub manner: SoundManner,
}

/// The manner of playing of a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum SoundManner {
    /// Ordinary.
    #[default]
    Ordinary,
    /// Plucked or struck.
    Plucked,
    /// Tremolo or roll.
    Tremolo,
    /// Harmonics.
    Harmonics,
    /// Trill.
    Trill,
}

/// A mark in the bar grid.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanMark {
    /// Index into [`StudyPlan::layers`](super::StudyPlan::layers).
    pub layer: usize,
    /// Where it stands or begins.
    pub from: Spot,
    /// Last bar of a span.
    pub to: Option<usize>,
    /// The sign.
    pub sign: Sign,
    /// The words; possibly empty beside a sign.
    pub text: String,
    /// The parts it concerns, short; empty for the whole score.
    pub parts: String,
}
