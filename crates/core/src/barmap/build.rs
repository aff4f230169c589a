//! From the items of a bar map to a score of one movement.

use super::items::{At, Map, MapTempo, MapTempoKind};
use super::parts::parts;
use crate::bar::{Bar, BarIndex, BarTable, Barline};
use crate::diag::Diagnostic;
use crate::hash::fingerprint;
use crate::meter::Meter;
use crate::score::{InHand, Movement, PartMusic, Score, Source, TempoKind, TempoMark};
use crate::time::{Quarters, Resolution, Ticks};
use std::sync::Arc;

/// The score.
pub(super) fn score(map: &Map, text: &str, name: &str) -> (Score, Vec<Diagnostic>) {
    let title = if map.title.is_empty() { name } else { &map.title };
    let (parts, diagnostics) = parts(&map.parts, title);
    let resolution = resolution(map);
    let bars = BarTable::new(bars(map, resolution));
    let mut tempi: Vec<TempoMark> =
        map.tempi.iter().map(|tempo| tempo_mark(tempo, &bars, resolution)).collect();
    tempi.sort_by_key(|tempo| tempo.at);
    let music = parts.iter().map(|part| PartMusic {
        present: true,
        source_id: part.key.0.clone(),
        source_name: part.name.clone(),
        staves: 1,
        instruments: vec![InHand::first(part.instrument)],
        ..PartMusic::default()
    });
    let movement = Movement {
        title: title.to_owned(),
        resolution,
        bars,
        tempi,
        music: music.collect(),
        ..Movement::default()
    };
    let source = Source { name: title.to_owned(), fingerprint: fingerprint(text.as_bytes()) };
    let score = Score {
        title: title.to_owned(),
        composer: String::new(),
        sources: vec![source],
        parts,
        movements: vec![Arc::new(movement)],
    };
    (score, diagnostics)
}

/// The least resolution at which every bar and place is whole. Lower figures are powers of two up
/// to 128, so it is small.
fn resolution(map: &Map) -> Resolution {
    let places = map.tempi.iter().flat_map(|tempo| match tempo.kind {
        MapTempoKind::Gradual { end: Some((_, end)), .. } => vec![tempo.at.1, end],
        _ => vec![tempo.at.1],
    });
    let all = map.bars.iter().map(|bar| bar.length).chain(places);
    let finest = all.map(Quarters::denominator).max().unwrap_or(1);
    u32::try_from(finest).ok().and_then(Resolution::new).unwrap_or_default()
}

fn bars(map: &Map, resolution: Resolution) -> Vec<Bar> {
    let ticks = |length: Quarters| resolution.ticks_floor(length).unwrap_or_default();
    // The upbeat belongs to the meter of the bar that follows.
    let first_meter = map.bars.iter().find(|bar| !bar.pickup).map(|bar| &bar.meter);
    let mut number = 0_u32;
    let mut bars: Vec<Bar> = map
        .bars
        .iter()
        .map(|bar| {
            let meter = match (bar.pickup, first_meter) {
                (true, Some(meter)) => meter.clone(),
                _ => bar.meter.clone(),
            };
            number += u32::from(!bar.pickup);
            let label = if bar.pickup { String::new() } else { number.to_string() };
            let nominal = meter.bar_length().map_or(ticks(bar.length), ticks);
            blank(meter, ticks(bar.length), nominal, label, bar.pickup)
        })
        .collect();
    for (bar, mark) in &map.marks {
        if let Some(bar) = bars.get_mut(*bar) {
            bar.rehearsal = Some(mark.clone());
        }
    }
    for bar in &map.doubles {
        if let Some(bar) = bars.get_mut(*bar) {
            bar.barline = Barline::Double;
        }
    }
    for (from, to, times) in &map.repeats {
        if let Some(bar) = bars.get_mut(*from) {
            bar.flow.repeat_start = true;
        }
        if let Some(bar) = bars.get_mut(*to) {
            bar.flow.repeat_end = Some(*times);
        }
    }
    for (number, from, to) in &map.endings {
        for bar in bars.iter_mut().take(to + 1).skip(*from) {
            bar.flow.endings.push(*number);
        }
        if let Some(bar) = bars.get_mut(*to) {
            bar.flow.ending_stops = true;
        }
    }
    if let Some(last) = bars.last_mut() {
        last.barline = Barline::Final;
    }
    bars
}

fn blank(meter: Meter, length: Ticks, nominal: Ticks, label: String, pickup: bool) -> Bar {
    Bar { nominal, pickup, ..Bar::blank(meter, length, label) }
}

fn tempo_mark(tempo: &MapTempo, bars: &BarTable, resolution: Resolution) -> TempoMark {
    let ticks =
        |(bar, offset): At| bars.ticks(BarIndex::from(bar), offset, resolution).unwrap_or_default();
    let kind = match tempo.kind.clone() {
        MapTempoKind::Metronome { unit, per_minute, up_to, about } => {
            TempoKind::Metronome { unit, per_minute, up_to, about }
        }
        MapTempoKind::Equation { old, new } => TempoKind::Equation { old, new },
        MapTempoKind::Term => TempoKind::Term,
        MapTempoKind::Gradual { faster, end } => TempoKind::Gradual { faster, end: end.map(ticks) },
        MapTempoKind::ATempo => TempoKind::ATempo,
        MapTempoKind::Primo => TempoKind::TempoPrimo,
    };
    TempoMark {
        at: ticks(tempo.at),
        bar: BarIndex::from(tempo.at.0),
        kind,
        words: tempo.words.clone(),
        line: u32::try_from(tempo.line).unwrap_or(0),
    }
}
