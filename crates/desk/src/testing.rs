//! A small work for the tests of the desk: two movements, three parts, marks and words at known
//! places, without reading a file.

use barloom_core::bar::{Bar, BarFlow, BarIndex, BarTable, Barline, MovementId};
use barloom_core::basis::Basis;
use barloom_core::event::{Device, Level, Marking, MarkingKind, Note, NoteTraits, Tuplet};
use barloom_core::instrument::InstrumentId;
use barloom_core::meter::Meter;
use barloom_core::part::{Part, PartKey, Player, PlayerSet};
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::{InHand, Movement, PartMusic, Score, Source, TempoKind, TempoMark};
use barloom_core::study::{Edit, IdMaker, SourceRow, Study};
use barloom_core::time::{Resolution, Ticks};
use barloom_core::work::Work;
use std::sync::Arc;

/// Movement I "Low water" (8 bars of 4/4) and II "Lock gates" (16 bars, 6/8 with 7/8 from bar 9;
/// rehearsal marks C at bar 5 and D at bar 9). Flute and violins play all the time; the horn enters
/// in bar 5 of II after four bars of rest. The flute is muted in II from bar 3 on, which no
/// orchestra would ask for, and it stays so.
pub(crate) fn basis() -> Basis {
    let parts = [("flute", "Flute"), ("horn", "Horn"), ("violin", "Violins")];
    let part = |(key, name): (&str, &str)| Part {
        key: PartKey(key.into()),
        name: name.into(),
        short: format!("{}.", &name[..2]),
        instrument: InstrumentId::by_name(key).unwrap_or(InstrumentId::unknown()),
        players: vec![Player { name: name.into(), also: Vec::new() }],
    };
    let first = movement(1, "Low water", (0..8).map(|idx| bar(idx, 8, "4/4")).collect(), 0);
    let mut bars: Vec<Bar> =
        (0..16).map(|idx| if idx < 8 { bar(idx, 6, "6/8") } else { bar(idx, 7, "7/8") }).collect();
    bars[4].rehearsal = Some(String::from("C"));
    bars[8].rehearsal = Some(String::from("D"));
    let mut second = movement(2, "Lock gates", bars, 4);
    second.tempi.push(TempoMark {
        at: Ticks::ZERO,
        bar: BarIndex(0),
        kind: TempoKind::Term,
        words: String::from("Largamente"),
        line: 7,
    });
    for bar in [2, 5] {
        let at = second.bars.get(BarIndex(bar)).unwrap().start;
        let kind = MarkingKind::Device { device: Device::Mute, on: true };
        second.music[0].markings.push(marking(at, bar, kind, "con sord."));
    }
    let score = Score {
        title: String::from("The Tide Mill"),
        composer: String::from("Ada Quill"),
        sources: vec![Source { name: String::from("mill.musicxml"), fingerprint: 1 }],
        parts: parts.map(part).to_vec(),
        movements: vec![Arc::new(first), Arc::new(second)],
    };
    Basis::of(score)
}

/// A study for it, with the layers that a new one has.
pub(crate) fn study(basis: &Basis) -> Study {
    let sources = vec![SourceRow::File { path: String::from("mill.musicxml"), fingerprint: 1 }];
    Study::for_score(&basis.score, sources, &mut IdMaker::seeded(1), 0)
}

/// The work that they make up, as if its file had been read.
pub(crate) fn work() -> Work {
    let basis = basis();
    let study = study(&basis);
    Work::new(basis.score, study, None, vec!["mill.musicxml".into()], Vec::new())
}

/// The same without layers.
pub(crate) fn bare_study() -> Study {
    let mut study = study(&basis());
    let layers: Vec<_> = study.layers().iter().map(|(entry, _)| entry.id).collect();
    for layer in layers {
        study.apply(Edit::Remove(layer)).unwrap();
    }
    study
}

fn bar(idx: u32, eighths: i64, meter: &str) -> Bar {
    Bar {
        start: Ticks::ZERO,
        length: Ticks(eighths),
        nominal: Ticks(eighths),
        meter: meter.parse::<Meter>().unwrap(),
        other_meter: None,
        label: (idx + 1).to_string(),
        pickup: false,
        continues: false,
        rehearsal: None,
        barline: Barline::Single,
        flow: BarFlow::default(),
        line: idx + 10,
    }
}

fn movement(id: u32, title: &str, bars: Vec<Bar>, horn_rests: u32) -> Movement {
    let bars = BarTable::new(bars);
    let music = |key: i32, rests: u32| PartMusic {
        present: true,
        staves: 1,
        notes: bars
            .iter()
            .filter(|(idx, _)| idx.0 >= rests)
            .map(|(idx, bar)| note(key, idx, bar))
            .collect(),
        markings: vec![marking(Ticks::ZERO, 0, MarkingKind::Level(Level::P), "")],
        instruments: vec![InHand::first(InstrumentId::unknown())],
        ..PartMusic::default()
    };
    let music = vec![music(72, 0), music(55, horn_rests), music(64, 0)];
    Movement {
        id: MovementId(id),
        title: title.into(),
        resolution: Resolution::new(2).unwrap(),
        bars,
        music,
        ..Movement::default()
    }
}

/// Four bars of 4, 3, 4 and 2 quarters, the second and third repeated.
pub(crate) fn repeated_movement() -> Movement {
    let lengths = [(8, "4/4"), (6, "3/4"), (8, "4/4"), (4, "2/4")];
    let mut bars: Vec<Bar> =
        (0..4).zip(lengths).map(|(idx, (eighths, meter))| bar(idx, eighths, meter)).collect();
    bars[1].flow.repeat_start = true;
    bars[2].flow.repeat_end = Some(2);
    movement(1, "Ritornello", bars, 0)
}

fn note(key: i32, bar: BarIndex, row: &Bar) -> Note {
    Note {
        onset: row.start,
        length: row.length,
        bar,
        written: None,
        sounding: Some(SoundingPitch::from_midi(key)),
        staff: 1,
        voice: 1,
        players: PlayerSet::ALL,
        traits: NoteTraits::NONE,
        manner: Default::default(),
        tuplet: Tuplet::NONE,
        tremolo: 0,
        struck: 0,
        line: row.line,
    }
}

fn marking(at: Ticks, bar: u32, kind: MarkingKind, words: &str) -> Marking {
    Marking {
        at,
        bar: BarIndex(bar),
        players: PlayerSet::ALL,
        staff: None,
        voice: None,
        kind,
        words: words.into(),
        line: bar + 10,
    }
}
