//! Lines that begin on one note and end on another: slurs, trills, beams. The model says where they
//! begin and end; here each beginning finds its end and a number.

use super::layers::{Event, Layer, by_voice};
use barloom_core::event::{Manner, Note, NoteTraits};
use barloom_core::score::PartMusic;

/// Slurs have numbers from 1 to 16 in the standard.
const MOST_OPEN: usize = 16;

/// What begins, ends and goes on at one head.
#[derive(Clone, Debug, Default)]
pub(super) struct Lines {
    /// Slurs: whether it starts here, and its number. Ends come first.
    pub(super) slurs: Vec<(bool, usize)>,
    /// The line behind a trill starts here.
    pub(super) wavy_starts: bool,
    /// The line behind a trill stops here.
    pub(super) wavy_stops: bool,
    /// The text of each beam, the outermost first.
    pub(super) beams: Vec<&'static str>,
}

/// The lines of every note of a part.
pub(super) fn lines(music: &PartMusic, bars: &[Vec<Layer>]) -> Vec<Lines> {
    let mut lines = vec![Lines::default(); music.notes.len()];
    let slurs = slurs(music).into_iter().map(|(from, to)| Slur { from, to }).collect();
    number(music, slurs, &mut lines);
    for events in by_voice(bars).values() {
        let (graces, others): (Vec<&Event>, Vec<&Event>) =
            events.iter().copied().partition(|event| traits(music, event).any(NoteTraits::GRACE));
        trills(music, &others, &mut lines);
        beams(music, &graces, &mut lines);
        beams(music, &others, &mut lines);
    }
    lines
}

fn traits(music: &PartMusic, event: &Event) -> NoteTraits {
    lead(music, event).map_or(NoteTraits::NONE, |note| note.traits)
}

fn lead<'a>(music: &'a PartMusic, event: &Event) -> Option<&'a Note> {
    music.notes.get(event.lead()?)
}

/// A slur from one note to another, as places in the part's notes.
#[derive(Clone, Copy, Debug)]
struct Slur {
    from: usize,
    to: usize,
}

/// The slurs of a part from note to note, as places in its notes. An end takes the last slur opened in
/// its voice, else on its staff, else anywhere; an end that finds none belongs to a second slur from
/// where the last one of its voice began, and a beginning without an end goes to the next end of its
/// voice. What has no partner at all is left out.
pub(super) fn slurs(music: &PartMusic) -> Vec<(usize, usize)> {
    let mut open: Vec<usize> = Vec::new();
    let mut found: Vec<(usize, usize)> = Vec::new();
    let notes = &music.notes;
    let near = |a: usize, b: usize| match (notes.get(a), notes.get(b)) {
        (Some(a), Some(b)) if a.voice == b.voice => 0,
        (Some(a), Some(b)) if a.staff == b.staff => 1,
        _ => 2,
    };
    for (idx, note) in notes.iter().enumerate() {
        if note.traits.any(NoteTraits::SLUR_ENDS) {
            let last_first = open.iter().enumerate().rev();
            let nearest = last_first.min_by_key(|(_, from)| near(idx, **from));
            if let Some((place, _)) = nearest {
                found.push((open.remove(place), idx));
            } else if let Some((from, _)) =
                found.iter().rev().take(64).find(|(from, _)| near(*from, idx) == 0).copied()
            {
                found.push((from, idx));
            }
        }
        if note.traits.any(NoteTraits::SLUR_BEGINS) {
            open.push(idx);
            if open.len() > MOST_OPEN {
                open.remove(0);
            }
        }
    }
    for from in open {
        // Pairs were found in order of their ends.
        let later = found.get(found.partition_point(|(_, to)| *to <= from)..).unwrap_or_default();
        if let Some((_, to)) = later.iter().find(|(_, to)| near(*to, from) == 0).copied() {
            found.push((from, to));
        }
    }
    found
}

/// Slurs that are open at once get different numbers. Inside a bar the file writes voice after voice,
/// so that slurs of different voices count as open in the whole of their bars.
fn number(music: &PartMusic, mut slurs: Vec<Slur>, lines: &mut [Lines]) {
    slurs.sort_by_key(|slur| (slur.from, std::cmp::Reverse(slur.to)));
    let mut busy: [Option<Slur>; MOST_OPEN] = [None; MOST_OPEN];
    let meets = |old: &Slur, new: &Slur| {
        let (Some(end), Some(begin)) = (music.notes.get(old.to), music.notes.get(new.from)) else {
            return false;
        };
        if end.voice == begin.voice { old.to > new.from } else { end.bar >= begin.bar }
    };
    for slur in slurs {
        let free = busy.iter().position(|old| old.is_none_or(|old| !meets(&old, &slur)));
        let Some(number) = free else { continue };
        if let Some(slot) = busy.get_mut(number) {
            *slot = Some(slur);
        }
        if let Some(from) = lines.get_mut(slur.from) {
            from.slurs.push((true, number + 1));
        }
        if let Some(to) = lines.get_mut(slur.to) {
            to.slurs.insert(0, (false, number + 1));
        }
    }
}

/// The lines of trills that go on over several notes.
fn trills(music: &PartMusic, events: &[&Event], lines: &mut [Lines]) {
    let goes_on = |idx: usize| {
        music.notes.get(idx).is_some_and(|note| note.manner.has(Manner::TRILL_GOES_ON))
    };
    let mut from = 0;
    while let Some(event) = events.get(from) {
        let rest = events.get(from + 1..).unwrap_or_default();
        let on = rest.iter().take_while(|event| event.lead().is_some_and(goes_on)).count();
        let trilled = |idx: &&usize| {
            music.notes.get(**idx).is_some_and(|note| note.manner.has(Manner::TRILL))
                && !goes_on(**idx)
        };
        let begins = event.heads().iter().rev().find(trilled).copied();
        let stops = events.get(from + on).and_then(|event| event.lead());
        if let (Some(start), Some(stop), true) = (begins, stops, on > 0) {
            if let Some(line) = lines.get_mut(start) {
                line.wavy_starts = true;
            }
            if let Some(line) = lines.get_mut(stop) {
                line.wavy_stops = true;
            }
        }
        from += on + 1;
    }
}

/// The beams of a voice: the model knows the outermost; the others follow from the note values.
fn beams(music: &PartMusic, events: &[&Event], lines: &mut [Lines]) {
    let mut from = 0;
    while let Some(event) = events.get(from) {
        let mut to = from + 1;
        if traits(music, event).any(NoteTraits::BEAM_BEGINS) {
            let rest = events.get(to..).unwrap_or_default();
            let goes_on = |event: &&&Event| traits(music, event).any(NoteTraits::BEAM_GOES_ON);
            to += rest.iter().take_while(goes_on).count();
            beam_group(music, events.get(from..to).unwrap_or_default(), lines);
        } else if traits(music, event).any(NoteTraits::BEAM_GOES_ON) {
            // A beam that did not begin.
            beam_group(music, std::slice::from_ref(event), lines);
        }
        from = to;
    }
}

fn beam_group(music: &PartMusic, group: &[&Event], lines: &mut [Lines]) {
    let depth = |place: Option<usize>| {
        let event = place.and_then(|place| group.get(place));
        event.map_or(0, |event| event.value.map_or(1, |value| value.beams()).max(1))
    };
    for (place, event) in group.iter().enumerate() {
        let (before, after) = (depth(place.checked_sub(1)), depth(Some(place + 1)));
        let own = depth(Some(place)).min(8);
        for head in event.heads() {
            let Some(note) = music.notes.get(*head) else { continue };
            let begins = note.traits.any(NoteTraits::BEAM_BEGINS);
            let goes_on = note.traits.any(NoteTraits::BEAM_GOES_ON);
            if !begins && !goes_on {
                continue;
            }
            let outer = match (begins, after) {
                (true, _) => "begin",
                (false, 0) => "end",
                (false, _) => "continue",
            };
            let inner = (2..=own).map(|level| match (before >= level, after >= level) {
                (true, true) => "continue",
                (true, false) => "end",
                (false, true) => "begin",
                (false, false) if place > 0 => "backward hook",
                (false, false) => "forward hook",
            });
            if let Some(line) = lines.get_mut(*head) {
                line.beams = std::iter::once(outer).chain(inner).collect();
            }
        }
    }
}
