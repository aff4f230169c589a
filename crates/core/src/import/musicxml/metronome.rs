//! Metronome marks of the file, and the playback tempi that they are compared with.

use super::part::PartReader;
use crate::diag::Code;
use crate::import::raw::{Pos, RawTempo};
use crate::import::words::tempo;
use crate::import::xml::{Node, child, child_text, elements, name, text};
use crate::score::TempoKind;
use crate::time::Quarters;

impl PartReader<'_> {
    /// A metronome mark; `None` with a finding if it cannot be understood.
    pub(super) fn metronome(&mut self, node: Node<'_, '_>, pos: Pos) -> Option<RawTempo> {
        let byte = self.byte(node);
        let kind = match metronome_kind(node) {
            Ok(Some(kind)) => kind,
            Ok(None) => return None,
            Err(text) => {
                self.unreadable_tempo(&text, pos, byte);
                return None;
            }
        };
        Some(RawTempo { pos, end: None, kind, words: String::new(), byte })
    }

    pub(super) fn unreadable_tempo(&mut self, text: &str, pos: Pos, byte: usize) {
        self.out.log.add(Code::TempoUnreadable, pos, byte, || {
            format!("\"{text}\" is no number of beats a minute")
        });
    }

    /// Compares a printed tempo with the playback tempo of the same direction.
    pub(super) fn compare_with_playback(
        &mut self,
        printed: &TempoKind,
        pos: Pos,
        node: Node<'_, '_>,
    ) {
        let sounds = elements(node).filter(|child| name(*child) == "sound");
        let played =
            sounds.filter_map(|sound| sound.attribute("tempo")?.trim().parse().ok()).next();
        let Some(played) = played.filter(|played: &f64| *played > 0.0) else { return };
        if let Some(low) = tempo::contradicted(printed, played) {
            let byte = self.byte(node);
            self.out.log.add(Code::TempoConflict, pos, byte, || {
                format!(
                    "the printed mark gives {low} quarters a minute, the playback tempo is {played}"
                )
            });
        }
    }
}

/// What a metronome element says. `Ok(None)` for empty marks; the text in question if it is
/// unreadable.
fn metronome_kind(node: Node<'_, '_>) -> Result<Option<TempoKind>, String> {
    if child(node, "metronome-note").is_some() {
        return Ok(relation(node));
    }
    let mut units: Vec<Quarters> = Vec::new();
    let mut per_minute: Option<&str> = None;
    let mut undotted: Option<Quarters> = None;
    for item in elements(node) {
        match name(item) {
            "beat-unit" => {
                let value = tempo::note_value(text(item)).ok_or_else(|| text(item).to_owned())?;
                undotted = Some(value);
                units.push(value);
            }
            "beat-unit-dot" => {
                undotted = undotted.and_then(|value| value.scaled(1, 2));
                if let (Some(last), Some(dot)) = (units.last_mut(), undotted) {
                    *last = last.checked_add(dot).unwrap_or(*last);
                }
            }
            "beat-unit-tied" => {
                if let (Some(last), Some(tied)) = (units.last_mut(), tied_value(item)) {
                    *last = last.checked_add(tied).unwrap_or(*last);
                }
            }
            "per-minute" => per_minute = Some(text(item)),
            _ => {}
        }
    }
    match (units.as_slice(), per_minute) {
        ([old, new, ..], _) => Ok(Some(TempoKind::Equation { old: *old, new: *new })),
        ([unit], Some(text)) => {
            let rate = tempo::rate(text).ok_or_else(|| text.to_owned())?;
            if node.attribute("print-object") == Some("no") {
                return Ok(Some(TempoKind::Playback(rate.per_minute * unit.as_f64())));
            }
            Ok(Some(rate.of_unit(*unit)))
        }
        _ => Ok(None),
    }
}

fn tied_value(node: Node<'_, '_>) -> Option<Quarters> {
    let value = tempo::note_value(child_text(node, "beat-unit")?)?;
    let dots = elements(node).filter(|child| name(*child) == "beat-unit-dot").count();
    tempo::dotted(value, dots)
}

/// Notes on both sides of an equals sign: a relation of tempi, or the figure that explains how pairs
/// of notes swing (MusicXML 4.0, `metronome`: "swing tempo marks where two eighths are equated to a
/// quarter note / eighth note triplet").
fn relation(node: Node<'_, '_>) -> Option<TempoKind> {
    let mut sides: [Vec<Quarters>; 2] = [Vec::new(), Vec::new()];
    let mut side = 0;
    let mut tuplet: Option<(i64, i64)> = None;
    for item in elements(node) {
        match name(item) {
            "metronome-note" => {
                let value = metronome_note(item, &mut tuplet)?;
                sides.get_mut(side)?.push(value);
            }
            "metronome-relation" => {
                side = 1;
                tuplet = None;
            }
            _ => {}
        }
    }
    let [old, new] = sides
        .each_ref()
        .map(|side| side.iter().try_fold(Quarters::ZERO, |sum, value| sum.checked_add(*value)));
    let (old, new) = (old?, new?);
    if old.is_zero() || new.is_zero() {
        return None;
    }
    match sides.each_ref().map(Vec::as_slice) {
        [[one, other], [first, second]] if old == new && one == other => {
            let ratio = ratio(*first, *second)?;
            let even = ratio.0 == ratio.1;
            let swing = TempoKind::Swing { ratio: Some(ratio), unit: *one };
            Some(if even { TempoKind::Straight } else { swing })
        }
        // Single notes of one value: the tempo goes on. More of them are a figure of rhythm.
        [[_], [_]] => Some(TempoKind::Equation { old, new }),
        _ => (old != new).then_some(TempoKind::Equation { old, new }),
    }
}

fn ratio(first: Quarters, second: Quarters) -> Option<(u32, u32)> {
    let share = first.scaled(second.denominator(), second.numerator())?;
    Some((share.numerator().try_into().ok()?, share.denominator().try_into().ok()?))
}

/// The length of a note; a tuplet that begins at one holds until the note where it stops.
fn metronome_note(node: Node<'_, '_>, tuplet: &mut Option<(i64, i64)>) -> Option<Quarters> {
    let value = tempo::note_value(child_text(node, "metronome-type")?)?;
    let dots = elements(node).filter(|child| name(*child) == "metronome-dot").count();
    let value = tempo::dotted(value, dots)?;
    let stated = child(node, "metronome-tuplet");
    if let Some(stated) = stated {
        let figure = |wanted: &str| child_text(stated, wanted).and_then(|text| text.parse().ok());
        // The end may leave the figures out.
        if let (Some(normal), Some(actual)) = (figure("normal-notes"), figure("actual-notes")) {
            *tuplet = Some((normal, actual)).filter(|(_, actual)| *actual > 0);
        }
    }
    let length = match *tuplet {
        Some((normal, actual)) => value.scaled(normal, actual),
        None => Some(value),
    };
    if stated.is_some_and(|tuplet| tuplet.attribute("type") == Some("stop")) {
        *tuplet = None;
    }
    length
}
