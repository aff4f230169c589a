//! The walk through the bars of a movement: where play goes after each bar, pass by pass. Knows the
//! signs of the bars and the plan's choices; it reads no notes.

use super::{OrderProblem, OrderProblemKind};
use crate::bar::{Bar, BarIndex, Barline, Jump};
use crate::basis::MovementPlan;
use crate::score::Movement;

/// The most bars that one movement may have when played.
const MAX_PLAYED: usize = 500_000;

/// Problems that are listed; a damaged file may have one at every bar.
const MAX_PROBLEMS: usize = 50;

/// Plays a movement: the spans in the order of play, and what did not fit.
pub(super) fn walk(
    movement: &Movement,
    plan: &MovementPlan,
) -> (Vec<(BarIndex, BarIndex)>, Vec<OrderProblem>) {
    let mut walk = Walk {
        bars: movement.bars.as_slice(),
        plan,
        played: Vec::new(),
        n_played: 0,
        sections: Vec::new(),
        open_from: 0,
        open_pass: 1,
        jumped: false,
        taken: vec![false; movement.bars.len()],
        first_jump: None,
        has_way_out: movement.bars.iter().any(|(_, bar)| bar.flow.fine || bar.flow.to_coda),
        groups: groups(movement.bars.as_slice()),
        problems: Vec::new(),
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
    bars: &'a [Bar],
    plan: &'a MovementPlan,
    played: Vec<(BarIndex, BarIndex)>,
    n_played: usize,
    /// Open sections that began with a repeat sign, the innermost last.
    sections: Vec<Section>,
    /// Where a repeat without a beginning goes back to: the start, or behind the last repeat.
    open_from: usize,
    /// The pass of that section.
    open_pass: u32,
    /// A jump has been taken.
    jumped: bool,
    /// Jumps that have been taken, by bar.
    taken: Vec<bool>,
    first_jump: Option<usize>,
    /// Something says where to end after a jump.
    has_way_out: bool,
    /// For each bar the group of endings it belongs to.
    groups: Vec<Option<Group>>,
    problems: Vec<OrderProblem>,
}

impl Walk<'_> {
    fn run(&mut self) {
        let mut at = 0;
        let mut steps = 0;
        while let Some(bar) = self.bars.get(at) {
            steps += 1;
            if self.n_played >= MAX_PLAYED || steps > 4 * MAX_PLAYED {
                self.problem(at, OrderProblemKind::TooLong);
                return;
            }
            let cut = self.cut_end(at);
            // Back at the start of the section that begins here.
            let again = self.sections.last().is_some_and(|section| section.start == at);
            let ending = cut.is_none() && !again && self.begins_ending(at);
            if ending && !self.ending_is_due(at) {
                let behind = self.ending_end(at);
                if !self.begins_ending(behind) {
                    self.problem(at, OrderProblemKind::NoEnding(self.pass()));
                    self.close_section(behind);
                }
                at = behind;
                continue;
            }
            if bar.flow.repeat_start && !again {
                if ending {
                    // The next section begins inside the last ending of this one.
                    self.close_section(at);
                }
                self.sections.push(Section { start: at, pass: 1 });
            }
            if let Some(behind) = cut {
                at = behind;
                continue;
            }
            self.play(at);
            match self.next(at, bar) {
                Some(next) => at = next,
                None => return,
            }
        }
    }

    fn play(&mut self, at: usize) {
        self.n_played += 1;
        let bar = BarIndex::from(at);
        match self.played.last_mut() {
            Some((_, last)) if last.idx() + 1 == at => *last = bar,
            _ => self.played.push((bar, bar)),
        }
    }

    /// Where play goes after a bar; `None` at the end.
    fn next(&mut self, at: usize, bar: &Bar) -> Option<usize> {
        let flow = &bar.flow;
        if self.jumped && (flow.fine || self.ends_here_for_want_of_fine(at, bar)) {
            return None;
        }
        if self.jumped && flow.to_coda {
            match self.coda(at) {
                Some(coda) => {
                    self.sections.clear();
                    return Some(coda);
                }
                None => self.problem(at, OrderProblemKind::NoCoda),
            }
        }
        if let Some(times) = flow.repeat_end {
            if let Some(start) = self.repeat(at, times) {
                return Some(start);
            }
            self.close_section(at + 1);
        } else if !flow.endings.is_empty() && !flow.repeat_start && self.leaves_endings(at) {
            self.close_section(at + 1);
        }
        if let Some(jump) = flow.jump
            && self.taken.get(at) == Some(&false)
        {
            return Some(self.jump(at, jump));
        }
        Some(at + 1)
    }

    /// The start of the section if it is to be played again.
    fn repeat(&mut self, at: usize, times: u32) -> Option<usize> {
        if self.jumped || self.plan.repeats_left.contains(&BarIndex::from(at)) {
            return None;
        }
        let endings = self.bars.get(at).map(|bar| bar.flow.endings.as_slice()).unwrap_or_default();
        let times = if endings.is_empty() { times } else { self.last_ending_number(at).max(1) };
        // A single bracket, "1." without a "2.": what follows it stands for the second.
        let times = if endings == [1] { times.max(2) } else { times };
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

    fn jump(&mut self, at: usize, jump: Jump) -> usize {
        if let Some(taken) = self.taken.get_mut(at) {
            *taken = true;
        }
        self.first_jump.get_or_insert(at);
        self.jumped = true;
        self.sections.clear();
        self.open_pass = 1;
        let segno = |bar: &Bar| bar.flow.segno;
        let target = match jump {
            Jump::DaCapo => 0,
            Jump::DalSegno => {
                let before = self.bars.iter().take(at + 1).rposition(segno);
                let anywhere = || self.bars.iter().position(segno);
                before.or_else(anywhere).unwrap_or_else(|| {
                    self.problem(at, OrderProblemKind::NoSegno);
                    0
                })
            }
        };
        if !self.has_way_out {
            self.problem(at, OrderProblemKind::NoFine);
        }
        self.open_from = target;
        target
    }

    /// A jump without a fine ends at a thick barline that stands inside the movement before the
    /// jump: a minuet before its trio.
    fn ends_here_for_want_of_fine(&self, at: usize, bar: &Bar) -> bool {
        let before_jump = self.first_jump.is_some_and(|jump| at < jump);
        !self.has_way_out && before_jump && bar.barline == Barline::Final
    }

    /// The coda after a bar, else the first anywhere.
    fn coda(&self, at: usize) -> Option<usize> {
        let coda = |bar: &Bar| bar.flow.coda;
        let after = self.bars.iter().skip(at + 1).position(coda).map(|idx| idx + at + 1);
        after.or_else(|| self.bars.iter().position(coda))
    }

    fn endings(&self, at: usize) -> &[u32] {
        self.bars.get(at).map(|bar| bar.flow.endings.as_slice()).unwrap_or_default()
    }

    /// Whether an ending begins at a bar.
    fn begins_ending(&self, at: usize) -> bool {
        let here = self.endings(at);
        let before = at.checked_sub(1).map(|before| self.endings(before)).unwrap_or_default();
        !here.is_empty() && here != before
    }

    /// The first bar behind the ending that begins at a bar.
    fn ending_end(&self, at: usize) -> usize {
        let here = self.endings(at);
        (at + 1..self.bars.len()).find(|idx| self.endings(*idx) != here).unwrap_or(self.bars.len())
    }

    fn group(&self, at: usize) -> Option<Group> {
        self.groups.get(at).copied().flatten()
    }

    fn last_ending_number(&self, at: usize) -> u32 {
        self.group(at).map_or(0, |group| group.last_number)
    }

    /// Whether the ending that begins at a bar belongs to this pass.
    fn ending_is_due(&self, at: usize) -> bool {
        let left = |group: Group| {
            let span = BarIndex::from(group.from)..=BarIndex::from(group.to);
            self.plan.repeats_left.iter().any(|bar| span.contains(bar))
        };
        let wanted = if self.jumped || self.group(at).is_some_and(left) {
            self.last_ending_number(at)
        } else {
            self.pass()
        };
        self.endings(at).contains(&wanted)
    }

    /// Whether a bar is the last of its group of endings.
    fn leaves_endings(&self, at: usize) -> bool {
        self.group(at).is_some_and(|group| group.to == at)
    }

    /// The first bar behind a cut that covers a bar.
    fn cut_end(&self, at: usize) -> Option<usize> {
        let bar = BarIndex::from(at);
        let cut = self.plan.cuts.iter().find(|(from, to)| (*from..=*to).contains(&bar));
        cut.map(|(_, to)| to.idx().max(at) + 1)
    }

    fn problem(&mut self, at: usize, kind: OrderProblemKind) {
        let problem = OrderProblem { bar: BarIndex::from(at), kind };
        if self.problems.len() < MAX_PROBLEMS && !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }
}

/// Endings that follow each other.
#[derive(Clone, Copy)]
struct Group {
    /// The first bar.
    from: usize,
    /// The last bar.
    to: usize,
    /// The highest number among the endings.
    last_number: u32,
}

/// The group of each bar. Endings whose numbers fall belong to another section.
fn groups(bars: &[Bar]) -> Vec<Option<Group>> {
    let mut groups: Vec<Option<Group>> = vec![None; bars.len()];
    let mut from = 0;
    while from < bars.len() {
        let numbers = |idx: usize| bars.get(idx).map(|bar| bar.flow.endings.as_slice());
        let first = numbers(from).unwrap_or_default();
        if first.is_empty() {
            from += 1;
            continue;
        }
        let mut to = from;
        let mut before = first;
        while let Some(next) = numbers(to + 1).filter(|next| !next.is_empty()) {
            if next != before && next.first() < before.first() {
                break;
            }
            before = next;
            to += 1;
        }
        let all = (from..=to).filter_map(numbers).flatten();
        let last_number = all.copied().max().unwrap_or(0);
        if let Some(members) = groups.get_mut(from..=to) {
            members.fill(Some(Group { from, to, last_number }));
        }
        from = to + 1;
    }
    groups
}
