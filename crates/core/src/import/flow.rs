//! What the parts say about the order of play, as one statement a bar: what is printed with what is
//! meant for playback, the signs of all parts, endings spread over their bars. Contradictions are
//! findings; the printed page counts.

use super::bars::part_name;
use super::log::Log;
use super::raw::{Pos, RawBar, RawPart};
use crate::bar::{Bar, BarFlow, Barline, Jump, JumpTo, WayOut};
use crate::diag::Code;

/// Repeats and jumps of one bar. They may be written in any part; they hold for all.
pub(super) fn of_bar(parts: &[RawPart], idx: usize, log: &mut Log) -> (BarFlow, Barline) {
    let mut all = Merged { idx, ..Merged::default() };
    let mut barline = Barline::Single;
    for part in parts {
        let Some(bar) = part.bars.get(idx) else { continue };
        if bar.flow != BarFlow::default() || bar.playback.is_some() {
            all.add(part, bar, log);
        }
        if barline == Barline::Single {
            barline = bar.barline;
        }
    }
    (all.flow, barline)
}

#[derive(Default)]
struct Merged<'a> {
    idx: usize,
    flow: BarFlow,
    /// The part that said how often, which ending, which jump.
    times_by: Option<&'a RawPart>,
    ending_by: Option<&'a RawPart>,
    jump_by: Option<&'a RawPart>,
}

impl<'a> Merged<'a> {
    fn add(&mut self, part: &'a RawPart, bar: &RawBar, log: &mut Log) {
        let here = &bar.flow;
        self.flow.repeat_start |= here.repeat_start;
        self.flow.middle |= here.middle;
        self.repeat_end(part, bar, log);
        self.endings(part, bar, log);
        self.flow.ending_stops |= here.ending_stops;
        sign(&mut self.flow.segno, here.segno.as_ref());
        sign(&mut self.flow.coda, here.coda.as_ref());
        let jump = self.jump_of(bar, log);
        match (&mut self.flow.jump, jump) {
            (Some(known), Some(jump)) if known.to != jump.to => {
                let by = self.jump_by.map_or("", part_name);
                let text =
                    format!("{by} has {known}, {} has {jump}; the first counts", part_name(part));
                self.report(bar, log, text);
            }
            (Some(known), Some(jump)) => complete(known, jump),
            (known @ None, Some(jump)) => {
                *known = Some(jump);
                self.jump_by = Some(part);
            }
            (_, None) => {}
        }
        let nothing = BarFlow::default();
        let played = bar.playback.as_deref().unwrap_or(&nothing);
        way(&mut self.flow.to_coda, [&here.to_coda, &played.to_coda]);
        way(&mut self.flow.fine, [&here.fine, &played.fine]);
    }

    fn repeat_end(&mut self, part: &'a RawPart, bar: &RawBar, log: &mut Log) {
        let Some(stated) = bar.flow.repeat_end else { return };
        let times = match bar.times {
            Some(words) if stated > 2 && stated != words => {
                let text = format!(
                    "the words say that the repeat is played {words} times, the repeat sign says \
                     {stated}; the words count"
                );
                self.report(bar, log, text);
                words
            }
            Some(words) => words,
            None => stated,
        };
        match self.flow.repeat_end {
            Some(known) if known != times => {
                let by = self.times_by.map_or("", part_name);
                let (most, part) = (known.max(times), part_name(part));
                let text = format!(
                    "the repeat is played {known} times in {by} and {times} times in {part}; \
                     {most} was taken"
                );
                self.report(bar, log, text);
                self.flow.repeat_end = Some(most);
            }
            Some(_) => {}
            None => {
                self.flow.repeat_end = Some(times);
                self.times_by = Some(part);
            }
        }
        let after_jump = &mut self.flow.repeat_after_jump;
        *after_jump = after_jump.or(bar.flow.repeat_after_jump);
    }

    fn endings(&mut self, part: &'a RawPart, bar: &RawBar, log: &mut Log) {
        let here = &bar.flow.endings;
        if here.is_empty() {
            return;
        }
        if self.flow.endings.is_empty() {
            self.flow.endings.clone_from(here);
            self.ending_by = Some(part);
        } else if self.flow.endings != *here {
            let by = self.ending_by.map_or("", part_name);
            let (known, here) = (numbers(&self.flow.endings), numbers(here));
            let text = format!(
                "the ending is number {known} in {by} and number {here} in {}; the first counts",
                part_name(part)
            );
            self.report(bar, log, text);
        }
    }

    /// What a bar of one part prints, completed by what playback says.
    fn jump_of(&self, bar: &RawBar, log: &mut Log) -> Option<Jump> {
        let played = bar.playback.as_ref().and_then(|playback| playback.jump.clone());
        let Some(mut printed) = bar.flow.jump.clone() else { return played };
        if let Some(played) = played {
            if played.to == printed.to {
                complete(&mut printed, played);
            } else {
                let goes = match played.to {
                    JumpTo::Beginning => "to the beginning",
                    JumpTo::Segno => "to the segno",
                };
                let text = format!(
                    "the words say {printed}, but the playback element jumps {goes}; the words count"
                );
                self.report(bar, log, text);
            }
        }
        Some(printed)
    }

    fn report(&self, bar: &RawBar, log: &mut Log, text: String) {
        let pos = Pos { bar: u32::try_from(self.idx).unwrap_or(u32::MAX), offset: 0 };
        let byte = if bar.flow_byte > 0 { bar.flow_byte } else { bar.byte };
        log.add(Code::OrderUnclear, pos, byte, || text);
    }
}

fn numbers(numbers: &[u32]) -> String {
    numbers.iter().map(u32::to_string).collect::<Vec<_>>().join(", ")
}

/// Fills what one statement of a jump leaves open from another.
fn complete(jump: &mut Jump, other: Jump) {
    if jump.segno.is_empty() {
        jump.segno = other.segno;
    }
    if jump.coda.is_empty() {
        jump.coda = other.coda;
    }
    if jump.passes.is_empty() {
        jump.passes = other.passes;
    }
    if jump.until == Default::default() {
        jump.until = other.until;
        jump.then_coda |= other.then_coda;
    }
    jump.repeats = jump.repeats.or(other.repeats);
}

fn sign(known: &mut Option<String>, more: Option<&String>) {
    let Some(more) = more else { return };
    let known = known.get_or_insert_default();
    if known.is_empty() {
        known.clone_from(more);
    }
}

fn way(known: &mut Option<WayOut>, more: [&Option<WayOut>; 2]) {
    for more in more.into_iter().flatten() {
        let known = known.get_or_insert_default();
        if known.name.is_empty() {
            known.name.clone_from(&more.name);
        }
        if known.passes.is_empty() {
            known.passes.clone_from(&more.passes);
        }
    }
}

/// Makes the statements of a movement's bars complete: endings cover their bars, signs that say
/// where to leave are no places to arrive at.
pub(super) fn settle(bars: &mut [Bar]) {
    spread_endings(bars);
    lengthen_short_brackets(bars);
    settle_codas(bars);
}

/// An ending covers the bars from where it begins to where it stops; one that never stops ends with
/// its repeat, or where the next begins.
fn spread_endings(bars: &mut [Bar]) {
    let mut active: Vec<u32> = Vec::new();
    for bar in bars {
        if !bar.flow.endings.is_empty() {
            active.clone_from(&bar.flow.endings);
        } else if bar.flow.repeat_start {
            active.clear();
        }
        bar.flow.endings.clone_from(&active);
        if bar.flow.ending_stops || bar.flow.repeat_end.is_some() {
            active.clear();
        }
    }
}

/// An ending whose bracket is printed over its first bars only: the bars up to the repeat sign,
/// behind which the next ending begins, belong to it.
fn lengthen_short_brackets(bars: &mut [Bar]) {
    let mut open: Option<(usize, Vec<u32>)> = None;
    for idx in 0..bars.len() {
        let Some(bar) = bars.get(idx) else { return };
        let begins = !bar.flow.endings.is_empty();
        let behind_repeat = idx
            .checked_sub(1)
            .and_then(|before| bars.get(before))
            .is_some_and(|before| before.flow.repeat_end.is_some());
        let next = bar.flow.endings.first().copied();
        let repeats = bar.flow.repeat_end.is_some();
        let starts = bar.flow.repeat_start;
        let numbers = bar.flow.endings.clone();
        if let Some((last, open_numbers)) = open.take() {
            if begins && behind_repeat && last + 1 < idx && next > open_numbers.last().copied() {
                for bar in bars.get_mut(last + 1..idx).unwrap_or_default() {
                    bar.flow.endings.clone_from(&open_numbers);
                }
            } else if !begins && !starts {
                open = Some((last, open_numbers));
            }
        }
        if begins {
            open = (!repeats).then_some((idx, numbers));
        }
    }
}

/// Coda signs that say where to leave. With nothing that says "to coda", the first of two signs is
/// where to leave and the last where to arrive; beside the words "to coda", the sign that stands
/// with them is a part of them (common practice).
fn settle_codas(bars: &mut [Bar]) {
    if bars.iter().all(|bar| bar.flow.jump.is_none()) {
        return;
    }
    let codas = |bars: &[Bar]| -> Vec<usize> {
        let signs = bars.iter().enumerate().filter(|(_, bar)| bar.flow.coda.is_some());
        signs.map(|(idx, _)| idx).collect()
    };
    let signs = codas(bars);
    let leaves: Vec<usize> = (0..bars.len())
        .filter(|idx| bars.get(*idx).is_some_and(|bar| bar.flow.to_coda.is_some()))
        .collect();
    if leaves.is_empty() {
        if let [first, _, ..] = signs.as_slice() {
            let sign = bars.get_mut(*first).and_then(|bar| bar.flow.coda.take());
            let before = first.checked_sub(1).and_then(|idx| bars.get_mut(idx));
            if let Some(bar) = before {
                let name = sign.unwrap_or_default();
                bar.flow.to_coda = Some(WayOut { name, passes: Vec::new() });
            }
        }
        return;
    }
    for leave in leaves {
        let signs = codas(bars);
        let last = signs.last().copied();
        let beside = signs.iter().find(|at| (leave..=leave + 1).contains(*at));
        let only_sign = beside.copied().filter(|at| Some(*at) != last);
        if let Some(bar) = only_sign.and_then(|at| bars.get_mut(at)) {
            bar.flow.coda = None;
        }
    }
}
