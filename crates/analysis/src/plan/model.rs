//! The data of a study plan: chapters, rows and what the bar grid shows.
//!
//! Plain values without behavior; what they say is decided in the modules beside this one.

use super::ensemble::PlanTable;
use super::grid::{
    PlanBar, PlanDevice, PlanEntry, PlanGroup, PlanHairpin, PlanMark, PlanRow, PlanTempo,
};
use barloom_core::pattern::Pattern;
use barloom_core::study::Sign;
use barloom_core::time::Quarters;

/// A study plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StudyPlan {
    /// The work.
    pub title: String,
    /// Its composer; empty if unknown.
    pub composer: String,
    /// Whose plan it is; empty if never said.
    pub author: String,
    /// The study's version.
    pub version: u64,
    /// The orchestra in the short form of orchestra libraries: `3(3.=picc) 2 2 2 – 4 2 3 1 – ...`.
    pub forces: String,
    /// The orchestra by family, parts with their players.
    pub families: Vec<FamilyRow>,
    /// What parts need beside their instrument: mutes and other devices, further instruments.
    pub needs: Vec<NeedRow>,
    /// The movements in order.
    pub movements: Vec<PlanMovement>,
    /// All cues, wanted and proposed, one row for each part, in order.
    pub cues: Vec<CueRow>,
    /// The same by place: cues for one beat that are given alike together.
    pub cue_places: Vec<CuePlace>,
    /// The layers that are printed, in the user's order.
    pub layers: Vec<PlanLayer>,
    /// Where the parts sit, from the back to the front and from left to right.
    pub seats: Vec<SeatRow>,
    /// Places to look at: contradictions in the score and in the plan.
    pub looks: Vec<LookRow>,
}

/// One depth of the stage.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatRow {
    /// "back", "center", "front".
    pub depth: &'static str,
    /// The short names of the parts on each side, from far left to far right.
    pub sides: Vec<String>,
}

/// A family of the orchestra.
#[derive(Clone, Debug, PartialEq)]
pub struct FamilyRow {
    /// "Woodwinds".
    pub family: String,
    /// "Clarinets 1.2 (2. also bass clarinet)".
    pub parts: Vec<String>,
}

/// What a part needs.
#[derive(Clone, Debug, PartialEq)]
pub struct NeedRow {
    /// The part.
    pub part: String,
    /// "mute (I, III)".
    pub what: Vec<String>,
}

/// A movement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanMovement {
    /// "III"; empty in a work of one movement.
    pub numeral: String,
    /// "III. Lock gates".
    pub heading: String,
    /// Number of bars, a bar split at a repeat counted once.
    pub n_bars: usize,
    /// Duration in written order.
    pub seconds: f64,
    /// Duration in performing order with the plan's pauses.
    pub played_seconds: f64,
    /// The performing order in words: "1–16 twice, 17–40"; empty if it is the written one.
    pub order: String,
    /// First tempo words and metronome, in words.
    pub tempo: String,
    /// Meters in order of appearance, each once.
    pub meters: Vec<String>,
    /// The bars.
    pub bars: Vec<PlanBar>,
    /// Tempo marks in order.
    pub tempi: Vec<PlanTempo>,
    /// Groups by first bar, larger ones first.
    pub groups: Vec<PlanGroup>,
    /// Techniques in force, by place.
    pub devices: Vec<PlanDevice>,
    /// Entrances by place, those at one place together.
    pub entries: Vec<PlanEntry>,
    /// One row a part.
    pub rows: Vec<PlanRow>,
    /// One row for all parts of one instrument.
    pub section_rows: Vec<PlanRow>,
    /// The marks of the printed layers, by place.
    pub marks: Vec<PlanMark>,
    /// Hairpins, parts with the same one together, by place.
    pub hairpins: Vec<PlanHairpin>,
    /// Every entrance, for the list.
    pub entrances: Vec<EntranceRow>,
    /// Every change of pattern, for the list.
    pub beatings: Vec<BeatingRow>,
    /// What is said of the ensemble.
    pub tables: Vec<PlanTable>,
    /// The pedals of the harps.
    pub harps: Vec<PlanHarp>,
    /// The tunings of the timpani.
    pub timpani: Vec<PlanTimpani>,
}

/// What a harp does with its pedals.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanHarp {
    /// The part.
    pub part: String,
    /// The settings before passages, in order.
    pub settings: Vec<PlanSetting>,
    /// Places and what cannot be played there, or what is printed wrong.
    pub problems: Vec<(String, String)>,
}

/// A setting of the pedals before a passage.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanSetting {
    /// The place.
    pub place: String,
    /// The pedals in the order D C B E F G A; -1 flat, 0 natural, 1 sharp.
    pub pedals: [i8; 7],
    /// How many differ from before; 0 for the first setting.
    pub changed: usize,
    /// The moves while the harp plays: "48: F to F#, B to Bb".
    pub moves: Vec<String>,
}

/// How a set of timpani is tuned.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanTimpani {
    /// The part.
    pub part: String,
    /// The drums from the largest.
    pub drums: Vec<PlanDrum>,
    /// Places and what no drum plays there.
    pub problems: Vec<(String, String)>,
}

/// One drum.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanDrum {
    /// "29 inch".
    pub size: String,
    /// "F2 to C3".
    pub range: String,
    /// The first tuning; empty if the drum is not needed.
    pub first: String,
    /// The later ones with their places: "48: G2".
    pub tunings: Vec<String>,
}

/// What was decided about a cue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CueState {
    /// None.
    #[default]
    None,
    /// Proposed.
    Proposed,
    /// Wanted by the conductor.
    Wanted,
}

/// A layer of marks.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanLayer {
    /// Its name.
    pub name: String,
    /// Its marks in order.
    pub marks: Vec<MarkRow>,
}

/// A mark in the list.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkRow {
    /// The place: "III, 48, 1 before D".
    pub place: String,
    /// The parts; empty for the whole score.
    pub parts: String,
    /// The sign.
    pub sign: Sign,
    /// The words.
    pub text: String,
}

/// Cues for one beat.
#[derive(Clone, Debug, PartialEq)]
pub struct CuePlace {
    /// Index of the movement.
    pub movement: usize,
    /// The bar: "48, 1 before D".
    pub place: String,
    /// The beat: "1", "after 3".
    pub beat: String,
    /// The parts: one by its name, several short: "Fl. 1.2, brass".
    pub parts: String,
    /// Who in the part; possibly empty.
    pub who: String,
    /// How; possibly empty.
    pub how: String,
    /// Why: "rest of 47 bars", ...
    pub reasons: Vec<String>,
    /// Wanted or proposed.
    pub state: CueState,
    /// What falls together with it on another side; empty if nothing does.
    pub clash: String,
}

/// A cue for one part.
#[derive(Clone, Debug, PartialEq)]
pub struct CueRow {
    /// Index of the movement.
    pub movement: usize,
    /// The place: "III, 48, 1 before D".
    pub place: String,
    /// The same without the movement.
    pub bar: String,
    /// The beat: "1", "after 3".
    pub beat: String,
    /// The part.
    pub part: String,
    /// Place of the part in the score.
    pub part_idx: usize,
    /// Who in the part; possibly empty.
    pub who: String,
    /// How; possibly empty.
    pub how: String,
    /// Why: "rest of 47 bars", ...
    pub reasons: Vec<String>,
    /// Wanted or proposed.
    pub state: CueState,
    /// What falls together with it on another side; empty if nothing does.
    pub clash: String,
}

/// Parts that enter together after the same rest.
#[derive(Clone, Debug, PartialEq)]
pub struct EntranceRow {
    /// The bar.
    pub place: String,
    /// The beat.
    pub beat: String,
    /// The parts.
    pub parts: String,
    /// The rest before: "47 bars, 1:32"; "first" when nothing was played before.
    pub rest: String,
    /// The level at the entrance, letters; empty if unknown.
    pub level: String,
    /// Wanted, proposed or no cue.
    pub cue: CueState,
}

/// A stretch of bars beaten alike.
#[derive(Clone, Debug, PartialEq)]
pub struct BeatingRow {
    /// The place where it begins.
    pub place: String,
    /// Its last bar.
    pub until: String,
    /// How many bars.
    pub n_bars: usize,
    /// The meters in it.
    pub meter: String,
    /// Tempo in beats of the pattern, in words: "♩ = 84" without the sign: note value and rate.
    pub rate: Option<(Quarters, f64)>,
    /// The pattern.
    pub pattern: Pattern,
    /// Groups of the first bar in units of the meter's lower figure, for the figure's shape.
    pub groups: Vec<u8>,
    /// The pattern in words: "in 2", "in 3, each beat divided in 2".
    pub words: String,
    /// Chosen or proposed.
    pub chosen: bool,
    /// Why it was proposed; empty if chosen.
    pub reason: String,
}

/// A place to look at.
#[derive(Clone, Debug, PartialEq)]
pub struct LookRow {
    /// The place.
    pub place: String,
    /// What is odd.
    pub what: String,
    /// How many places it stands for, 1 or more.
    pub n: usize,
}
