//! A movement cut out of another, and two joined into one.
//!
//! A cut-out begins with what was in force at its first bar: instrument, transposition, clef, key,
//! tempo, time without a clock and swing. Playing techniques and levels begin anew, as at the start of any movement.

use super::in_force;
use crate::bar::{Bar, BarIndex, BarTable};
use crate::event::{Marking, MarkingKind};
use crate::part_bars::{OwnMeter, RepeatedBar};
use crate::pitch::Transposition;
use crate::score::{Movement, PartMusic, StruckInstrument, TempoKind, TempoMark, Transposed};
use crate::time::{Resolution, Ticks};

/// How positions and bars of one movement become those of another.
#[derive(Clone, Copy)]
struct Shift {
    /// Multiplies positions before they are moved; 1 unless movements with other ticks are joined.
    scale: (i64, i64),
    ticks: i64,
    bars: i64,
}

impl Shift {
    fn length(self, length: Ticks) -> Ticks {
        let scaled = i128::from(length.0) * i128::from(self.scale.0) / i128::from(self.scale.1);
        Ticks(i64::try_from(scaled).unwrap_or(i64::MAX / 4))
    }

    fn at(self, at: Ticks) -> Ticks {
        Ticks(self.length(at).0.saturating_add(self.ticks).max(0))
    }

    fn bar(self, bar: BarIndex) -> BarIndex {
        let moved = i64::from(bar.0).saturating_add(self.bars).max(0);
        BarIndex(u32::try_from(moved).unwrap_or(u32::MAX))
    }

    /// Whether exact positions stay exact.
    fn is_exact(self) -> bool {
        self.scale.0 % self.scale.1 == 0
    }
}

/// The bars `from` to `to` (inclusive; `None` for the end) as a movement of their own.
pub(super) fn slice(movement: &Movement, from: BarIndex, to: Option<BarIndex>) -> Movement {
    let all = movement.bars.as_slice();
    let end = to.map_or(all.len(), |to| (to.idx() + 1).min(all.len()));
    let bars = all.get(from.idx()..end).unwrap_or_default();
    let start = bars.first().map_or(movement.bars.end(), |bar| bar.start);
    let stop = bars.last().map_or(start, Bar::end);
    let is_last = end == all.len();
    let shift = Shift { scale: (1, 1), ticks: -start.0, bars: -i64::from(from.0) };
    let bars_here = (from, BarIndex::from(end));
    let window = Window { start, stop, is_last, bars: bars_here };
    let mut tempi: Vec<_> = carried_tempo(movement, start).into_iter().collect();
    tempi.extend(in_force::carried(movement, start));
    tempi.extend(movement.tempi.iter().filter(|mark| window.holds(mark.at)).cloned());
    let tempi = tempi.into_iter().map(|mark| shifted_tempo(mark, shift, stop)).collect();
    Movement {
        id: movement.id,
        title: movement.title.clone(),
        source: movement.source,
        entry: movement.entry.clone(),
        pieces: Vec::new(),
        resolution: movement.resolution,
        bars: BarTable::new(bars.to_vec()),
        tempi,
        keys: carried(&movement.keys, window, |key| &mut key.at, |key| key.at, |_| 0, shift),
        music: movement.music.iter().map(|music| slice_part(music, window, shift)).collect(),
    }
}

#[derive(Clone, Copy)]
struct Window {
    start: Ticks,
    stop: Ticks,
    is_last: bool,
    /// The first bar, and the one behind the last.
    bars: (BarIndex, BarIndex),
}

impl Window {
    /// Whether a bar lies inside.
    fn has(self, bar: BarIndex) -> bool {
        let (first, end) = self.bars;
        first <= bar && bar < end
    }

    /// Whether a position lies inside; the very end of the music belongs to the last window.
    fn holds(self, at: Ticks) -> bool {
        at >= self.start && (at < self.stop || (self.is_last && at == self.stop))
    }
}

/// What lies in the window, led by what was in force at its start for each `lane`.
fn carried<T: Clone, K: PartialEq>(
    all: &[T],
    window: Window,
    at_mut: impl Fn(&mut T) -> &mut Ticks,
    at: impl Fn(&T) -> Ticks,
    lane: impl Fn(&T) -> K,
    shift: Shift,
) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for item in all.iter().filter(|item| at(item) < window.start) {
        kept.retain(|other| lane(other) != lane(item));
        let mut item = item.clone();
        *at_mut(&mut item) = window.start;
        kept.push(item);
    }
    let starting: Vec<K> = all.iter().filter(|item| at(item) == window.start).map(&lane).collect();
    kept.retain(|item| !starting.contains(&lane(item)));
    kept.extend(all.iter().filter(|item| window.holds(at(item))).cloned());
    for item in &mut kept {
        let moved = shift.at(*at_mut(item));
        *at_mut(item) = moved;
    }
    kept
}

/// The last tempo with a value of its own before `start`, unless one stands there.
fn carried_tempo(movement: &Movement, start: Ticks) -> Option<TempoMark> {
    let has_value = |mark: &&TempoMark| {
        matches!(mark.kind, TempoKind::Metronome { .. } | TempoKind::Playback(_) | TempoKind::Term)
    };
    if movement.tempi.iter().filter(has_value).any(|mark| mark.at == start) {
        return None;
    }
    let mut before = movement.tempi.iter().filter(|mark| mark.at < start);
    let mut mark = before.rfind(has_value)?.clone();
    mark.at = start;
    mark.bar = movement.bars.bar_at(start).unwrap_or_default();
    Some(mark)
}

fn shifted_tempo(mut mark: TempoMark, shift: Shift, stop: Ticks) -> TempoMark {
    mark.at = shift.at(mark.at);
    mark.bar = shift.bar(mark.bar);
    if let TempoKind::Gradual { end: Some(end), .. } = &mut mark.kind {
        *end = shift.at((*end).min(stop));
    }
    mark
}

fn slice_part(music: &PartMusic, window: Window, shift: Shift) -> PartMusic {
    let mut part = PartMusic {
        // Grace notes and marks may stand at the very end of their bar.
        notes: music.notes.iter().filter(|note| window.has(note.bar)).cloned().collect(),
        rests: music.rests.iter().filter(|rest| window.has(rest.bar)).cloned().collect(),
        markings: music
            .markings
            .iter()
            .filter(|marking| window.holds(marking.at) || window.has(marking.bar))
            .cloned()
            .collect(),
        instruments: carried(
            &music.instruments,
            window,
            |taken| &mut taken.at,
            |taken| taken.at,
            |taken| taken.players,
            shift,
        ),
        transpositions: carried_transpositions(&music.transpositions, window, shift),
        part_transpositions: carried_transpositions(&music.part_transpositions, window, shift),
        struck: music.struck.clone(),
        clefs: carried(
            &music.clefs,
            window,
            |clef| &mut clef.at,
            |clef| clef.at,
            |clef| clef.staff,
            shift,
        ),
        keys: carried(&music.keys, window, |key| &mut key.at, |key| key.at, |key| key.staff, shift),
        ..header_of(music)
    };
    slice_bars(&mut part, music, window);
    for marking in &mut part.markings {
        if let MarkingKind::Hairpin { end, .. } = &mut marking.kind {
            *end = (*end).min(window.stop);
        }
    }
    shift_events(&mut part, shift);
    part
}

fn carried_transpositions(all: &[Transposed], window: Window, shift: Shift) -> Vec<Transposed> {
    carried(all, window, |mark| &mut mark.at, |mark| mark.at, |mark| mark.staff, shift)
}

/// What holds for whole bars, not yet moved.
fn slice_bars(part: &mut PartMusic, music: &PartMusic, window: Window) {
    let (first, end) = window.bars;
    let inside = |bar: BarIndex| first <= bar && bar < end;
    let repeated = music.repeated_bars.iter().filter(|repeat| inside(repeat.bar));
    part.repeated_bars = repeated
        // What was repeated may have been left behind.
        .map(|repeat| RepeatedBar { source: repeat.source.filter(|bar| inside(*bar)), ..*repeat })
        .collect();
    let last = BarIndex(end.0.saturating_sub(1));
    let own = music.meters.iter().filter(|own| own.to >= first && own.from < end);
    part.meters = own
        .map(|own| OwnMeter { from: own.from.max(first), to: own.to.min(last), ..own.clone() })
        .collect();
    let rests = music.multiple_rests.iter().filter(|(bar, _)| inside(*bar));
    part.multiple_rests = rests.copied().collect();
}

fn header_of(music: &PartMusic) -> PartMusic {
    PartMusic {
        present: music.present,
        source_id: music.source_id.clone(),
        source_name: music.source_name.clone(),
        staves: music.staves,
        ..PartMusic::default()
    }
}

/// Moves everything that has a bar; what has only a position is moved elsewhere.
fn shift_events(part: &mut PartMusic, shift: Shift) {
    for note in &mut part.notes {
        (note.onset, note.length) = (shift.at(note.onset), shift.length(note.length));
        note.bar = shift.bar(note.bar);
    }
    for rest in &mut part.rests {
        (rest.onset, rest.length) = (shift.at(rest.onset), shift.length(rest.length));
        rest.bar = shift.bar(rest.bar);
    }
    for marking in &mut part.markings {
        shift_marking(marking, shift);
    }
    for repeat in &mut part.repeated_bars {
        repeat.bar = shift.bar(repeat.bar);
        repeat.source = repeat.source.map(|bar| shift.bar(bar));
    }
    for own in &mut part.meters {
        (own.from, own.to) = (shift.bar(own.from), shift.bar(own.to));
    }
    for (bar, _) in &mut part.multiple_rests {
        *bar = shift.bar(*bar);
    }
}

fn shift_marking(marking: &mut Marking, shift: Shift) {
    marking.at = shift.at(marking.at);
    marking.bar = shift.bar(marking.bar);
    if let MarkingKind::Hairpin { end, .. } = &mut marking.kind {
        *end = shift.at(*end);
    }
}

/// Two movements one after the other. The second answer says whether positions had to be rounded
/// because no resolution suits both.
pub(super) fn join(first: &Movement, second: &Movement) -> (Movement, bool) {
    let resolution = common_resolution(first.resolution, second.resolution);
    let scale = |of: Resolution| {
        (i64::from(resolution.ticks_per_quarter()), i64::from(of.ticks_per_quarter()))
    };
    let head = Shift { scale: scale(first.resolution), ticks: 0, bars: 0 };
    let n_bars = i64::try_from(first.bars.len()).unwrap_or(i64::MAX);
    let end = head.length(first.bars.end()).0;
    let tail = Shift { scale: scale(second.resolution), ticks: end, bars: n_bars };
    let mut joined = moved(first, head);
    let next = moved(second, tail);
    let mut bars = joined.bars.as_slice().to_vec();
    let seam = BarIndex::from(bars.len());
    if joined.source_of(seam) != next.source {
        joined.pieces.push((seam, next.source));
    }
    bars.extend_from_slice(next.bars.as_slice());
    joined.bars = BarTable::new(bars);
    joined.resolution = resolution;
    joined.tempi.extend(next.tempi);
    joined.keys.extend(next.keys);
    let n_parts = joined.music.len().max(next.music.len());
    joined.music.resize_with(n_parts, PartMusic::default);
    for (part, more) in joined.music.iter_mut().zip(next.music) {
        append(part, more, Ticks(end));
    }
    (joined, !(head.is_exact() && tail.is_exact()))
}

fn append(part: &mut PartMusic, more: PartMusic, start: Ticks) {
    if !part.present {
        let mut more = more;
        // Absent before, the instrument is in hand from the beginning.
        if let Some(first) = more.instruments.first_mut() {
            first.at = Ticks::ZERO;
        }
        *part = more;
        return;
    }
    part.staves = part.staves.max(more.staves);
    let first = part.notes.len();
    part.notes.extend(more.notes);
    part.rests.extend(more.rests);
    part.markings.extend(more.markings);
    part.instruments.extend(more.instruments);
    // A part that says nothing of it at its start is not transposed, whatever held before.
    let first_said = more.transpositions.first();
    let says_so = first_said.is_some_and(|mark| mark.at <= start && mark.staff.is_none());
    if !says_so && !part.transpositions.is_empty() {
        let transposition = Transposition::default();
        part.transpositions.push(Transposed { at: start, staff: None, transposition });
    }
    part.transpositions.extend(more.transpositions);
    part.part_transpositions.extend(more.part_transpositions);
    append_struck(part, first, more.struck);
    part.repeated_bars.extend(more.repeated_bars);
    part.meters.extend(more.meters);
    part.multiple_rests.extend(more.multiple_rests);
    part.clefs.extend(more.clefs);
    part.keys.extend(more.keys);
}

/// Joins the lists of struck instruments; the notes from `first` on name places in `more`.
fn append_struck(part: &mut PartMusic, first: usize, more: Vec<StruckInstrument>) {
    if part.struck == more {
        return;
    }
    let by = u8::try_from(part.struck.len()).unwrap_or(u8::MAX);
    part.struck.extend(more);
    for note in part.notes.get_mut(first..).unwrap_or_default() {
        if note.struck != 0 {
            // Past the last number nothing is known.
            note.struck = note.struck.checked_add(by).unwrap_or(0);
        }
    }
}

fn moved(movement: &Movement, shift: Shift) -> Movement {
    let mut movement = movement.clone();
    let mut bars = movement.bars.as_slice().to_vec();
    for bar in &mut bars {
        (bar.length, bar.nominal) = (shift.length(bar.length), shift.length(bar.nominal));
    }
    movement.bars = BarTable::new(bars);
    let tempi = std::mem::take(&mut movement.tempi).into_iter();
    movement.tempi = tempi.map(|mark| shifted_tempo(mark, shift, Ticks(i64::MAX / 4))).collect();
    movement.keys.iter_mut().for_each(|key| key.at = shift.at(key.at));
    for part in &mut movement.music {
        shift_events(part, shift);
        part.instruments.iter_mut().for_each(|taken| taken.at = shift.at(taken.at));
        part.transpositions.iter_mut().for_each(|mark| mark.at = shift.at(mark.at));
        part.part_transpositions.iter_mut().for_each(|mark| mark.at = shift.at(mark.at));
        part.clefs.iter_mut().for_each(|clef| clef.at = shift.at(clef.at));
        part.keys.iter_mut().for_each(|key| key.at = shift.at(key.at));
    }
    movement
}

/// The least resolution that suits both, or the finer of the two if there is none.
fn common_resolution(a: Resolution, b: Resolution) -> Resolution {
    let (x, y) = (a.ticks_per_quarter(), b.ticks_per_quarter());
    let (mut divisor, mut rest) = (x, y);
    while rest != 0 {
        (divisor, rest) = (rest, divisor % rest);
    }
    let common = (x / divisor.max(1)).checked_mul(y).and_then(Resolution::new);
    common.unwrap_or(if x > y { a } else { b })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::meter::Meter;

    fn movement(resolution: u32) -> Movement {
        let length = Ticks(i64::from(resolution) * 3);
        let bar = Bar::blank(Meter::simple(3, 4), length, "1");
        let resolution = Resolution::new(resolution).unwrap();
        Movement { resolution, bars: BarTable::new(vec![bar; 2]), ..Movement::default() }
    }

    #[test]
    fn a_join_finds_a_resolution_for_both_or_says_that_there_is_none() {
        let (joined, rounded) = join(&movement(2), &movement(3));
        assert_eq!((joined.resolution.ticks_per_quarter(), rounded), (6, false));
        assert_eq!(joined.bars.end(), Ticks(4 * 18));
        let (joined, _) = join(&movement(2), &Movement { source: 1, ..movement(2) });
        let sources: Vec<usize> = (0..4).map(|bar| joined.source_of(BarIndex(bar))).collect();
        assert_eq!(sources, [0, 0, 1, 1]);
        let (joined, rounded) = join(&movement(Resolution::MAX - 1), &movement(Resolution::MAX));
        assert_eq!((joined.bars.len(), rounded), (4, true));
    }

    #[test]
    fn a_cut_out_begins_with_the_tempo_that_was_in_force() {
        let mut whole = movement(4);
        let kind = TempoKind::Playback(90.0);
        let words = String::new();
        whole.tempi.push(TempoMark { at: Ticks(2), bar: BarIndex(0), kind, words, line: 5 });
        let cut = slice(&whole, BarIndex(1), None);
        assert_eq!(cut.tempi.len(), 1);
        assert_eq!(
            (cut.tempi[0].at, cut.tempi[0].bar, cut.tempi[0].line),
            (Ticks(0), BarIndex(0), 5)
        );
    }
}
