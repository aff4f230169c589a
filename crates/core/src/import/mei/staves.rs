//! Which staves make which part, and how a part is described: names, abbreviation, instrument.
//!
//! MEI describes staves; a part here is what one player or section reads. Two or more staves
//! without names of their own, joined by a brace or under one name, are one part (a piano, a harp);
//! any other staff is a part by itself.

use super::tree::{self, contents};
use crate::diag::Code;
use crate::import::header::{PartHeader, one_line};
use crate::import::log::Log;
use crate::import::xml::{Node, name};
use crate::instrument::InstrumentId;
use crate::instrument::recognize::{self, Hints};

/// Staves that make one part.
#[derive(Debug)]
pub(super) struct Grouped<'a, 'i> {
    /// The definitions of its staves, in order.
    pub(super) staves: Vec<Node<'a, 'i>>,
    /// The group, if it describes the part.
    pub(super) group: Option<Node<'a, 'i>>,
    /// The name of the group above, which a staff that is only numbered goes by.
    pub(super) above: String,
}

/// The parts of a group of staves, in order.
pub(super) fn parts_of<'a, 'i>(group: Node<'a, 'i>) -> Vec<Grouped<'a, 'i>> {
    let mut out = Vec::new();
    gather(group, "", &mut out);
    out
}

fn gather<'a, 'i: 'a>(group: Node<'a, 'i>, above: &str, out: &mut Vec<Grouped<'a, 'i>>) {
    let items = contents(group);
    let staves: Vec<Node<'a, 'i>> =
        items.iter().copied().filter(|node| name(*node) == "staffDef").collect();
    let own = label(group);
    let nameless =
        staves.iter().all(|staff| label(*staff).is_empty() && instrument(*staff).is_none());
    let nested = items.iter().any(|node| name(*node) == "staffGrp");
    let joined = brace(group, &items) || !own.is_empty() || instrument(group).is_some();
    if staves.len() >= 2 && nameless && !nested && joined {
        out.push(Grouped { staves, group: Some(group), above: above.to_owned() });
        return;
    }
    let above = if own.is_empty() { above } else { &own };
    for item in items {
        match name(item) {
            "staffGrp" => gather(item, above, out),
            "staffDef" => {
                out.push(Grouped { staves: vec![item], group: None, above: above.to_owned() });
            }
            _ => {}
        }
    }
}

fn brace(group: Node<'_, '_>, items: &[Node<'_, '_>]) -> bool {
    let symbol = |node: &Node<'_, '_>| node.attribute("symbol") == Some("brace");
    symbol(&group) || items.iter().any(|item| name(*item) == "grpSym" && symbol(item))
}

/// The name of a staff or group: the element, or the attribute of earlier versions.
pub(super) fn label(node: Node<'_, '_>) -> String {
    text_of(node, "label", &["label", "label.full"])
}

fn text_of(node: Node<'_, '_>, wanted: &str, attributes: &[&str]) -> String {
    let element = contents(node).into_iter().find(|child| name(*child) == wanted);
    let printed = element.map(|element| one_line(&tree::words(element).text)).unwrap_or_default();
    if !printed.is_empty() {
        return printed;
    }
    let stated = attributes.iter().find_map(|attribute| node.attribute(attribute));
    stated.map(one_line).unwrap_or_default()
}

fn instrument<'a, 'i: 'a>(node: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
    contents(node).into_iter().find(|child| name(*child) == "instrDef")
}

/// The instrument that a definition names; `None` if it says nothing that is known.
pub(super) fn named_instrument(node: Node<'_, '_>, name: &str) -> Option<InstrumentId> {
    let short = text_of(node, "labelAbbr", &["label.abbr"]);
    let playback = instrument(node);
    let playback_name = playback
        .and_then(|node| node.attribute("midi.instrname"))
        .unwrap_or_default()
        .replace('_', " ");
    // MIDI numbers programs from 0 in MEI (data.MIDIVALUE), General MIDI from 1.
    let program = playback.and_then(|node| node.attribute("midi.instrnum"));
    let program = program.and_then(|text| text.trim().parse::<u8>().ok()).filter(|n| *n < 128);
    let printed = Hints { name, short: &short, ..Hints::default() };
    recognize::instrument(&printed).or_else(|| recognize::by_name(&playback_name)).or_else(|| {
        let midi_program = program.map(|program| program + 1);
        recognize::instrument(&Hints { midi_program, ..Hints::default() })
    })
}

/// The description of a part.
pub(super) fn header(grouped: &Grouped<'_, '_>, number: usize, log: &mut Log) -> PartHeader {
    let Some(first) = grouped.group.or_else(|| grouped.staves.first().copied()) else {
        return PartHeader::default();
    };
    let own = label(first);
    let part_name = match (own.is_empty(), grouped.above.is_empty()) {
        (true, _) => grouped.above.clone(),
        // "I" under "Violins" is "Violins I".
        (false, false) if is_number(&own) => format!("{} {own}", grouped.above),
        (false, _) => own,
    };
    let short = text_of(first, "labelAbbr", &["label.abbr"]);
    let id = tree::id(first).map_or_else(|| format!("P{number}"), str::to_owned);
    let byte = first.range().start;
    let instrument = named_instrument(first, &part_name);
    if instrument.is_none() {
        let shown = if part_name.is_empty() { &id } else { &part_name };
        let message = format!("the instrument of \"{shown}\" is not known");
        log.add_general(Code::InstrumentUnknown, Some(byte), message);
    }
    PartHeader { id, name: part_name, short, instrument, byte, ..PartHeader::default() }
}

/// Whether a name is only the number of a player: "1", "I.", "1.2.".
fn is_number(text: &str) -> bool {
    let figure = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ' ' | ',' | '-');
    let roman = |letter: char| matches!(letter, 'I' | 'V' | 'X' | '.' | ' ');
    text.chars().all(figure) || text.chars().all(roman)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(text: &str) -> Vec<(String, usize)> {
        let tree = crate::import::xml::parse_plain(text).unwrap();
        let mut log = Log::default();
        let grouped = parts_of(tree.root_element());
        grouped.iter().map(|part| (header(part, 1, &mut log).name, part.staves.len())).collect()
    }

    /// MEI 5 guidelines, chapter 4, "Defining Score Parameters": a group gathers instruments and may
    /// have a label of its own; it is also used for the two staves of a grand staff.
    #[test]
    fn a_brace_over_nameless_staves_is_one_part_and_named_staves_are_their_own() {
        let named = |names: &[(&str, usize)]| -> Vec<(String, usize)> {
            names.iter().map(|(name, staves)| ((*name).to_owned(), *staves)).collect()
        };
        assert_eq!(
            parts(
                "<staffGrp><staffGrp symbol='brace'><label>Harp</label><staffDef n='1'/><staffDef n='2'/>\
                 </staffGrp><staffGrp><grpSym symbol='brace'/><staffDef n='3'><label>Flute 1</label></staffDef>\
                 <staffDef n='4' label='Flute 2'/></staffGrp></staffGrp>"
            ),
            named(&[("Harp", 2), ("Flute 1", 1), ("Flute 2", 1)])
        );
        assert_eq!(
            parts(
                "<staffGrp><staffGrp symbol='bracket' label='Violins'><staffDef n='1' label='I'/>\
                 <staffDef n='2' label='II'/></staffGrp><staffDef n='3'/><staffDef n='4'/></staffGrp>"
            ),
            named(&[("Violins I", 1), ("Violins II", 1), ("", 1), ("", 1)])
        );
    }
}
