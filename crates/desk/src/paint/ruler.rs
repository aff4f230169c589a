//! The ruler: rehearsal marks, tempo, bar labels, repeats and the time, over the bars; movement and
//! span beside them.

use super::access::ordinal;
use super::geometry::{Layout, View, names_beside};
use super::glyphs::{self, CODA, SEGNO};
use super::pens::{Pens, fitted, music, music_width, text, width};
use super::prepared::{StudyView, roman};
use crate::model::camera::Zoom;
use barloom_analysis::tempo::{Origin, Segment};
use barloom_core::bar::{Bar, BarIndex};
use egui::{Align2, Painter, Rangef, Rect, Stroke, StrokeKind, pos2, vec2};

/// Seconds as minutes and seconds, "2:38".
pub(super) fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0).round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// Draws the ruler's bars' area.
pub(super) fn paint(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, ruler: Rect) {
    let upper = ruler.top() + 0.31 * ruler.height();
    let lower = ruler.bottom() - 0.62 * view.pens.em;
    let time_left = times(painter, view, ruler, upper);
    tempi(painter, view, upper, time_left);
    labels(painter, view, study, ruler, lower);
}

fn times(painter: &Painter, view: &View<'_>, ruler: Rect, y: f32) -> f32 {
    let Some(tracks) = view.tracks.filter(|tracks| tracks.tempo.seconds() > 0.0) else {
        return ruler.right();
    };
    let (from, to) = view.tick_span();
    let seconds = |at| tracks.tempo.seconds_at(at);
    let words = match view.stretch {
        Some(_) => format!("played {}", clock(tracks.tempo.played_seconds)),
        None => format!("{} – {}", clock(seconds(from)), clock(seconds(to))),
    };
    let at = pos2(ruler.right() - 0.6 * view.pens.em, y);
    text(painter, at, Align2::RIGHT_CENTER, &words, &view.pens.small, view.pens.mid()).left()
        - view.pens.em
}

/// What stands in the upper line: boxes and tempo, from left to right without running into each other.
fn tempi(painter: &Painter, view: &View<'_>, y: f32, right_end: f32) {
    let em = view.pens.em;
    let (from, to) = view.tick_span();
    let segments = view.tracks.map(|t| t.tempo.segments.as_slice()).unwrap_or_default();
    let marks =
        view.bars().filter_map(|(idx, bar)| Some((bar.start, idx, bar.rehearsal.as_ref()?)));
    let mut items: Vec<(f32, Item<'_>)> = marks
        .map(|(_, idx, mark)| (view.bar_x(idx).0, Item::Mark(mark)))
        .chain(
            shown_segments(segments)
                .filter(|segment| from <= segment.at && segment.at < to)
                .map(|segment| (view.tick_x(segment.at), Item::Tempo(segment))),
        )
        .collect();
    items.sort_by(|a, b| a.0.total_cmp(&b.0));
    // The tempo in force at the left edge, when it began before it.
    let in_force = view.tracks.and_then(|tracks| tracks.tempo.segment_at(from));
    let at_edge = in_force.filter(|segment| segment.at < from);
    if let Some(segment) = at_edge {
        items.insert(0, (view.x_range.min, Item::InForce(segment)));
    }
    let mut taken = f32::MIN;
    let n_items = items.len();
    for idx in 0..n_items {
        let (x, item) = &items[idx];
        let next = items.get(idx + 1).map_or(right_end, |(next, _)| *next);
        // What belongs to a bar that is cut by the left edge stays at the edge.
        let x = x.max(view.x_range.min).max(taken);
        if x > right_end {
            break;
        }
        taken = match item {
            Item::Mark(mark) => mark_box(painter, view.pens, x, y, mark) + 0.7 * em,
            Item::Tempo(segment) => {
                tempo(painter, view.pens, x + 0.3 * em, y, segment, next.min(right_end), false)
            }
            Item::InForce(segment) => {
                tempo(painter, view.pens, x + 0.3 * em, y, segment, next.min(right_end), true)
            }
        };
    }
}

enum Item<'a> {
    Mark(&'a str),
    Tempo(&'a Segment),
    InForce(&'a Segment),
}

/// Playback values that nobody printed are not tempo marks; where nothing else is known the first one
/// tells how the time was reckoned.
fn shown_segments(segments: &[Segment]) -> impl Iterator<Item = &Segment> {
    segments
        .iter()
        .enumerate()
        .filter(|(idx, segment)| {
            *idx == 0 || segment.origin != Origin::Playback || !segment.words.is_empty()
        })
        .map(|(_, segment)| segment)
}

fn mark_box(painter: &Painter, pens: &Pens<'_>, x: f32, y: f32, mark: &str) -> f32 {
    let width = width(painter, mark, &pens.mark).max(0.7 * pens.em);
    let size = vec2(width + 0.75 * pens.em, 1.65 * pens.em);
    let frame = Rect::from_min_size(pos2(x.round() + 0.5, (y - size.y / 2.0).round() + 0.5), size);
    painter.rect_filled(frame, 0.0, pens.paper());
    painter.rect_stroke(frame, 0.0, Stroke::new(1.2, pens.ink()), StrokeKind::Inside);
    text(painter, frame.center(), Align2::CENTER_CENTER, mark, &pens.mark, pens.ink());
    frame.right()
}

fn tempo(
    painter: &Painter,
    pens: &Pens<'_>,
    x: f32,
    y: f32,
    segment: &Segment,
    limit: f32,
    in_force: bool,
) -> f32 {
    let em = pens.em;
    let color = if in_force { pens.mid() } else { pens.ink() };
    let room = limit - x - 0.5 * em;
    let unit = segment.unit.unwrap_or(barloom_core::time::Quarters::ONE);
    let note = glyphs::metronome_note(unit);
    let value = segment.quarters_per_minute / unit.as_f64().max(1e-6);
    let figure = format!("= {}{}", value.round(), origin_note(segment.origin));
    let size = 1.35 * em;
    let dot = 0.42 * em;
    let figure_width = note.map_or(0.0, |(note, dots)| {
        music_width(painter, pens, &note.to_string(), size) + dots as f32 * dot + 0.25 * em
    }) + width(painter, &figure, &pens.small);
    let words_room = if figure_width < room { room - figure_width - 0.6 * em } else { room };
    let words = fitted(painter, &segment.words, &pens.words, words_room);
    let mut end = x;
    if !words.is_empty() {
        let at = pos2(x, y);
        end = text(painter, at, Align2::LEFT_CENTER, &words, &pens.words, color).right() + 0.6 * em;
    }
    // A change by degrees has no one figure, and a term in force was given one where it began.
    let plain = segment.to.is_none() && !(in_force && segment.origin == Origin::Term);
    let figures_known = plain || words.is_empty();
    if let Some((note, dots)) = note.filter(|_| figures_known && end + figure_width < limit) {
        let foot = y + 0.4 * em;
        end += music(painter, pens, pos2(end, foot), &note.to_string(), size, color);
        for _ in 0..dots {
            painter.circle_filled(pos2(end + 0.1 * em, foot), 0.1 * em, color);
            end += dot;
        }
        end += 0.25 * em;
        let at = pos2(end, y);
        end = text(painter, at, Align2::LEFT_CENTER, &figure, &pens.small, color).right();
    }
    end + 0.8 * em
}

/// Says what is not printed in the score.
fn origin_note(origin: Origin) -> &'static str {
    match origin {
        Origin::Printed | Origin::Equation | Origin::Plan => "",
        Origin::Playback | Origin::Term | Origin::Assumed => " assumed",
    }
}

fn labels(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, ruler: Rect, y: f32) {
    let pens = view.pens;
    let step = label_step(view);
    let (mut taken, mut ticked) = (f32::MIN, f32::MIN);
    let tick = Stroke::new(1.0, pens.light());
    for (idx, bar) in view.bars() {
        let (left, right) = view.bar_x(idx);
        let begins = study.group_starts.contains(&idx) || bar.rehearsal.is_some();
        let strong = begins || ends_round(&bar.label, step);
        if (strong || step == 1) && left - ticked >= 3.0 {
            ticked = left;
            let top = ruler.bottom() - if begins { 0.8 } else { 0.5 } * pens.em;
            painter.vline(left.round() + 0.5, top..=ruler.bottom(), tick);
        }
        taken = flow_signs(painter, view, ruler, bar, left, right, taken);
        let first_in_view = view.seen.is_some_and(|(first, _)| first == idx);
        if bar.label.is_empty() || !(strong || step == 1 || first_in_view) {
            continue;
        }
        let font = if begins { &pens.body_bold } else { &pens.small };
        let color = if begins { pens.ink() } else { pens.mid() };
        let sign = if bar.flow.repeat_start { 6.0 } else { 0.0 };
        let x = (left + 3.0 + sign).max(view.x_range.min + 2.0);
        if x <= taken {
            continue;
        }
        let needed = width(painter, &bar.label, font);
        // A group's first bar pushes the next label away, not the other way round.
        if x + needed < right.max(left + needed) + 1.0 || step > 1 {
            text(painter, pos2(x, y), Align2::LEFT_CENTER, &bar.label, font, color);
            taken = x + needed + 0.5 * pens.em;
            let time = view.stretch.map_or(1, |stretch| stretch.pass(idx));
            if time > 1 {
                // Played before: a small word says which time this is.
                let word = ordinal(time);
                let at = pos2(x + needed + 0.35 * pens.em, y);
                let ends =
                    text(painter, at, Align2::LEFT_CENTER, &word, &pens.words_small, pens.mid());
                taken = ends.right() + 0.5 * pens.em;
            }
        }
    }
}

/// Repeat signs, endings, segno, coda and jumps in the lower line.
fn flow_signs(
    painter: &Painter,
    view: &View<'_>,
    ruler: Rect,
    bar: &Bar,
    left: f32,
    right: f32,
    taken: f32,
) -> f32 {
    let flow = &bar.flow;
    if *flow == Default::default() || view.zoom == Zoom::Suite {
        return taken;
    }
    let pens = view.pens;
    let (em, ink) = (pens.em, pens.ink());
    let y = Rangef::new(ruler.bottom() - 1.25 * em, ruler.bottom());
    let dots = |x: f32| {
        for share in [0.32, 0.68] {
            let at = pos2(x, y.min + y.span() * share);
            painter.circle_filled(at, 1.3, ink);
        }
    };
    if flow.repeat_start {
        painter.vline(left + 1.0, y, Stroke::new(2.0, ink));
        dots(left + 5.0);
    }
    if flow.repeat_end.is_some() {
        painter.vline(right - 1.0, y, Stroke::new(2.0, ink));
        dots(right - 5.0);
    }
    let mut words = Vec::new();
    if !flow.endings.is_empty() {
        let numbers: Vec<String> = flow.endings.iter().map(|n| format!("{n}.")).collect();
        painter.hline(Rangef::new(left + 1.0, right - 2.0), y.min - 2.0, Stroke::new(1.0, ink));
        painter.vline(left + 1.0, y.min - 2.0..=y.min + 4.0, Stroke::new(1.0, ink));
        words.push(numbers.join(" "));
    }
    if flow.fine.is_some() {
        words.push(String::from("Fine"));
    }
    if let Some(jump) = &flow.jump {
        words.push(jump.to_string());
    }
    let mut end = taken;
    let codas = flow.coda.is_some() || flow.to_coda.is_some();
    for (shown, sign) in [(flow.segno.is_some(), SEGNO), (codas, CODA)] {
        if shown {
            let x = if sign == CODA && flow.to_coda.is_some() {
                right - 1.2 * em
            } else {
                left + 0.2 * em
            };
            let at = pos2(x, y.max - 0.15 * em);
            music(painter, pens, at, &sign.to_string(), 1.3 * em, ink);
            end = end.max(x + 1.4 * em);
        }
    }
    if !words.is_empty() && right - left > 2.4 * em {
        let at = pos2(right - 0.7 * em, y.center());
        let words = words.join(" ");
        text(painter, at, Align2::RIGHT_CENTER, &words, &pens.words_small, pens.dark());
    }
    end
}

/// Every how many bars a label fits.
fn label_step(view: &View<'_>) -> u32 {
    let Some((first, last)) = view.seen else { return 1 };
    let (left, right) = (view.bar_x(first).0, view.bar_x(last).1);
    let mean = (right - left) / (last.0 - first.0 + 1) as f32;
    let needed = 2.6 * view.pens.em;
    [1, 5, 10, 50, 100].into_iter().find(|step| mean * *step as f32 >= needed).unwrap_or(500)
}

/// Whether a label is one of every so many, judged by its last figures as printed.
fn ends_round(label: &str, step: u32) -> bool {
    let endings: &[&str] = match step {
        1 => return false,
        5 => &["0", "5"],
        10 => &["0"],
        50 => &["00", "50"],
        100 => &["00"],
        _ => &["000", "500"],
    };
    endings.iter().any(|ending| label.ends_with(ending))
}

/// Draws the words beside the ruler: movement, span, and how the time was reckoned.
pub(super) fn paint_names(painter: &Painter, view: &View<'_>, layout: &Layout) {
    let pens = view.pens;
    let side = names_beside(layout, layout.ruler);
    let x = side.left() + 1.4 * pens.em;
    let room = side.width() - 2.0 * pens.em;
    let number = roman(view.ctx.view.movement + 1);
    let title = match view.seen {
        Some((first, last)) => {
            let name = |bar: BarIndex| view.movement.bar_name(bar);
            format!("{number}, bars {}–{}", name(first), name(last))
        }
        None => format!("{number}, no bars"),
    };
    let title = fitted(painter, &title, &pens.body_bold, room);
    let y = side.top() + 0.31 * side.height();
    text(painter, pos2(x, y), Align2::LEFT_CENTER, &title, &pens.body_bold, pens.ink());
    let assumed = view.tracks.is_some_and(|tracks| {
        tracks.tempo.segments.iter().any(|segment| segment.origin == Origin::Assumed)
    });
    let note = match view.tracks {
        None => "reading the score …",
        Some(_) if view.lane.is_played() => "in played order",
        Some(_) if assumed => "time at an assumed tempo",
        Some(_) => "time without holds and repeats",
    };
    let y = side.bottom() - 0.62 * pens.em;
    let note = fitted(painter, note, &pens.small, room);
    text(painter, pos2(x, y), Align2::LEFT_CENTER, &note, &pens.small, pens.mid());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_thinned_by_their_last_figures() {
        assert!(ends_round("45", 5) && ends_round("40", 5) && !ends_round("44", 5));
        assert!(ends_round("140", 10) && !ends_round("145", 10));
        assert!(ends_round("100", 50) && !ends_round("40a", 10) && !ends_round("", 5));
    }

    #[test]
    fn time_is_minutes_and_seconds() {
        assert_eq!(clock(158.4), "2:38");
        assert_eq!(clock(59.6), "1:00");
        assert_eq!(clock(-1.0), "0:00");
    }
}
