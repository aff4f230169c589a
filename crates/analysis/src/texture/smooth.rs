//! The class of single bars held against that of their neighbors.

use super::TextureClass;
use crate::settings::TextureSettings;

/// Takes single bars that stand out to their neighbors: the cheapest classes of all bars, where a class
/// other than the measured one costs something and so does each change.
pub(super) fn smooth(measured: &[TextureClass], settings: &TextureSettings) -> Vec<TextureClass> {
    let classes = TextureClass::ALL;
    let mut costs: Vec<[f32; 7]> = Vec::with_capacity(measured.len());
    let mut from: Vec<[usize; 7]> = Vec::with_capacity(measured.len());
    for of_bar in measured {
        let before = costs.last().copied();
        let mut cost = [0.0_f32; 7];
        let mut came = [0_usize; 7];
        for (nth, class) in classes.iter().enumerate() {
            let own = mismatch(*of_bar, *class);
            let (at, least) = match &before {
                None => (nth, 0.0),
                Some(before) => {
                    let arrive = |(at, cost): (usize, &f32)| {
                        (at, cost + if at == nth { 0.0 } else { settings.change_cost })
                    };
                    let ways = before.iter().enumerate().map(arrive);
                    ways.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((nth, 0.0))
                }
            };
            if let (Some(cost), Some(came)) = (cost.get_mut(nth), came.get_mut(nth)) {
                (*cost, *came) = (own + least, at);
            }
        }
        costs.push(cost);
        from.push(came);
    }
    let mut chosen = vec![TextureClass::Silence; measured.len()];
    let last = costs.last().map(|costs| {
        let all = costs.iter().enumerate();
        all.min_by(|a, b| a.1.total_cmp(b.1)).map_or(0, |(nth, _)| nth)
    });
    let mut at = last.unwrap_or(0);
    for (bar, came) in from.iter().enumerate().rev() {
        if let (Some(slot), Some(class)) = (chosen.get_mut(bar), classes.get(at)) {
            *slot = *class;
        }
        at = came.get(at).copied().unwrap_or(at);
    }
    chosen
}

/// What it costs to call a bar otherwise than measured. How many sound is a fact and not smoothed.
fn mismatch(measured: TextureClass, called: TextureClass) -> f32 {
    use TextureClass::{Homophony, Melody, Octaves, Polyphony};
    let soft = |class| matches!(class, Homophony | Melody | Polyphony | Octaves);
    match (measured, called) {
        (a, b) if a == b => 0.0,
        (a, b) if soft(a) && soft(b) => 1.0,
        _ => 1000.0,
    }
}
