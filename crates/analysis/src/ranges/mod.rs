//! Notes outside the range of the instrument in hand or near its ends, by the catalog of instruments.

pub mod comfort;

use crate::changes::timpani::key_name;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::settings::RangeSettings;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Level, Marking, MarkingKind};
use barloom_core::instrument::{Instrument, InstrumentId};
use barloom_core::part::PartIdx;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// What is extreme about notes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum RangeKind {
    /// Above the range.
    Above,
    /// Below the range.
    Below,
    /// Near its top, or above what is comfortable.
    High,
    /// Low and soft on an instrument that speaks loudly there.
    LowSoft,
    /// High and very soft on a brass instrument.
    HighSoft,
}

impl RangeKind {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Above => "above range",
            Self::Below => "below range",
            Self::High => "high",
            Self::LowSoft => "low and soft",
            Self::HighSoft => "high and soft",
        }
    }

    /// Whether the instrument does not usually have the notes at all.
    pub const fn is_outside(self) -> bool {
        matches!(self, Self::Above | Self::Below)
    }
}

/// Notes of one part, close together, that are extreme in one way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Extreme {
    /// The part.
    pub part: PartIdx,
    /// The bar of the first note.
    pub bar: BarIndex,
    /// Where the first begins.
    pub at: Ticks,
    /// The bar of the last one.
    pub last_bar: BarIndex,
    /// The most extreme of them.
    pub pitch: SoundingPitch,
    /// What is extreme.
    pub kind: RangeKind,
    /// How many notes.
    pub n_notes: u32,
}

impl Extreme {
    /// "3 notes high in the range, up to E6"; "A3, below the usual range". The pitch is what sounds.
    pub fn in_words(&self) -> String {
        let (what, towards) = match self.kind {
            RangeKind::Above => ("above the usual range", "up to"),
            RangeKind::Below => ("below the usual range", "down to"),
            RangeKind::High => ("high in the range", "up to"),
            RangeKind::LowSoft => ("low and soft", "down to"),
            RangeKind::HighSoft => ("high and very soft", "up to"),
        };
        let pitch = pitch_name(self.pitch);
        match self.n_notes {
            1 => format!("{pitch}, {what}"),
            n => format!("{n} notes {what}, {towards} {pitch}"),
        }
    }
}

/// What sounds, by the usual name of its key; quarter tones by the key below.
pub fn pitch_name(pitch: SoundingPitch) -> String {
    u8::try_from(pitch.key()).map_or_else(|_| pitch.key().to_string(), key_name)
}

/// The extreme notes, by part, then place. Instruments without a range in the catalog are left out.
pub fn of(
    movement: &Movement,
    heard: &HeardNotes,
    dynamics: &DynamicsTrack,
    settings: &RangeSettings,
) -> Vec<Extreme> {
    let mut found: Vec<Extreme> = Vec::new();
    for (part, music) in movement.parts() {
        let tunings = tunings(music);
        let before = found.len();
        for sound in heard.of_part(part) {
            let Some(pitch) = sound.pitch else { continue };
            let instrument = music.instrument_of(sound.players, sound.at);
            let Some((instrument, range)) = instrument.and_then(range_of) else { continue };
            let low = SoundingPitch::from_midi(i32::from(range.0));
            let lowest = tuned_down(&tunings, sound.at, low);
            let level = dynamics.level_at(part, sound.at);
            let kind = kind(instrument, (lowest, range.1), pitch, level, settings);
            let (Some(kind), Some(bar)) = (kind, movement.bars.bar_at(sound.at)) else { continue };
            let own = found.get_mut(before..).unwrap_or_default();
            match own.iter_mut().rev().take(4).find(|open| joins(open, kind, bar)) {
                Some(open) => {
                    open.last_bar = bar;
                    open.n_notes += 1;
                    let lower = matches!(kind, RangeKind::Below | RangeKind::LowSoft);
                    open.pitch = if lower { open.pitch.min(pitch) } else { open.pitch.max(pitch) };
                }
                None => found.push(Extreme {
                    part,
                    bar,
                    at: sound.at,
                    last_bar: bar,
                    pitch,
                    kind,
                    n_notes: 1,
                }),
            }
        }
    }
    found
}

/// Extremes with the worst first: outside before inside, many notes before few.
pub fn worst_first(extremes: &[Extreme]) -> Vec<&Extreme> {
    let mut extremes: Vec<&Extreme> = extremes.iter().collect();
    extremes.sort_by_key(|found| (!found.kind.is_outside(), std::cmp::Reverse(found.n_notes)));
    extremes
}

/// Whether a note belongs to the notes before it: of one kind, at most one bar later.
fn joins(open: &Extreme, kind: RangeKind, bar: BarIndex) -> bool {
    open.kind == kind && bar.0 <= open.last_bar.0 + 1
}

fn range_of(instrument: InstrumentId) -> Option<(&'static Instrument, (u8, u8))> {
    let row = instrument.get();
    row.range.map(|range| (row, range))
}

fn kind(
    instrument: &Instrument,
    (low, high): (SoundingPitch, u8),
    pitch: SoundingPitch,
    level: Option<Level>,
    settings: &RangeSettings,
) -> Option<RangeKind> {
    let midi = |key: i32| SoundingPitch::from_midi(key);
    if pitch > midi(i32::from(high)) {
        return Some(RangeKind::Above);
    }
    if pitch < low {
        return Some(RangeKind::Below);
    }
    let soft = level.is_some_and(|level| level <= Level::P);
    let very_soft = level.is_some_and(|level| level <= Level::Pp);
    // Double reeds and saxophones speak loudly at the bottom, brass at the top (common practice).
    let loud_below = matches!(
        instrument.name,
        "oboe" | "cor anglais" | "bassoon" | "contrabassoon" | "alto saxophone" | "tenor saxophone"
    );
    if loud_below && soft && pitch < low.transposed(settings.low_soft_semitones) {
        return Some(RangeKind::LowSoft);
    }
    let top =
        comfortable(instrument.name).unwrap_or_else(|| i32::from(high) - settings.high_semitones);
    let brass = instrument.family == barloom_core::instrument::Family::Brass;
    if brass && very_soft && pitch > midi(i32::from(high) - settings.high_soft_semitones) {
        return Some(RangeKind::HighSoft);
    }
    let wide = matches!(
        instrument.family,
        barloom_core::instrument::Family::Percussion
            | barloom_core::instrument::Family::HarpAndKeyboards
    );
    (!wide && pitch > midi(top)).then_some(RangeKind::High)
}

/// Up to where an instrument is comfortable, where a source names it: oboe F6 (orchestralibrary table);
/// bassoon C5 and violin sections E7 (handbooks, from memory).
fn comfortable(name: &str) -> Option<i32> {
    match name {
        "oboe" => Some(89),
        "bassoon" => Some(72),
        "violin" => Some(100),
        _ => None,
    }
}

/// From where a scordatura holds, with the lowest string that it names.
fn tunings(music: &PartMusic) -> Vec<(Ticks, SoundingPitch)> {
    let tuning = |marking: &Marking| match &marking.kind {
        MarkingKind::Scordatura(strings) => {
            let pitches = strings.iter().map(|string| string.pitch.untransposed());
            pitches.min().map(|lowest| (marking.at, lowest))
        }
        _ => None,
    };
    music.markings.iter().filter_map(tuning).collect()
}

/// The low end of a range, where a string may be tuned below it.
fn tuned_down(tunings: &[(Ticks, SoundingPitch)], at: Ticks, low: SoundingPitch) -> SoundingPitch {
    let after = tunings.partition_point(|(from, _)| *from <= at);
    let tuned = after.checked_sub(1).and_then(|idx| tunings.get(idx));
    tuned.map_or(low, |(_, lowest)| low.min(*lowest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::playing::PlayingTrack;
    use crate::testing::movement;

    fn found(movement: &Movement) -> Vec<(f64, RangeKind, u32)> {
        let dynamics = DynamicsTrack::of(movement, &PlayingTrack::of(movement));
        let heard = HeardNotes::of(movement);
        let found = of(movement, &heard, &dynamics, &RangeSettings::default());
        found.iter().map(|note| (note.pitch.midi(), note.kind, note.n_notes)).collect()
    }

    /// A violin whose G string is tuned to E reaches E3.
    #[test]
    fn a_string_tuned_down_widens_the_range() {
        use barloom_core::event::StringTuning;
        use barloom_core::part::PlayerSet;
        use barloom_core::pitch::{Step, WrittenPitch};
        let mut movement = movement(&["violin: 4/4 e3:2 d3"]);
        assert_eq!(found(&movement), [(50.0, RangeKind::Below, 2)]);
        let pitch = WrittenPitch { step: Step::E, alter_quarter_tones: 0, octave: 3 };
        movement.music[0].markings.push(Marking {
            at: Ticks::ZERO,
            bar: BarIndex(0),
            players: PlayerSet::ALL,
            staff: None,
            voice: None,
            kind: MarkingKind::Scordatura([StringTuning { string: 4, pitch }].into()),
            words: "".into(),
            line: 0,
        });
        assert_eq!(found(&movement), [(50.0, RangeKind::Below, 1)]);
    }

    /// Flute C4 (B3 with the longer foot) to D7: table of orchestral ranges (orchestralibrary).
    #[test]
    fn notes_past_the_catalog_are_found() {
        let seen = found(&movement(&["flute: 4/4 a3:1 b3 c6 e7", "4/4 c0:4"]));
        assert_eq!(seen, [(57.0, RangeKind::Below, 1), (100.0, RangeKind::Above, 1)]);
    }

    /// Oboe comfortable to F6 (orchestralibrary); a long high passage is one row.
    #[test]
    fn high_notes_are_gathered() {
        let seen = found(&movement(&["oboe: 4/4 f6:1 f#6 g6 f6 | f#6:4 | r:4 | r:4 | g6:4"]));
        assert_eq!(seen, [(91.0, RangeKind::High, 3), (91.0, RangeKind::High, 1)]);
    }

    #[test]
    fn extremes_are_said_in_words() {
        let movement = movement(&["oboe: 4/4 f#6:1 g6 r:2 | r:4 | r:4 | a3:4"]);
        let dynamics = DynamicsTrack::of(&movement, &PlayingTrack::of(&movement));
        let heard = HeardNotes::of(&movement);
        let found = of(&movement, &heard, &dynamics, &RangeSettings::default());
        let said: Vec<String> = found.iter().map(Extreme::in_words).collect();
        assert_eq!(said, ["2 notes high in the range, up to G6", "A3, below the usual range"]);
    }

    /// The bottom of double reeds is loud and the top of the horn hard to play softly (common practice).
    #[test]
    fn low_and_soft_and_high_and_soft_are_told() {
        let seen = found(&movement(&["bassoon: 4/4 !p bb1:4", "horn: 4/4 !pp f5:4"]));
        assert_eq!(seen, [(34.0, RangeKind::LowSoft, 1), (77.0, RangeKind::HighSoft, 1)]);
        assert_eq!(found(&movement(&["bassoon: 4/4 !f bb1:4"])), []);
    }
}
