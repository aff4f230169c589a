//! What stands before the music: titles, composer, the list of parts.

use super::limits::MAX_NAME;
use super::log::Log;
use super::xml::{Node, child, child_text, elements, name, text};
use crate::diag::Code;
use crate::instrument::InstrumentId;
use crate::instrument::recognize::{self, Hints};

/// Nobody nests groups of parts deeper.
const MAX_GROUPS: usize = 32;

/// A part as the list of parts describes it.
#[derive(Debug, Clone, Default)]
pub(super) struct PartHeader {
    /// The id in the file.
    pub(super) id: String,
    /// The printed name in one line; empty if there is none.
    pub(super) name: String,
    /// The printed abbreviation in one line; empty if there is none.
    pub(super) short: String,
    /// What it begins with.
    pub(super) instrument: Option<InstrumentId>,
    /// The instruments that the file lists for the part, for notes that name one.
    pub(super) instruments: Vec<ListedInstrument>,
    /// Where the list has it.
    pub(super) byte: usize,
}

/// One of the instruments that a file lists for a part.
#[derive(Debug, Clone, Default)]
pub(super) struct ListedInstrument {
    /// The id in the file.
    pub(super) id: String,
    /// The name in one line; empty if there is none.
    pub(super) name: String,
    /// The row of the catalog.
    pub(super) instrument: Option<InstrumentId>,
}

/// Titles and composer.
#[derive(Debug, Default)]
pub(super) struct Titles {
    pub(super) work: String,
    pub(super) movement: String,
    pub(super) composer: String,
}

/// Titles from the elements made for them, else from what is printed on the first page.
pub(super) fn titles(root: Node<'_, '_>) -> Titles {
    let work = child(root, "work").and_then(|work| child_text(work, "work-title"));
    let movement = child_text(root, "movement-title");
    let identification = child(root, "identification");
    let creators = identification.into_iter().flat_map(elements);
    let composer = creators
        .filter(|node| name(*node) == "creator")
        .find(|node| node.attribute("type") == Some("composer"))
        .map(text);
    let printed = |kind: &str| printed_credit(root, kind);
    let or_printed = |stated: Option<&str>, kind: &str| match stated {
        Some(stated) if !stated.is_empty() => one_line(stated),
        _ => printed(kind),
    };
    Titles {
        work: or_printed(work, "title"),
        movement: movement.map(one_line).unwrap_or_default(),
        composer: or_printed(composer, "composer"),
    }
}

/// The first printed text of a kind.
fn printed_credit(root: Node<'_, '_>, kind: &str) -> String {
    let credits = elements(root).filter(|node| name(*node) == "credit");
    let mut of_kind = credits.filter(|node| child_text(*node, "credit-type") == Some(kind));
    let words = of_kind.next().and_then(|node| child_text(node, "credit-words"));
    words.map(one_line).unwrap_or_default()
}

/// The list of parts, in order.
pub(super) fn part_list(root: Node<'_, '_>, log: &mut Log) -> Vec<PartHeader> {
    let list = child(root, "part-list").into_iter().flat_map(elements);
    let mut groups: Vec<(&str, String)> = Vec::new();
    let mut headers = Vec::new();
    for node in list {
        match name(node) {
            "score-part" => headers.push(part_header(node, &groups, log)),
            "part-group" => follow_group(node, &mut groups),
            _ => {}
        }
    }
    headers
}

/// The names of the groups that are open, the innermost last.
fn follow_group<'a>(node: Node<'a, '_>, groups: &mut Vec<(&'a str, String)>) {
    let number = node.attribute("number").unwrap_or("1");
    groups.retain(|(known, _)| *known != number);
    if node.attribute("type") == Some("start") && groups.len() < MAX_GROUPS {
        let shown = display(node, "group-name-display")
            .or_else(|| child_text(node, "group-name").map(one_line));
        groups.push((number, shown.unwrap_or_default()));
    }
}

fn part_header(node: Node<'_, '_>, groups: &[(&str, String)], log: &mut Log) -> PartHeader {
    let id = node.attribute("id").unwrap_or_default().to_owned();
    let mut part_name = display(node, "part-name-display")
        .or_else(|| child_text(node, "part-name").map(one_line))
        .unwrap_or_default();
    let short = display(node, "part-abbreviation-display")
        .or_else(|| child_text(node, "part-abbreviation").map(one_line))
        .unwrap_or_default();
    let plain_name = child_text(node, "part-name").map(one_line).unwrap_or_default();
    let midi = elements(node).filter(|child| name(*child) == "midi-instrument");
    let programs: Vec<(&str, Option<u8>)> = midi
        .map(|midi| {
            let program = child_text(midi, "midi-program").and_then(|text| text.parse().ok());
            let drums = child_text(midi, "midi-channel") == Some("10");
            (midi.attribute("id").unwrap_or_default(), program.filter(|_| !drums))
        })
        .collect();
    let program = |id: &str| {
        programs.iter().find(|(known, _)| *known == id).and_then(|(_, program)| *program)
    };
    let own = elements(node).filter(|child| name(*child) == "score-instrument");
    let own: Vec<Node<'_, '_>> = own.collect();
    let instruments: Vec<ListedInstrument> = own
        .iter()
        .map(|own| {
            let id = own.attribute("id").unwrap_or_default();
            let hints = Hints {
                name: child_text(*own, "instrument-name").unwrap_or_default(),
                short: child_text(*own, "instrument-abbreviation").unwrap_or_default(),
                sound: child_text(*own, "instrument-sound").unwrap_or_default(),
                midi_program: None,
            };
            let instrument = recognize::instrument(&hints);
            ListedInstrument { id: id.to_owned(), name: one_line(hints.name), instrument }
        })
        .collect();
    let first = own.first().copied();
    let of_first = |wanted: &str| first.and_then(|own| child_text(own, wanted));
    let hints = Hints {
        name: if plain_name.is_empty() { &part_name } else { &plain_name },
        short: &short,
        sound: of_first("instrument-sound").unwrap_or_default(),
        midi_program: None,
    };
    // A part of many percussion instruments is percussion, whatever the first of them is.
    let many = instruments.len() > 2;
    let instrument = recognize::instrument(&hints)
        .or_else(|| many.then(|| InstrumentId::by_name("percussion")).flatten())
        .or_else(|| instruments.first().and_then(|first| first.instrument))
        .or_else(|| {
            let id = first.and_then(|own| own.attribute("id")).unwrap_or_default();
            let midi_program = program(id);
            recognize::instrument(&Hints { midi_program, ..Hints::default() })
        });
    // A group "Horns" of parts "1.2." and "3.4." names the instrument once for all.
    let by_group = groups.iter().rev().find_map(|(_, group)| {
        recognize::by_name(group).map(|instrument| (instrument, group.as_str()))
    });
    if let Some((_, group)) = by_group.filter(|_| recognize::is_only_numbers(&part_name)) {
        part_name = format!("{group} {part_name}").trim_end().to_owned();
    }
    let instrument = instrument.or(by_group.map(|(instrument, _)| instrument));
    let byte = node.range().start;
    if instrument.is_none() {
        let shown = if part_name.is_empty() { &id } else { &part_name };
        let message = format!("the instrument of \"{shown}\" is not known");
        log.add_general(Code::InstrumentUnknown, Some(byte), message);
    }
    PartHeader { id, name: part_name, short, instrument, instruments, byte }
}

/// The printed form of a name, which overrides the plain one; `None` if there is none.
fn display(node: Node<'_, '_>, wanted: &str) -> Option<String> {
    let shown = child(node, wanted).filter(|node| node.attribute("print-object") != Some("no"))?;
    let mut out = String::new();
    for piece in elements(shown) {
        match name(piece) {
            "display-text" => out.push_str(piece.text().unwrap_or_default()),
            "accidental-text" => out.push_str(match text(piece) {
                "flat" => "b",
                "sharp" => "#",
                "natural" => "",
                other => other,
            }),
            _ => {}
        }
    }
    let line = one_line(&out);
    (!line.is_empty()).then_some(line)
}

/// A text in one line, runs of space made one.
pub(super) fn one_line(text: &str) -> String {
    let mut line = String::new();
    for word in text.split_whitespace() {
        if line.len() > MAX_NAME {
            break;
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.extend(word.chars().take(MAX_NAME));
    }
    line
}
