//! The notes and rests of a part as the file wants them: bar by bar, in each bar voice by voice, in
//! each voice chords, grace notes and rests in order of time.

use super::value::Value;
use barloom_core::event::{Manner, Note, NoteTraits};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::{Resolution, Ticks};
use std::collections::BTreeMap;

/// One voice in one bar.
#[derive(Clone, Debug, Default)]
pub(super) struct Layer {
    /// The voice.
    pub(super) voice: u8,
    /// Sorted by onset; grace notes stand before what they lead to.
    pub(super) events: Vec<Event>,
}

/// What moves the voice on.
#[derive(Clone, Debug)]
pub(super) struct Event {
    /// From the start of the movement.
    pub(super) onset: Ticks,
    /// Zero for grace notes.
    pub(super) length: Ticks,
    /// What it is.
    pub(super) kind: EventKind,
    /// How it is drawn; `None` if no single value lasts so long.
    pub(super) value: Option<Value>,
}

/// Heads or a rest.
#[derive(Clone, Debug)]
pub(super) enum EventKind {
    /// Places in the part's notes, never empty: the head that moves time first, then the others
    /// upward.
    Heads(Vec<usize>),
    /// The place in the part's rests.
    Rest(usize),
}

impl Event {
    /// Where the voice stands behind it.
    pub(super) fn end(&self) -> Ticks {
        self.onset + self.length
    }

    /// The head that moves time.
    pub(super) fn lead(&self) -> Option<usize> {
        match &self.kind {
            EventKind::Heads(heads) => heads.first().copied(),
            EventKind::Rest(_) => None,
        }
    }

    /// All heads.
    pub(super) fn heads(&self) -> &[usize] {
        match &self.kind {
            EventKind::Heads(heads) => heads,
            EventKind::Rest(_) => &[],
        }
    }
}

/// The layers of every bar, each bar's sorted by voice.
pub(super) fn layers(movement: &Movement, music: &PartMusic) -> Vec<Vec<Layer>> {
    let mut bars: Vec<BTreeMap<u8, Vec<Event>>> = vec![BTreeMap::new(); movement.bars.len()];
    let mut from = 0;
    while from < music.notes.len() {
        let to = same_place(&music.notes, from);
        for (bar, voice, event) in events_at(movement, music, from, to) {
            if let Some(voices) = bars.get_mut(bar) {
                voices.entry(voice).or_default().push(event);
            }
        }
        from = to;
    }
    for (idx, rest) in music.rests.iter().enumerate() {
        let Some(bar) = movement.bars.get(rest.bar) else { continue };
        let length = rest.length.min(bar.end().since(rest.onset));
        let quarters = movement.resolution.quarters(length);
        let value = Value::in_tuplet(quarters, rest.tuplet, false);
        let event = Event { onset: rest.onset, length, kind: EventKind::Rest(idx), value };
        if let Some(voices) = bars.get_mut(rest.bar.idx()) {
            voices.entry(rest.voice).or_default().push(event);
        }
    }
    let layer = |(voice, mut events): (u8, Vec<Event>)| {
        // Grace notes of a place were put in before its other notes; the sort keeps that.
        events.sort_by_key(|event| event.onset);
        Layer { voice, events }
    };
    bars.into_iter().map(|voices| voices.into_iter().map(layer).collect()).collect()
}

/// The end of the run of notes that begin together, are all grace notes or all not, and stand in the
/// same bar.
fn same_place(notes: &[Note], from: usize) -> usize {
    let key = |note: &Note| (note.onset, note.bar, note.traits.any(NoteTraits::GRACE));
    let rest = notes.get(from..).unwrap_or_default();
    let first = rest.first().map(key);
    from + rest.iter().take_while(|note| Some(key(note)) == first).count().max(1)
}

/// The chords of a run of notes that begin together, with bar and voice.
fn events_at(
    movement: &Movement,
    music: &PartMusic,
    from: usize,
    to: usize,
) -> Vec<(usize, u8, Event)> {
    let mut voices: BTreeMap<u8, Vec<usize>> = BTreeMap::new();
    for idx in from..to {
        if let Some(note) = music.notes.get(idx) {
            voices.entry(note.voice).or_default().push(idx);
        }
    }
    let joins = |idx: usize| has(music, idx, NoteTraits::CHORD);
    let mut found = Vec::new();
    for (voice, heads) in voices {
        let grace = heads.first().is_some_and(|idx| has(music, *idx, NoteTraits::GRACE));
        let leads = heads.iter().filter(|idx| !joins(**idx)).count();
        let chords: Vec<Vec<usize>> = if grace {
            in_order(&heads, joins)
        } else if leads > 1 {
            // Several chords of one voice begin together: the further heads join the first.
            let (rest, mut leads): (Vec<usize>, Vec<usize>) =
                heads.iter().partition(|idx| joins(**idx));
            let first: Vec<usize> = leads.drain(..1).chain(rest).collect();
            std::iter::once(first).chain(leads.into_iter().map(|lead| vec![lead])).collect()
        } else {
            let lead = heads.iter().copied().find(|idx| !joins(*idx));
            let lead = lead.or(heads.first().copied());
            let rest = heads.iter().copied().filter(|idx| Some(*idx) != lead);
            vec![lead.into_iter().chain(rest).collect()]
        };
        for heads in chords {
            let lead = heads.first().and_then(|idx| music.notes.get(*idx));
            let Some(lead) = lead else { continue };
            let length = held(movement, lead);
            let value = value(movement.resolution, lead, length);
            let event = Event { onset: lead.onset, length, kind: EventKind::Heads(heads), value };
            found.push((lead.bar.idx(), voice, event));
        }
    }
    found
}

/// Chords of grace notes: a head that joins joins the one before it.
fn in_order(heads: &[usize], joins: impl Fn(usize) -> bool) -> Vec<Vec<usize>> {
    let mut chords: Vec<Vec<usize>> = Vec::new();
    for idx in heads {
        match chords.last_mut() {
            Some(chord) if joins(*idx) => chord.push(*idx),
            _ => chords.push(vec![*idx]),
        }
    }
    chords
}

fn has(music: &PartMusic, idx: usize, traits: NoteTraits) -> bool {
    music.notes.get(idx).is_some_and(|note| note.traits.any(traits))
}

/// A note's length, ending at the latest with the bar it is written in.
pub(super) fn held(movement: &Movement, note: &Note) -> Ticks {
    let end = movement.bars.get(note.bar).map_or(note.end(), |bar| bar.end());
    note.length.min(end.since(note.onset))
}

/// How a head is drawn.
pub(super) fn value(resolution: Resolution, note: &Note, length: Ticks) -> Option<Value> {
    let quarters = resolution.quarters(length);
    if note.traits.any(NoteTraits::GRACE) {
        let beamed = note.traits.any(NoteTraits::BEAM_BEGINS | NoteTraits::BEAM_GOES_ON);
        let drawn = if beamed { "1/4" } else { "1/2" };
        return drawn.parse().ok().and_then(Value::plain);
    }
    Value::in_tuplet(quarters, note.tuplet, note.manner.has(Manner::TREMOLO_PAIR))
}

/// The events of each voice through the whole part, as (bar, layer, event).
pub(super) fn by_voice(bars: &[Vec<Layer>]) -> BTreeMap<u8, Vec<&Event>> {
    let mut voices: BTreeMap<u8, Vec<&Event>> = BTreeMap::new();
    for layer in bars.iter().flatten() {
        voices.entry(layer.voice).or_default().extend(&layer.events);
    }
    voices
}
