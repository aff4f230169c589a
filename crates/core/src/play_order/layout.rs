//! What the signs of a movement mean before anything is played: groups of endings, and which repeat
//! encloses a bar.

use crate::bar::{Bar, Barline};

/// Endings that follow each other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Group {
    /// The first bar.
    pub(super) from: usize,
    /// The last bar.
    pub(super) to: usize,
    /// The highest number among the endings.
    pub(super) last_number: u32,
    /// The first bar in it that ends with a repeat sign.
    pub(super) first_repeat: Option<usize>,
}

/// The bars of a movement with what their signs mean, made once.
pub(super) struct Layout<'a> {
    pub(super) bars: &'a [Bar],
    groups: Vec<Option<Group>>,
    /// Bars that end an ending without the repeat sign that another ending behind it asks for.
    missing: Vec<usize>,
    /// By bar: the first bar behind the ending that it is in.
    ending_ends: Vec<usize>,
    /// By bar: how often the passage is played that a repeat ends there.
    times: Vec<Option<u32>>,
    /// By bar: the repeat whose passage holds it.
    enclosing: Vec<Option<usize>>,
}

impl<'a> Layout<'a> {
    pub(super) fn of(bars: &'a [Bar]) -> Self {
        let mut layout = Self {
            bars,
            groups: groups(bars),
            missing: Vec::new(),
            ending_ends: vec![bars.len(); bars.len()],
            times: Vec::new(),
            enclosing: vec![None; bars.len()],
        };
        for at in (0..bars.len()).rev() {
            let goes_on = !layout.endings(at + 1).is_empty() && !layout.begins_ending(at + 1);
            let next = layout.ending_ends.get(at + 1).copied().unwrap_or(bars.len());
            if let Some(end) = layout.ending_ends.get_mut(at) {
                *end = if goes_on { next } else { at + 1 };
            }
        }
        layout.missing = (0..bars.len()).filter(|at| layout.lacks_repeat(*at)).collect();
        layout.times = layout.all_times();
        layout.enclose();
        layout
    }

    pub(super) fn group(&self, at: usize) -> Option<Group> {
        self.groups.get(at).copied().flatten()
    }

    pub(super) fn endings(&self, at: usize) -> &'a [u32] {
        self.bars.get(at).map(|bar| bar.flow.endings.as_slice()).unwrap_or_default()
    }

    /// Whether an ending begins at a bar.
    pub(super) fn begins_ending(&self, at: usize) -> bool {
        let here = self.endings(at);
        let Some(before) = at.checked_sub(1) else { return !here.is_empty() };
        let closed = self.bars.get(before).is_some_and(|bar| bar.flow.ending_stops);
        !here.is_empty() && (here != self.endings(before) || closed)
    }

    /// The first bar behind the ending that a bar is in.
    pub(super) fn ending_end(&self, at: usize) -> usize {
        self.ending_ends.get(at).copied().unwrap_or(self.bars.len())
    }

    /// The first bars of the endings of a group.
    pub(super) fn starts(&self, group: Group) -> impl Iterator<Item = usize> {
        (group.from..=group.to).filter(|at| self.begins_ending(*at))
    }

    /// Whether a bar is the last of its group of endings.
    pub(super) fn leaves_endings(&self, at: usize) -> bool {
        self.group(at).is_some_and(|group| group.to == at)
    }

    /// Bars where a repeat sign is missing.
    pub(super) fn missing_repeats(&self) -> &[usize] {
        &self.missing
    }

    /// How often the passage that a repeat ends is played; `None` if no repeat ends here.
    pub(super) fn times(&self, at: usize) -> Option<u32> {
        self.times.get(at).copied().flatten()
    }

    /// The repeat whose passage holds a bar: the first repeat sign at or behind it that closes a
    /// section the bar is in.
    pub(super) fn enclosing_repeat(&self, at: usize) -> Option<usize> {
        self.enclosing.get(at).copied().flatten()
    }

    fn all_times(&self) -> Vec<Option<u32>> {
        let mut times = vec![None; self.bars.len()];
        let mut at = 0;
        while at < self.bars.len() {
            let group = self.group(at);
            let to = group.map_or(at, |group| group.to);
            // The endings count. A single bracket, "1." without a "2.": what follows it stands for
            // the second.
            let counted = group.map(|group| {
                let alone = self.starts(group).nth(1).is_none();
                group.last_number.saturating_add(u32::from(alone)).max(1)
            });
            for idx in at..=to {
                let stated = self.bars.get(idx).and_then(|bar| bar.flow.repeat_end);
                let assumed = self.missing.binary_search(&idx).is_ok().then_some(2);
                if let Some(slot) = times.get_mut(idx) {
                    *slot = stated.or(assumed).map(|stated| counted.unwrap_or(stated));
                }
            }
            at = to + 1;
        }
        times
    }

    fn enclose(&mut self) {
        // Repeats that are still open, seen from behind.
        let mut open: Vec<usize> = Vec::new();
        for (at, bar) in self.bars.iter().enumerate().rev() {
            let repeats = self.times(at).is_some();
            if bar.barline == Barline::Final && !repeats {
                open.clear();
            }
            if repeats {
                open.push(at);
            }
            if let Some(slot) = self.enclosing.get_mut(at) {
                *slot = open.last().copied();
            }
            if bar.flow.repeat_start {
                open.pop();
            }
            if bar.flow.coda.is_some() || bar.flow.middle {
                open.clear();
            }
        }
    }

    /// The sections that are open where a jump arrives, outermost first, and where a repeat without
    /// a beginning would go back to.
    pub(super) fn open_sections(&self, at: usize) -> (Vec<usize>, usize) {
        let (mut open, mut from) = (Vec::new(), 0);
        for (idx, bar) in self.bars.iter().enumerate().take(at) {
            if bar.flow.middle && open.is_empty() {
                from = idx;
            }
            if bar.flow.repeat_start {
                open.push(idx);
            }
            let closes = match self.group(idx) {
                Some(group) => group.to == idx,
                None => bar.flow.repeat_end.is_some(),
            };
            if closes && (open.pop().is_none() || open.is_empty()) {
                from = idx + 1;
            }
        }
        (open, from)
    }

    /// An ending that is not the last of its group, without a repeat or jump at its end.
    fn lacks_repeat(&self, at: usize) -> bool {
        let Some(group) = self.group(at).filter(|group| at < group.to) else { return false };
        let Some(bar) = self.bars.get(at) else { return false };
        let flow = &bar.flow;
        let leaves = flow.repeat_end.is_some() || flow.jump.is_some() || flow.fine.is_some();
        let next = at + 1;
        let rises = self.endings(next).first() > self.endings(at).last();
        next <= group.to && self.begins_ending(next) && rises && !leaves
    }
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
        let repeats = |idx: &usize| bars.get(*idx).is_some_and(|bar| bar.flow.repeat_end.is_some());
        let first_repeat = (from..=to).find(repeats);
        if let Some(members) = groups.get_mut(from..=to) {
            members.fill(Some(Group { from, to, last_number, first_repeat }));
        }
        from = to + 1;
    }
    groups
}
