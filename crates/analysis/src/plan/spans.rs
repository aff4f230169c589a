//! Groups of bars with their sums, and techniques in force.

use super::lists::Scene;
use super::{PlanDevice, PlanGroup, PlanHairpin, words};
use crate::devices::DeviceSpan;
use barloom_core::event::Device;
use barloom_core::part::PartIdx;
use barloom_core::study::{Entry, Group};
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// The groups of a movement by first bar, larger ones first.
pub(super) fn groups(scene: &Scene<'_>) -> Vec<PlanGroup> {
    let here = |(_, group): &(&Entry, &Group)| group.movement == scene.movement.id;
    let mut found: Vec<&Group> =
        scene.study.groups().filter(here).map(|(_, group)| group).collect();
    let n_bars = scene.movement.bars.len();
    found.retain(|group| group.from.idx() < n_bars && group.from <= group.to);
    found.sort_by_key(|group| (group.from, std::cmp::Reverse(group.level), group.to));
    let planned = |group: &&Group| {
        let count = count(scene, group);
        PlanGroup {
            from: group.from.idx(),
            to: group.to.idx().min(n_bars - 1),
            level: group.level,
            name: group.name.clone(),
            count,
            text: text(count, group),
            sum: sum(scene, &found, group, count),
        }
    };
    found.iter().map(planned).collect()
}

/// Bars of a group: a pickup belongs to the group that follows it without being counted, and a bar
/// split at a repeat counts once (common practice).
fn count(scene: &Scene<'_>, group: &Group) -> usize {
    let counted = scene.movement.bars.iter().skip(group.from.idx());
    let inside = counted.take_while(|(bar, _)| *bar <= group.to);
    inside.filter(|(_, bar)| !bar.pickup && !bar.continues).count()
}

fn text(count: usize, group: &Group) -> String {
    let extension = usize::from(group.extension);
    if extension > 0 && extension < count {
        format!("{count} = {}+{extension}", count - extension)
    } else {
        count.to_string()
    }
}

/// The sum of what a group holds; a shared bar of an elision is taken off again: "8+8−1".
fn sum(scene: &Scene<'_>, all: &[&Group], group: &Group, count: usize) -> String {
    let Some((text, total)) = terms(scene, all, group, 0) else { return String::new() };
    if total == count { text } else { format!("{text} ≠ {count}") }
}

/// Deeper nesting than there are levels cannot come from a sound study.
const DEEPEST: usize = 6;

fn terms(
    scene: &Scene<'_>,
    all: &[&Group],
    group: &Group,
    depth: usize,
) -> Option<(String, usize)> {
    let held = children(all, group);
    if held.is_empty() || depth > DEEPEST {
        return None;
    }
    let last = held.len() - 1;
    let (mut text, mut total) = (String::new(), 0);
    for (idx, child) in held.into_iter().enumerate() {
        let own = count(scene, child);
        let (term, value) = match terms(scene, all, child, depth + 1) {
            Some((inner, value)) => (format!("({inner})"), value),
            None => (own.to_string(), own),
        };
        if idx > 0 {
            text.push('+');
        }
        text.push_str(&term);
        total += value;
        if child.elision && idx < last && total > 0 {
            text.push_str("−1");
            total -= 1;
        }
    }
    Some((text, total))
}

/// The largest groups inside a group, in order.
fn children<'a>(all: &[&'a Group], group: &Group) -> Vec<&'a Group> {
    let inside = |child: &&&Group| {
        child.level < group.level && child.from >= group.from && child.to <= group.to
    };
    let inner: Vec<&Group> = all.iter().filter(inside).copied().collect();
    let largest = |child: &&&Group| {
        !inner.iter().any(|other| {
            other.level > child.level && other.from <= child.from && other.to >= child.to
        })
    };
    inner.iter().filter(largest).copied().collect()
}

/// Techniques in force by place. What the same words bring about in one part is one row ("con sord.,
/// sul tasto"), and parts with the same words over the same span stand together.
pub(super) fn devices(scene: &Scene<'_>) -> Vec<PlanDevice> {
    struct InPart {
        to: Ticks,
        muted: bool,
        ended: bool,
    }
    let mut in_parts: BTreeMap<(Ticks, String, PartIdx), InPart> = BTreeMap::new();
    for span in &scene.tracks.devices.spans {
        let muted = is_muting(span.device);
        in_parts
            .entry((span.from, device_words(span), span.part))
            .and_modify(|known| {
                known.to = known.to.max(span.to);
                known.muted |= muted;
                known.ended &= span.ended;
            })
            .or_insert(InPart { to: span.to, muted, ended: span.ended });
    }
    let mut together: BTreeMap<(Ticks, Ticks, String, bool, bool), Vec<PartIdx>> = BTreeMap::new();
    for ((from, words, part), InPart { to, muted, ended }) in in_parts {
        together.entry((from, to, words, muted, ended)).or_default().push(part);
    }
    let planned = |((from, to, words, muted, ended), parts): (_, Vec<PartIdx>)| {
        let names = words::joined_names(parts.iter().map(|part| scene.part_short(*part)));
        PlanDevice {
            from: scene.spot(from),
            to: scene.end_spot(to),
            words: format!("{words} {names}"),
            muted,
            ended,
        }
    };
    together.into_iter().map(planned).collect()
}

fn device_words(span: &DeviceSpan) -> String {
    let words = span.words.trim();
    if words.is_empty() { span.device.name().to_owned() } else { words.to_owned() }
}

/// Hairpins by place, equal ones of several parts together.
pub(super) fn hairpins(scene: &Scene<'_>) -> Vec<PlanHairpin> {
    let mut together: BTreeMap<(Ticks, Ticks, bool), usize> = BTreeMap::new();
    for hairpin in scene.tracks.dynamics.parts.iter().flat_map(|part| &part.hairpins) {
        *together.entry((hairpin.from, hairpin.to, hairpin.louder)).or_default() += 1;
    }
    let planned = |((from, to, louder), n_parts)| PlanHairpin {
        from: scene.spot(from),
        to: scene.end_spot(to),
        louder,
        n_parts,
    };
    together.into_iter().map(planned).collect()
}

/// Whether a device takes the sound's edge: muted, stopped, muffled.
pub(super) const fn is_muting(device: Device) -> bool {
    matches!(device, Device::Mute | Device::Stopped | Device::Muffled)
}
