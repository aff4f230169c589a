//! What happens after a jump: where it goes, up to where is played, and where the coda comes in.
//! Knows the walk's place; what is written before the jump is the walk's own matter.

use super::{Section, Walk};
use crate::bar::{Bar, Barline, Jump, JumpTo, Until};
use crate::play_order::problem::OrderProblemKind;
use crate::play_order::signs::{coda_for, fit, segno_for};

/// A jump has been taken.
pub(super) struct Replay {
    /// The bar of the jump; `None` behind the coda.
    pub(super) from: Option<usize>,
    /// Up to this bar what is played was played before; `None` behind the coda.
    pub(super) played_to: Option<usize>,
    /// The bar that play went to.
    pub(super) to: usize,
    pub(super) jump: Jump,
    /// Nothing is written that says where to leave.
    pub(super) no_way_out: bool,
    /// The coda follows where play would end.
    pub(super) then_coda: bool,
}

impl Walk<'_> {
    /// Whether a jump that was not taken yet stands behind a bar.
    pub(super) fn jumps_behind(&self, at: usize) -> bool {
        self.jumps_left.last().is_some_and(|jump| *jump >= at)
    }

    /// Whether a jump is taken now: at the times it names, else the first time that the passage it
    /// stands in is not to be repeated.
    pub(super) fn jump_is_due(&self, at: usize, jump: &Jump, pending: bool) -> bool {
        if !jump.passes.is_empty() {
            return jump.passes.contains(&self.count(at));
        }
        self.taken.get(at) == Some(&false) && !pending
    }

    pub(super) fn jump(&mut self, at: usize, jump: &Jump) -> usize {
        self.work += self.layout.bars.len();
        if let Some(taken) = self.taken.get_mut(at) {
            *taken = true;
        }
        while self.jumps_left.last().is_some_and(|jump| self.taken.get(*jump) == Some(&true)) {
            self.jumps_left.pop();
        }
        let to = match jump.to {
            JumpTo::Beginning => 0,
            JumpTo::Segno => match segno_for(self.layout.bars, at, &jump.segno) {
                (Some(found), other) => {
                    if other {
                        self.problem(at, OrderProblemKind::OtherSegno(jump.segno.clone()));
                    }
                    found
                }
                (None, _) => {
                    self.problem(at, OrderProblemKind::NoSegno);
                    0
                }
            },
        };
        // "1. D.C." and "2.": the second ending is the way out.
        let in_ending = self.layout.group(at).is_some_and(|group| at < group.to);
        let no_way_out = !in_ending && !self.has_way_out(jump, to);
        if no_way_out && !jump.then_coda {
            let kind = match jump.until {
                Until::Coda => OrderProblemKind::NoWayToCoda,
                _ => OrderProblemKind::NoFine,
            };
            self.problem(at, kind);
        }
        let coda_behind =
            || self.layout.bars.iter().skip(at + 1).any(|bar| bar.flow.coda.is_some());
        // Without "al fine", a coda behind the jump would else never be played.
        let then_coda = jump.then_coda
            || no_way_out
                && match jump.until {
                    Until::Coda => true,
                    Until::Unstated => coda_behind(),
                    Until::Fine | Until::Segno => false,
                };
        self.replay = Some(Replay {
            from: Some(at.max(to)),
            played_to: self.farthest.max(Some(at)),
            to,
            jump: jump.clone(),
            no_way_out,
            then_coda,
        });
        self.arrive(to);
        to
    }

    /// Whether something says where to leave after a jump.
    fn has_way_out(&self, jump: &Jump, to: usize) -> bool {
        let bars = self.layout.bars.iter().enumerate();
        let mut behind = bars.skip(to);
        behind.any(|(at, bar)| {
            let flow = &bar.flow;
            let coda = flow.to_coda.as_ref().is_some_and(|way| fit(&way.name, &jump.coda));
            match jump.until {
                Until::Unstated => flow.fine.is_some() || coda,
                Until::Fine => flow.fine.is_some(),
                Until::Coda => coda,
                Until::Segno => at > to && flow.segno.is_some(),
            }
        })
    }

    /// Opens the sections that a place reached by a jump lies in.
    fn arrive(&mut self, to: usize) {
        let (open, from) = self.layout.open_sections(to);
        self.sections = open.into_iter().map(|start| Section { start, pass: 1 }).collect();
        self.open_from = from;
        self.open_pass = 1;
    }

    /// The replay is over: what is played next, `None` for nothing.
    pub(super) fn leave(&mut self, at: usize) -> Option<usize> {
        let wants_coda = self.replay.as_ref().is_some_and(|replay| replay.then_coda);
        if wants_coda { self.coda(at, "") } else { None }
    }

    /// Goes to the coda; `None` if there is none.
    pub(super) fn coda(&mut self, at: usize, name: &str) -> Option<usize> {
        self.work += self.layout.bars.len();
        let jump = self.replay.as_ref();
        let name = match (name, jump) {
            ("", Some(replay)) => replay.jump.coda.clone(),
            (name, _) => name.to_owned(),
        };
        let jumped = jump.and_then(|replay| replay.from);
        let coda = coda_for(self.layout.bars, at, jumped, &name)?;
        // In the coda only its own end counts.
        let until = Jump { until: Until::Fine, ..Jump::default() };
        self.replay = Some(Replay {
            from: None,
            played_to: None,
            to: coda,
            jump: until,
            no_way_out: false,
            then_coda: false,
        });
        self.arrive(coda);
        Some(coda)
    }

    /// "D.C. al segno": play stops before the sign.
    pub(super) fn stops_before(&self, at: usize, bar: &Bar) -> bool {
        self.replay.as_ref().is_some_and(|replay| {
            replay.jump.until == Until::Segno && at > replay.to && bar.flow.segno.is_some()
        })
    }

    /// A jump without a way out ends where the middle section begins, or at a thick barline that
    /// stands inside the movement before the jump: a minuet before its trio.
    pub(super) fn ends_here_for_want_of_a_way_out(&self, at: usize, bar: &Bar) -> bool {
        let Some(replay) = &self.replay else { return false };
        let middle = self.layout.bars.get(at + 1).is_some_and(|next| next.flow.middle);
        let ends = middle || bar.barline == Barline::Final;
        replay.no_way_out && Some(at) < replay.from && ends
    }
}
