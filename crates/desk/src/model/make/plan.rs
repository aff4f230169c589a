//! Tempo by hand, performing order and corrections for the selection.

use super::no_bars;
use crate::model::draft::{Change, Draft};
use crate::model::env::Env;
use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::event::Device;
use barloom_core::part::PartKey;
use barloom_core::study::{Correction, Item, OrderChoice, PlanTempo, PlanTempoValue, Subject};

fn first(env: &Env<'_>) -> Result<(MovementId, BarIndex), String> {
    let (from, _) = env.span().ok_or_else(no_bars)?;
    Ok((env.movement_id().ok_or_else(no_bars)?, from))
}

/// A tempo from the selection on.
///
/// # Errors
/// Without a selected bar.
pub fn tempo(env: &Env<'_>, value: PlanTempoValue) -> Result<Change, String> {
    let at = env.place().ok_or_else(no_bars)?;
    Ok(Change::one("set tempo", Draft::Put(Item::Tempo(PlanTempo { at, value }))))
}

/// The rehearsal mark of the first selected bar; an empty text says that there is none.
///
/// # Errors
/// Without a selected bar.
pub fn rehearsal(env: &Env<'_>, mark: &str) -> Result<Change, String> {
    let (movement, bar) = first(env)?;
    let mark = mark.trim().to_owned();
    let correction = Correction::Rehearsal { movement, bar, mark };
    Ok(Change::one("correct rehearsal mark", Draft::Put(Item::Correction(correction))))
}

/// The number of the first selected bar, from which numbering goes on.
///
/// # Errors
/// Without a selected bar.
pub fn renumber(env: &Env<'_>, number: u32) -> Result<Change, String> {
    let (movement, bar) = first(env)?;
    let correction = Correction::Renumber { movement, bar, number };
    Ok(Change::one("renumber from here", Draft::Put(Item::Correction(correction))))
}

/// A device on or off from the selection on, for the selected parts.
///
/// # Errors
/// Without a selected bar or part.
pub fn device(env: &Env<'_>, device: Device, on: bool) -> Result<Change, String> {
    let at = env.place().ok_or_else(no_bars)?;
    let drafts = parts(env)?
        .into_iter()
        .map(|part| Draft::Put(Item::Correction(Correction::Device { at, part, device, on })))
        .collect();
    let way = if on { "on" } else { "off" };
    Ok(Change::new(format!("correct {device} {way}"), drafts))
}

/// Another instrument from the selection on, for the selected parts.
///
/// # Errors
/// Without a selected bar or part.
pub fn instrument(env: &Env<'_>, name: &str) -> Result<Change, String> {
    let (movement, bar) = first(env)?;
    let at = BarAddress::start_of(movement, bar);
    let instrument = name.to_owned();
    let correct = |part| Correction::Instrument { at, part, instrument: instrument.clone() };
    let drafts =
        parts(env)?.into_iter().map(|part| Draft::Put(Item::Correction(correct(part)))).collect();
    Ok(Change::new("correct instrument", drafts))
}

/// Who sits in a part, as names separated by commas or lines.
///
/// # Errors
/// Without a name.
pub fn players(part: PartKey, names: &str) -> Result<Change, String> {
    let players: Vec<String> =
        names.split([',', '\n']).map(|n| n.trim().to_owned()).filter(|n| !n.is_empty()).collect();
    if players.is_empty() {
        return Err(String::from("a part needs at least one player"));
    }
    let correction = Correction::Players { part, players };
    Ok(Change::one("correct players", Draft::Put(Item::Correction(correction))))
}

fn parts(env: &Env<'_>) -> Result<Vec<PartKey>, String> {
    let parts = env.part_keys();
    if parts.is_empty() {
        return Err(String::from("select a part first"));
    }
    Ok(parts)
}

/// The selected bars are left out; bars of a cut that exists are taken in again.
///
/// # Errors
/// Without a selected bar.
pub fn cut(env: &Env<'_>) -> Result<Change, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let known = env.study.entries().filter(|entry| match &entry.item {
        Item::Order(OrderChoice::Cut { movement: m, from: a, to: b }) => {
            *m == movement && *a <= to && from <= *b
        }
        _ => false,
    });
    let drafts: Vec<_> = known.map(|entry| Draft::Remove(entry.id)).collect();
    if !drafts.is_empty() {
        return Ok(Change::new("open the cut", drafts));
    }
    let cut = OrderChoice::Cut { movement, from, to };
    Ok(Change::one("cut bars", Draft::Put(Item::Order(cut))))
}

/// A pause after the last selected bar; 0 seconds takes it away.
///
/// # Errors
/// Without a selected bar, or outside 0 to 3600 seconds.
pub fn pause(env: &Env<'_>, seconds: f64) -> Result<Change, String> {
    let (_, after) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    if !(0.0..=3600.0).contains(&seconds) {
        return Err(String::from("a pause lasts from 0 to 3600 seconds"));
    }
    if seconds == 0.0 {
        let known = env.study.decision(&Subject::Pause(movement, after));
        let known = known.ok_or_else(|| String::from("there is no pause here"))?;
        return Ok(Change::one("remove pause", Draft::Remove(known.id)));
    }
    let pause = OrderChoice::Pause { movement, after, seconds };
    Ok(Change::one("set pause", Draft::Put(Item::Order(pause))))
}

/// The repeats that end in the selected bars are left, or taken again.
///
/// # Errors
/// Without a selected bar, or without a repeat there.
pub fn repeat(env: &Env<'_>) -> Result<Change, String> {
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let taken = |bar| {
        let entry = env.study.decision(&Subject::Repeat(movement, bar));
        !matches!(
            entry.map(|entry| &entry.item),
            Some(Item::Order(OrderChoice::Repeat { taken: false, .. }))
        )
    };
    let ends = env.bars().filter(|(_, bar)| bar.flow.repeat_end.is_some());
    let drafts: Vec<_> = ends
        .map(|(bar, _)| OrderChoice::Repeat { movement, bar, taken: !taken(bar) })
        .map(|choice| Draft::Put(Item::Order(choice)))
        .collect();
    if drafts.is_empty() {
        return Err(String::from("no repeat ends in the selected bars"));
    }
    Ok(Change::new("take or leave repeat", drafts))
}
