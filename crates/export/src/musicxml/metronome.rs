//! What is drawn with note values, as `metronome` elements: metronome marks, equations, figures of
//! swing. Which marks a movement has, and their words, is no matter of this module.

use super::value::Value;
use super::xml::Xml;
use barloom_core::score::TempoKind;
use barloom_core::time::Quarters;

/// Whether a mark can be written as a `metronome` element.
pub(super) fn has_sign(kind: &TempoKind) -> bool {
    match kind {
        TempoKind::Metronome { unit, .. } => Value::tied(*unit).is_some(),
        TempoKind::Equation { old, new } => {
            let drawn = |value: &Quarters| Value::of(*value).is_some();
            let tied = |value: &Quarters| Value::tied(*value).is_some();
            tied(old) && tied(new) || old != new && drawn(old) && drawn(new)
        }
        // Playback says it of eighths and 16ths only.
        TempoKind::Swing { .. } => swing_played(kind).is_none() && swing_figure(kind).is_some(),
        _ => false,
    }
}

/// How a mark of swing is stated for playback: the ratio with the name of its note value, or nothing
/// in it for even pairs; `None` where the standard has no words for it, which knows the ratio for
/// eighths and 16ths only (MusicXML 4.0, `swing-type-value`).
pub(super) fn swing_played(kind: &TempoKind) -> Option<Option<(u32, u32, &'static str)>> {
    match kind {
        TempoKind::Straight => Some(None),
        TempoKind::Swing { ratio: Some((first, second)), unit } => {
            let unit = Value::plain(*unit)?.name();
            ["eighth", "16th"].contains(&unit).then_some(Some((*first, *second, unit)))
        }
        _ => None,
    }
}

/// The two notes of a pair that swings, as long as they are played.
fn swing_figure(kind: &TempoKind) -> Option<(Quarters, Quarters, Quarters)> {
    let TempoKind::Swing { ratio: Some((first, second)), unit } = kind else { return None };
    let (first, second) = (i64::from(*first), i64::from(*second));
    let share = |part: i64| unit.scaled(part.checked_mul(2)?, first + second);
    let pair = (*unit, share(first)?, share(second)?);
    let drawn = [pair.0, pair.1, pair.2].iter().all(|value| Value::of(*value).is_some());
    drawn.then_some(pair)
}

/// Writes a `metronome` element; nothing for marks that have no sign.
pub(super) fn write(xml: &mut Xml, kind: &TempoKind) {
    match kind {
        TempoKind::Metronome { unit, per_minute, up_to, about } => {
            let about = if *about { "ca. " } else { "" };
            let up_to = up_to.map_or(String::new(), |up_to| format!("-{up_to}"));
            xml.open("metronome", &[]);
            beat_unit(xml, *unit);
            xml.leaf("per-minute", &[], &format!("{about}{per_minute}{up_to}"));
            xml.close();
        }
        TempoKind::Equation { old, new } => {
            xml.open("metronome", &[]);
            if Value::tied(*old).is_some() && Value::tied(*new).is_some() {
                beat_unit(xml, *old);
                beat_unit(xml, *new);
            } else {
                metronome_note(xml, *old);
                xml.leaf("metronome-relation", &[], "equals");
                metronome_note(xml, *new);
            }
            xml.close();
        }
        TempoKind::Swing { .. } => {
            let Some((unit, first, second)) = swing_figure(kind) else { return };
            xml.open("metronome", &[]);
            [unit, unit].into_iter().for_each(|value| metronome_note(xml, value));
            xml.leaf("metronome-relation", &[], "equals");
            [first, second].into_iter().for_each(|value| metronome_note(xml, value));
            xml.close();
        }
        _ => {}
    }
}

fn beat_unit(xml: &mut Xml, unit: Quarters) {
    let values = Value::tied(unit).unwrap_or_default();
    for (nth, value) in values.iter().enumerate() {
        if nth > 0 {
            xml.open("beat-unit-tied", &[]);
        }
        xml.leaf("beat-unit", &[], value.name());
        for _ in 0..value.dots {
            xml.empty("beat-unit-dot", &[]);
        }
        if nth > 0 {
            xml.close();
        }
    }
}

fn metronome_note(xml: &mut Xml, length: Quarters) {
    let Some(value) = Value::of(length) else { return };
    xml.open("metronome-note", &[]);
    xml.leaf("metronome-type", &[], value.name());
    for _ in 0..value.dots {
        xml.empty("metronome-dot", &[]);
    }
    if let Some((actual, normal)) = value.ratio {
        xml.open("metronome-tuplet", &[("type", "start")]);
        xml.number("actual-notes", actual);
        xml.number("normal-notes", normal);
        xml.close();
    }
    xml.close();
}
