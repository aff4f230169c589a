//! From raw parts and a bar table to a movement: positions become ticks, tables are sorted, tempi
//! of all parts become one list.

use super::raw::{Pos, RawMarking, RawPart, RawTempo, RawTransposed};
use super::{binding, in_hand};
use crate::bar::{Bar, BarIndex, BarTable};
use crate::event::{Marking, MarkingKind, Note, NoteTraits, Rest};
use crate::instrument::Family;
use crate::part_bars::RepeatedBar;
use crate::score::{Clef, KeyMark, PartMusic, TempoKind, TempoMark, Transposed, WrittenKey};
use crate::time::Ticks;
use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::ops::Range;

/// How many marks of one place are compared with each other: no page has more, and a damaged file
/// cannot make the work grow with the square of its size.
const MAX_AT_ONE_PLACE: usize = 64;

/// Positions of one movement.
pub(super) struct Places<'a> {
    /// Its bars.
    pub(super) bars: &'a BarTable,
    /// Its bars in the document.
    pub(super) range: Range<usize>,
}

impl Places<'_> {
    pub(super) fn contains(&self, bar: u32) -> bool {
        self.range.contains(&(bar as usize))
    }

    fn bar(&self, bar: u32) -> BarIndex {
        BarIndex::from((bar as usize).saturating_sub(self.range.start))
    }

    /// The ticks of a position, held inside its bar and the movement.
    pub(super) fn ticks(&self, pos: Pos) -> Ticks {
        match self.bars.get(self.bar(pos.bar)) {
            Some(bar) => bar.start + Ticks(pos.offset.clamp(0, bar.length.0)),
            None => self.bars.end(),
        }
    }
}

/// The music of one part in a movement.
pub(super) fn part_music(
    part: &RawPart,
    n_players: usize,
    places: &Places<'_>,
    line: &impl Fn(usize) -> u32,
) -> PartMusic {
    let mut music = PartMusic {
        present: true,
        source_id: part.header.id.clone(),
        source_name: part.header.name.clone(),
        staves: part.staves.max(1),
        notes: notes(part, places),
        rests: rests(part, places),
        markings: Vec::new(),
        instruments: Vec::new(),
        transpositions: transpositions(&part.transpositions, places),
        part_transpositions: transpositions(&part.part_transpositions, places),
        struck: in_hand::struck(part),
        repeated_bars: repeated_bars(part, places),
        meters: Vec::new(),
        multiple_rests: multiple_rests(part, places),
        clefs: clefs(part, places),
        keys: written_keys(part, places),
    };
    let here = part.markings.iter().filter(|marking| places.contains(marking.pos.bar));
    let mut here: Vec<(&RawMarking, Ticks)> =
        here.map(|raw| (raw, places.ticks(raw.pos))).collect();
    here.sort_by_key(|(_, at)| *at);
    music.markings = here.iter().map(|(raw, _)| marking(raw, places, line)).collect();
    binding::bind(&mut music, n_players);
    music.instruments = in_hand::timeline(part, &music.notes, &music.markings, n_players, places);
    music
}

fn notes(part: &RawPart, places: &Places<'_>) -> Vec<Note> {
    let here = part.notes.iter().filter(|note| places.contains(note.bar.0));
    let mut notes: Vec<Note> = here
        .map(|note| {
            let onset = places.ticks(Pos { bar: note.bar.0, offset: note.onset.0 });
            Note { onset, bar: places.bar(note.bar.0), ..note.clone() }
        })
        .collect();
    // Grace notes of one place keep the order in which they are played.
    notes.sort_by_key(|note| {
        let grace = note.traits.has(NoteTraits::GRACE);
        let pitch = note.sounding.filter(|_| !grace);
        (note.onset, Reverse(grace), note.staff, note.voice, pitch)
    });
    notes
}

fn repeated_bars(part: &RawPart, places: &Places<'_>) -> Vec<RepeatedBar> {
    let here = part.repeated_bars.iter().filter(|repeat| places.contains(repeat.bar.0));
    let mut repeated: Vec<RepeatedBar> = here
        .map(|repeat| {
            let source = repeat.source.filter(|bar| places.contains(bar.0));
            let source = source.map(|bar| places.bar(bar.0));
            RepeatedBar { bar: places.bar(repeat.bar.0), source, ..*repeat }
        })
        .collect();
    repeated.sort_by_key(|repeat| (repeat.bar, repeat.staff));
    repeated
}

fn multiple_rests(part: &RawPart, places: &Places<'_>) -> Vec<(BarIndex, u32)> {
    let here = part.multiple_rests.iter().filter(|(bar, _)| places.contains(*bar));
    here.map(|(bar, n)| (places.bar(*bar), *n)).collect()
}

fn rests(part: &RawPart, places: &Places<'_>) -> Vec<Rest> {
    let here = part.rests.iter().filter(|rest| places.contains(rest.bar.0));
    let mut rests: Vec<Rest> = here
        .map(|rest| {
            let onset = places.ticks(Pos { bar: rest.bar.0, offset: rest.onset.0 });
            let bar = places.bar(rest.bar.0);
            let end = places.bars.get(bar).map_or(onset, Bar::end);
            // A rest for the whole bar lasts as long as the bar, whatever the file says.
            let length = if rest.whole_bar { end.since(onset) } else { rest.length };
            Rest { onset, length, bar, ..rest.clone() }
        })
        .collect();
    rests.sort_by_key(|rest| (rest.onset, rest.staff, rest.voice));
    rests
}

fn marking(raw: &RawMarking, places: &Places<'_>, line: &impl Fn(usize) -> u32) -> Marking {
    let at = places.ticks(raw.pos);
    let mut kind = raw.kind.clone();
    if let MarkingKind::Hairpin { end, .. } = &mut kind {
        let stated = raw.end.filter(|end| places.contains(end.bar));
        *end = stated.map_or(places.bars.end(), |end| places.ticks(end)).max(at);
    }
    Marking {
        at,
        bar: places.bar(raw.pos.bar),
        players: raw.players,
        staff: raw.staff,
        voice: raw.voice,
        kind,
        words: raw.words.as_str().into(),
        line: line(raw.byte),
    }
}

/// States from the start of the movement: the one that held before it, then those inside.
fn carried<T: Clone + PartialEq>(states: &[(Pos, T)], places: &Places<'_>) -> Vec<(Ticks, T)> {
    let mut out: Vec<(Ticks, T)> = Vec::new();
    for (pos, state) in states {
        if (pos.bar as usize) < places.range.start {
            out = vec![(Ticks::ZERO, state.clone())];
        } else if places.contains(pos.bar) {
            let at = places.ticks(*pos);
            // Of several at one place the last counts.
            if out.last().is_some_and(|(last, _)| *last == at) {
                out.pop();
            }
            if out.last().is_none_or(|(_, last)| last != state) {
                out.push((at, state.clone()));
            }
        }
    }
    out
}

/// Transpositions from the start of the movement: for each staff the one that held before it, then
/// those inside. One for all staves ends those of single staves.
fn transpositions(states: &[RawTransposed], places: &Places<'_>) -> Vec<Transposed> {
    let mut out: Vec<Transposed> = Vec::new();
    for raw in states {
        let before = (raw.pos.bar as usize) < places.range.start;
        if !before && !places.contains(raw.pos.bar) {
            continue;
        }
        let at = if before { Ticks::ZERO } else { places.ticks(raw.pos) };
        // Of several at one place the last counts.
        while let Some(last) = out.last() {
            let same = last.at == at && (raw.staff.is_none() || last.staff == raw.staff);
            if !same {
                break;
            }
            out.pop();
        }
        let now = out.iter().rev().find(|mark| mark.staff.is_none_or(|s| raw.staff == Some(s)));
        let single = raw.staff.is_none() && out.iter().any(|mark| mark.staff.is_some());
        if single || now.is_none_or(|now| now.transposition != raw.transposition) {
            out.push(Transposed { at, staff: raw.staff, transposition: raw.transposition });
        }
    }
    out
}

fn clefs(part: &RawPart, places: &Places<'_>) -> Vec<Clef> {
    let mut clefs: Vec<Clef> = Vec::new();
    for raw in &part.clefs {
        let before = (raw.pos.bar as usize) < places.range.start;
        if !before && !places.contains(raw.pos.bar) {
            continue;
        }
        let at = if before { Ticks::ZERO } else { places.ticks(raw.pos) };
        // Clefs come in order, so those of one place are the last ones.
        let same = |clef: &Clef| clef.staff == raw.staff;
        let last = clefs.iter().rev().take(MAX_AT_ONE_PLACE).take_while(|clef| clef.at == at);
        if let Some(back) = last.into_iter().position(same) {
            clefs.remove(clefs.len() - 1 - back);
        }
        let (staff, sign, line) = (raw.staff, raw.sign.clone(), raw.line);
        clefs.push(Clef { at, staff, sign, line, octaves: raw.octaves });
    }
    clefs.sort_by_key(|clef| (clef.at, clef.staff));
    clefs
}

/// The signatures of a part as printed: those that hold at the start of the movement, then those
/// inside.
fn written_keys(part: &RawPart, places: &Places<'_>) -> Vec<WrittenKey> {
    let mut keys: Vec<WrittenKey> = Vec::new();
    for (pos, staff, signature) in &part.written_keys {
        let before = (pos.bar as usize) < places.range.start;
        if !before && !places.contains(pos.bar) {
            continue;
        }
        let at = if before { Ticks::ZERO } else { places.ticks(*pos) };
        if before && staff.is_none() {
            // One for all staves takes the place of all before it.
            keys.clear();
        }
        let last = keys.iter().rev().take(MAX_AT_ONE_PLACE).take_while(|key| key.at == at);
        if let Some(back) = last.into_iter().position(|key| key.staff == *staff) {
            keys.remove(keys.len() - 1 - back);
        }
        keys.push(WrittenKey { at, staff: *staff, signature: signature.clone() });
    }
    keys.sort_by_key(|key| (key.at, key.staff));
    keys
}

/// The keys of a movement, from the part that is most likely to show the concert key: bowed
/// strings, else the first that is neither brass nor percussion, else the first with any.
pub(super) fn keys(parts: &[RawPart], places: &Places<'_>) -> Vec<KeyMark> {
    let family = |part: &RawPart| part.header.instrument.map(|instrument| instrument.get().family);
    let rank = |part: &RawPart| match family(part) {
        Some(Family::Strings) => 0,
        Some(Family::Brass | Family::Percussion) => 2,
        _ => 1,
    };
    let with_keys = parts.iter().filter(|part| !part.keys.is_empty());
    let Some(part) = with_keys.min_by_key(|part| rank(part)) else { return Vec::new() };
    let mut states: Vec<(Pos, (i8, String))> = Vec::new();
    for (pos, fifths, mode) in &part.keys {
        // Several staves state the same place; the first counts.
        if states.last().is_none_or(|(last, _)| last != pos) {
            states.push((*pos, (*fifths, mode.clone())));
        }
    }
    let states = carried(&states, places).into_iter();
    states.map(|(at, (fifths, mode))| KeyMark { at, fifths, mode }).collect()
}

/// The tempi of all parts as one list: one copy of what stands in several parts.
pub(super) fn tempi(
    parts: &[RawPart],
    places: &Places<'_>,
    line: &impl Fn(usize) -> u32,
) -> Vec<TempoMark> {
    let all = parts.iter().flat_map(|part| &part.tempi);
    let here = all.filter(|tempo| places.contains(tempo.pos.bar));
    let mut marks: Vec<TempoMark> = here.map(|raw| tempo(raw, places, line)).collect();
    marks.sort_by_key(|mark| (mark.at, rank(&mark.kind)));
    let mut out: Vec<TempoMark> = Vec::with_capacity(marks.len());
    for mark in marks {
        let last = out.iter_mut().rev().take(MAX_AT_ONE_PLACE);
        let same_place = last.take_while(|known| known.at == mark.at);
        let known = same_place.into_iter().find(|known| says_the_same(known, &mark));
        match known {
            // The copy with words, or with an end, is the fuller one.
            Some(known) => merge(known, mark),
            None => out.push(mark),
        }
    }
    drop_words_of_printed(&mut out);
    out
}

fn tempo(raw: &RawTempo, places: &Places<'_>, line: &impl Fn(usize) -> u32) -> TempoMark {
    let at = places.ticks(raw.pos);
    let mut kind = raw.kind.clone();
    if let TempoKind::Gradual { end, .. } = &mut kind {
        let stated = raw.end.map(|end| places.ticks(end));
        *end = stated.filter(|end| *end > at);
    }
    let bar = places.bar(raw.pos.bar);
    TempoMark { at, bar, kind, words: raw.words.clone(), line: line(raw.byte) }
}

/// Printed marks before words before playback.
fn rank(kind: &TempoKind) -> u8 {
    match kind {
        TempoKind::Metronome { .. } => 0,
        TempoKind::Equation { .. } => 1,
        TempoKind::Term | TempoKind::ATempo | TempoKind::TempoPrimo => 2,
        TempoKind::Gradual { .. } | TempoKind::Free => 3,
        TempoKind::Swing { .. } | TempoKind::Straight => 4,
        TempoKind::Playback(_) => 5,
    }
}

fn says_the_same(known: &TempoMark, mark: &TempoMark) -> bool {
    match (&known.kind, &mark.kind) {
        (TempoKind::Gradual { faster: a, .. }, TempoKind::Gradual { faster: b, .. }) => a == b,
        (TempoKind::Term, TempoKind::Term) => {
            plain(&known.words) == plain(&mark.words) || mark.words.is_empty()
        }
        (a, b) => a == b,
    }
}

fn plain(words: &str) -> String {
    let folded = crate::instrument::recognize::fold(words);
    folded.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

fn merge(known: &mut TempoMark, mark: TempoMark) {
    if known.words.is_empty() {
        known.words = mark.words;
    }
    if let (TempoKind::Gradual { end, .. }, TempoKind::Gradual { end: other, .. }) =
        (&mut known.kind, &mark.kind)
    {
        *end = end.or(*other);
    }
}

/// A term beside a printed mark that carries the same words is one statement.
fn drop_words_of_printed(marks: &mut Vec<TempoMark>) {
    let printed: BTreeSet<(Ticks, String)> = marks
        .iter()
        .filter(|mark| rank(&mark.kind) <= 1 && !mark.words.is_empty())
        .map(|mark| (mark.at, plain(&mark.words)))
        .collect();
    marks.retain(|mark| {
        let term = mark.kind == TempoKind::Term;
        !term || !printed.contains(&(mark.at, plain(&mark.words)))
    });
}
