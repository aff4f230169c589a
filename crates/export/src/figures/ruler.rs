//! The ruler of a line: rehearsal marks in boxes, tempo, endings, bar labels, time at the right end.

use super::canvas::{Anchor, Canvas, Ink, Run, Type, run_width};
use super::grid::{Frame, time_span};
use super::layout::{System, pack};
use super::music;
use crate::fonts::Face;

const MARK: Type = Type::new(Face::SansBold, 9.5, Ink::BLACK);
const LABEL: Type = Type::new(Face::Sans, 8.0, Ink::DARK);
const STRONG_LABEL: Type = Type::new(Face::SansBold, 9.0, Ink::BLACK);
const TIME: Type = Type::new(Face::Sans, 8.0, Ink::DARK);
const LANE_PT: f64 = 13.5;
const LABELS_PT: f64 = 12.0;
const MOST_LANES: usize = 4;

/// Draws the ruler from the top; answers its height.
pub(crate) fn draw(frame: &Frame<'_>, system: &System, canvas: &mut Canvas) -> f64 {
    let items = items(frame, system);
    let time = time_span(frame, system);
    let time_from = system.right() - TIME.width(&time) - 6.0;
    let mut spans = vec![(time_from, f64::INFINITY)];
    spans.extend(items.iter().map(|item| (item.x, item.x + item.width + 5.0)));
    let (lanes, n_lanes) = pack(&spans, MOST_LANES);
    let n_lanes = n_lanes.max(1);
    // Lane 0 is the lowest, next to the labels.
    let baseline = |lane: usize| LANE_PT * (n_lanes - lane) as f64 - 3.5;
    for (item, lane) in items.iter().zip(lanes.iter().skip(1)) {
        if let Some(lane) = lane {
            draw_item(item, baseline(*lane), canvas);
        }
    }
    canvas.text(system.right(), baseline(0), Anchor::End, TIME, &time);
    let labels_y = LANE_PT * n_lanes as f64 + LABELS_PT - 2.5;
    labels(frame, system, canvas, labels_y);
    LANE_PT * n_lanes as f64 + LABELS_PT
}

enum Content {
    Mark(String),
    Words(Run),
    Ending(String, f64),
}

struct Item {
    x: f64,
    width: f64,
    content: Content,
}

fn items(frame: &Frame<'_>, system: &System) -> Vec<Item> {
    let room = system.right() - system.left();
    let mut items = Vec::new();
    for (idx, bar) in system.bars(frame.movement) {
        let Some((left, right)) = system.bar(idx) else { continue };
        if let Some(mark) = &bar.rehearsal {
            let mark = MARK.fitted(mark, room / 2.0);
            let width = MARK.width(&mark) + 7.0;
            items.push(Item { x: left, width, content: Content::Mark(mark) });
        }
        if !bar.ending.is_empty() {
            let width = (LABEL.width(&bar.ending) + 6.0).max(right - left - 2.0);
            let content = Content::Ending(bar.ending.clone(), right - left - 2.0);
            items.push(Item { x: left + 1.0, width, content });
        }
        for tempo in frame.movement.tempi.iter().filter(|tempo| tempo.at.bar == idx) {
            let mut run = music::tempo(tempo, 9.0);
            shorten(&mut run, room);
            let width = run_width(&run);
            let after_mark = match items.last() {
                Some(Item { x, width, content: Content::Mark(_) }) if *x == left => x + width + 4.0,
                _ => system.x(tempo.at) + 1.0,
            };
            let x = after_mark.max(system.x(tempo.at)).min(system.right() - width);
            items.push(Item { x: x.max(system.left()), width, content: Content::Words(run) });
        }
    }
    items
}

/// Words too long for the line are cut, so that the metronome beside them stays.
fn shorten(run: &mut Run, room: f64) {
    let rest: f64 = run.iter().skip(1).map(|(kind, text)| kind.width(text)).sum();
    if let Some((kind, text)) = run.first_mut() {
        *text = kind.fitted(text, (room * 0.7 - rest).max(40.0));
    }
}

fn draw_item(item: &Item, baseline: f64, canvas: &mut Canvas) {
    match &item.content {
        Content::Mark(mark) => {
            let area = [item.x, baseline - 8.9, item.width, 11.4];
            canvas.frame(area, 0.8, Ink::BLACK, Some(Ink::PAPER));
            canvas.text(item.x + item.width / 2.0, baseline, Anchor::Middle, MARK, mark);
        }
        Content::Words(run) => {
            canvas.run(item.x, baseline, run);
        }
        Content::Ending(text, width) => {
            let top = baseline - 8.5;
            canvas.line((item.x, baseline + 1.0), (item.x, top), 0.7, Ink::DARK);
            canvas.line((item.x, top), (item.x + width, top), 0.7, Ink::DARK);
            canvas.text(item.x + 2.5, baseline, Anchor::Start, LABEL, text);
        }
    }
}

/// Bar labels: bold where a group begins, the others as far as there is room.
fn labels(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, y: f64) {
    let name = |bar: usize| frame.movement.bars.get(bar).map_or("", |bar| bar.name.as_str());
    let span = format!("Bars {}–{}", name(system.first), name(system.end().saturating_sub(1)));
    frame.name(canvas, y, STRONG_LABEL, &span);
    let mut placed: Vec<(f64, f64)> = Vec::new();
    let bars: Vec<_> = system.bars(frame.movement).collect();
    let strong = |idx: usize, strong: bool| strong || idx == system.first;
    for first_pass in [true, false] {
        for (idx, bar) in &bars {
            let is_strong = strong(*idx, bar.strong);
            if is_strong != first_pass || bar.label.is_empty() {
                continue;
            }
            let Some((left, right)) = system.bar(*idx) else { continue };
            let kind = if is_strong { STRONG_LABEL } else { LABEL };
            let room = if is_strong { 60.0 } else { right - left + 8.0 };
            let text = kind.fitted(&bar.label, room);
            let (from, to) = (left + 1.5, left + 1.5 + kind.width(&text) + 2.0);
            if placed.iter().all(|(a, b)| to <= *a || from >= *b) {
                canvas.text(from, y, Anchor::Start, kind, &text);
                placed.push((from, to));
            }
        }
    }
}
