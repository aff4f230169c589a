//! MEI: small documents of our own, each with the answer that the published guidelines give.

mod beside;
mod events;
mod pitch;
mod structure;
mod twin;

use super::compact::{findings, read_text};
use crate::event::{Marking, MarkingKind, Note, NoteTraits};
use crate::import::Import;
use crate::time::Ticks;

/// A document with this definition of the score and this music.
pub(super) fn document(definition: &str, music: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<mei xmlns=\"http://www.music-encoding.org/ns/mei\" meiversion=\"5.0\">\n\
         <meiHead><fileDesc><titleStmt><title>Test</title></titleStmt><pubStmt/></fileDesc></meiHead>\n\
         <music><body><mdiv><score>\n{definition}\n{music}\n</score></mdiv></body></music></mei>\n"
    )
}

/// A flute in common time: each bar is what is in its layer, and after a `|` what hangs beside.
pub(super) fn bars(bars: &[&str]) -> String {
    document(&flute("4", "4"), &format!("<section>\n{}</section>", measures(bars)))
}

/// The definition of a flute.
fn flute(count: &str, unit: &str) -> String {
    format!(
        "<scoreDef meter.count='{count}' meter.unit='{unit}'><staffGrp><staffDef n='1' lines='5' \
         clef.shape='G' clef.line='2'><label>Flute</label></staffDef></staffGrp></scoreDef>"
    )
}

/// Bars of one staff, numbered from 1.
fn measures(bars: &[&str]) -> String {
    let measure = |(nth, text): (usize, &&str)| {
        let (layer, beside) = text.split_once('|').unwrap_or((text, ""));
        let n = nth + 1;
        format!(
            "<measure n='{n}'><staff n='1'><layer n='1'>{layer}</layer></staff>{beside}</measure>\n"
        )
    };
    bars.iter().enumerate().map(measure).collect()
}

/// Reads bars of a flute.
#[track_caller]
fn read_bars(texts: &[&str]) -> Import {
    read_text(&bars(texts))
}

fn notes(import: &Import, part: usize) -> &[Note] {
    &import.score.movements[0].music[part].notes
}

fn markings(import: &Import) -> &[Marking] {
    &import.score.movements[0].music[0].markings
}

/// Onset and length of every note in quarters.
fn times(import: &Import) -> Vec<(String, String)> {
    let resolution = import.score.movements[0].resolution;
    let text = |ticks: Ticks| resolution.quarters(ticks).to_string();
    notes(import, 0).iter().map(|note| (text(note.onset), text(note.length))).collect()
}

/// The place of a marking in quarters from the start.
fn at(import: &Import, ticks: Ticks) -> String {
    import.score.movements[0].resolution.quarters(ticks).to_string()
}

/// Spelling and sounding key of every note.
fn pitches(import: &Import) -> Vec<(String, f64)> {
    let text = |note: &Note| {
        (
            note.written.map(|pitch| pitch.to_string()).unwrap_or_default(),
            note.sounding.map_or(0.0, |p| p.midi()),
        )
    };
    notes(import, 0).iter().map(text).collect()
}

/// Places of the notes with a trait.
fn with_trait(import: &Import, wanted: NoteTraits) -> Vec<usize> {
    let notes = notes(import, 0).iter().enumerate();
    notes.filter(|(_, note)| note.traits.has(wanted)).map(|(idx, _)| idx).collect()
}

/// Lengths of the bars of a movement in quarters.
fn lengths(import: &Import, movement: usize) -> Vec<String> {
    let movement = &import.score.movements[movement];
    movement
        .bars
        .iter()
        .map(|(_, bar)| movement.resolution.quarters(bar.length).to_string())
        .collect()
}

/// Kinds of all markings.
fn kinds(import: &Import) -> Vec<&MarkingKind> {
    markings(import).iter().map(|marking| &marking.kind).collect()
}

/// Names of the findings.
fn codes(import: &Import) -> Vec<&'static str> {
    findings(import).iter().map(|found| found.code.name()).collect()
}
