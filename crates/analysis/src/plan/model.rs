//! The data of a study plan: chapters, rows and what the bar grid shows.
//!
//! Plain values without behavior; what they say is decided in the modules beside this one.

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
    /// Places to look at: contradictions in the score and in the plan.
    pub looks: Vec<LookRow>,
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

/// A layer of marks.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanLayer {
    /// Its name.
    pub name: String,
    /// Its marks in order.
    pub marks: Vec<MarkRow>,
}

/// A mark in the bar grid.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanMark {
    /// Index into [`StudyPlan::layers`].
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
}
