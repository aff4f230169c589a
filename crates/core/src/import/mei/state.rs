//! What holds for a staff and a part while a score is read: meter, key, transposition, voices.

use super::values::altered_by;
use crate::bar::BarIndex;
use crate::import::raw::{Pos, RawPart};
use crate::meter::Meter;
use crate::part_bars::{RepeatSign, RepeatedBar};
use crate::pitch::{Step, Transposition};
use crate::score::KeySignature;

/// A staff of the score.
#[derive(Debug)]
pub(super) struct Staff<'a> {
    /// Its number in the file.
    pub(super) n: &'a str,
    /// Its id, if it has one.
    pub(super) id: Option<&'a str>,
    /// The part it belongs to.
    pub(super) part: usize,
    /// Its 1-based place in the part.
    pub(super) number: u8,
    pub(super) transposition: Transposition,
    /// Meters that follow each other bar by bar, at least one once a meter is known; more than one
    /// if they alternate.
    pub(super) meters: Vec<Meter>,
    /// How long a beat is in ticks, and from which bar on.
    pub(super) beats: Vec<(u32, i64)>,
    /// The second of two signatures of which either may be meant.
    pub(super) other_meter: Option<Meter>,
    /// Where the signature stands in the file.
    pub(super) meter_byte: usize,
    /// The bar from which `meters` hold.
    pub(super) meters_from: u32,
    /// The written signature on the circle of fifths, and the mode, if it has a place there.
    pub(super) key: Option<(i8, String)>,
    /// What the signature alters, in quarter tones, in the order C D E F G A B.
    pub(super) altered: [i8; 7],
    /// Ticks of the file in a quarter, for events that state nothing else.
    pub(super) ppq: Option<i64>,
    /// Accidentals of the current bar: they hold for their step and octave.
    pub(super) accidentals: Vec<(Step, i8, i8)>,
}

impl<'a> Staff<'a> {
    pub(super) fn new(n: &'a str, id: Option<&'a str>, part: usize, number: u8) -> Self {
        Self {
            n,
            id,
            part,
            number,
            transposition: Transposition::default(),
            meters: Vec::new(),
            beats: Vec::new(),
            meters_from: 0,
            other_meter: None,
            meter_byte: 0,
            key: None,
            altered: [0; 7],
            ppq: None,
            accidentals: Vec::new(),
        }
    }

    /// The meter of a bar.
    pub(super) fn meter(&self, bar: u32) -> Option<&Meter> {
        let since = bar.saturating_sub(self.meters_from) as usize;
        self.meters.get(since.checked_rem(self.meters.len())?)
    }

    /// How long a beat of a bar is, in ticks; `None` before the first bar.
    pub(super) fn beat(&self, bar: u32) -> Option<i64> {
        let after = self.beats.partition_point(|(from, _)| *from <= bar);
        after.checked_sub(1).and_then(|idx| self.beats.get(idx)).map(|(_, ticks)| *ticks)
    }

    /// Notes an accidental of this bar.
    pub(super) fn alter(&mut self, step: Step, octave: i8, alter: i8) {
        let same = |(other, at, _): &&mut (Step, i8, i8)| *other == step && *at == octave;
        match self.accidentals.iter_mut().find(same) {
            Some(known) => known.2 = alter,
            None => self.accidentals.push((step, octave, alter)),
        }
    }

    /// Whether the meter of a bar has to be said again.
    pub(super) fn meter_is_new(&self, bar: u32) -> bool {
        bar == self.meters_from || self.meters.len() > 1
    }

    /// A new signature.
    pub(super) fn set_key(&mut self, signature: &KeySignature) {
        match signature {
            KeySignature::Circle { fifths, mode } => {
                self.altered = altered_by(*fifths);
                self.key = Some((*fifths, mode.clone()));
            }
            KeySignature::Free(accidentals) => {
                self.altered = [0; 7];
                for (step, alter) in accidentals {
                    if let Some(altered) = self.altered.get_mut(*step as usize) {
                        *altered = *alter;
                    }
                }
                self.key = None;
            }
        }
    }

    /// The alteration that signature and accidentals of the bar give a note that states none.
    pub(super) fn implied(&self, step: Step, octave: i8) -> i8 {
        let mut known = self.accidentals.iter().rev();
        let known = known.find(|(other, at, _)| *other == step && *at == octave);
        match known {
            Some((.., alter)) => *alter,
            None => self.altered.get(step as usize).copied().unwrap_or(0),
        }
    }
}

/// What is kept of a note while its part is read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head {
    /// Where it stands in the file.
    pub(super) byte: usize,
    /// The octave that sounds is stated, so octave lines do not move the note.
    pub(super) stated_octave: bool,
    /// Its tie is stated for its whole chord.
    pub(super) chord_tie: bool,
    /// Both ends of its tie are known.
    pub(super) tie_known: bool,
}

/// A part while it is read.
#[derive(Debug, Default)]
pub(super) struct Part {
    pub(super) out: RawPart,
    /// Its first staff in the list of staves.
    pub(super) first_staff: usize,
    /// What is kept of each note beside itself.
    pub(super) heads: Vec<Head>,
    /// How many notes and rests there were before each bar.
    pub(super) before: Vec<(usize, usize)>,
    /// Voices by staff and layer; the place in the list is the number less one.
    pub(super) voices: Vec<(u8, String)>,
    /// Rests of the current bar that last as long as it, by place in the rests.
    pub(super) whole_rests: Vec<usize>,
    /// Something of the current bar fills it whole: rests, repeats of the bar before.
    pub(super) fills: bool,
    /// Bars from here on, before this one, repeat others: so many as one pattern.
    pub(super) repeats_until: u32,
    pub(super) pattern: u8,
}

impl Part {
    /// The number of a voice.
    pub(super) fn voice(&mut self, staff: u8, layer: &str) -> u8 {
        let known = self.voices.iter().position(|(on, name)| *on == staff && name == layer);
        let idx = known.unwrap_or_else(|| {
            // Names beyond what a number can tell share the last one.
            if self.voices.len() < usize::from(u8::MAX) {
                self.voices.push((staff, layer.to_owned()));
            }
            self.voices.len() - 1
        });
        u8::try_from(idx + 1).unwrap_or(u8::MAX)
    }

    /// The number of a voice that has been met.
    pub(super) fn known_voice(&self, staff: u8, layer: &str) -> Option<u8> {
        let known = self.voices.iter().position(|(on, name)| *on == staff && name == layer)?;
        u8::try_from(known + 1).ok()
    }

    /// The places of the notes of a bar.
    pub(super) fn notes_of(&self, bar: u32) -> std::ops::Range<usize> {
        let at = |bar: usize| self.before.get(bar).map(|(notes, _)| *notes);
        let (from, to) = (at(bar as usize), at(bar as usize + 1));
        from.unwrap_or(self.out.notes.len())..to.unwrap_or(self.out.notes.len())
    }

    /// The places of the rests of a bar.
    pub(super) fn rests_of(&self, bar: u32) -> std::ops::Range<usize> {
        let at = |bar: usize| self.before.get(bar).map(|(_, rests)| *rests);
        let (from, to) = (at(bar as usize), at(bar as usize + 1));
        from.unwrap_or(self.out.rests.len())..to.unwrap_or(self.out.rests.len())
    }

    /// Notes that a bar is heard again in another, which is one that is written out.
    pub(super) fn repeat_bar(&mut self, bar: u32, sign: RepeatSign) {
        let before = match sign {
            RepeatSign::Bars(n) => bar.checked_sub(u32::from(n)),
            _ => None,
        };
        let known = self.out.repeated_bars.iter().rev().take(usize::from(u8::MAX) + 1);
        let again = before.and_then(|before| known.into_iter().find(|known| known.bar.0 == before));
        let source = match again {
            Some(again) => again.source,
            None => before.map(BarIndex),
        };
        self.out.repeated_bars.push(RepeatedBar { bar: BarIndex(bar), staff: None, sign, source });
    }

    /// Notes a signature in concert pitch; of several at one place the last counts.
    pub(super) fn push_key(&mut self, pos: Pos, fifths: i8, mode: String) {
        if self.out.keys.last().is_some_and(|(last, ..)| *last == pos) {
            self.out.keys.pop();
        }
        self.out.keys.push((pos, fifths, mode));
    }
}
