//! What markings hang on heads and rests: the shapes of fermatas, breaths, caesuras.
//!
//! The model has them as markings at a position; the file as parts of one note. Here each finds its
//! note, and nothing is written.

use barloom_core::event::{
    BreathShape, CaesuraShape, FermataPlace, FermataShape, Marking, MarkingKind, Note, NoteTraits,
    Rest,
};
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// The breath and the caesura behind something.
pub(super) type Breaks = (Option<BreathShape>, Option<CaesuraShape>);

/// What hangs on one head or rest.
pub(super) struct Hung {
    /// The shape of its fermata, if it has one.
    pub(super) fermata: FermataShape,
    /// What follows it.
    pub(super) breaks: Breaks,
}

/// What hangs on the notes of a part.
#[derive(Default)]
pub(super) struct Hanging {
    /// The shapes of fermatas, by position, staff and whether they stand on a rest.
    fermatas: BTreeMap<(Ticks, u8, bool), FermataShape>,
    /// Behind what a breath is taken.
    breaths: BTreeMap<Anchor, BreathShape>,
    /// Behind what the music halts.
    caesuras: BTreeMap<Anchor, CaesuraShape>,
}

/// What a breath hangs on: the place of a head or of a rest.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Anchor {
    Head(usize),
    Rest(usize),
}

impl Hanging {
    /// Gathers what the markings of a part say about its notes.
    pub(super) fn of(music: &PartMusic) -> Self {
        let mut hanging = Self::default();
        for marking in &music.markings {
            let staff = marking.staff.unwrap_or(1);
            let anchor = || anchor(music, marking);
            match &marking.kind {
                MarkingKind::Fermata(shape, FermataPlace::Note) => {
                    hanging.fermatas.entry((marking.at, staff, false)).or_insert(*shape);
                }
                MarkingKind::Fermata(shape, FermataPlace::Rest) => {
                    hanging.fermatas.entry((marking.at, staff, true)).or_insert(*shape);
                }
                MarkingKind::Breath(shape) => {
                    hanging.breaths.extend(anchor().map(|anchor| (anchor, *shape)));
                }
                MarkingKind::Caesura(shape) => {
                    hanging.caesuras.extend(anchor().map(|anchor| (anchor, *shape)));
                }
                _ => {}
            }
        }
        hanging
    }

    /// What hangs on the head at a place in the part's notes.
    pub(super) fn of_head(&self, idx: usize, note: &Note) -> Hung {
        self.at((note.onset, note.staff, false), Anchor::Head(idx))
    }

    /// What hangs on the rest at a place in the part's rests.
    pub(super) fn of_rest(&self, idx: usize, rest: &Rest) -> Hung {
        self.at((rest.onset, rest.staff, true), Anchor::Rest(idx))
    }

    fn at(&self, place: (Ticks, u8, bool), anchor: Anchor) -> Hung {
        Hung {
            fermata: self.fermatas.get(&place).copied().unwrap_or_default(),
            breaks: (self.breaths.get(&anchor).copied(), self.caesuras.get(&anchor).copied()),
        }
    }
}

/// What something behind a note hangs on: a head or rest that begins there, else the last head before.
fn anchor(music: &PartMusic, marking: &Marking) -> Option<Anchor> {
    let Marking { at, staff, voice, .. } = *marking;
    let fits = |own_staff: u8, own_voice: u8| {
        staff.is_none_or(|staff| own_staff == staff) && voice.is_none_or(|voice| own_voice == voice)
    };
    let end = music.notes.partition_point(|note| note.onset <= at);
    let before = music.notes.get(..end).unwrap_or_default().iter().enumerate().rev();
    let mut fitting = before.filter(|(_, note)| fits(note.staff, note.voice));
    let last = fitting.next();
    let mut rests = music.rests.iter().enumerate();
    let rest = rests.find(|(_, rest)| rest.onset == at && fits(rest.staff, rest.voice));
    let onset = last.map(|(_, note)| note.onset);
    if let Some((idx, _)) = rest.filter(|_| onset != Some(at)) {
        return Some(Anchor::Rest(idx));
    }
    let same = fitting.take_while(|(_, note)| Some(note.onset) == onset);
    let lead = last.into_iter().chain(same).find(|(_, n)| !n.traits.any(NoteTraits::CHORD));
    lead.or(last).map(|(idx, _)| Anchor::Head(idx))
}
