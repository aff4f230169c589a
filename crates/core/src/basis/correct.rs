//! Corrections applied to movements and parts. A movement is copied when the first correction
//! touches it and shared with what was read otherwise.

use crate::bar::{BarAddress, BarIndex, BarTable, MovementId};
use crate::diag::{Code, Diagnostic, Place};
use crate::event::{Marking, MarkingKind};
use crate::instrument::InstrumentId;
use crate::part::{PartIdx, PartKey, Player, PlayerSet};
use crate::score::{InHand, Movement, Score};
use crate::study::{Correction, Study};
use crate::time::Ticks;
use std::sync::Arc;

/// What stands in the place of the words that a printed marking would have.
pub const BY_HAND: &str = "by hand";

/// Applies all corrections of a study.
pub(super) fn apply(score: &mut Score, study: &Study, diagnostics: &mut Vec<Diagnostic>) {
    let mut numbers: Vec<(MovementId, BarIndex, u32)> = Vec::new();
    for (_, correction) in study.corrections() {
        let done = match correction {
            Correction::Instrument { at, part, instrument } => {
                set_instrument(score, *at, part, instrument)
            }
            Correction::Players { part, players } => set_players(score, part, players),
            Correction::Device { at, part, device, on } => {
                let kind = MarkingKind::Device { device: *device, on: *on };
                add_marking(score, *at, part, kind).map(|_| ())
            }
            Correction::Rehearsal { movement, bar, mark } => {
                set_rehearsal(score, *movement, *bar, mark)
            }
            Correction::Renumber { movement, bar, number } => {
                numbers.push((*movement, *bar, *number));
                Ok(())
            }
        };
        if let Err(why) = done {
            diagnostics.push(unplaced(score, correction, why));
        }
    }
    for movement in &mut score.movements {
        let here: Vec<(BarIndex, u32)> = numbers
            .iter()
            .filter(|(id, _, _)| *id == movement.id)
            .map(|(_, bar, number)| (*bar, *number))
            .collect();
        if !here.is_empty() {
            renumber(&mut Arc::make_mut(movement).bars, &here);
        }
    }
}

fn unplaced(score: &Score, correction: &Correction, why: &str) -> Diagnostic {
    let item = crate::study::Item::Correction(correction.clone());
    let place = item.place();
    let movement = place.and_then(|place| score.movement(place.movement));
    let bar = place.zip(movement).map(|(at, (_, movement))| (at.bar, movement.bar_name(at.bar)));
    let part = item.parts().first().map(|key| (key.to_string(), key.to_string()));
    Diagnostic {
        code: Code::CorrectionUnplaced,
        place: Place { movement: movement.map(|(idx, _)| idx), bar, part, ..Place::default() },
        message: format!("the correction \"{}\" has no effect: {why}", correction.summary()),
        hint: Some(String::from("change it or take it away in the list of corrections")),
        more: 0,
    }
}

type Done<T = ()> = Result<T, &'static str>;

const NO_PART: &str = "the score has no such part";
const NO_BAR: &str = "the movement has no such bar";
const NO_INSTRUMENT: &str = "the catalog has no such instrument";

fn movement_mut(score: &mut Score, id: MovementId) -> Done<&mut Movement> {
    let found = score.movements.iter_mut().find(|movement| movement.id == id);
    found.map(Arc::make_mut).ok_or("the study has no such movement")
}

/// Puts a marking by hand after what is written at the same position. Answers the position.
fn add_marking(
    score: &mut Score,
    at: BarAddress,
    part: &PartKey,
    kind: MarkingKind,
) -> Done<(PartIdx, Ticks)> {
    let idx = score.part_by_key(part).ok_or(NO_PART)?;
    let movement = movement_mut(score, at.movement)?;
    let ticks = movement.ticks(at).ok_or(NO_BAR)?;
    let music = movement.music.get_mut(idx.idx()).ok_or(NO_PART)?;
    let after = music.markings.partition_point(|marking| marking.at <= ticks);
    let marking = Marking {
        at: ticks,
        bar: at.bar,
        players: PlayerSet::ALL,
        staff: None,
        voice: None,
        kind,
        words: BY_HAND.into(),
        line: 0,
    };
    music.markings.insert(after, marking);
    Ok((idx, ticks))
}

fn set_instrument(score: &mut Score, at: BarAddress, part: &PartKey, name: &str) -> Done {
    let instrument = InstrumentId::by_name(name).ok_or(NO_INSTRUMENT)?;
    let (idx, ticks) = add_marking(score, at, part, MarkingKind::Instrument(instrument))?;
    let music = movement_mut(score, at.movement)?.music.get_mut(idx.idx()).ok_or(NO_PART)?;
    music.instruments.retain(|taken| taken.at != ticks);
    let after = music.instruments.partition_point(|taken| taken.at < ticks);
    let players = PlayerSet::ALL;
    music.instruments.insert(after, InHand { at: ticks, players, instrument });
    let first = score
        .movements
        .iter()
        .find(|movement| movement.part(idx).is_some_and(|music| music.present));
    let begins_so = ticks == Ticks::ZERO && first.is_some_and(|first| first.id == at.movement);
    if let Some(part) = score.parts.get_mut(idx.idx())
        && begins_so
    {
        part.instrument = instrument;
    }
    Ok(())
}

fn set_players(score: &mut Score, part: &PartKey, names: &[String]) -> Done {
    let idx = score.part_by_key(part).ok_or(NO_PART)?;
    let part = score.parts.get_mut(idx.idx()).ok_or(NO_PART)?;
    let before = std::mem::take(&mut part.players);
    let player = |(nth, name): (usize, &String)| {
        let also = before.get(nth).map(|player| player.also.clone()).unwrap_or_default();
        Player { name: name.clone(), also }
    };
    part.players = names.iter().enumerate().map(player).collect();
    Ok(())
}

fn set_rehearsal(score: &mut Score, id: MovementId, bar: BarIndex, mark: &str) -> Done {
    let movement = movement_mut(score, id)?;
    let bar = movement.bars.get_mut(bar).ok_or(NO_BAR)?;
    bar.rehearsal = (!mark.is_empty()).then(|| mark.to_owned());
    Ok(())
}

/// Numbers the bars from each given one on. Bars without a printed number stay without and are not
/// counted, and so are second halves of bars split by a repeat.
fn renumber(bars: &mut BarTable, starts: &[(BarIndex, u32)]) {
    let mut starts = starts.to_vec();
    starts.sort_unstable();
    let mut next: Option<u32> = None;
    bars.relabel(|here, bar| {
        let start = starts.iter().find(|(bar, _)| *bar == here).map(|(_, number)| *number);
        if let Some(number) = start {
            next = Some(number);
        } else if bar.label.is_empty() {
            return;
        } else if bar.continues {
            if next.is_some() {
                bar.label.clear();
            }
            return;
        }
        if let Some(number) = next {
            bar.label = number.to_string();
            next = Some(number.saturating_add(1));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bar::Bar;
    use crate::meter::Meter;

    #[test]
    fn numbering_goes_on_from_the_corrected_bar_and_skips_what_has_no_number() {
        let bar = |label: &str, continues| Bar {
            start: Ticks::ZERO,
            length: Ticks(4),
            nominal: Ticks(4),
            meter: Meter::simple(4, 4),
            other_meter: None,
            label: label.into(),
            pickup: false,
            continues,
            rehearsal: None,
            barline: Default::default(),
            flow: Default::default(),
            line: 0,
        };
        let written = [("", false), ("1", false), ("2", false), ("X1", true), ("3", false)];
        let bars = written.map(|(label, continues)| bar(label, continues));
        let mut table = BarTable::new(bars.to_vec());
        renumber(&mut table, &[(BarIndex(2), 101)]);
        let labels: Vec<&str> = table.as_slice().iter().map(|bar| bar.label.as_str()).collect();
        assert_eq!(labels, ["", "1", "101", "", "102"]);
        let movement = Movement { bars: table, ..Movement::default() };
        let names: Vec<String> = (0..6).map(|idx| movement.bar_name(BarIndex(idx))).collect();
        assert_eq!(names, ["before the first number", "1", "101", "after 101", "102", "?"]);
    }
}
