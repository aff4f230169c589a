//! Who leads, from hand-off to hand-off: spans in which some parts have the line all the time while
//! others join and leave it.

use super::Lead;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;

/// Bars in a row in which at least one part leads throughout.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LeadRun {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// Those that lead throughout; the leading part of most bars first.
    pub parts: Vec<PartIdx>,
    /// Those that play along in some of the bars, in the order in which they join.
    pub joined: Vec<PartIdx>,
    /// How far ahead of the next line they are, 0 to 1; mean of the bars.
    pub lead: f32,
    /// What speaks for them, as in the spans.
    pub reasons: Vec<String>,
    /// Who had the line in the bar before; empty at a beginning and after silence.
    pub before: Vec<PartIdx>,
}

impl LeadRun {
    fn begin(lead: &Lead, before: &[PartIdx]) -> Self {
        Self {
            from: lead.from,
            to: lead.to,
            parts: lead.parts.clone(),
            joined: Vec::new(),
            lead: lead.lead,
            reasons: lead.reasons.clone(),
            before: before.to_vec(),
        }
    }

    /// Takes the span after its last, if anyone of those that lead goes on.
    fn take(&mut self, lead: &Lead) -> bool {
        let stays = |part: &PartIdx| lead.parts.contains(part);
        // Its leader goes on, or one who led with him is the leader now; those who only play along
        // on both sides make no line.
        let own = self.parts.first().is_some_and(stays);
        let taken = lead.parts.first().is_some_and(|leader| self.parts.contains(leader));
        if self.to.0 + 1 != lead.from.0 || !(own || taken) {
            return false;
        }
        let (stay, leave): (Vec<_>, Vec<_>) = self.parts.iter().copied().partition(stays);
        let knows = |run: &Self, part: &PartIdx| {
            run.joined.contains(part) || stay.contains(part) || leave.contains(part)
        };
        let new: Vec<PartIdx> =
            lead.parts.iter().filter(|part| !knows(self, part)).copied().collect();
        self.joined.extend(leave);
        self.joined.extend(new);
        self.parts = stay;
        let (own, other) = (n_bars(self.from, self.to), n_bars(lead.from, lead.to));
        self.lead = (self.lead * own + lead.lead * other) / (own + other);
        for reason in &lead.reasons {
            if !self.reasons.contains(reason) {
                self.reasons.push(reason.clone());
            }
        }
        self.to = lead.to;
        true
    }

    /// Whether the line is handed on: none of those who lead had it in the bar before.
    pub fn is_handed(&self) -> bool {
        !self.before.is_empty() && !self.parts.iter().any(|part| self.before.contains(part))
    }
}

fn n_bars(from: BarIndex, to: BarIndex) -> f32 {
    (to.0 - from.0 + 1) as f32
}

/// The runs of a movement, in order. A run ends where nobody of those goes on who led all through it.
pub fn runs(leads: &[Lead]) -> Vec<LeadRun> {
    let mut runs: Vec<LeadRun> = Vec::new();
    let mut before: Option<&Lead> = None;
    for lead in leads {
        let follows = before.filter(|before| before.to.0 + 1 == lead.from.0);
        let had = follows.map_or(&[][..], |before| before.parts.as_slice());
        if !runs.last_mut().is_some_and(|run| run.take(lead)) {
            runs.push(LeadRun::begin(lead, had));
        }
        before = Some(lead);
    }
    runs
}

/// The run that a bar lies in; the runs are in order.
pub fn run_at(runs: &[LeadRun], bar: BarIndex) -> Option<&LeadRun> {
    let after = runs.partition_point(|run| run.from <= bar);
    after.checked_sub(1).and_then(|nth| runs.get(nth)).filter(|run| bar <= run.to)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lead(from: u32, to: u32, parts: &[u16]) -> Lead {
        let parts = parts.iter().map(|part| PartIdx(*part)).collect();
        Lead { from: BarIndex(from), to: BarIndex(to), parts, ..Lead::default() }
    }

    /// First and last bar, those who lead, those who join, whether the line is handed on.
    type Told = (u32, u32, Vec<u16>, Vec<u16>, bool);

    fn told(leads: &[Lead]) -> Vec<Told> {
        let idx = |parts: &[PartIdx]| parts.iter().map(|part| part.0).collect::<Vec<_>>();
        let row = |run: &LeadRun| {
            (run.from.0, run.to.0, idx(&run.parts), idx(&run.joined), run.is_handed())
        };
        runs(leads).iter().map(row).collect()
    }

    #[test]
    fn those_who_play_along_for_some_bars_do_not_end_a_run() {
        let seen = told(&[lead(0, 3, &[8]), lead(4, 4, &[8, 0]), lead(5, 9, &[8])]);
        assert_eq!(seen, [(0, 9, vec![8], vec![0], false)]);
    }

    #[test]
    fn one_who_stays_behind_alone_has_a_run_of_his_own_and_no_hand_off() {
        let seen = told(&[lead(0, 3, &[8]), lead(4, 5, &[8, 0]), lead(6, 9, &[0])]);
        assert_eq!(seen, [(0, 5, vec![8], vec![0], false), (6, 9, vec![0], vec![], false)]);
    }

    #[test]
    fn a_part_that_plays_along_with_two_leaders_does_not_join_their_runs() {
        let seen = told(&[lead(0, 3, &[8, 9]), lead(4, 5, &[2, 9])]);
        assert_eq!(seen, [(0, 3, vec![8, 9], vec![], false), (4, 5, vec![2, 9], vec![], false)]);
    }

    #[test]
    fn a_line_is_handed_to_others_at_once_and_not_over_a_silence() {
        let seen = told(&[lead(0, 3, &[8]), lead(4, 5, &[1, 2]), lead(7, 9, &[8])]);
        let handed: Vec<bool> = seen.iter().map(|run| run.4).collect();
        assert_eq!(handed, [false, true, false]);
    }
}
