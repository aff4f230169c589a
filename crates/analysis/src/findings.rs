//! What only the analyses can notice, as diagnostics beside those of the reader: tempi that
//! contradict each other, techniques that nothing begins or ends.

use crate::Tracks;
use crate::oddities::{OddityKind, oddities};
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::diag::{Code, Diagnostic, Place};
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// The findings of all movements in their order. What the reader has reported for the same bar
/// (`known`) is not said twice.
pub fn findings(basis: &Basis, tracks: &Tracks, known: &[Diagnostic]) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (idx, movement) in basis.score.movements.iter().enumerate() {
        let Some(tracks) = tracks.movements.get(idx) else { continue };
        let scene = Scene { basis, idx, movement };
        for odd in oddities(movement, tracks, idx, known) {
            let code = match odd.kind {
                OddityKind::Tempo => Code::TempoUnclear,
                OddityKind::Technique => Code::TechniqueUnclear,
                // The facts state tunings with their part.
                OddityKind::Tuning => continue,
            };
            found.push(scene.diagnostic(code, odd.at, odd.part, &odd.text));
        }
    }
    found
}

struct Scene<'a> {
    basis: &'a Basis,
    idx: usize,
    movement: &'a Movement,
}

impl Scene<'_> {
    fn diagnostic(&self, code: Code, at: Ticks, part: Option<PartIdx>, text: &str) -> Diagnostic {
        let (bar, offset) = self.movement.place(at);
        let file = self.basis.score.sources.get(self.movement.source_of(bar));
        let music = part.and_then(|part| self.movement.part(part));
        let first = self.movement.source_of(bar) == self.movement.source;
        let place = Place {
            file: file.map_or(String::new(), |source| source.name.clone()),
            movement: Some(self.idx),
            part: music.map(|music| (music.source_id.clone(), music.source_name.clone())),
            bar: Some((bar, self.movement.bar_name(bar))),
            at: Some(offset),
            beat: self.movement.beat(bar, offset),
            entry: if first { self.movement.entry.clone() } else { String::new() },
            line: self.line(bar, at, music),
            ..Place::default()
        };
        Diagnostic { code, place, message: text.to_owned(), hint: None, more: 0 }
    }

    /// The line of what stands at a place: a marking or note of the part, a tempo mark, else the bar.
    fn line(&self, bar: BarIndex, at: Ticks, music: Option<&PartMusic>) -> u32 {
        let next = Ticks(at.0.saturating_add(1));
        let of_part = music.and_then(|music| {
            let markings = music.markings_in(at, next).iter().map(|marking| marking.line);
            let notes = music.notes_in(at, next).iter().map(|note| note.line);
            markings.chain(notes).find(|line| *line > 0)
        });
        let mut tempi = self.movement.tempi.iter().filter(|mark| music.is_none() && mark.at == at);
        let of_tempo = tempi.find(|mark| mark.line > 0).map(|mark| mark.line);
        let of_bar = || self.movement.bars.get(bar).map_or(0, |bar| bar.line);
        of_part.or(of_tempo).unwrap_or_else(of_bar)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;

    #[test]
    fn findings_name_part_and_bar_and_are_said_once() {
        let movement = testing::movement(&["4/4 c4:4 | !+mute c4:4 | c4:4"]);
        let (basis, tracks) = testing::analyzed(movement);
        let found = findings(&basis, &tracks, &[]);
        let codes: Vec<Code> = found.iter().map(|found| found.code).collect();
        assert_eq!(codes, [Code::TempoUnclear, Code::TechniqueUnclear]);
        let bar = found[1].place.bar.as_ref().map(|(bar, _)| *bar);
        assert!(bar.is_some() && found[1].place.part.is_some(), "{}", found[1]);
        let mut reader = found[0].clone();
        reader.code = Code::TempoAssumed;
        reader.place.bar = None;
        let rest = findings(&basis, &tracks, &[reader]);
        assert_eq!(rest.len(), 1, "what the reader reported is said again: {rest:?}");
    }
}
