//! The walk through the bars of a movement: where play goes after each bar, pass by pass. Knows the
//! signs of the bars and the plan's choices; it reads no notes.

mod replay;

use super::check::check;
use super::layout::{Group, Layout};
use super::problem::{OrderProblem, OrderProblemKind};
use super::signs::fit;
use crate::bar::{Bar, BarIndex, Until, WayOut};
use crate::basis::MovementPlan;
use crate::score::Movement;
use replay::Replay;

/// The most bars that one movement may have when played.
const MAX_PLAYED: usize = 500_000;

/// The most work for one movement: bars stepped over, and bars looked through for a sign.
const MAX_WORK: usize = 20_000_000;

/// Problems that are listed; a damaged file may have one at every bar.
const MAX_PROBLEMS: usize = 50;

/// Plays a movement: the spans in the order of play, and what did not fit.
pub(super) fn walk(
    movement: &Movement,
    plan: &MovementPlan,
) -> (Vec<(BarIndex, BarIndex)>, Vec<OrderProblem>) {
    let layout = Layout::of(movement.bars.as_slice());
    let mut problems = check(&layout);
    problems.truncate(MAX_PROBLEMS);
    let mut walk = Walk {
        plan,
        played: Vec::new(),
        n_played: 0,
        work: 0,
        farthest: None,
        counts: vec![0; layout.bars.len()],
        visits: vec![0; layout.bars.len()],
        sections: Vec::new(),
        open_from: 0,
        open_pass: 1,
        taken: vec![false; layout.bars.len()],
        jumps_left: layout
            .bars
            .iter()
            .enumerate()
            .filter(|(_, bar)| bar.flow.jump.is_some())
            .map(|(at, _)| at)
            .collect(),
        replay: None,
        chosen: None,
        problems,
        layout,
    };
    walk.run();
    (walk.played, walk.problems)
}

/// A repeated section that is being played.
struct Section {
    start: usize,
    /// 1 the first time.
    pass: u32,
}

struct Walk<'a> {
    layout: Layout<'a>,
    plan: &'a MovementPlan,
    played: Vec<(BarIndex, BarIndex)>,
    n_played: usize,
    /// Bars stepped over and looked through so far.
    work: usize,
    /// The farthest bar that was played.
    farthest: Option<usize>,
    /// How often each bar was played.
    counts: Vec<u32>,
    /// How often the endings that begin at a bar were come to.
    visits: Vec<u32>,
    /// Open sections that began with a repeat sign, the innermost last.
    sections: Vec<Section>,
    /// Where a repeat without a beginning goes back to: the start, or behind the last repeat.
    open_from: usize,
    /// The pass of that section.
    open_pass: u32,
    /// Jumps that have been taken, by bar.
    taken: Vec<bool>,
    /// Jumps in order of bars; the last one was not taken.
    jumps_left: Vec<usize>,
    replay: Option<Replay>,
    /// The ending that is played after a jump: the group by its first bar, and the ending by its.
    chosen: Option<(usize, Option<usize>)>,
    problems: Vec<OrderProblem>,
}

impl<'a> Walk<'a> {
    fn run(&mut self) {
        let mut at = 0;
        let bars: &'a [Bar] = self.layout.bars;
        while let Some(bar) = bars.get(at) {
            self.work += 1;
            if self.n_played >= MAX_PLAYED || self.work > MAX_WORK {
                self.problem(at, OrderProblemKind::TooLong);
                return;
            }
            if self.stops_before(at, bar) {
                match self.leave(at.saturating_sub(1)) {
                    Some(next) => at = next,
                    None => return,
                }
                continue;
            }
            match self.enter(at, bar) {
                Some(next) => {
                    at = next;
                    continue;
                }
                None => self.play(at),
            }
            match self.next(at, bar) {
                Some(next) => at = next,
                None => return,
            }
        }
    }

    /// Opens the section that begins at a bar. Answers where to go on instead if the bar is cut or
    /// belongs to an ending of another pass.
    fn enter(&mut self, at: usize, bar: &Bar) -> Option<usize> {
        let cut = self.cut_end(at);
        // Back at the start of the section that begins here.
        let again = self.sections.last().is_some_and(|section| section.start == at);
        let ending = cut.is_none() && !again && self.layout.begins_ending(at);
        if ending {
            // Its group is looked through for the ending that is due.
            self.work += self.layout.group(at).map_or(0, |group| group.to - group.from);
            self.count_visit(at);
        }
        if ending && !self.ending_is_due(at) {
            let behind = self.layout.ending_end(at);
            let same_group = self.layout.group(behind).map(|group| group.from)
                == self.layout.group(at).map(|group| group.from);
            if !(self.layout.begins_ending(behind) && same_group) {
                if !self.replays(at) && !self.follows_lone_bracket(at) {
                    self.problem(at, OrderProblemKind::NoEnding(self.pass()));
                }
                self.close_section(behind);
            }
            return Some(behind);
        }
        if bar.flow.middle && self.sections.is_empty() && self.open_from < at {
            // Nothing repeats from a middle section back into the first.
            self.close_section(at);
        }
        if bar.flow.repeat_start && !again {
            if ending {
                // The next section begins inside the last ending of this one.
                self.close_section(at);
            }
            self.sections.push(Section { start: at, pass: 1 });
        }
        cut
    }

    fn play(&mut self, at: usize) {
        self.n_played += 1;
        if let Some(count) = self.counts.get_mut(at) {
            *count = count.saturating_add(1);
        }
        self.farthest = self.farthest.max(Some(at));
        let bar = BarIndex::from(at);
        match self.played.last_mut() {
            Some((_, last)) if last.idx() + 1 == at => *last = bar,
            _ => self.played.push((bar, bar)),
        }
    }

    /// Where play goes after a bar; `None` at the end.
    fn next(&mut self, at: usize, bar: &Bar) -> Option<usize> {
        let flow = &bar.flow;
        let pending = self.repeat_is_pending(at);
        let mut behind = at + 1;
        if flow.fine.as_ref().is_some_and(|way| self.is_due(at, way, Until::Fine, pending)) {
            return self.leave(at);
        }
        if let Some(way) = &flow.to_coda
            && self.is_due(at, way, Until::Coda, pending)
        {
            match self.coda(at, &way.name) {
                Some(coda) => return Some(coda),
                None => self.problem(at, OrderProblemKind::NoCoda),
            }
        }
        if !pending && self.ends_here_for_want_of_a_way_out(at, bar) {
            return self.leave(at);
        }
        if self.layout.times(at).is_some() {
            if let Some(start) = self.repeat(at) {
                return Some(start);
            }
            // After a jump one ending is played and the others are passed over.
            let group = self.layout.group(at).filter(|_| self.replays(at));
            behind = group.map_or(behind, |group| group.to + 1);
            self.close_section(behind);
        } else if !flow.repeat_start && self.layout.leaves_endings(at) {
            self.close_section(at + 1);
        }
        if let Some(jump) = &flow.jump
            && self.jump_is_due(at, jump, pending)
        {
            return Some(self.jump(at, jump));
        }
        if self.replay.as_ref().is_some_and(|replay| replay.from == Some(at) && replay.then_coda)
            && let Some(coda) = self.coda(at, "")
        {
            return Some(coda);
        }
        Some(behind)
    }

    /// Whether what is played at a bar has been played before the last jump.
    fn replays(&self, at: usize) -> bool {
        self.replay.as_ref().is_some_and(|replay| Some(at) <= replay.played_to)
    }

    /// A single bracket, "1.", and what follows it stands for the second ending.
    fn follows_lone_bracket(&self, at: usize) -> bool {
        let Some(group) = self.layout.group(at) else { return false };
        let alone = self.layout.starts(group).nth(1).is_none();
        alone && self.pass() == group.last_number.saturating_add(1)
    }

    /// Whether the repeat that ends at a bar is taken at all.
    fn takes_repeat(&self, end: usize) -> bool {
        if self.plan.repeats_left.binary_search(&BarIndex::from(end)).is_ok() {
            return false;
        }
        let Some(replay) = self.replay.as_ref().filter(|_| self.replays(end)) else {
            return true;
        };
        let stated = self.layout.bars.get(end).and_then(|bar| bar.flow.repeat_after_jump);
        replay.jump.repeats.or(stated).unwrap_or(false)
    }

    /// Whether the passage that a bar is in will be played once more.
    fn repeat_is_pending(&self, at: usize) -> bool {
        let Some(end) = self.layout.enclosing_repeat(at) else { return false };
        // What stands in an ending is played when that ending is; only its own repeat counts.
        if !self.layout.endings(at).is_empty() && self.layout.ending_end(at) != end + 1 {
            return false;
        }
        let times = self.layout.times(end).unwrap_or(1);
        self.takes_repeat(end) && self.pass() < times
    }

    /// The start of the section if it is to be played again.
    fn repeat(&mut self, at: usize) -> Option<usize> {
        if !self.takes_repeat(at) {
            return None;
        }
        let times = self.layout.times(at)?;
        if let Some(section) = self.sections.last_mut() {
            if section.pass >= times {
                return None;
            }
            section.pass += 1;
            return Some(section.start);
        }
        if self.open_pass >= times {
            return None;
        }
        self.open_pass += 1;
        Some(self.open_from)
    }

    /// The innermost section is over; what follows begins at `next`.
    fn close_section(&mut self, next: usize) {
        self.sections.pop();
        self.open_from = next;
        self.open_pass = 1;
    }

    fn pass(&self) -> u32 {
        self.sections.last().map_or(self.open_pass, |section| section.pass)
    }

    fn count(&self, at: usize) -> u32 {
        self.counts.get(at).copied().unwrap_or(0)
    }

    /// Whether a way out is taken now. One with numbers holds at these times through its bar, others
    /// after a jump that leads there.
    fn is_due(&self, at: usize, way: &WayOut, kind: Until, pending: bool) -> bool {
        if !way.passes.is_empty() {
            return way.passes.contains(&self.count(at));
        }
        let Some(replay) = &self.replay else { return false };
        let jump = &replay.jump;
        let leads_here = match jump.until {
            Until::Unstated => true,
            until => until == kind,
        };
        // Behind the coda a Fine may still be meant for a jump to come.
        let to_come = || replay.from.is_none() && self.jumps_behind(at);
        leads_here && !pending && fit(&way.name, &jump.coda) && !to_come()
    }

    /// Counts that play comes to a group of endings, and chooses the one to play after a jump.
    fn count_visit(&mut self, at: usize) {
        let Some(group) = self.layout.group(at).filter(|group| group.from == at) else { return };
        if let Some(visits) = self.visits.get_mut(at) {
            *visits = visits.saturating_add(1);
        }
        if self.replays(at) {
            self.chosen = Some((at, self.ending_after_jump(group)));
        }
    }

    /// Whether the ending that begins at a bar belongs to this pass.
    fn ending_is_due(&self, at: usize) -> bool {
        let Some(group) = self.layout.group(at) else { return true };
        let left = || {
            let before = |bar: &BarIndex| bar.idx() < group.from;
            let first = self.plan.repeats_left.partition_point(before);
            self.plan.repeats_left.get(first).is_some_and(|bar| bar.idx() <= group.to)
        };
        let here = self.layout.endings(at);
        if left() {
            return here.contains(&group.last_number);
        }
        let unrepeated = self.replays(group.from) && !self.takes_repeat_in(group);
        if !unrepeated {
            return here.contains(&self.pass());
        }
        match self.chosen {
            Some((from, chosen)) if from == group.from => chosen == Some(at),
            _ => self.ending_after_jump(group) == Some(at),
        }
    }

    /// After a jump: the ending numbered for this time ("1, 3"), else the one that play leaves from,
    /// else the last.
    fn ending_after_jump(&self, group: Group) -> Option<usize> {
        let visits = self.visits.get(group.from).copied().unwrap_or(0);
        let numbered = |at: &usize| self.layout.endings(*at).contains(&visits);
        let leaves = |at: &usize| {
            let bars = self.layout.bars.get(*at..self.layout.ending_end(*at));
            bars.unwrap_or_default().iter().enumerate().any(|(idx, bar)| {
                let due = |way: &WayOut, kind| self.is_due(at + idx, way, kind, false);
                bar.flow.fine.as_ref().is_some_and(|way| due(way, Until::Fine))
                    || bar.flow.to_coda.as_ref().is_some_and(|way| due(way, Until::Coda))
            })
        };
        let last = |at: &usize| self.layout.endings(*at).contains(&group.last_number);
        let starts = || self.layout.starts(group);
        starts().find(numbered).or_else(|| starts().find(leaves)).or_else(|| starts().find(last))
    }

    /// Whether the repeats of a group of endings are taken.
    fn takes_repeat_in(&self, group: Group) -> bool {
        group.first_repeat.is_some_and(|end| self.takes_repeat(end))
    }

    /// The first bar behind a cut that covers a bar.
    fn cut_end(&self, at: usize) -> Option<usize> {
        let bar = BarIndex::from(at);
        let behind = self.plan.cuts.partition_point(|(_, to)| *to < bar);
        let cut = self.plan.cuts.get(behind).filter(|(from, _)| *from <= bar);
        cut.map(|(_, to)| to.idx().max(at) + 1)
    }

    fn problem(&mut self, at: usize, kind: OrderProblemKind) {
        let problem = OrderProblem { bar: BarIndex::from(at), kind };
        if self.problems.len() < MAX_PROBLEMS && !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }
}
