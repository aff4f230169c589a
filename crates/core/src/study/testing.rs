//! Studies and edits for tests: a small one by hand, and any number by chance.

use super::{
    BarSeen, Beating, Correction, Cue, Depth, Edit, Entry, EntryId, Group, IdMaker, Item, Layer,
    Mark, MovementRow, OrderChoice, OrderKey, PartSeen, PlanTempo, PlanTempoValue, Seat, Side,
    Sign, SourceRow, Span, Study,
};
use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::event::Device;
use crate::part::PartKey;
use crate::pattern::Pattern;
use crate::time::Quarters;
use quickcheck::{Arbitrary, Gen};

/// Any study.
#[derive(Clone, Debug)]
pub(crate) struct AnyStudy(pub(crate) Study);

/// Any edit, which need not fit any study.
#[derive(Clone, Debug)]
pub(crate) struct AnyEdit(pub(crate) Edit);

const N_MOVEMENTS: u32 = 3;
const N_BARS: u32 = 9;

fn row(id: u32) -> MovementRow {
    let bar = |idx: u32| BarSeen {
        label: (idx + 1).to_string(),
        length: Quarters::whole(4),
        meter: "4/4".into(),
        exact: u64::from(idx + id * 100),
        shape: u64::MAX - u64::from(idx),
        parts: vec![0, u64::from(idx)],
    };
    let span = Span { source: 0, movement: id as usize - 1, from: BarIndex(0), to: None };
    MovementRow {
        id: MovementId(id),
        title: format!("Movement \"{id}\"\nof a suite"),
        spans: vec![span],
        bars: (0..N_BARS).map(bar).collect(),
    }
}

/// A study with three movements of nine bars and two layers, nothing else.
pub(crate) fn bare_study() -> Study {
    let mut study = Study {
        title: "Suite".into(),
        author: "A. N. Other".into(),
        version: 4,
        sources: vec![
            SourceRow::File { path: "scores/suite.mxl".into(), fingerprint: 0xabcd },
            SourceRow::BarMap { text: "8 x 4/4,\n3 x 7/8 (2+2+3)".into() },
        ],
        movements: (1..=N_MOVEMENTS).map(row).collect(),
        parts: ["flute-1", "horn-1"]
            .map(|key| PartSeen { key: PartKey(key.into()), name: key.to_uppercase() })
            .to_vec(),
        ..Study::default()
    };
    let mut ids = IdMaker::seeded(1);
    for (name, key) in [("Hands", "m"), ("Questions", "t")] {
        let layer = Layer { name: name.into(), shown: true, locked: false };
        let order = OrderKey(key.into());
        let (author, item) = (String::new(), Item::Layer(layer));
        study.restore(Entry { id: ids.next_id(), author, changed: 7, order, item }).unwrap();
    }
    study
}

/// A study with one entry of some kinds.
pub(crate) fn small_study() -> Study {
    let mut study = bare_study();
    let mut ids = IdMaker::seeded(2);
    let layer = study.layers()[0].0.id;
    let at = |bar, offset| BarAddress { movement: MovementId(1), bar: BarIndex(bar), offset };
    let half = Quarters::new(1, 2).unwrap();
    let items = [
        Item::Mark(Mark {
            layer,
            from: at(3, Quarters::ZERO),
            to: Some(BarIndex(5)),
            parts: vec![PartKey("horn-1".into())],
            sign: Sign::Watch,
            text: "look \"up\"".into(),
        }),
        Item::Cue(Cue {
            at: at(1, half),
            part: PartKey("flute-1".into()),
            wanted: true,
            who: "1.".into(),
            how: String::new(),
        }),
        Item::Beating(Beating {
            movement: MovementId(2),
            bar: BarIndex(0),
            pattern: "3+2".parse().unwrap(),
            nth: 0,
        }),
    ];
    for item in items {
        let entry = study.new_entry(item, &mut ids, 1_000_000_000);
        study.apply(Edit::Put(entry)).unwrap();
    }
    study
}

fn below(g: &mut Gen, limit: u32) -> u32 {
    u32::arbitrary(g) % limit
}

fn movement(g: &mut Gen) -> MovementId {
    // Now and then one that does not exist.
    MovementId(1 + below(g, N_MOVEMENTS * 8) % (N_MOVEMENTS + 1))
}

fn bar(g: &mut Gen) -> BarIndex {
    BarIndex(below(g, N_BARS * 4) % (N_BARS + 1))
}

fn address(g: &mut Gen) -> BarAddress {
    let offset = Quarters::new(i64::from(below(g, 9)), 2).unwrap();
    BarAddress { movement: movement(g), bar: bar(g), offset }
}

fn part(g: &mut Gen) -> PartKey {
    PartKey(g.choose(&["flute-1", "horn-1", "gone-3"]).unwrap().to_string())
}

/// An id out of a few, so that edits meet.
fn id(g: &mut Gen) -> EntryId {
    let seed = u64::from(below(g, 40));
    let mut ids = IdMaker::seeded(if seed < 8 { 1 } else { seed });
    let first = ids.next_id();
    if seed < 4 { ids.next_id() } else { first }
}

fn pattern(g: &mut Gen) -> Pattern {
    let texts = ["1", "4", "2/3", "2+2+3", "1(half)", "1(2 of 3)", "4 bars of 4"];
    g.choose(&texts).unwrap().parse().unwrap()
}

fn item(g: &mut Gen) -> Item {
    let sign = *g.choose(&Sign::ALL).unwrap();
    match below(g, 11) {
        0 => Item::Layer(Layer {
            name: String::arbitrary(g),
            shown: bool::arbitrary(g),
            locked: below(g, 4) == 0,
        }),
        1 | 2 => Item::Mark(Mark {
            layer: id(g),
            from: address(g),
            to: bool::arbitrary(g).then(|| bar(g)),
            parts: (0..below(g, 3)).map(|_| part(g)).collect(),
            sign,
            text: String::arbitrary(g),
        }),
        3 => {
            let (movement, bar, pattern) = (movement(g), bar(g), pattern(g));
            Item::Beating(Beating { movement, bar, pattern, nth: below(g, 3) as u8 })
        }
        4 => Item::Cue(Cue {
            at: address(g),
            part: part(g),
            wanted: bool::arbitrary(g),
            who: String::arbitrary(g),
            how: String::arbitrary(g),
        }),
        5 => Item::Group(Group {
            movement: movement(g),
            from: bar(g),
            to: bar(g),
            level: below(g, 7) as u8,
            name: String::arbitrary(g),
            elision: bool::arbitrary(g),
            extension: below(g, 3) as u8,
        }),
        6 | 7 => Item::Correction(correction(g)),
        9 => Item::Seat(Seat {
            part: part(g),
            side: *g.choose(&Side::ALL).unwrap(),
            depth: *g.choose(&Depth::ALL).unwrap(),
        }),
        8 => Item::Tempo(PlanTempo { at: address(g), value: tempo(g) }),
        _ => Item::Order(match below(g, 3) {
            0 => OrderChoice::Repeat {
                movement: movement(g),
                bar: bar(g),
                taken: bool::arbitrary(g),
            },
            1 => OrderChoice::Cut { movement: movement(g), from: bar(g), to: bar(g) },
            _ => OrderChoice::Pause {
                movement: movement(g),
                after: bar(g),
                seconds: f64::from(below(g, 8000)) / 2.0,
            },
        }),
    }
}

fn correction(g: &mut Gen) -> Correction {
    match below(g, 5) {
        0 => Correction::Instrument { at: address(g), part: part(g), instrument: "flute".into() },
        1 => {
            let players = (0..below(g, 4)).map(|nth| format!("Flute {nth}")).collect();
            Correction::Players { part: part(g), players }
        }
        2 => Correction::Device {
            at: address(g),
            part: part(g),
            device: *g.choose(&Device::ALL).unwrap(),
            on: bool::arbitrary(g),
        },
        3 => Correction::Rehearsal { movement: movement(g), bar: bar(g), mark: "A".into() },
        _ => Correction::Renumber { movement: movement(g), bar: bar(g), number: below(g, 500) },
    }
}

fn tempo(g: &mut Gen) -> PlanTempoValue {
    match below(g, 3) {
        0 => {
            let unit = Quarters::new(i64::from(below(g, 7)), 2).unwrap();
            PlanTempoValue::Beats { unit, per_minute: f64::from(below(g, 2200)) / 3.0 }
        }
        1 => PlanTempoValue::Term("Allegro".into()),
        _ => PlanTempoValue::AsBefore,
    }
}

fn entry(g: &mut Gen) -> Entry {
    let order = OrderKey(g.choose(&["", "m", "ab", "q", "Q"]).unwrap().to_string());
    let changed = u64::arbitrary(g) % (1 << 50);
    Entry { id: id(g), author: String::arbitrary(g), changed, order, item: item(g) }
}

impl Arbitrary for AnyEdit {
    fn arbitrary(g: &mut Gen) -> Self {
        Self(match below(g, 24) {
            0..=15 => Edit::Put(entry(g)),
            16..=19 => Edit::Remove(id(g)),
            20 => Edit::Title(String::arbitrary(g)),
            21 => Edit::Author(String::arbitrary(g)),
            22 => {
                let n_edits = below(g, 4);
                Edit::All((0..n_edits).map(|_| Self::arbitrary(g).0).collect())
            }
            _ => {
                let bare = bare_study();
                let n_rows = below(g, 4) as usize;
                Edit::Arrange {
                    sources: bare.sources,
                    movements: bare.movements.into_iter().rev().take(n_rows).collect(),
                    parts: bare.parts,
                    moved: (0..below(g, 3)).map(|_| entry(g)).collect(),
                }
            }
        })
    }
}

impl Arbitrary for AnyStudy {
    fn arbitrary(g: &mut Gen) -> Self {
        let mut study = bare_study();
        for _ in 0..g.size() {
            // Those that do not fit are refused, and that is fine here.
            let _ = study.apply(AnyEdit::arbitrary(g).0);
        }
        Self(study)
    }
}
