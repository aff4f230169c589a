//! Small scores from compact text, for the tests of this crate.
//!
//! A part is a line: bars separated by `|`, in each bar an optional meter (`4/4`) and tokens in
//! order:
//! - `c4:1`, `f#5:3/2`, `r:2`: a note or rest with its length in quarters; without a length the one
//!   before it is used; `c4+e4:1` is a chord
//! - before a note: `~` continues a tie, `?` cue note, `g'` grace note
//! - after a note: `_` tied on, `.` staccato, `>` accent, `(` slur begins, `)` slur ends,
//!   `[` beam begins, `=` beam goes on
//! - `!p`, `!fp`, `!sf`, `!cresc`, `!dim`, `!solo`, `!tutti`, `!fermata`, `!+mute`, `!-mute=words`,
//!   `!div2`, `!div3`, `!half`, `!desks1`, `!named`: markings, with `1:` in front for the first player
//!   only
//! - `%`: the bar repeats the one before it
//!
//! Bars are as long as their longest part; bars shorter than the meter at the start are upbeats.

use crate::Tracks;
use crate::settings::Settings;
use barloom_core::bar::{Bar, BarIndex, BarTable};
use barloom_core::basis::Basis;
use barloom_core::event::{
    Device, FermataPlace, FermataShape, Level, Manner, Marking, MarkingKind, Note, NoteTraits,
    PlayersMark, Rest, Tuplet,
};
use barloom_core::instrument::InstrumentId;
use barloom_core::meter::Meter;
use barloom_core::part::{Part, PartKey, Player, PlayerSet};
use barloom_core::part_bars::{RepeatSign, RepeatedBar};
use barloom_core::pitch::{Step, WrittenPitch};
use barloom_core::score::{InHand, Movement, PartMusic, Score, TempoKind, TempoMark};
use barloom_core::time::{Quarters, Resolution, Ticks};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// 240 ticks divide into triplets, fifths and sixty-fourths.
const TICKS: u32 = 240;

pub(crate) fn quarters(text: &str) -> Quarters {
    text.parse().unwrap()
}

pub(crate) fn ticks(text: &str) -> Ticks {
    Resolution::new(TICKS).unwrap().ticks(quarters(text)).unwrap()
}

/// A movement of parts written as above; all play an unknown instrument unless a name and a colon
/// and a space begin the line ("harp: 4/4 | ...").
pub(crate) fn movement(parts: &[&str]) -> Movement {
    let lines: Vec<(Option<&str>, &str)> = parts
        .iter()
        .map(|line| match line.split_once(": ") {
            Some((name, rest)) => (Some(name), rest),
            None => (None, *line),
        })
        .collect();
    let bars = bar_table(&lines);
    let music = lines
        .iter()
        .map(|(name, line)| {
            let instrument = name.map_or_else(InstrumentId::unknown, |name| {
                InstrumentId::by_name(name).expect("a name of the catalog")
            });
            let music = PartMusic {
                present: true,
                staves: 1,
                instruments: vec![InHand::first(instrument)],
                ..PartMusic::default()
            };
            Writer { music, length: ticks("1"), slot: 0 }.write(line, &bars)
        })
        .collect();
    Movement { resolution: Resolution::new(TICKS).unwrap(), bars, music, ..Movement::default() }
}

/// A tempo mark: bar, offset in quarters, kind, words.
pub(crate) fn mark(movement: &mut Movement, bar: usize, at: &str, kind: TempoKind, words: &str) {
    let start = movement.bars.as_slice()[bar].start;
    movement.tempi.push(TempoMark {
        at: start + ticks(at),
        bar: BarIndex::from(bar),
        kind,
        words: words.to_owned(),
        line: 7,
    });
    movement.tempi.sort_by_key(|mark| mark.at);
}

/// A printed metronome mark.
pub(crate) fn metronome(unit: &str, per_minute: f64) -> TempoKind {
    TempoKind::Metronome { unit: quarters(unit), per_minute, up_to: None, about: false }
}

fn bar_table(lines: &[(Option<&str>, &str)]) -> BarTable {
    let n_bars = lines.iter().map(|(_, line)| line.split('|').count()).max().unwrap_or(0);
    let mut meter = Meter::simple(4, 4);
    let mut number = 0;
    let mut bars = Vec::new();
    for idx in 0..n_bars {
        let texts: Vec<&str> =
            lines.iter().filter_map(|(_, line)| line.split('|').nth(idx)).collect();
        let stated = texts.iter().flat_map(|text| text.split_whitespace());
        if let Some(new) = stated.clone().find_map(|token| token.parse::<Meter>().ok()) {
            meter = new;
        }
        if stated.clone().any(|token| token == "free") {
            meter = Meter::default();
        }
        let lengths = lines.iter().map(|(_, line)| sounding_length(line, idx));
        let nominal =
            meter.bar_length().and_then(|length| Resolution::new(TICKS).unwrap().ticks(length));
        let length = lengths.max().filter(|length| length.0 > 0).or(nominal).unwrap_or_default();
        let nominal = nominal.unwrap_or(length);
        let pickup = idx == 0 && length < nominal;
        number += u32::from(!pickup);
        bars.push(Bar {
            nominal,
            pickup,
            line: idx as u32 + 1,
            ..Bar::blank(
                meter.clone(),
                length,
                if pickup { String::new() } else { number.to_string() },
            )
        });
    }
    BarTable::new(bars)
}

/// The length of the notes and rests of one bar; the last length of the bar before carries over.
fn sounding_length(line: &str, bar: usize) -> Ticks {
    let mut last = ticks("1");
    let mut sum = Ticks::ZERO;
    for text in line.split('|').take(bar + 1) {
        sum = Ticks::ZERO;
        for token in text.split_whitespace().filter(|token| is_event(token)) {
            if let Some((_, length)) = token.split_once(':') {
                last = ticks(length.trim_end_matches(is_suffix));
            }
            if !token.starts_with("g'") {
                sum += last;
            }
        }
    }
    sum
}

fn is_event(token: &str) -> bool {
    !token.starts_with('!') && token != "%" && token != "free" && token.parse::<Meter>().is_err()
}

fn is_suffix(letter: char) -> bool {
    "_.>()[=".contains(letter)
}

struct Writer {
    music: PartMusic,
    length: Ticks,
    slot: u32,
}

impl Writer {
    fn write(mut self, line: &str, bars: &BarTable) -> PartMusic {
        for (idx, text) in line.split('|').enumerate() {
            let bar = BarIndex::from(idx);
            let mut at = bars.get(bar).unwrap().start;
            for token in text.split_whitespace() {
                self.slot += 1;
                if token == "%" {
                    let before = bar.0.checked_sub(1).map(BarIndex);
                    let known = before.and_then(|bar| self.music.repeats_in(bar).first());
                    let source = known.map_or(before, |repeat| repeat.source);
                    let sign = RepeatSign::Bars(1);
                    self.music.repeated_bars.push(RepeatedBar { bar, staff: None, sign, source });
                } else if let Some(text) = token.strip_prefix('!') {
                    self.marking(text, at, bar);
                } else if is_event(token) {
                    at += self.event(token, at, bar);
                }
            }
        }
        self.music
    }

    fn event(&mut self, token: &str, at: Ticks, bar: BarIndex) -> Ticks {
        let body = token.trim_end_matches(is_suffix);
        let suffixes = &token[body.len()..];
        let (name, length) = match body.split_once(':') {
            Some((name, length)) => (name, ticks(length)),
            None => (body, self.length),
        };
        self.length = length;
        if name == "r" {
            self.music.rests.push(Rest {
                onset: at,
                length,
                bar,
                staff: 1,
                voice: 1,
                fermata: false,
                whole_bar: false,
                tuplet: Tuplet::NONE,
            });
            return length;
        }
        let mut traits = NoteTraits::NONE;
        let mut name = name;
        for (prefix, flag) in
            [("~", NoteTraits::CONTINUES), ("?", NoteTraits::CUE), ("g'", NoteTraits::GRACE)]
        {
            if let Some(rest) = name.strip_prefix(prefix) {
                traits.set(flag);
                name = rest;
            }
        }
        let mut manner = Manner::NONE;
        for suffix in suffixes.chars() {
            match suffix {
                '_' => traits.set(NoteTraits::TIED_ON),
                '(' => traits.set(NoteTraits::SLUR_BEGINS),
                ')' => traits.set(NoteTraits::SLUR_ENDS),
                '[' => traits.set(NoteTraits::BEAM_BEGINS),
                '=' => traits.set(NoteTraits::BEAM_GOES_ON),
                '.' => manner.set(Manner::STACCATO),
                _ => manner.set(Manner::ACCENT),
            }
        }
        let grace = traits.any(NoteTraits::GRACE);
        for (nth, pitch) in name.split('+').enumerate() {
            let mut traits = traits;
            if nth > 0 {
                traits.set(NoteTraits::CHORD);
            }
            let written = pitch_of(pitch);
            self.music.notes.push(Note {
                onset: at,
                length: if grace { Ticks::ZERO } else { length },
                bar,
                written: Some(written),
                sounding: Some(written.untransposed()),
                staff: 1,
                voice: 1,
                players: PlayerSet::ALL,
                traits,
                manner,
                tuplet: Tuplet::NONE,
                tremolo: 0,
                struck: 0,
                line: self.slot,
            });
        }
        if grace { Ticks::ZERO } else { length }
    }

    fn marking(&mut self, text: &str, at: Ticks, bar: BarIndex) {
        let (players, text) = match text.split_once(':') {
            Some((player, text)) => (PlayerSet::of([player.parse::<usize>().unwrap() - 1]), text),
            None => (PlayerSet::ALL, text),
        };
        let (text, words) = text.split_once('=').unwrap_or((text, text));
        let device = |name: &str| Device::from_name(name).expect("a device");
        let kind = match text {
            "cresc" => MarkingKind::Growing { louder: true, to: None },
            "dim" => MarkingKind::Growing { louder: false, to: None },
            "fp" => MarkingKind::Accent { then: Some(Level::P) },
            "sf" => MarkingKind::Accent { then: None },
            "solo" => MarkingKind::Players(PlayersMark::Solo),
            "tutti" => MarkingKind::Players(PlayersMark::All),
            "named" => MarkingKind::Players(PlayersMark::Named),
            "half" => MarkingKind::Players(PlayersMark::Half),
            "div2" => MarkingKind::Players(PlayersMark::Divided(2)),
            "div3" => MarkingKind::Players(PlayersMark::Divided(3)),
            "desks1" => MarkingKind::Players(PlayersMark::Desks(1)),
            "fermata" => MarkingKind::Fermata(FermataShape::Normal, FermataPlace::Note),
            _ => match (text.strip_prefix('+'), text.strip_prefix('-')) {
                (Some(name), _) => MarkingKind::Device { device: device(name), on: true },
                (_, Some(name)) => MarkingKind::Device { device: device(name), on: false },
                _ => MarkingKind::Level(Level::from_letters(text).expect("a level")),
            },
        };
        let (words, line) = (words.into(), self.slot);
        self.music.markings.push(Marking {
            at,
            bar,
            players,
            staff: None,
            voice: None,
            kind,
            words,
            line,
        });
    }
}

fn pitch_of(text: &str) -> WrittenPitch {
    let step = Step::from_letter(text.chars().next().unwrap().to_ascii_uppercase()).unwrap();
    let alter = 2 * text.matches('#').count() as i8 - 2 * text[1..].matches('b').count() as i8;
    let octave = text.trim_start_matches(|c: char| !c.is_ascii_digit() && c != '-');
    WrittenPitch { step, alter_quarter_tones: alter, octave: octave.parse().unwrap() }
}

/// A score of one movement with its tracks; the parts are named after their instruments and
/// numbered through.
pub(crate) fn analyzed(movement: Movement) -> (Basis, Tracks) {
    let part = |(idx, music): (usize, &PartMusic)| {
        let instrument = music.instruments[0].instrument;
        let name = format!("{} {}", crate::say::capital(instrument.get().name), idx + 1);
        let players = vec![Player { name: name.clone(), also: Vec::new() }];
        let key = PartKey(format!("part-{}", idx + 1));
        Part { key, short: name.clone(), name, instrument, players }
    };
    let parts = movement.music.iter().enumerate().map(part).collect();
    let basis = Basis::of(Score { parts, movements: vec![Arc::new(movement)], ..Score::default() });
    let never = AtomicBool::new(false);
    let tracks = Tracks::of(&basis, &Settings::default(), &never).unwrap();
    (basis, tracks)
}
