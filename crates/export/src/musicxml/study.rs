//! What the conductor wrote and decided, as directions from the entries of the study: marks of layers that are shown, beatings,
//! cues, groups, tempi and the performing order. Printed small and in italics, so that they are not
//! taken for the composer's.

use super::direction::{Direction, Sign};
use barloom_analysis::say;
use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::part::{PartIdx, PartKey};
use barloom_core::score::{Movement, Score};
use barloom_core::study::{self, Cue, Item, Mark, OrderChoice, PlanTempoValue, Study};
use barloom_core::time::Ticks;

/// A direction, the part it belongs to (`None` for the first that is written) and where its dashes
/// end.
pub(super) struct Extra {
    pub(super) part: Option<usize>,
    pub(super) direction: Direction,
    pub(super) end: Option<Ticks>,
}

/// What a study says about the bars of an excerpt. `piece` are those bars, which begin with `from` in
/// the movement, and `parts` the parts that are written.
pub(super) fn extras(
    score: &Score,
    movement: &Movement,
    piece: &Movement,
    from: BarIndex,
    parts: &[PartIdx],
    study: &Study,
) -> Vec<Extra> {
    let last = from.idx() + piece.bars.len().saturating_sub(1);
    let bars = (from, BarIndex::from(last));
    let mut gather = Gather { score, movement, piece, bars, parts, found: Vec::new() };
    let mut last_beating: Option<String> = None;
    for entry in study.entries() {
        match &entry.item {
            Item::Mark(mark) if study.layer(mark.layer).is_some_and(|layer| layer.shown) => {
                gather.mark(mark);
            }
            Item::Cue(cue) if cue.wanted => gather.cue(cue),
            Item::Group(group) if !group.name.is_empty() => {
                let text = format!("[{}", group.name);
                gather.at_bar(group.movement, group.from, Some(group.to), text);
            }
            Item::Tempo(tempo) => gather.tempo(tempo.at, &tempo.value),
            Item::Order(choice) => gather.order(choice),
            _ => {}
        }
    }
    let inside = |bar: BarIndex| (bars.0..=bars.1).contains(&bar);
    let beatings = study.beatings_of(movement.id).into_iter().map(|(_, beating)| beating);
    for beating in beatings.filter(|beating| inside(beating.bar)) {
        let (full, _) = say::figure_words(&beating.pattern);
        let text = format!("in {full}");
        // The first bar of the excerpt may be a later one of a pattern that takes several bars.
        if last_beating.as_ref() != Some(&text) {
            gather.at_bar(movement.id, beating.bar, None, text.clone());
        }
        last_beating = Some(text);
    }
    gather.found
}

struct Gather<'a> {
    score: &'a Score,
    movement: &'a Movement,
    piece: &'a Movement,
    /// The first bar of the excerpt in the movement, and the last.
    bars: (BarIndex, BarIndex),
    parts: &'a [PartIdx],
    found: Vec<Extra>,
}

impl Gather<'_> {
    /// The bar of the excerpt that a bar of the movement is.
    fn bar(&self, movement: MovementId, bar: BarIndex) -> Option<BarIndex> {
        let (first, last) = self.bars;
        let inside = (first..=last).contains(&bar);
        (movement == self.movement.id && inside).then(|| BarIndex::from(bar.idx() - first.idx()))
    }

    fn place(&self, at: BarAddress) -> Option<(BarIndex, Ticks)> {
        let bar = self.bar(at.movement, at.bar)?;
        let ticks = self.piece.bars.ticks(bar, at.offset, self.piece.resolution)?;
        Some((bar, ticks))
    }

    fn parts(&self, keys: &[PartKey]) -> Vec<usize> {
        let places = keys.iter().filter_map(|key| self.score.part_by_key(key));
        places.filter_map(|part| self.parts.iter().position(|known| *known == part)).collect()
    }

    fn push(
        &mut self,
        part: Option<usize>,
        at: (BarIndex, Ticks),
        text: String,
        end: Option<Ticks>,
    ) {
        let sign = Sign::Words { text, bold: false, italic: true };
        let direction = Direction::with(at.0.idx(), at.1, sign);
        self.found.push(Extra { part, direction, end });
    }

    /// A note over the first part, with dashes to the end of the last bar.
    fn at_bar(&mut self, movement: MovementId, bar: BarIndex, to: Option<BarIndex>, text: String) {
        let from = self.reaching_in(BarAddress::start_of(movement, bar), to);
        let Some(at) = self.place(from) else { return };
        let end = self.end_of(to);
        self.push(None, at, text, end);
    }

    /// Where a span that ends with bar `to` begins in the excerpt: the first bar, if it began before.
    fn reaching_in(&self, from: BarAddress, to: Option<BarIndex>) -> BarAddress {
        let (first, _) = self.bars;
        let reaches = from.bar < first && to.is_some_and(|to| to >= first);
        if reaches { BarAddress::start_of(from.movement, first) } else { from }
    }

    /// The end of a bar of the movement, at most that of the excerpt.
    fn end_of(&self, bar: Option<BarIndex>) -> Option<Ticks> {
        let (first, last) = self.bars;
        let bar = bar?.min(last).idx().checked_sub(first.idx())?;
        self.piece.bars.get(BarIndex::from(bar)).map(|bar| bar.end())
    }

    fn mark(&mut self, mark: &Mark) {
        let Some(at) = self.place(self.reaching_in(mark.from, mark.to)) else { return };
        let text = match (mark.sign, mark.text.as_str()) {
            (study::Sign::Text, text) => text.to_owned(),
            (sign, "") => sign.name().to_owned(),
            (sign, text) => format!("{}: {text}", sign.name()),
        };
        let end = self.end_of(mark.to);
        let parts = self.parts(&mark.parts);
        if mark.parts.is_empty() {
            self.push(None, at, text, end);
            return;
        }
        for part in parts {
            self.push(Some(part), at, text.clone(), end);
        }
    }

    fn cue(&mut self, cue: &Cue) {
        let Some(at) = self.place(cue.at) else { return };
        let said: Vec<&str> = [cue.who.as_str(), cue.how.as_str()]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect();
        let text =
            if said.is_empty() { String::from("cue") } else { format!("cue: {}", said.join(", ")) };
        for part in self.parts(std::slice::from_ref(&cue.part)) {
            self.push(Some(part), at, text.clone(), None);
        }
    }

    fn tempo(&mut self, at: BarAddress, value: &PlanTempoValue) {
        let Some((bar, ticks)) = self.place(at) else { return };
        // It is the conductor's, not the composer's: words, not a metronome mark.
        let (text, played) = match value {
            PlanTempoValue::Beats { unit, per_minute } => {
                let text = format!("{} = {per_minute}", say::note_value(*unit));
                (text, Some(per_minute * unit.as_f64()))
            }
            PlanTempoValue::Term(term) => (term.clone(), None),
            PlanTempoValue::AsBefore => (String::from("as before"), None),
        };
        self.push(None, (bar, ticks), format!("my tempo: {text}"), None);
        if let (Some(played), Some(extra)) = (played, self.found.last_mut()) {
            extra.direction.sound = vec![("tempo", played.to_string())];
        }
    }

    fn order(&mut self, choice: &OrderChoice) {
        match choice {
            OrderChoice::Repeat { movement, bar, taken } => {
                let text = if *taken { "repeat taken" } else { "repeat left out" };
                self.at_bar(*movement, *bar, None, text.to_owned());
            }
            OrderChoice::Cut { movement, from, to } => {
                self.at_bar(*movement, *from, Some(*to), String::from("cut"));
            }
            OrderChoice::Pause { movement, after, seconds } => {
                self.at_bar(
                    *movement,
                    *after,
                    None,
                    format!("pause of {seconds} s after this bar"),
                );
            }
        }
    }
}
