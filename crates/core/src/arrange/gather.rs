//! One score out of what the files gave and what was typed as bar maps, its sources in the study's
//! order.

use crate::part::Part;
use crate::score::{PartMusic, Score, Source};
use std::sync::Arc;

/// Puts typed movements beside those of the files. `maps` pairs the place of a bar map among the
/// study's sources with its score of one movement; the sources of `files` take the other places in
/// order. Parts are the same when their keys are.
pub fn gather(files: Score, maps: Vec<(usize, Score)>) -> Score {
    if maps.is_empty() {
        return files;
    }
    let n_of_files = files.parts.len();
    let n_sources = files.sources.len() + maps.len();
    let is_map = |place: usize| maps.iter().any(|(map, _)| *map == place);
    let file_places: Vec<usize> = (0..n_sources).filter(|place| !is_map(*place)).collect();
    let mut sources: Vec<Source> = vec![Source { name: String::new(), fingerprint: 0 }; n_sources];
    let mut score = Score {
        sources: Vec::new(),
        movements: Vec::new(),
        title: files.title,
        composer: files.composer,
        parts: files.parts,
    };
    for (source, place) in files.sources.into_iter().zip(&file_places) {
        if let Some(here) = sources.get_mut(*place) {
            *here = source;
        }
    }
    for movement in files.movements {
        let mut movement = Arc::unwrap_or_clone(movement);
        movement.source = file_places.get(movement.source).copied().unwrap_or(0);
        score.movements.push(Arc::new(movement));
    }
    for (place, map) in maps {
        let places = merge_parts(&mut score.parts, &map.parts);
        if let (Some(here), Some(source)) = (sources.get_mut(place), map.sources.first()) {
            *here = source.clone();
        }
        for movement in map.movements {
            let mut movement = Arc::unwrap_or_clone(movement);
            movement.source = place;
            movement.music = spread(movement.music, &places, score.parts.len());
            score.movements.push(Arc::new(movement));
        }
    }
    place_parts(&mut score, n_of_files);
    score.sources = sources;
    score.movements.sort_by_key(|movement| movement.source);
    score
}

/// Adds parts that are not there yet; answers where each of `more` is.
fn merge_parts(parts: &mut Vec<Part>, more: &[Part]) -> Vec<usize> {
    let mut place = |part: &Part| {
        parts.iter().position(|known| known.key == part.key).unwrap_or_else(|| {
            parts.push(part.clone());
            parts.len() - 1
        })
    };
    more.iter().map(&mut place).collect()
}

fn spread(music: Vec<PartMusic>, places: &[usize], n_parts: usize) -> Vec<PartMusic> {
    let mut spread = vec![PartMusic::default(); n_parts];
    for (music, place) in music.into_iter().zip(places) {
        if let Some(here) = spread.get_mut(*place) {
            *here = music;
        }
    }
    spread
}

/// Puts the parts that only bar maps have (those from `n_of_files` on) before the first part whose
/// instrument comes later in score order; the parts of the files keep their order. Fills every
/// movement up to the full list.
fn place_parts(score: &mut Score, n_of_files: usize) {
    let n_parts = score.parts.len();
    let instrument = |place: usize| score.parts.get(place).map(|part| part.instrument);
    let mut order: Vec<usize> = (0..n_of_files).collect();
    for added in n_of_files..n_parts {
        let later = order.iter().position(|place| instrument(*place) > instrument(added));
        order.insert(later.unwrap_or(order.len()), added);
    }
    let moved = order.iter().filter_map(|place| score.parts.get(*place).cloned()).collect();
    score.parts = moved;
    for movement in &mut score.movements {
        let movement = Arc::make_mut(movement);
        movement.music.resize_with(n_parts, PartMusic::default);
        let mut music: Vec<Option<PartMusic>> =
            std::mem::take(&mut movement.music).into_iter().map(Some).collect();
        let taken = |place: &usize| music.get_mut(*place).and_then(Option::take);
        movement.music = order.iter().map(taken).map(Option::unwrap_or_default).collect();
    }
}
