//! One line that explains what is under the pointer.

use super::geometry::{Layout, View};
use super::hit::{self, Area};
use super::prepared::{MarkView, Prepared, StudyView};
use super::rows::{self, counted};
use super::ruler::clock;
use super::strip::Places;
use crate::ctx::Ctx;
use crate::model::view_state::TrackRow;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::Pos2;

/// The line for a place of the screen, in a movement.
pub(super) fn words(
    view: &View<'_>,
    prepared: &Prepared,
    study: &StudyView<'_>,
    layout: &Layout,
    strip: &Places,
    at: Pos2,
) -> Option<String> {
    let area = hit::area(layout, at);
    match area {
        Area::Strip => return movement_line(&view.ctx, strip, at.x),
        Area::Family(family) => {
            let what = if view.ctx.view.folded.contains(&family) { "unfold" } else { "fold" };
            return Some(format!("Click to {what} {family}"));
        }
        Area::PartName(part) => return part_line(view, part),
        Area::TrackName(row) => return Some(row_line(row).to_owned()),
        Area::Nothing => return None,
        _ => {}
    }
    let bar = hit::bar(view, at.x)?;
    let place = view.ticks_at(at.x)?;
    match area {
        Area::Part(part) => part_at(view, part, bar, place),
        Area::Track(row) => track_line(view, prepared, study, layout, row, bar, place, at),
        _ => Some(bar_line(view, bar)),
    }
}

/// The line for a place of the screen when the whole work is shown.
pub(super) fn words_of_whole(
    ctx: &Ctx<'_>,
    layout: &Layout,
    places: &Places,
    at: Pos2,
) -> Option<String> {
    match hit::area(layout, at) {
        Area::PartName(_) | Area::Nothing | Area::Family(_) | Area::TrackName(_) => None,
        _ => movement_line(ctx, places, at.x),
    }
}

fn movement_line(ctx: &Ctx<'_>, places: &Places, x: f32) -> Option<String> {
    let (idx, axis) = places.at(x)?;
    let movement = ctx.basis.score.movements.get(idx)?;
    let equal = ctx.view.equal_bars;
    let columns = crate::model::view_state::Columns::of(&movement.bars, movement.resolution, equal);
    let bar = columns.bar_at(axis)?;
    let title =
        if movement.title.is_empty() { String::new() } else { format!(" {}", movement.title) };
    Some(format!("{}{title}, bar {}", super::prepared::roman(idx + 1), movement.bar_name(bar)))
}

/// Bar, meter, seconds, place between rehearsal marks.
fn bar_line(view: &View<'_>, idx: BarIndex) -> String {
    let name = view.movement.bar_name(idx);
    let Some(bar) = view.movement.bars.get(idx) else { return format!("Bar {name}") };
    let mut parts = vec![format!("Bar {name}"), bar.meter_text()];
    parts.extend(own_meters(view, idx));
    if let Some(tracks) = view.tracks {
        let length = tracks.tempo.bar_length(idx);
        if length > 0.0 {
            let at = clock(tracks.tempo.seconds_at(bar.start));
            parts.push(format!("{length:.1} s, at {at}"));
        }
        if let Some(segment) = tracks.tempo.segment_at(bar.start) {
            parts.push(segment.why.clone());
        }
    }
    parts.retain(|part| !part.is_empty());
    parts.join(", ")
}

/// Which parts count in a meter of their own: all of them are in the evidence, so a few do here.
fn own_meters(view: &View<'_>, idx: BarIndex) -> Option<String> {
    let mut own: Vec<String> = Vec::new();
    for (part, music) in view.movement.parts() {
        let here = music.meters.iter().find(|own| own.from <= idx && idx <= own.to);
        if let (Some(own_meter), Some(head)) = (here, view.ctx.basis.score.parts.get(part.idx())) {
            own.push(format!("{} in {}", head.short, own_meter.meter));
        }
    }
    let more = own.len().saturating_sub(3);
    own.truncate(3);
    if more > 0 {
        own.push(format!("{more} more"));
    }
    (!own.is_empty()).then(|| own.join(", "))
}

fn row_line(row: TrackRow) -> &'static str {
    match row {
        TrackRow::Meter => "The written meter, where it changes",
        TrackRow::Beating => "How each bar is beaten: full strokes are chosen, open ones proposed",
        TrackRow::Groups => "Your groups of bars, with the number of bars in each",
        TrackRow::Texture => "How the parts relate; the height is the share of them that sounds",
        TrackRow::Dynamics => "From the softest to the loudest part that sounds",
        TrackRow::Devices => "Mutes, plucked and bowed, and other techniques; dotted means muted",
        TrackRow::Entrances => "A part begins after a rest; a ring means that a cue is wanted",
        TrackRow::Marks => "Your marks in the layers that are shown",
        TrackRow::Lead => "The parts that carry the line, as far as the notes tell",
        TrackRow::Doublings => "Parts that play one line in unison, octaves or parallel intervals",
        TrackRow::Balance => "An estimate of how far the line stands above the rest",
        TrackRow::Strings => "How the strings play where they do not simply bow",
        TrackRow::Changes => {
            "Changes of mute, bow, instrument, pedals and drums; a triangle lacks time"
        }
        TrackRow::Attacks => "Where instruments that speak fast and slow begin together",
        TrackRow::Ranges => "Notes near or past the end of a range, and long stretches of winds",
    }
}

fn part_line(view: &View<'_>, part: PartIdx) -> Option<String> {
    let head = view.ctx.basis.score.parts.get(part.idx())?;
    let players = match head.players.len() {
        0 | 1 => String::new(),
        n => format!(", {n} players"),
    };
    Some(format!("{}{players}: click to select", head.name))
}

/// "Violins II, bar 43: con sord., pp since bar 41".
fn part_at(view: &View<'_>, part: PartIdx, bar: BarIndex, at: Ticks) -> Option<String> {
    let head = view.ctx.basis.score.parts.get(part.idx())?;
    let place = format!("{}, bar {}", head.name, view.movement.bar_name(bar));
    let Some(tracks) = view.tracks else { return Some(place) };
    if !tracks.playing.sounds(part, bar) {
        return Some(format!("{place}: rests"));
    }
    let mut states: Vec<String> = tracks
        .devices
        .at(part, at)
        .map(
            |span| {
                if span.words.is_empty() { span.device.to_string() } else { span.words.clone() }
            },
        )
        .collect();
    states.dedup();
    if let Some(dynamics) = tracks.dynamics.parts.get(part.idx()) {
        let after = dynamics.changes.partition_point(|change| change.at <= at);
        let change = after.checked_sub(1).and_then(|idx| dynamics.changes.get(idx));
        states.push(match change {
            Some(change) => {
                let since = view.movement.place(change.at).0;
                format!("{} since bar {}", change.level, view.movement.bar_name(since))
            }
            None => String::from("no level written yet"),
        });
        if let Some(hairpin) = dynamics.hairpins.iter().find(|h| h.from <= at && at < h.to) {
            states.push(String::from(if hairpin.louder { "growing" } else { "fading" }));
        }
    }
    Some(format!("{place}: {}", states.join(", ")))
}

#[allow(
    clippy::too_many_arguments,
    reason = "one line for each row needs all that rows are drawn from"
)]
fn track_line(
    view: &View<'_>,
    prepared: &Prepared,
    study: &StudyView<'_>,
    layout: &Layout,
    row: TrackRow,
    bar: BarIndex,
    at: Ticks,
    pointer: Pos2,
) -> Option<String> {
    let name = view.movement.bar_name(bar);
    match row {
        TrackRow::Meter => Some(bar_line(view, bar)),
        TrackRow::Beating => beating_line(view, bar),
        TrackRow::Groups => group_line(view, study, layout, bar, pointer),
        TrackRow::Dynamics => Some(match view.tracks?.dynamics.band(bar) {
            Some((low, high)) if low == high => format!("Bar {name}: everyone {high}"),
            Some((low, high)) => format!("Bar {name}: softest {low}, loudest {high}"),
            None => format!("Bar {name}: no level known"),
        }),
        TrackRow::Devices => device_line(view, prepared, at),
        TrackRow::Entrances => entrance_line(view, study, pointer),
        TrackRow::Marks => mark_line(view, study, pointer),
        ensemble => rows::ensemble_words(view, ensemble, bar, at),
    }
}

fn beating_line(view: &View<'_>, idx: BarIndex) -> Option<String> {
    let name = view.movement.bar_name(idx);
    let strokes = rows::strokes_of(view, idx)?;
    let proposal = view.tracks.and_then(|tracks| tracks.beating.get(idx.idx()));
    let reason = proposal.map(|p| p.reason.as_str()).unwrap_or_default();
    Some(match (strokes.chosen, proposal) {
        (true, Some(proposal)) if proposal.pattern != strokes.pattern => {
            format!("Bar {name}: in {}, chosen; proposed was {}", strokes.pattern, proposal.pattern)
        }
        (true, _) => format!("Bar {name}: in {}, chosen", strokes.pattern),
        (false, _) if reason.is_empty() => format!("Bar {name}: in {}, proposed", strokes.pattern),
        (false, _) => format!("Bar {name}: in {}, proposed: {reason}", strokes.pattern),
    })
}

/// The group in the lane under the pointer, else the smallest around the bar.
fn group_line(
    view: &View<'_>,
    study: &StudyView<'_>,
    layout: &Layout,
    bar: BarIndex,
    pointer: Pos2,
) -> Option<String> {
    let (_, rect) = layout.tracks.iter().find(|(row, _)| *row == TrackRow::Groups)?;
    let lane = ((pointer.y - rect.top() - 0.45 * view.pens.em) / (1.5 * view.pens.em)).max(0.0);
    let level = study.levels.get(lane as usize).or(study.levels.last())?;
    let holds = |group: &&barloom_core::study::Group| group.from <= bar && bar <= group.to;
    let groups = || study.groups.iter().map(|(_, group)| *group).filter(holds);
    let group = groups().find(|group| group.level == *level).or_else(|| groups().next_back())?;
    let n_bars = counted(&view.movement.bars, group.from, group.to);
    let title = if group.name.is_empty() { String::from("Group") } else { group.name.clone() };
    let name = |bar| view.movement.bar_name(bar);
    Some(format!("{title}: {n_bars} bars, {} to {}", name(group.from), name(group.to)))
}

fn device_line(view: &View<'_>, prepared: &Prepared, at: Ticks) -> Option<String> {
    let runs: Vec<String> = prepared
        .devices
        .iter()
        .filter(|run| run.from <= at && at < run.to)
        .map(|run| {
            let parts = rows::parts_named(view, run);
            let since = view.movement.bar_name(view.movement.place(run.from).0);
            let until = match (run.ended, run.end_words.as_str()) {
                (false, _) => String::from("never taken back"),
                (true, "") => format!("to bar {}", ending(view, run.to)),
                (true, words) => format!("to \"{words}\" in bar {}", ending(view, run.to)),
            };
            format!("{} {parts}, from bar {since} {until}", run.words)
        })
        .collect();
    (!runs.is_empty()).then(|| runs.join("; "))
}

fn ending(view: &View<'_>, to: Ticks) -> String {
    view.movement.bar_name(view.movement.place(to).0)
}

fn entrance_line(view: &View<'_>, study: &StudyView<'_>, pointer: Pos2) -> Option<String> {
    let tracks = view.tracks?;
    let near = 0.6 * view.pens.em;
    let score = &view.ctx.basis.score;
    let (from, to) = (view.ticks_at(pointer.x - near)?, view.ticks_at(pointer.x + near)?);
    let first = tracks.entrances.partition_point(|entrance| entrance.at < from);
    let here = tracks.entrances.iter().skip(first).take_while(|entrance| entrance.at <= to);
    let lines: Vec<String> = here
        .take(3)
        .filter_map(|entrance| {
            let head = score.parts.get(entrance.part.idx())?;
            let rest = match entrance.rest_bars {
                0 => String::from("enters for the first time"),
                1 => String::from("enters after a bar of rest"),
                n => format!("enters after {n} bars of rest"),
            };
            let cue = study.cue(entrance.at, entrance.part).filter(|cue| cue.cue.wanted);
            let cue = if cue.is_some() { ", cue wanted" } else { "" };
            Some(format!("{} {rest}{cue}", head.name))
        })
        .collect();
    (!lines.is_empty()).then(|| lines.join("; "))
}

fn mark_line(view: &View<'_>, study: &StudyView<'_>, pointer: Pos2) -> Option<String> {
    let reach = 4.0 * view.pens.em;
    let under = |mark: &&MarkView<'_>| {
        let (from, to) = (view.tick_x(mark.from), view.tick_x(mark.to));
        from <= pointer.x && pointer.x <= to.max(from + reach)
    };
    let mark = study.marks.iter().rfind(under)?;
    let place = view.movement.bar_name(mark.mark.from.bar);
    let mut words = mark.mark.text.clone();
    if mark.mark.sign != barloom_core::study::Sign::Text {
        let sign = mark.mark.sign.name();
        words = if words.is_empty() { sign.to_owned() } else { format!("{sign}: {words}") };
    }
    Some(format!("Bar {place}: {words} (layer {})", mark.layer_name))
}
