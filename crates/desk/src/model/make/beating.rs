//! Beatings for the selection: set, back to the proposal, accept, copy.

use super::no_bars;
use crate::model::draft::{Change, Draft};
use crate::model::env::Env;
use barloom_analysis::beating::Proposal;
use barloom_core::bar::{BarIndex, MovementId};
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use barloom_core::study::{Beating, Item, Study, Subject};

/// What is beaten in a bar of a movement: the pattern, which bar of it this is, and whether it was
/// chosen.
pub fn effective(
    study: &Study,
    movement: MovementId,
    bar: BarIndex,
    proposals: &[Proposal],
) -> Option<(Pattern, u8, bool)> {
    if let Some(chosen) = study.beating(movement, bar) {
        return Some((chosen.pattern.clone(), chosen.nth, true));
    }
    let proposal = proposals.get(bar.idx())?;
    Some((proposal.pattern.clone(), nth_proposed(proposals, bar), false))
}

/// Which bar of a joined proposal a bar is: counted from where the run of equal proposals begins.
fn nth_proposed(proposals: &[Proposal], bar: BarIndex) -> u8 {
    let Some(Pattern::Joined { bars, .. }) = proposals.get(bar.idx()).map(|p| &p.pattern) else {
        return 0;
    };
    let pattern = &proposals[bar.idx()].pattern;
    let before = proposals[..bar.idx()].iter().rev().take_while(|p| p.pattern == *pattern).count();
    u8::try_from(before % usize::from((*bars).max(1))).unwrap_or(0)
}

/// Sets the beating of the selected bars. A pattern over several bars takes them from a single
/// selected bar on, or fills the selection.
///
/// # Errors
/// Without a selected bar; or when the bars do not divide into the pattern's.
pub fn beat(env: &Env<'_>, pattern: &Pattern) -> Result<Change, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement().ok_or_else(no_bars)?;
    let joined = match pattern {
        Pattern::Joined { bars, .. } => u32::from(*bars),
        _ => 1,
    };
    let to = if from == to { BarIndex(from.0 + joined - 1) } else { to };
    let n_bars = to.0 - from.0 + 1;
    if to > movement.bars.last_index().unwrap_or_default() {
        return Err(format!("the movement has fewer than {joined} bars from here"));
    }
    if n_bars % joined != 0 {
        return Err(format!("{n_bars} bars do not divide into {pattern}"));
    }
    let mut drafts = broken(env.study, movement.id, from, to);
    for bar in from.0..=to.0 {
        drafts.push(Draft::Put(Item::Beating(Beating {
            movement: movement.id,
            bar: BarIndex(bar),
            pattern: pattern.clone(),
            nth: u8::try_from((bar - from.0) % joined).unwrap_or(0),
        })));
    }
    Ok(Change::new(format!("beat {pattern}"), drafts))
}

/// Takes away what would be left of joined patterns that reach over the edges of a span.
fn broken(study: &Study, movement: MovementId, from: BarIndex, to: BarIndex) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for edge in [from, to] {
        let Some(chosen) = study.beating(movement, edge) else { continue };
        let Pattern::Joined { bars, .. } = chosen.pattern else { continue };
        let first = edge.0.saturating_sub(u32::from(chosen.nth));
        for bar in (first..first + u32::from(bars)).map(BarIndex) {
            let outside = bar < from || bar > to;
            let entry = study.decision(&Subject::Beating(movement, bar));
            if let Some(entry) = entry.filter(|_| outside) {
                let draft = Draft::Remove(entry.id);
                if !drafts.contains(&draft) {
                    drafts.push(draft);
                }
            }
        }
    }
    drafts
}

/// Goes back to the proposal in the selected bars.
///
/// # Errors
/// Without a selected bar, or when nothing was chosen there.
pub fn to_proposal(env: &Env<'_>) -> Result<Change, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let mut drafts = broken(env.study, movement, from, to);
    for bar in (from.0..=to.0).map(BarIndex) {
        let entry = env.study.decision(&Subject::Beating(movement, bar));
        drafts.extend(entry.map(|entry| Draft::Remove(entry.id)));
    }
    if drafts.is_empty() {
        return Err(String::from("nothing was chosen here"));
    }
    Ok(Change::new("return to the proposed beating", drafts))
}

/// Takes the proposals where nothing was chosen: in the selected bars, or in the whole work.
///
/// # Errors
/// Without a selected bar (unless all are meant), or when nothing is left to accept.
pub fn accept(env: &Env<'_>, all: bool) -> Result<Change, String> {
    let mut drafts = Vec::new();
    if all {
        let movements = env.basis.score.movements.iter().zip(&env.tracks.movements);
        for (movement, tracks) in movements {
            let last = movement.bars.last_index().unwrap_or_default();
            accept_span(env.study, movement, &tracks.beating, (BarIndex(0), last), &mut drafts);
        }
    } else {
        let span = env.span().ok_or_else(no_bars)?;
        let (movement, tracks) = env.movement().zip(env.tracks()).ok_or_else(no_bars)?;
        accept_span(env.study, movement, &tracks.beating, span, &mut drafts);
    }
    match drafts.len() {
        0 => Err(String::from("nothing is left to accept")),
        1 => Ok(Change::new("accept the proposed beating", drafts)),
        n => Ok(Change::new(format!("accept {n} proposed beatings"), drafts)),
    }
}

fn accept_span(
    study: &Study,
    movement: &Movement,
    proposals: &[Proposal],
    (from, to): (BarIndex, BarIndex),
    drafts: &mut Vec<Draft>,
) {
    for bar in (from.0..=to.0).map(BarIndex) {
        if let Some((pattern, nth, false)) = effective(study, movement.id, bar, proposals) {
            let beating = Beating { movement: movement.id, bar, pattern, nth };
            drafts.push(Draft::Put(Item::Beating(beating)));
        }
    }
}

/// Gives the beating of the first selected bar to all bars of the movement with the same meter and
/// length where nothing was chosen.
///
/// # Errors
/// Without a selected bar, for a pattern over several bars, or when no other bar is like it.
pub fn copy_to_like(env: &Env<'_>) -> Result<Change, String> {
    let (from, _) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement().ok_or_else(no_bars)?;
    let model = movement.bars.get(from).ok_or_else(no_bars)?;
    let proposals = env.tracks().map(|tracks| tracks.beating.as_slice()).unwrap_or_default();
    let (pattern, ..) = effective(env.study, movement.id, from, proposals).ok_or_else(no_bars)?;
    if matches!(pattern, Pattern::Joined { .. }) {
        return Err(String::from("a beating over several bars is not copied"));
    }
    let like = movement.bars.iter().filter(|(idx, bar)| {
        (bar.meter.terms == model.meter.terms && bar.length == model.length)
            && (*idx == from || env.study.beating(movement.id, *idx).is_none())
            && env.study.beating(movement.id, *idx).is_none_or(|b| b.pattern != pattern)
    });
    let drafts: Vec<Draft> = like
        .map(|(bar, _)| Beating { movement: movement.id, bar, pattern: pattern.clone(), nth: 0 })
        .map(|beating| Draft::Put(Item::Beating(beating)))
        .collect();
    match drafts.len() {
        0 => Err(String::from("no other bar of this meter is open")),
        n => Ok(Change::new(format!("beat {pattern} in {n} like bars"), drafts)),
    }
}
