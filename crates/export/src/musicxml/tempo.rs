//! Metronome marks and equations of note values as elements.

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
        _ => false,
    }
}

/// Writes a `metronome` element; nothing for marks that have no sign.
pub(super) fn metronome(xml: &mut Xml, kind: &TempoKind) {
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
