//! Signs that stand for music, as stretches with a beginning and an end: repeats of bars and beats,
//! slashes.

use barloom_core::bar::BarIndex;
use barloom_core::event::{Note, NoteTraits};
use barloom_core::part_bars::{RepeatSign, RepeatedBar};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// A sign that begins or ends.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Style {
    /// The staff it is for.
    pub(super) staff: Option<u8>,
    /// The sign.
    pub(super) sign: RepeatSign,
    /// Whether it begins here.
    pub(super) starts: bool,
    /// The voices that it leaves alone.
    pub(super) except: Vec<u8>,
}

/// All beginnings and ends of a part with their bars and places.
pub(super) fn of(movement: &Movement, music: &PartMusic) -> Vec<(usize, Ticks, Style)> {
    let mut runs: Vec<Vec<RepeatedBar>> = Vec::new();
    for repeat in &music.repeated_bars {
        let goes_on = |run: &&mut Vec<RepeatedBar>| {
            run.last().is_some_and(|last| {
                let next = last.bar.0 + 1 == repeat.bar.0;
                next && last.staff == repeat.staff && last.sign == repeat.sign
            }) && source(music, run, repeat) == repeat.source
        };
        match runs.iter_mut().rev().take(16).find(goes_on) {
            Some(run) => run.push(*repeat),
            None => runs.push(vec![*repeat]),
        }
    }
    let mut found = Vec::new();
    for (nth, run) in runs.iter().enumerate() {
        let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
        let Some(begin) = movement.bars.get(first.bar) else { continue };
        let (staff, sign) = (first.staff, first.sign);
        let except = except(music, run);
        let after = |note: &&Note| covers(first, &except, note) && !under(note);
        // Signs of one kind that meet inside a bar: each beginning ends the one before.
        let meets = |a: &[RepeatedBar], b: &[RepeatedBar]| match (a.last(), b.first()) {
            (Some(a), Some(b)) => a.bar == b.bar && a.staff == b.staff && is_kind(a.sign, b.sign),
            _ => false,
        };
        let earlier = runs.get(..nth).unwrap_or_default().iter().rev().take(16);
        let earlier = earlier.filter(|other| meets(other, run)).count();
        let replaced =
            runs.get(nth + 1..).unwrap_or_default().iter().take(16).any(|other| meets(run, other));
        let from = edge(music, first, &except, earlier).unwrap_or(begin.start);
        found.push((
            first.bar.idx(),
            from,
            Style { staff, sign, starts: true, except: except.clone() },
        ));
        if replaced {
            continue;
        }
        let stop = Style { staff, sign, starts: false, except: Vec::new() };
        // Inside the last bar, where notes follow that are played as they stand.
        let inside = notes_of(music, last.bar).filter(|note| covers(last, &except, note));
        let last_under = inside.filter(under_ref).map(|note| note.onset).max();
        let behind = notes_of(music, last.bar)
            .filter(after)
            .map(|note| note.onset)
            .find(|onset| last_under.is_some_and(|under| *onset > under));
        match behind {
            Some(at) => found.push((last.bar.idx(), at, stop)),
            None => {
                let next = BarIndex(last.bar.0 + 1);
                if let Some(bar) = movement.bars.get(next) {
                    found.push((next.idx(), bar.start, stop));
                }
            }
        }
    }
    found
}

/// What a bar repeats if the sign goes on from the beginning of the run: the bar of the same place in
/// the pattern before it; if a sign stands there too, what that stands for.
fn source(music: &PartMusic, run: &[RepeatedBar], here: &RepeatedBar) -> Option<BarIndex> {
    let RepeatSign::Bars(n) = here.sign else { return None };
    let since = run.first()?.bar.0;
    let n = u32::from(n.max(1));
    let place = here.bar.0.checked_sub(since)? % n;
    let source = BarIndex((since + place).checked_sub(n)?);
    let known = music.repeats_in(source).iter();
    let mut known = known
        .filter(|known| matches!(known.sign, RepeatSign::Bars(_)) && known.staff == here.staff);
    known.next().map_or(Some(source), |known| known.source)
}

fn notes_of(music: &PartMusic, bar: BarIndex) -> impl Iterator<Item = &Note> {
    music.notes.iter().filter(move |note| note.bar == bar)
}

fn under(note: &Note) -> bool {
    note.traits.any(NoteTraits::UNDER_SIGN)
}

fn under_ref(note: &&Note) -> bool {
    under(note)
}

fn covers(repeat: &RepeatedBar, except: &[u8], note: &Note) -> bool {
    repeat.staff.is_none_or(|staff| staff == note.staff) && !except.contains(&note.voice)
}

/// The voices of a run none of whose notes stand under the sign; only slashes and beats name them.
fn except(music: &PartMusic, run: &[RepeatedBar]) -> Vec<u8> {
    let mut voices: Vec<(u8, bool)> = Vec::new();
    for repeat in run.iter().filter(|repeat| !matches!(repeat.sign, RepeatSign::Bars(_))) {
        for note in notes_of(music, repeat.bar).filter(|note| covers(repeat, &[], note)) {
            match voices.iter_mut().find(|(voice, _)| *voice == note.voice) {
                Some((_, any)) => *any |= under(note),
                None => voices.push((note.voice, under(note))),
            }
        }
    }
    voices.into_iter().filter(|(_, any)| !any).map(|(voice, _)| voice).collect()
}

fn is_kind(a: RepeatSign, b: RepeatSign) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

/// Where the sign begins inside its first bar, if notes stand before it that are played as they stand,
/// or so many signs of its kind.
fn edge(music: &PartMusic, first: &RepeatedBar, except: &[u8], earlier: usize) -> Option<Ticks> {
    let here = || notes_of(music, first.bar).filter(|note| covers(first, except, note));
    let mut under: Vec<Ticks> = here().filter(under_ref).map(|note| note.onset).collect();
    under.sort_unstable();
    under.dedup();
    if earlier > 0 {
        return under.get(earlier).or(under.last()).copied();
    }
    let begin = *under.first()?;
    here().any(|note| !self::under(note) && note.onset < begin).then_some(begin)
}
