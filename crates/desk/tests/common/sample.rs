//! A work made up from a seed: bars, parts, notes and markings, and a study with one of everything.
//! For tests and benches; nothing in it is music.

use barloom_analysis::Tracks;
use barloom_analysis::settings::Settings;
use barloom_core::bar::{Bar, BarAddress, BarFlow, BarIndex, BarTable, Barline, MovementId};
use barloom_core::basis::Basis;
use barloom_core::event::{
    Device, FermataPlace, FermataShape, Level, Manner, Marking, MarkingKind, Note, NoteTraits,
    Tuplet,
};
use barloom_core::instrument::InstrumentId;
use barloom_core::meter::Meter;
use barloom_core::part::{Part, PartIdx, PartKey, Player, PlayerSet};
use barloom_core::pattern::Pattern;
use barloom_core::pitch::{SoundingPitch, Step, WrittenPitch};
use barloom_core::score::{Clef, InHand, Movement, PartMusic, Score, Source, TempoKind, TempoMark};
use barloom_core::study::{
    Beating, Cue, Edit, Entry, Group, IdMaker, Item, Layer, Mark, OrderKey, Sign, Study,
};
use barloom_core::time::{Quarters, Resolution, Ticks};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// Ticks in a quarter.
const QUARTER: i64 = 12;

/// Numbers that look random and are the same in every run (Knuth's MMIX constants).
pub(crate) struct Dice(u64);

impl Dice {
    /// A number below `n`.
    pub(crate) fn below(&mut self, n: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }
}

/// Name, short name, catalog name, lowest sounding key.
const PARTS: [(&str, &str, &str, i32); 20] = [
    ("Piccolo", "picc.", "piccolo", 76),
    ("Flutes 1.2", "fl.", "flute", 65),
    ("Oboes 1.2", "ob.", "oboe", 62),
    ("Clarinets in B flat 1.2", "cl.", "clarinet", 55),
    ("Bassoons 1.2", "bn.", "bassoon", 41),
    ("Contrabassoon", "cbn.", "contrabassoon", 26),
    ("Horns in F 1.3", "hn. 1.3", "horn", 50),
    ("Horns in F 2.4", "hn. 2.4", "horn", 45),
    ("Trumpets in B flat", "tpt.", "trumpet", 58),
    ("Trombones", "tbn.", "trombone", 43),
    ("Tuba", "tba.", "tuba", 31),
    ("Timpani", "timp.", "timpani", 41),
    ("Bass drum", "b. d.", "bass drum", 40),
    ("Xylophone", "xyl.", "xylophone", 70),
    ("Harp", "hp.", "harp", 50),
    ("Violins I", "vn. I", "violin", 62),
    ("Violins II", "vn. II", "violin", 57),
    ("Violas", "va.", "viola", 50),
    ("Cellos", "vc.", "cello", 40),
    ("Double basses", "db.", "double bass", 30),
];

/// A basis with so many parts and movements of so many bars.
pub(crate) fn basis(n_parts: usize, movements: &[usize], seed: u64) -> Basis {
    let parts = (0..n_parts).map(part).collect();
    let mut score = Score {
        title: String::from("Paper mill"),
        composer: String::new(),
        sources: vec![Source { name: String::from("sample"), fingerprint: seed }],
        parts,
        movements: Vec::new(),
    };
    for (idx, n_bars) in movements.iter().enumerate() {
        let mut dice = Dice(seed.wrapping_add(idx as u64 * 7919));
        score.movements.push(Arc::new(movement(idx, n_parts, *n_bars, &mut dice)));
    }
    Basis::of(score)
}

/// Its tracks.
pub(crate) fn tracks(basis: &Basis) -> Tracks {
    Tracks::of(basis, &Settings::default(), &AtomicBool::new(false)).expect("nobody cancels")
}

fn part(idx: usize) -> Part {
    let (name, short, instrument, _) = PARTS[idx % PARTS.len()];
    let round = idx / PARTS.len();
    let number = if round == 0 { String::new() } else { format!(" ({})", round + 1) };
    let instrument = InstrumentId::by_name(instrument).unwrap_or_else(InstrumentId::unknown);
    Part {
        key: PartKey(format!("{short}-{round}")),
        name: format!("{name}{number}"),
        short: format!("{short}{number}"),
        instrument,
        players: vec![Player { name: format!("{name}{number}"), also: Vec::new() }],
    }
}

fn bars(n_bars: usize, dice: &mut Dice) -> Vec<Bar> {
    let mut meter = Meter::simple(4, 4);
    let letters = ('A'..='Z').cycle();
    let mut letters = letters;
    (0..n_bars)
        .map(|idx| {
            if idx % 8 == 0 && idx > 0 && dice.below(2) == 0 {
                meter = match dice.below(5) {
                    0 => Meter::simple(3, 4),
                    1 => Meter::simple(6, 8),
                    2 => "2+2+3/8".parse().expect("a meter"),
                    3 => Meter::simple(3, 2),
                    _ => Meter::simple(4, 4),
                };
            }
            let length = meter.bar_length().expect("measured").scaled(QUARTER, 1).expect("fits");
            let length = Ticks(length.numerator() / length.denominator());
            let rehearsal = (idx % 16 == 8).then(|| letters.next().expect("cycle").to_string());
            let flow = BarFlow {
                repeat_start: idx == 12,
                repeat_end: (idx == 19).then_some(2),
                ..BarFlow::default()
            };
            Bar {
                start: Ticks::ZERO,
                length,
                nominal: length,
                meter: meter.clone(),
                other_meter: None,
                label: (idx + 1).to_string(),
                pickup: false,
                continues: false,
                rehearsal,
                barline: Barline::Single,
                flow,
                line: idx as u32 + 1,
            }
        })
        .collect()
}

fn movement(idx: usize, n_parts: usize, n_bars: usize, dice: &mut Dice) -> Movement {
    let table = BarTable::new(bars(n_bars, dice));
    let tempo = |at: BarIndex, words: &str, unit, per_minute| TempoMark {
        at: table.get(at).map_or(Ticks::ZERO, |bar| bar.start),
        bar: at,
        kind: TempoKind::Metronome { unit, per_minute, up_to: None, about: false },
        words: words.to_owned(),
        line: 1,
    };
    let dotted = Quarters::new(3, 2).expect("a value");
    let mut tempi = vec![tempo(BarIndex(0), "Largamente", Quarters::ONE, 72.0)];
    if n_bars > 30 {
        tempi.push(tempo(BarIndex(24), "poco più mosso", dotted, 84.0));
    }
    let music = (0..n_parts).map(|part| part_music(part, &table, dice)).collect();
    Movement {
        id: MovementId(idx as u32 + 1),
        title: format!("Sheet {}", idx + 1),
        source: 0,
        entry: String::new(),
        pieces: Vec::new(),
        resolution: Resolution::new(QUARTER as u32).expect("in range"),
        bars: table,
        tempi,
        keys: Vec::new(),
        music,
    }
}

/// Blocks of some bars in which a part plays at one level, or rests.
fn part_music(part: usize, bars: &BarTable, dice: &mut Dice) -> PartMusic {
    let (_, _, instrument, lowest) = PARTS[part % PARTS.len()];
    let instrument = InstrumentId::by_name(instrument).unwrap_or_else(InstrumentId::unknown);
    let low = lowest < 48;
    let clef = Clef {
        at: Ticks::ZERO,
        staff: 1,
        sign: String::from(if low { "F" } else { "G" }),
        line: if low { 4 } else { 2 },
        octaves: 0,
    };
    let mut music = PartMusic {
        present: true,
        source_id: format!("P{}", part + 1),
        source_name: PARTS[part % PARTS.len()].0.to_owned(),
        staves: 1,
        instruments: vec![InHand::first(instrument)],
        clefs: vec![clef],
        ..PartMusic::default()
    };
    let mut bar = 0;
    while bar < bars.len() {
        let n_bars = 2 + dice.below(9) as usize;
        let tutti = (bar / 32) % 3 == 2;
        if tutti || dice.below(5) < 2 {
            block(&mut music, bars, bar, n_bars, lowest, dice);
        }
        bar += n_bars;
    }
    music.markings.sort_by_key(|marking| marking.at);
    music
}

fn block(
    music: &mut PartMusic,
    bars: &BarTable,
    first: usize,
    n_bars: usize,
    lowest: i32,
    dice: &mut Dice,
) {
    let last = (first + n_bars).min(bars.len());
    let level = Level::ALL[4 + dice.below(8) as usize];
    let mute = dice.below(6) == 0;
    let plucked = dice.below(8) == 0;
    let start = bars.as_slice()[first].start;
    let end = bars.as_slice()[last - 1].end();
    let mut add = |at: Ticks, kind: MarkingKind, words: &str| {
        let bar = bars.bar_at(at).expect("there are bars");
        music.markings.push(Marking {
            at,
            bar,
            players: PlayerSet::ALL,
            staff: None,
            voice: None,
            kind,
            words: words.into(),
            line: 1,
        });
    };
    add(start, MarkingKind::Level(level), "");
    if dice.below(3) == 0 && last - first > 2 {
        let middle = bars.as_slice()[first + 1].start;
        add(middle, MarkingKind::Hairpin { louder: dice.below(2) == 0, end, niente: false }, "");
    }
    if mute {
        add(start, MarkingKind::Device { device: Device::Mute, on: true }, "con sord.");
        add(end - Ticks(1), MarkingKind::Device { device: Device::Mute, on: false }, "senza sord.");
    }
    if plucked {
        add(start, MarkingKind::Device { device: Device::Plucked, on: true }, "pizz.");
        add(end - Ticks(1), MarkingKind::Device { device: Device::Plucked, on: false }, "arco");
    }
    if last == bars.len() {
        let shape = FermataShape::Normal;
        add(end - Ticks(QUARTER), MarkingKind::Fermata(shape, FermataPlace::Note), "");
    }
    let length = [QUARTER, QUARTER / 2, QUARTER * 2, QUARTER * 3 / 2][dice.below(4) as usize];
    let tremolo = if dice.below(9) == 0 { 3 } else { 0 };
    let trill = dice.below(14) == 0;
    for bar in first..last {
        let here = &bars.as_slice()[bar];
        let mut onset = here.start;
        while onset < here.end() {
            let length = Ticks(length.min((here.end() - onset).0));
            let mut manner = Manner::NONE;
            if trill {
                manner.set(Manner::TRILL);
            }
            let key = lowest + dice.below(16) as i32;
            music.notes.push(Note {
                onset,
                length,
                bar: BarIndex::from(bar),
                written: Some(spelled(key)),
                sounding: Some(SoundingPitch::from_midi(key)),
                staff: 1,
                voice: 1,
                players: PlayerSet::ALL,
                traits: NoteTraits::NONE,
                manner,
                tuplet: Tuplet::NONE,
                tremolo,
                struck: 0,
                line: 1,
            });
            onset += length;
        }
    }
}

fn spelled(key: i32) -> WrittenPitch {
    let step = Step::ALL.into_iter().rfind(|step| step.semitones() <= key.rem_euclid(12));
    WrittenPitch {
        step: step.unwrap_or(Step::C),
        alter_quarter_tones: 0,
        octave: (key.div_euclid(12) - 1) as i8,
    }
}

/// A study with groups on two levels, beatings, cues and marks in one movement.
pub(crate) fn study(basis: &Basis, movement: usize) -> Study {
    let mut ids = IdMaker::seeded(1);
    let mut study = Study::for_score(&basis.score, Vec::new(), &mut ids, 0);
    let Some(movement) = basis.score.movements.get(movement) else { return study };
    let n_bars = movement.bars.len() as u32;
    let mut order = OrderKey::between(None, None);
    let mut put = |item: Item| {
        let id = ids.next_id();
        order = OrderKey::between(Some(&order), None);
        let entry = Entry { id, author: String::new(), changed: 0, order: order.clone(), item };
        study.apply(Edit::Put(entry)).expect("the study takes its sample");
        id
    };
    let layer = |name: &str| Layer { name: name.to_owned(), shown: true, locked: false };
    let layers = [put(Item::Layer(layer("hands"))), put(Item::Layer(layer("color")))];
    let id = movement.id;
    for bar in (0..n_bars.saturating_sub(4)).step_by(4) {
        let group = |from: u32, to: u32, level, name: &str| {
            Item::Group(Group {
                movement: id,
                from: BarIndex(from),
                to: BarIndex(to),
                level,
                name: name.to_owned(),
                elision: false,
                extension: 0,
            })
        };
        put(group(bar, bar + 3, 1, ""));
        if bar % 16 == 0 && bar + 15 < n_bars {
            put(group(bar, bar + 15, 2, if bar % 32 == 0 { "A" } else { "B" }));
        }
    }
    for bar in (0..n_bars).filter(|bar| bar % 3 != 0).map(BarIndex) {
        let meter = movement.bars.get(bar).map(|bar| bar.meter.clone()).unwrap_or_default();
        let pattern = match meter.to_string().as_str() {
            "6/8" => Pattern::Beats(2),
            "2+2+3/8" => Pattern::Groups(vec![2, 2, 3]),
            "4/4" => Pattern::Beats(4),
            _ => Pattern::Beats(3),
        };
        put(Item::Beating(Beating { movement: id, bar, pattern, nth: 0 }));
    }
    for (nth, (idx, part)) in basis.score.parts().enumerate().take(6) {
        let bar = BarIndex((nth as u32 * 7).min(n_bars.saturating_sub(1)));
        let at = first_entry(movement, idx, bar);
        put(Item::Cue(Cue {
            at,
            part: part.key.clone(),
            wanted: true,
            who: String::new(),
            how: String::from("left hand"),
        }));
    }
    let words = ["keep 1 low, 2 large", "darker than bar 3", "which mallets? ask", "", ""];
    let signs = [Sign::Text, Sign::Text, Sign::Watch, Sign::Breath, Sign::Caesura];
    for (nth, (text, sign)) in words.into_iter().zip(signs).enumerate() {
        let bar = BarIndex((nth as u32 * 5 + 1).min(n_bars.saturating_sub(1)));
        put(Item::Mark(Mark {
            layer: layers[nth % 2],
            from: BarAddress::start_of(id, bar),
            to: (nth == 1).then_some(BarIndex(bar.0 + 2)).filter(|to| to.0 < n_bars),
            parts: Vec::new(),
            sign,
            text: text.to_owned(),
        }));
    }
    study
}

fn first_entry(movement: &Movement, part: PartIdx, from: BarIndex) -> BarAddress {
    let start = movement.bars.get(from).map_or(Ticks::ZERO, |bar| bar.start);
    let notes = movement.part(part).map(|music| music.notes.as_slice()).unwrap_or_default();
    let note = notes.iter().find(|note| note.onset >= start).or(notes.first());
    movement.address(note.map_or(start, |note| note.onset))
}
