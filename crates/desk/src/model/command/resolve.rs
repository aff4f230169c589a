//! From a command to the action it means right now; `None` while it is not available.

use super::Command;
use crate::model::action::Action;
use crate::model::axis::{Axis, Lane};
use crate::model::camera::{self, Camera};
use crate::model::draft::Change;
use crate::model::env::Env;
use crate::model::field::Purpose;
use crate::model::make;
use crate::model::passages;
use crate::model::view_state::{ListKind, RowShow, Selection, SidePage, TrackRow, ViewState};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::pattern::Pattern;
use barloom_core::study::Sign;

/// How much one step of zoom enlarges.
const ZOOM_STEP: f32 = 1.25;

/// What a command means right now; `None` when it is not available. An unavailable command does not
/// swallow its key.
pub fn resolve(command: Command, env: &Env<'_>) -> Option<Action> {
    program(command, env).or_else(|| if env.status.open { in_work(command, env) } else { None })
}

/// What is available with and without a work.
fn program(command: Command, env: &Env<'_>) -> Option<Action> {
    let status = env.status;
    Some(match command {
        Command::Open => Action::ChooseFiles,
        Command::OpenPath => Action::Ask(Purpose::OpenPath),
        Command::OpenExample => Action::OpenExample,
        Command::Quit => Action::Quit,
        Command::Back => Action::Back,
        Command::Stop => return status.busy.as_ref().filter(|b| b.can_stop).map(|_| Action::Stop),
        Command::Keys => Action::Side(toggled(env.view.side, SidePage::Keys)),
        Command::Settings => Action::Side(toggled(env.view.side, SidePage::Settings)),
        _ => return None,
    })
}

fn toggled(now: SidePage, page: SidePage) -> SidePage {
    if now == page { SidePage::Selection } else { page }
}

fn in_work(command: Command, env: &Env<'_>) -> Option<Action> {
    let (view, status) = (env.view, env.status);
    Some(match command {
        Command::AddMovements => Action::AddMovements(Vec::new()),
        Command::Save => Action::Save,
        Command::SaveAs => Action::SaveAs(None),
        Command::Plan => Action::Plan(None),
        Command::Extract => env.span().map(|_| Action::Extract(None))?,
        Command::Close => Action::Close,
        Command::Undo => return status.undo.as_ref().map(|_| Action::Undo),
        Command::Redo => return status.redo.as_ref().map(|_| Action::Redo),
        Command::Title => Action::Ask(Purpose::Title),
        Command::Layer => Action::Ask(Purpose::Layer),
        Command::Find => Action::Ask(Purpose::Find),
        Command::NextMovement => movement(env, 1)?,
        Command::PreviousMovement => movement(env, -1)?,
        Command::ZoomIn => Action::Zoom(ZOOM_STEP),
        Command::ZoomOut => Action::Zoom(1.0 / ZOOM_STEP),
        Command::FitMovement => Action::Look(camera::fit_movement(view.camera)),
        Command::FitSelection => env.span().map(|_| Action::FitSelection)?,
        Command::WholeWork if view.camera.whole => {
            Action::Look(Camera { whole: false, ..view.camera })
        }
        Command::WholeWork => Action::Look(camera::show_whole(view.camera)),
        Command::EqualBars => Action::EqualBars(!view.equal_bars),
        Command::PlayedOrder => Action::PlayedOrder(!view.played_order),
        Command::Figure => Action::Figure(!status.settings.figure),
        Command::KeepPassage => {
            let passage = passages::selected(env)?;
            Action::KeepPassage(Some(passage).filter(|passage| view.kept != Some(*passage)))
        }
        Command::SetBeside => {
            let pair = passages::pair(env)?;
            Action::SetBeside(Some(pair).filter(|pair| view.beside != Some(*pair)))
        }
        Command::OtherPassage => Action::GoToPassage(passages::other(env)?),
        Command::PrintBeside => status.beside.as_ref().map(|_| Action::PrintBeside(None))?,
        Command::Legend => Action::Legend(!view.legend),
        Command::ThinRows => thin_rows(view),
        Command::NextList => Action::List(Some(beside(view, 1))),
        Command::PreviousList => Action::List(Some(beside(view, ListKind::ALL.len() - 1))),
        Command::Lists => Action::List(match view.list {
            Some(_) => None,
            None => Some(view.last_list),
        }),
        Command::List(kind) => list(env, kind),
        Command::AcceptAll => change(make::accept(env, true))?,
        Command::AcceptAllCues => change(make::accept_cues(env, true))?,
        _ => return walk(command, env).or_else(|| on_bars(command, env)),
    })
}

fn list(env: &Env<'_>, kind: ListKind) -> Action {
    Action::List(if env.view.list == Some(kind) { None } else { Some(kind) })
}

fn movement(env: &Env<'_>, step: isize) -> Option<Action> {
    let movement = env.view.movement.checked_add_signed(step)?;
    let there = movement < env.basis.score.movements.len();
    there.then_some(Action::GoTo { movement, bar: None })
}

/// What needs selected bars.
fn on_bars(command: Command, env: &Env<'_>) -> Option<Action> {
    env.span()?;
    match command {
        Command::Beats(beats) => change(make::beat(env, &Pattern::Beats(beats))),
        Command::Beating => Some(Action::Ask(Purpose::Beating)),
        Command::Proposal => change(make::to_proposal(env)),
        Command::Accept => change(make::accept(env, false)),
        Command::CopyBeating => change(make::copy_to_like(env)),
        Command::Cue => change(make::cue(env)),
        Command::AcceptCues => change(make::accept_cues(env, false)),
        Command::DropCues => change(make::drop_cues(env)),
        Command::Group => Some(Action::Ask(Purpose::Group)),
        Command::Words => Some(Action::Ask(Purpose::Words)),
        Command::ChooseSign => Some(Action::ChooseSign(!env.view.choosing_sign)),
        Command::Sign(sign) if sign != Sign::Text => change(make::mark(env, sign, "")),
        Command::RemoveMarks => change(make::remove_marks(env)),
        Command::Tempo => Some(Action::Ask(Purpose::Tempo)),
        Command::Rehearsal => Some(Action::Ask(Purpose::Rehearsal)),
        Command::Renumber => Some(Action::Ask(Purpose::Renumber)),
        Command::Repeat => change(make::repeat(env)),
        Command::Cut => change(make::cut(env)),
        Command::Pause => Some(Action::Ask(Purpose::Pause)),
        _ => None,
    }
}

fn change(made: Result<Change, String>) -> Option<Action> {
    made.ok().map(Action::Change)
}

/// Walking and selecting.
fn walk(command: Command, env: &Env<'_>) -> Option<Action> {
    let selection = &env.view.selection;
    let last = env.movement()?.bars.last_index()?;
    let (anchor, head) = selection.bars.unwrap_or_default();
    let none = selection.bars.is_none();
    let bars = |anchor: BarIndex, head: BarIndex| {
        let bars = Some((anchor.min(last), head.min(last)));
        Some(Action::Walk(Selection { bars, beat: None, parts: selection.parts.clone() }))
    };
    let alone = |bar: BarIndex| bars(bar, bar);
    let on = |bar: BarIndex| BarIndex((bar.0 + 1).min(last.0));
    let back = |bar: BarIndex| BarIndex(bar.0.saturating_sub(1));
    match command {
        Command::NextBar | Command::PreviousBar if none => alone(first_shown(env)),
        Command::NextBar => alone(on(anchor.max(head))),
        Command::PreviousBar => alone(back(anchor.min(head))),
        Command::ExtendNext | Command::ExtendPrevious if none => alone(first_shown(env)),
        Command::ExtendNext => bars(anchor, on(head)),
        Command::ExtendPrevious => bars(anchor, back(head)),
        Command::FirstBar => alone(BarIndex(0)),
        Command::LastBar => alone(last),
        Command::ExtendFirst => bars(anchor, BarIndex(0)),
        Command::ExtendLast => bars(anchor, last),
        Command::SelectAll => bars(BarIndex(0), last),
        Command::NextBeat => beat(env, 1),
        Command::PreviousBeat => beat(env, -1),
        Command::NextPart => part(env, 1, false),
        Command::PreviousPart => part(env, -1, false),
        Command::ExtendDown => part(env, 1, true),
        Command::ExtendUp => part(env, -1, true),
        Command::AllParts if !selection.parts.is_empty() => {
            let selection = Selection { parts: Default::default(), ..selection.clone() };
            Some(Action::Walk(selection))
        }
        _ => None,
    }
}

/// Where walking begins when nothing is selected: the first bar in view.
fn first_shown(env: &Env<'_>) -> BarIndex {
    let Some(movement) = env.movement() else { return BarIndex::default() };
    let camera = env.view.camera;
    if camera.points_per_quarter <= 0.0 {
        return BarIndex::default();
    }
    let plan = env.basis.plans.get(env.view.movement).cloned().unwrap_or_default();
    let axis = Axis::of(movement, &plan, env.view.equal_bars, env.view.played_order);
    axis.bar_at(camera.left_quarters).unwrap_or_default()
}

/// The next or previous beat, over bar lines too.
fn beat(env: &Env<'_>, step: isize) -> Option<Action> {
    let selection = &env.view.selection;
    let last = env.movement()?.bars.last_index()?;
    let (_, head) = selection.bars?;
    let n_beats = env.strokes(head).len();
    let (bar, beat) = match (selection.beat, step > 0) {
        (None, true) => (head, 0),
        (None, false) => (head, n_beats.checked_sub(1)?),
        (Some(beat), true) if beat + 1 < n_beats => (head, beat + 1),
        (Some(_), true) => (BarIndex((head.0 + 1).min(last.0)), 0),
        (Some(beat), false) if beat > 0 => (head, beat - 1),
        (Some(_), false) => {
            let before = BarIndex(head.0.checked_sub(1)?);
            (before, env.strokes(before).len().saturating_sub(1))
        }
    };
    let selection =
        Selection { bars: Some((bar, bar)), beat: Some(beat), parts: selection.parts.clone() };
    Some(Action::Walk(selection))
}

/// The next or previous part of those present; alone, or beside those selected.
fn part(env: &Env<'_>, step: isize, extend: bool) -> Option<Action> {
    let present: Vec<PartIdx> = env.movement()?.parts().map(|(idx, _)| idx).collect();
    let mut selection = env.view.selection.clone();
    let at = |part: &PartIdx| present.iter().position(|p| p == part);
    let edge = match step > 0 {
        true => selection.parts.last(),
        false => selection.parts.first(),
    };
    let next = match edge.and_then(at) {
        Some(at) => *present.get(at.checked_add_signed(step)?)?,
        None if step > 0 => *present.first()?,
        None => *present.last()?,
    };
    if !extend {
        selection.parts.clear();
    }
    selection.parts.insert(next);
    Some(Action::Walk(selection))
}

/// Opens whatever is thin; with nothing thin, thins the rows of the ensemble.
fn thin_rows(view: &ViewState) -> Action {
    if view.thin_rows.is_empty() {
        Action::ShowRows(TrackRow::THIN.to_vec(), RowShow::Thin)
    } else {
        Action::ShowRows(view.thin_rows.iter().copied().collect(), RowShow::Open)
    }
}

/// The list so many places after the open one, from the last to the first.
fn beside(view: &ViewState, steps: usize) -> ListKind {
    let open = view.list.unwrap_or(view.last_list);
    let at = ListKind::ALL.iter().position(|kind| *kind == open).unwrap_or(0);
    ListKind::ALL.into_iter().cycle().nth(at + steps).unwrap_or(open)
}
