//! The bars of the part rows: where a part plays, how loud, muted or not, and in what manner.
//!
//! Worked out once for a movement; painting only finds the visible ones.

use crate::model::view_state::Columns;
use barloom_analysis::MovementTracks;
use barloom_analysis::devices::DeviceSpan;
use barloom_analysis::dynamics::PartDynamics;
use barloom_core::bar::BarTable;
use barloom_core::event::{Device, Level, Manner as Written, Note};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic, Score};
use barloom_core::time::Ticks;

/// How a sound is made: the inner pattern of a bar.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(super) enum Manner {
    /// Bowed, blown, sung.
    #[default]
    Ordinary,
    /// Plucked or struck.
    Struck,
    /// Tremolo, roll, flutter-tongue.
    Tremolo,
    /// Harmonics.
    Harmonics,
    /// Trill.
    Trill,
}

/// A stretch in which nothing changes but, evenly, the loudness.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Stretch {
    /// From where.
    pub(super) from: Ticks,
    /// To where, exclusive.
    pub(super) to: Ticks,
    /// Loudness at its start and end: 0 for ppp or less, 1 for fff or more; `None` if the score has
    /// said nothing yet.
    pub(super) loudness: Option<(f32, f32)>,
    /// Muted, stopped or muffled.
    pub(super) muted: bool,
    /// In what manner.
    pub(super) manner: Manner,
    /// Left and right edge on the axis.
    pub(super) axis: (f32, f32),
}

/// The stretches of one part: sorted, disjoint.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct PartBars {
    pub(super) stretches: Vec<Stretch>,
}

impl PartBars {
    /// The stretches that reach into a span of the axis.
    pub(super) fn seen(&self, left: f32, right: f32) -> &[Stretch] {
        let first = self.stretches.partition_point(|stretch| stretch.axis.1 <= left);
        let last = self.stretches.partition_point(|stretch| stretch.axis.0 < right);
        self.stretches.get(first..last.max(first)).unwrap_or_default()
    }
}

/// The part bars of a movement, by part of the work.
pub(super) fn of(
    score: &Score,
    movement: &Movement,
    tracks: Option<&MovementTracks>,
    columns: &Columns,
) -> Vec<PartBars> {
    score
        .parts()
        .map(|(part, head)| {
            let Some(music) = movement.part(part).filter(|music| music.present) else {
                return PartBars::default();
            };
            let instrument = music.instrument_at(Ticks::ZERO).unwrap_or(head.instrument).get();
            let struck = matches!(instrument.family, Family::Percussion)
                || matches!(instrument.family, Family::HarpAndKeyboards)
                    && !BLOWN_KEYBOARDS.contains(&instrument.name);
            let runs = runs(music, &movement.bars, struck);
            let states = States::of(tracks, part);
            let mut stretches = states.split(&runs);
            for stretch in &mut stretches {
                stretch.axis = (
                    columns.x(stretch.from, &movement.bars),
                    end_x(columns, &movement.bars, stretch.to),
                );
            }
            PartBars { stretches }
        })
        .collect()
}

/// Keyboards whose sound lasts: not struck.
const BLOWN_KEYBOARDS: [&str; 4] = ["organ", "harmonium", "accordion", "bandoneon"];

/// The right edge of something that ends at a position: the end of the bar before rather than the
/// start of the next one, which matters where bars have no length.
fn end_x(columns: &Columns, bars: &BarTable, to: Ticks) -> f32 {
    if to >= bars.end() { columns.end() } else { columns.x(to, bars) }
}

/// A stretch of sound in one manner, as far as the notes themselves say it.
#[derive(Clone, Copy, Debug)]
struct Run {
    from: Ticks,
    to: Ticks,
    manner: Manner,
}

fn written_manner(note: &Note, struck: bool) -> Manner {
    if note.tremolo > 0 || note.manner.has(Written::TREMOLO_PAIR) {
        Manner::Tremolo
    } else if note.manner.has(Written::TRILL) {
        Manner::Trill
    } else if note.manner.has(Written::HARMONIC) {
        Manner::Harmonics
    } else if struck || note.manner.has(Written::SNAP) {
        Manner::Struck
    } else {
        Manner::Ordinary
    }
}

/// Where the part sounds. Silences up to half a bar do not break a run: the row says who plays, not
/// every quaver rest.
fn runs(music: &PartMusic, bars: &BarTable, struck: bool) -> Vec<Run> {
    let plain = if struck { Manner::Struck } else { Manner::Ordinary };
    let from_notes =
        music.notes.iter().filter(|note| note.sounds() && note.length > Ticks::ZERO).map(|note| {
            let reach = bars.get(note.bar).map_or(Ticks::ZERO, |bar| Ticks(bar.length.0 / 2));
            (note.onset, note.end(), written_manner(note, struck), reach)
        });
    let from_repeats = music.repeated_bars.iter().filter_map(|repeat| {
        let bar = bars.get(repeat.bar)?;
        Some((bar.start, bar.end(), plain, Ticks::ZERO))
    });
    let mut sounds: Vec<_> = from_notes.chain(from_repeats).collect();
    sounds.sort_by_key(|(from, to, ..)| (*from, *to));
    let mut runs: Vec<Run> = Vec::new();
    for (from, to, manner, reach) in sounds {
        match runs.last_mut() {
            Some(last) if from < last.to => last.to = last.to.max(to),
            Some(last) if last.manner == manner && from <= last.to + reach => {
                last.to = last.to.max(to);
            }
            _ => runs.push(Run { from, to, manner }),
        }
    }
    runs
}

/// The states of one part that its bars show.
struct States<'a> {
    dynamics: Option<&'a PartDynamics>,
    devices: Vec<&'a DeviceSpan>,
    /// Places where any of them may change, sorted.
    cuts: Vec<Ticks>,
}

impl<'a> States<'a> {
    fn of(tracks: Option<&'a MovementTracks>, part: PartIdx) -> Self {
        let dynamics = tracks.and_then(|tracks| tracks.dynamics.parts.get(part.idx()));
        let devices: Vec<&DeviceSpan> = tracks
            .map(|tracks| tracks.devices.of_part(part).iter().filter(|s| shows(s.device)).collect())
            .unwrap_or_default();
        let mut cuts: Vec<Ticks> = devices.iter().flat_map(|span| [span.from, span.to]).collect();
        if let Some(dynamics) = dynamics {
            cuts.extend(dynamics.changes.iter().map(|change| change.at));
            cuts.extend(dynamics.hairpins.iter().flat_map(|hairpin| [hairpin.from, hairpin.to]));
        }
        cuts.sort_unstable();
        cuts.dedup();
        Self { dynamics, devices, cuts }
    }

    fn split(&self, runs: &[Run]) -> Vec<Stretch> {
        let mut stretches: Vec<Stretch> = Vec::with_capacity(runs.len());
        for run in runs {
            let first = self.cuts.partition_point(|cut| *cut <= run.from);
            let inside = self.cuts.get(first..).unwrap_or_default();
            let inside = inside.iter().copied().take_while(|cut| *cut < run.to);
            let mut from = run.from;
            for to in inside.chain([run.to]) {
                self.push(&mut stretches, run, from, to);
                from = to;
            }
        }
        stretches
    }

    fn push(&self, stretches: &mut Vec<Stretch>, run: &Run, from: Ticks, to: Ticks) {
        let at = |device: fn(Device) -> bool| {
            self.devices
                .iter()
                .filter(move |span| span.from <= from && from < span.to && device(span.device))
        };
        let muted = at(is_muting).next().is_some();
        let manner = match run.manner {
            Manner::Ordinary => at(|device| manner_of(device).is_some())
                .filter_map(|span| manner_of(span.device))
                .next()
                .unwrap_or_default(),
            written => written,
        };
        let loudness = self.loudness(from, to);
        if let Some(last) = stretches.last_mut()
            && last.to == from
            && (last.muted, last.manner) == (muted, manner)
            && last.loudness == loudness
            && loudness.is_none_or(|(start, end)| start == end)
        {
            last.to = to;
            return;
        }
        stretches.push(Stretch { from, to, loudness, muted, manner, axis: (0.0, 0.0) });
    }

    /// Loudness at the start and just before the end of a stretch that holds no change inside.
    fn loudness(&self, from: Ticks, to: Ticks) -> Option<(f32, f32)> {
        let dynamics = self.dynamics?;
        let hairpin = dynamics.hairpins.iter().find(|h| h.from <= from && from < h.to);
        let Some(hairpin) = hairpin else {
            let steady = strength(dynamics.level_at(from)?);
            return Some((steady, steady));
        };
        let start = strength(dynamics.level_at(hairpin.from)?);
        let step = if hairpin.louder { ASSUMED_STEP } else { -ASSUMED_STEP };
        let end = hairpin.target.map_or((start + step).clamp(0.0, 1.0), strength);
        let length = (hairpin.to - hairpin.from).0.max(1) as f32;
        let at = |ticks: Ticks| start + (end - start) * (ticks - hairpin.from).0 as f32 / length;
        Some((at(from), at(to.min(hairpin.to))))
    }
}

/// How far a hairpin without a stated end is drawn: one level and a half.
const ASSUMED_STEP: f32 = 1.5 / 7.0;

/// A level as loudness: 0 for ppp and softer, 1 for fff and louder, evenly spaced.
pub(super) fn strength(level: Level) -> f32 {
    let steps = f32::from(level as u8) - f32::from(Level::Ppp as u8);
    (steps / 7.0).clamp(0.0, 1.0)
}

fn is_muting(device: Device) -> bool {
    matches!(device, Device::Mute | Device::Stopped | Device::Muffled)
}

fn manner_of(device: Device) -> Option<Manner> {
    Some(match device {
        Device::Plucked | Device::Wood => Manner::Struck,
        Device::Harmonics => Manner::Harmonics,
        Device::Tremolo | Device::Flutter => Manner::Tremolo,
        _ => return None,
    })
}

fn shows(device: Device) -> bool {
    is_muting(device) || manner_of(device).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;
    use barloom_analysis::Tracks;
    use barloom_analysis::settings::Settings;
    use barloom_core::bar::BarIndex;
    use std::sync::atomic::AtomicBool;

    /// The second movement of the small work: the horn enters in bar 5, the flute is muted from bar 3.
    fn second() -> (Vec<PartBars>, std::sync::Arc<Movement>) {
        let basis = testing::basis();
        let tracks = Tracks::of(&basis, &Settings::default(), &AtomicBool::new(false)).unwrap();
        let movement = basis.score.movements[1].clone();
        let columns = Columns::of(&movement.bars, movement.resolution, false);
        (of(&basis.score, &movement, tracks.movements.get(1), &columns), movement)
    }

    #[test]
    fn bars_begin_with_the_first_note_and_break_where_the_mute_goes_on() {
        let (parts, movement) = second();
        let start = |bar: u32| movement.bars.get(BarIndex(bar)).unwrap().start;
        let horn = &parts[1].stretches;
        assert_eq!(horn.first().map(|stretch| stretch.from), Some(start(4)));
        let flute = &parts[0].stretches;
        assert!(flute.iter().all(|stretch| stretch.muted == (stretch.from >= start(2))));
        assert_eq!(
            flute.first().map(|stretch| (stretch.from, stretch.to)),
            Some((start(0), start(2)))
        );
        assert_eq!(flute.last().map(|stretch| stretch.to), Some(movement.bars.end()));
        for part in &parts {
            assert!(part.stretches.windows(2).all(|pair| pair[0].to <= pair[1].from));
        }
    }

    #[test]
    fn only_what_reaches_into_the_view_is_found() {
        let (parts, movement) = second();
        let columns = Columns::of(&movement.bars, movement.resolution, false);
        let (left, right) = columns.bar(BarIndex(0));
        assert_eq!(parts[0].seen(left, right).len(), 1);
        assert!(parts[1].seen(left, right).is_empty());
        assert_eq!(parts[0].seen(left, columns.end()).len(), parts[0].stretches.len());
    }

    #[test]
    fn loudness_is_even_between_the_usual_levels() {
        assert_eq!(strength(Level::Ppp), 0.0);
        assert_eq!(strength(Level::N), 0.0);
        assert_eq!(strength(Level::F6), 1.0);
        let usual = [Level::Ppp, Level::Pp, Level::P, Level::Mp, Level::Mf, Level::F, Level::Ff];
        for pair in usual.windows(2) {
            assert!((strength(pair[1]) - strength(pair[0]) - 1.0 / 7.0).abs() < 1e-6);
        }
    }
}
