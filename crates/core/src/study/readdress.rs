//! Gives an item other bars: the one place that knows where each kind of item keeps them. It does
//! not know why bars move, and checks nothing.

use super::{Beating, Correction, Cue, Group, Item, Mark, OrderChoice, PlanTempo};
use crate::bar::{BarAddress, BarIndex, MovementId};

impl Item {
    /// Puts every bar that the item names where `to` says; offsets inside the bars stay. The
    /// extension of a group is cut down to the bars that the group has then.
    pub(crate) fn readdress(
        &mut self,
        to: impl Fn(MovementId, BarIndex) -> (MovementId, BarIndex),
    ) {
        let start = |movement: &mut MovementId, bar: &mut BarIndex| {
            (*movement, *bar) = to(*movement, *bar);
        };
        let span = |movement: &mut MovementId, from: &mut BarIndex, last: &mut BarIndex| {
            *last = to(*movement, *last).1;
            start(movement, from);
        };
        match self {
            Self::Layer(_) | Self::Seat(_) | Self::Correction(Correction::Players { .. }) => {}
            Self::Mark(Mark { from, to: Some(last), .. }) => {
                span(&mut from.movement, &mut from.bar, last);
            }
            Self::Group(Group { movement, from, to: last, extension, .. }) => {
                span(movement, from, last);
                let n_bars = last.0.saturating_sub(from.0) + 1;
                *extension = (*extension).min(u8::try_from(n_bars).unwrap_or(u8::MAX));
            }
            Self::Mark(Mark { from: at, to: None, .. })
            | Self::Cue(Cue { at, .. })
            | Self::Tempo(PlanTempo { at, .. })
            | Self::Correction(Correction::Instrument { at, .. } | Correction::Device { at, .. }) => {
                start(&mut at.movement, &mut at.bar)
            }
            Self::Beating(Beating { movement, bar, .. })
            | Self::Correction(
                Correction::Rehearsal { movement, bar, .. }
                | Correction::Renumber { movement, bar, .. },
            )
            | Self::Order(
                OrderChoice::Repeat { movement, bar, .. }
                | OrderChoice::Pause { movement, after: bar, .. },
            ) => start(movement, bar),
            Self::Order(OrderChoice::Cut { movement, from, to: last }) => {
                span(movement, from, last);
            }
        }
    }

    /// The place of an item that stands at a point inside a bar; `None` for one that concerns
    /// whole bars.
    pub(crate) fn point_mut(&mut self) -> Option<&mut BarAddress> {
        match self {
            Self::Mark(Mark { from: at, .. })
            | Self::Cue(Cue { at, .. })
            | Self::Tempo(PlanTempo { at, .. })
            | Self::Correction(Correction::Instrument { at, .. } | Correction::Device { at, .. }) => {
                Some(at)
            }
            Self::Layer(_)
            | Self::Beating(_)
            | Self::Group(_)
            | Self::Correction(_)
            | Self::Order(_)
            | Self::Seat(_) => None,
        }
    }
}
