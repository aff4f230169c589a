//! MEI 5, common notation, from a tree to raw scores: one for each movement (`mdiv`) of the document.
//!
//! Read by the published MEI guidelines, version 5; documents of other versions are read as far as
//! they agree. MEI writes bar by bar with all staves in each, and hangs most signs beside the staves;
//! so one reader walks a score once ([`reader`], [`layer`], [`note`]), and what hangs beside it finds
//! its place at the end ([`control`]). [`define`] makes parts of staves and keeps what holds for them.
//!
//! Where the guidelines leave a choice:
//! - An event lasts as its written value, dots and tuplets say; `dur.ppq` and `dur.ges` count only
//!   where nothing is written. A whole rest alone in a layer lasts as long as its bar.
//! - `accid.ges` and `oct.ges` are what sounds. In a file that never states `accid.ges`, notes without
//!   an accidental follow their bar and the key signature, and a finding says so.
//! - `metcon` says nothing of the counting of bars, but that the first bar is an upbeat; `n` and `mNum`
//!   do.
//! - A hairpin leads to the event it names; an octave line covers the event it names, but ends before
//!   the beat it states.
//! - Variant readings: see [`tree::contents`]. The order of play follows from repeats, endings and
//!   jumps; `expansion` is not read, and `copyof` not followed.

mod bars;
mod control;
mod define;
mod layer;
mod lengths;
mod lines;
mod note;
mod order;
mod reader;
mod rests;
mod signs;
mod state;
mod staves;
mod survey;
mod texts;
mod tree;
mod values;

use super::error::ImportError;
use super::header::one_line;
use super::log::Log;
use super::raw::RawScore;
use super::watch::Watch;
use super::xml::{Node, Sheet, child, elements, name, root_name};
use crate::diag::Code;
use reader::Reader;
use survey::Survey;

/// The namespace of the format.
const NAMESPACE: &str = "http://www.music-encoding.org/ns/mei";

/// Whether a document says that it is MEI: its outermost element is `mei`.
pub(super) fn is_mei(text: &str) -> bool {
    root_name(text) == Some("mei")
}

/// Reads a document: its movements in order, each with what had to be said about it. Findings about
/// the document are with the first.
///
/// # Errors
/// The document is not well-formed or not a score, or a limit is met, or someone asked to stop.
pub(super) fn read(
    sheet: &Sheet<'_>,
    log: Log,
    watch: &Watch,
) -> Result<Vec<(RawScore, Log)>, ImportError> {
    let tree = sheet.parse()?;
    let root = tree.root_element();
    if namespace(sheet, root).is_some_and(|space| space != NAMESPACE) {
        let spot = sheet.spot(root.range().start);
        return Err(ImportError::NotAScore { root: name(root).to_owned(), spot });
    }
    let mut log = log;
    report_version(root, &mut log);
    let survey = survey::survey(sheet, root)?;
    report_readings(&survey, &mut log);
    let heading = heading(root);
    let mut out: Vec<(RawScore, Log)> = Vec::new();
    for movement in movements(root) {
        if out.len() >= sheet.limits.movements {
            let (byte, most) = (movement.node.range().start, sheet.limits.movements);
            return Err(sheet.too_large(byte, "the document has too many movements", most as u64));
        }
        let (mut raw, own) = read_movement(sheet, movement.node, &survey, watch)?;
        if raw.parts.iter().all(|part| part.bars.is_empty()) {
            continue;
        }
        raw.movement_title = movement.title;
        if out.is_empty() {
            raw.title.clone_from(&heading.title);
            raw.composer.clone_from(&heading.composer);
        }
        let mut all = std::mem::take(&mut log);
        all.append(own);
        out.push((raw, all));
    }
    if out.is_empty() {
        return Err(ImportError::Empty { file: sheet.file.to_owned() });
    }
    Ok(out)
}

/// The namespace that the outermost element declares for itself.
fn namespace<'s>(sheet: &Sheet<'s>, root: Node<'_, '_>) -> Option<&'s str> {
    let tag = sheet.text.get(root.range())?;
    let tag = tag.get(..tag.find('>')?)?;
    let written = tag.get(1..)?.split_whitespace().next()?;
    let wanted = match written.split_once(':') {
        Some((prefix, _)) => format!("xmlns:{prefix}"),
        None => String::from("xmlns"),
    };
    let mut pieces = tag.match_indices(&wanted).filter_map(|(at, _)| tag.get(at + wanted.len()..));
    let value = pieces.find_map(|rest| rest.trim_start().strip_prefix('='))?.trim_start();
    let quote = value.chars().next()?;
    value.get(1..)?.split(quote).next()
}

struct MovementNode<'a, 'i> {
    node: Node<'a, 'i>,
    title: String,
}

/// The scores of the document, or the parts of performers where there is no score, with their
/// titles. A division inside another goes by both names.
fn movements<'a, 'i: 'a>(root: Node<'a, 'i>) -> Vec<MovementNode<'a, 'i>> {
    let mut out = Vec::new();
    let Some(music) = child(root, "music") else { return out };
    gather(music, "", &mut out);
    out
}

fn gather<'a, 'i: 'a>(node: Node<'a, 'i>, title: &str, out: &mut Vec<MovementNode<'a, 'i>>) {
    let has_score = child(node, "score").is_some();
    for item in elements(node) {
        match name(item) {
            "score" => out.push(MovementNode { node: item, title: title.to_owned() }),
            "parts" if !has_score => out.push(MovementNode { node: item, title: title.to_owned() }),
            "mdiv" => {
                let own = item.attribute("label").map(one_line).unwrap_or_default();
                let both = match (title.is_empty(), own.is_empty()) {
                    (true, _) => own,
                    (false, true) => title.to_owned(),
                    (false, false) => format!("{title}, {own}"),
                };
                gather(item, &both, out);
            }
            "body" | "group" | "music" => gather(item, title, out),
            _ => {}
        }
    }
}

fn read_movement<'a, 'i: 'a>(
    sheet: &Sheet<'_>,
    node: Node<'a, 'i>,
    survey: &Survey<'a>,
    watch: &Watch,
) -> Result<(RawScore, Log), ImportError> {
    let mut raw = RawScore { resolution: survey.resolution, ..RawScore::default() };
    let mut log = Log::default();
    let scores: Vec<Node<'a, 'i>> = match name(node) {
        "parts" => elements(node).filter(|part| name(*part) == "part").collect(),
        _ => vec![node],
    };
    for score in scores {
        let (parts, own) = Reader::new(sheet, survey, watch).read(score)?;
        raw.parts.extend(parts);
        log.append(own);
    }
    Ok((raw, log))
}

/// Versions before the fifth differ in names of attributes, most of which are read too.
fn report_version(root: Node<'_, '_>, log: &mut Log) {
    let stated = root.attribute("meiversion").unwrap_or_default().trim();
    if stated.split(['.', '+']).next() == Some("5") {
        return;
    }
    let version = if stated.is_empty() { "states no version" } else { "is another version" };
    let shown = if stated.is_empty() { String::new() } else { format!(" ({stated})") };
    let message = format!("the file {version} of MEI{shown}; it was read as version 5");
    log.add_general(Code::VersionOther, Some(root.range().start), message);
}

fn report_readings(survey: &Survey<'_>, log: &mut Log) {
    let (count, byte) = survey.readings;
    if count > 0 {
        let message = format!(
            "the edition gives alternatives in {count} places; the main reading was taken, or the \
             correction, or what stands first"
        );
        log.add_general(Code::ReadingChosen, Some(byte), message);
    }
}

/// Title and composer.
#[derive(Default)]
struct Heading {
    title: String,
    composer: String,
}

/// All elements inside one, in their order.
fn descendants<'a, 'i: 'a>(node: Node<'a, 'i>) -> Vec<Node<'a, 'i>> {
    let mut out = Vec::new();
    let mut stack: Vec<Node<'a, 'i>> = vec![node];
    while let Some(node) = stack.pop() {
        out.push(node);
        let mut inner: Vec<Node<'a, 'i>> = elements(node).collect();
        inner.reverse();
        stack.append(&mut inner);
    }
    out
}

/// From the description of the file, else of the work.
fn heading(root: Node<'_, '_>) -> Heading {
    let Some(head) = child(root, "meiHead") else { return Heading::default() };
    let mut out = Heading::default();
    let mut composer_of_any = String::new();
    for node in descendants(head) {
        match name(node) {
            "title" if out.title.is_empty() && node.attribute("type") != Some("subordinate") => {
                out.title = one_line(&tree::words(node).text);
            }
            "composer" if out.composer.is_empty() => {
                out.composer = one_line(&tree::words(node).text);
            }
            "persName"
                if node.attribute("role") == Some("composer") && composer_of_any.is_empty() =>
            {
                composer_of_any = one_line(&tree::words(node).text);
            }
            _ => {}
        }
    }
    if out.composer.is_empty() {
        out.composer = composer_of_any;
    }
    out
}
