//! MusicXML, partwise or timewise, from a tree to raw parts. One reader walks one part once, from
//! its first bar to its last; parts know nothing of each other.

mod attributes;
mod barline;
mod direction;
mod notations;
mod note;
mod part;
mod sound;

use super::error::ImportError;
use super::header;
use super::limits::{MAX_BARS, MAX_LEFT_OUT, MAX_PARTS};
use super::log::Log;
use super::raw::{RawPart, RawScore};
use super::watch::Watch;
use super::xml::{Node, Sheet, elements, name};
use crate::diag::Code;
use header::PartHeader;

/// A bar of a part: where its attributes stand, and where its music stands. In partwise scores that
/// is one element.
#[derive(Clone, Copy)]
struct Measure<'a, 'i> {
    attributes: Node<'a, 'i>,
    music: Node<'a, 'i>,
}

/// The bars of one part.
struct PartBody<'a, 'i> {
    id: &'a str,
    byte: usize,
    measures: Vec<Measure<'a, 'i>>,
}

/// Reads a document. Findings about the whole document go to `log`, others stay with their part.
///
/// # Errors
/// The document is not a score, or a limit is met, or someone asked to stop.
pub(super) fn read(
    sheet: &Sheet<'_>,
    root: Node<'_, '_>,
    resolution: u32,
    log: &mut Log,
    watch: &Watch,
) -> Result<RawScore, ImportError> {
    let mut bodies = match name(root) {
        "score-partwise" => partwise(root),
        "score-timewise" => timewise(sheet, root, log)?,
        other => {
            let spot = sheet.spot(root.range().start);
            return Err(ImportError::NotAScore { root: other.to_owned(), spot });
        }
    };
    check_limits(sheet, &bodies)?;
    let titles = header::titles(root);
    let mut headers = header::part_list(root, log);
    let ordered = pair(&mut bodies, &mut headers, log);
    let mut parts = Vec::with_capacity(ordered.len());
    for (header, body) in ordered {
        parts.push(read_part(sheet, header, &body, resolution, watch)?);
    }
    Ok(RawScore {
        title: titles.work,
        movement_title: titles.movement,
        composer: titles.composer,
        resolution,
        parts,
    })
}

fn read_part(
    sheet: &Sheet<'_>,
    header: PartHeader,
    body: &PartBody<'_, '_>,
    resolution: u32,
    watch: &Watch,
) -> Result<RawPart, ImportError> {
    let mut reader = part::PartReader::new(sheet, header, resolution);
    for measure in &body.measures {
        if watch.is_cancelled() {
            return Err(ImportError::Cancelled);
        }
        reader.measure(*measure);
    }
    Ok(reader.finish())
}

fn partwise<'a, 'i>(root: Node<'a, 'i>) -> Vec<PartBody<'a, 'i>> {
    let parts = elements(root).filter(|node| name(*node) == "part");
    parts
        .map(|part| PartBody {
            id: part.attribute("id").unwrap_or_default(),
            byte: part.range().start,
            measures: elements(part)
                .filter(|node| name(*node) == "measure")
                .map(|node| Measure { attributes: node, music: node })
                .collect(),
        })
        .collect()
}

fn timewise<'a, 'i>(
    sheet: &Sheet<'_>,
    root: Node<'a, 'i>,
    log: &mut Log,
) -> Result<Vec<PartBody<'a, 'i>>, ImportError> {
    let mut left_out = 0;
    let mut bodies: Vec<PartBody<'a, 'i>> = Vec::new();
    let measures = elements(root).filter(|node| name(*node) == "measure");
    for (bar, attributes) in measures.enumerate() {
        for music in elements(attributes).filter(|node| name(*node) == "part") {
            let id = music.attribute("id").unwrap_or_default();
            let known = bodies.iter().position(|body| body.id == id);
            let idx = known.unwrap_or_else(|| {
                bodies.push(PartBody { id, byte: music.range().start, measures: Vec::new() });
                bodies.len() - 1
            });
            let Some(body) = bodies.get_mut(idx) else { continue };
            // A part that is missing in some measures is silent there.
            while body.measures.len() < bar {
                left_out += 1;
                if left_out > MAX_LEFT_OUT {
                    let what = "parts are missing in too many bars";
                    return Err(too_large(sheet, what, MAX_LEFT_OUT));
                }
                body.measures.push(Measure { attributes, music: attributes });
            }
            if body.measures.len() > bar {
                let message =
                    format!("part \"{id}\" stands twice in one measure; the first counts");
                log.add_general(Code::PartListOdd, Some(music.range().start), message);
                continue;
            }
            body.measures.push(Measure { attributes, music });
        }
    }
    Ok(bodies)
}

fn too_large(sheet: &Sheet<'_>, what: &str, limit: usize) -> ImportError {
    ImportError::TooLarge {
        file: sheet.file.to_owned(),
        what: what.to_owned(),
        limit: limit.to_string(),
    }
}

fn check_limits(sheet: &Sheet<'_>, bodies: &[PartBody<'_, '_>]) -> Result<(), ImportError> {
    if bodies.len() > MAX_PARTS {
        return Err(too_large(sheet, "the score has too many parts", MAX_PARTS));
    }
    if bodies.iter().any(|body| body.measures.len() > MAX_BARS) {
        return Err(too_large(sheet, "a part has too many bars", MAX_BARS));
    }
    if bodies.iter().all(|body| body.measures.is_empty()) {
        return Err(ImportError::Empty { file: sheet.file.to_owned() });
    }
    Ok(())
}

/// Brings the list of parts and the music together, in the order of the list; music that is not
/// listed follows. What has no partner is a finding.
fn pair<'a, 'i>(
    bodies: &mut Vec<PartBody<'a, 'i>>,
    headers: &mut Vec<PartHeader>,
    log: &mut Log,
) -> Vec<(PartHeader, PartBody<'a, 'i>)> {
    let mut ordered = Vec::with_capacity(bodies.len());
    for header in headers.drain(..) {
        let found = bodies.iter().position(|body| body.id == header.id);
        // Music without an id can only be told by its place.
        let found = found.or_else(|| bodies.iter().position(|body| body.id.is_empty()));
        match found {
            Some(idx) => {
                let body = bodies.remove(idx);
                if body.id.is_empty() && !header.id.is_empty() {
                    let message =
                        format!("music without an id was taken for part \"{}\"", header.id);
                    log.add_general(Code::PartListOdd, Some(body.byte), message);
                }
                ordered.push((header, body));
            }
            None => {
                let message = format!(
                    "part \"{}\" ({}) is listed but has no music; it was left out",
                    header.id, header.name
                );
                log.add_general(Code::PartListOdd, Some(header.byte), message);
            }
        }
    }
    for body in bodies.drain(..) {
        let message = format!("part \"{}\" has music but is not listed", body.id);
        log.add_general(Code::PartListOdd, Some(body.byte), message);
        let id = body.id.to_owned();
        let byte = body.byte;
        ordered.push((PartHeader { id, byte, ..PartHeader::default() }, body));
    }
    ordered
}
