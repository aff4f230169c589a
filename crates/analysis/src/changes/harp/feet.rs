//! When each foot makes its moves: one at a time, each as late as it can be.

use super::{LEFT, Move};
use crate::changes::Clock;

/// Fills how much time the foot has for every move. From the last to the first: a move is over when
/// its note begins or when the foot has to go on to the next one, whichever is earlier.
pub(super) fn lay(clock: &Clock<'_>, moves: &mut [Move]) {
    let seconds = clock.settings.pedal_seconds;
    let mut next = [f64::INFINITY; 2];
    for one in moves.iter_mut().rev() {
        let foot = usize::from(one.pedal >= LEFT);
        let Some(next) = next.get_mut(foot) else { continue };
        let end = clock.tempo.seconds_at(one.at).min(*next);
        let free = clock.tempo.seconds_at(one.free_from);
        one.available_seconds = end - free;
        *next = (end - seconds).max(free.min(end));
    }
}
