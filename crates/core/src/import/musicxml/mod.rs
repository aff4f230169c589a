//! MusicXML, partwise or timewise, from a tree to raw parts. One reader walks one part once, from
//! its first bar to its last; parts know nothing of each other.

mod attributes;
mod barline;
mod chord;
mod direction;
mod harmonics;
mod levels;
mod meter;
mod metronome;
mod notations;
mod note;
mod part;
mod sound;
mod style;
mod tuning;
mod value;
mod voice;

pub(super) use attributes::concert_fifths;
pub(super) use barline::ending_numbers;

use super::error::ImportError;
use super::header;
use super::log::Log;
use super::markup::{self, Pieces};
use super::pool;
use super::raw::{RawPart, RawScore};
use super::slices::{self, Slices};
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

/// The music of one part.
struct PartBody<'a, 'i> {
    id: String,
    /// Where it stands in the document.
    byte: usize,
    music: Music<'a, 'i>,
}

/// Music that is in a tree already, or text that is scanned bar by bar when its turn comes.
enum Music<'a, 'i> {
    Tree(Vec<Measure<'a, 'i>>),
    Slice { text: &'i str, prefixes: &'i [&'i str] },
}

/// Why a part was not read.
enum Stop {
    /// For good.
    Error(ImportError),
    /// A slice is not certainly what it seems: the whole document must be parsed.
    Slice,
}

impl From<ImportError> for Stop {
    fn from(error: ImportError) -> Self {
        Self::Error(error)
    }
}

/// Documents from this size on are cut at their parts, in bytes: for smaller ones it is not worth
/// while.
const SLICE_FROM: usize = 50_000;

/// Reads a document. Findings about the whole document go to `log`, others stay with their part.
///
/// # Errors
/// The document is not well-formed or not a score, or a limit is met, or someone asked to stop.
pub(super) fn read(
    sheet: &Sheet<'_>,
    resolution: u32,
    log: &mut Log,
    watch: &Watch,
) -> Result<RawScore, ImportError> {
    if sheet.text.len() >= SLICE_FROM
        && let Some(slices) = slices::cut(sheet.text)
    {
        let mut own = Log::default();
        match read_slices(sheet, &slices, resolution, &mut own, watch) {
            Ok(score) => {
                log.append(own);
                return Ok(score);
            }
            Err(Stop::Error(error)) => return Err(error),
            Err(Stop::Slice) => {}
        }
    }
    read_whole(sheet, resolution, log, watch)
}

/// Reads a document from one tree.
pub(super) fn read_whole(
    sheet: &Sheet<'_>,
    resolution: u32,
    log: &mut Log,
    watch: &Watch,
) -> Result<RawScore, ImportError> {
    let tree = sheet.parse()?;
    let root = tree.root_element();
    let bodies = match name(root) {
        "score-partwise" => partwise(root),
        "score-timewise" => timewise(sheet, root, log)?,
        other => {
            let spot = sheet.spot(root.range().start);
            return Err(ImportError::NotAScore { root: other.to_owned(), spot });
        }
    };
    read_bodies(sheet, root, bodies, resolution, log, watch).map_err(|stop| match stop {
        Stop::Error(error) => error,
        Stop::Slice => ImportError::Empty { file: sheet.file.to_owned() },
    })
}

fn read_slices(
    sheet: &Sheet<'_>,
    slices: &Slices<'_>,
    resolution: u32,
    log: &mut Log,
    watch: &Watch,
) -> Result<RawScore, Stop> {
    let (head, prefixes) = markup::document_head(&slices.head).ok_or(Stop::Slice)?;
    let root = head.root_element();
    let tags: Vec<Node<'_, '_>> = elements(root).filter(|node| name(*node) == "part").collect();
    // A part that was cut out where the head has no such element stood in a comment.
    if name(root) != "score-partwise" || tags.len() != slices.parts.len() {
        return Err(Stop::Slice);
    }
    let bodies = tags.into_iter().zip(&slices.parts).map(|(tag, (byte, text))| PartBody {
        id: tag.attribute("id").unwrap_or_default().to_owned(),
        byte: *byte,
        music: Music::Slice { text, prefixes: &prefixes },
    });
    read_bodies(sheet, root, bodies.collect(), resolution, log, watch)
}

fn read_bodies(
    sheet: &Sheet<'_>,
    root: Node<'_, '_>,
    mut bodies: Vec<PartBody<'_, '_>>,
    resolution: u32,
    log: &mut Log,
    watch: &Watch,
) -> Result<RawScore, Stop> {
    if bodies.len() > sheet.limits.parts {
        let byte = bodies.get(sheet.limits.parts).map_or(0, |body| body.byte);
        return Err(too_many_parts(sheet, byte).into());
    }
    let titles = header::titles(root);
    let mut headers = header::part_list(root, log);
    if headers.len() > sheet.limits.parts {
        let byte = headers.get(sheet.limits.parts).map_or(0, |header| header.byte);
        return Err(too_many_parts(sheet, byte).into());
    }
    let ordered = pair(&mut bodies, &mut headers, log);
    let read = |(header, body): &(PartHeader, PartBody<'_, '_>)| {
        read_part(sheet, header.clone(), body, resolution, watch)
    };
    let size = |(_, body): &(PartHeader, PartBody<'_, '_>)| match &body.music {
        Music::Tree(measures) => measures.len(),
        Music::Slice { text, .. } => text.len(),
    };
    let parts =
        pool::map(&ordered, size, read).into_iter().collect::<Result<Vec<RawPart>, Stop>>()?;
    let n_bars = parts.iter().map(|part| part.bars.len()).max().unwrap_or(0);
    if parts.len().saturating_mul(n_bars) > sheet.limits.part_bars {
        let what = "the score has too many bars over all parts";
        return Err(sheet.too_large_in_all(what, sheet.limits.part_bars as u64).into());
    }
    if n_bars == 0 {
        return Err(ImportError::Empty { file: sheet.file.to_owned() }.into());
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
) -> Result<RawPart, Stop> {
    match &body.music {
        Music::Tree(measures) => {
            let mut reader = part::PartReader::new(sheet, 0, header, resolution);
            for measure in measures {
                read_measure(&mut reader, *measure, watch)?;
            }
            Ok(reader.finish())
        }
        Music::Slice { text, prefixes } => {
            let mut reader = part::PartReader::new(sheet, body.byte, header, resolution);
            let mut pieces = Pieces::new(text, prefixes).ok_or(Stop::Slice)?;
            while let Some(tree) = pieces.next().ok_or(Stop::Slice)? {
                let node = tree.root_element();
                if name(node) == "measure" {
                    read_measure(&mut reader, Measure { attributes: node, music: node }, watch)?;
                }
            }
            Ok(reader.finish())
        }
    }
}

fn read_measure(
    reader: &mut part::PartReader<'_>,
    measure: Measure<'_, '_>,
    watch: &Watch,
) -> Result<(), ImportError> {
    let limits = reader.sheet.limits;
    if reader.out.bars.len() >= limits.bars {
        return Err(reader.too_large(measure, "a part has too many bars", limits.bars));
    }
    if reader.out.notes.len() + reader.out.rests.len() > limits.notes {
        return Err(reader.too_large(measure, "a part has too many notes", limits.notes));
    }
    if watch.is_cancelled() {
        return Err(ImportError::Cancelled);
    }
    reader.measure(measure);
    Ok(())
}

fn measures<'a, 'i>(part: Node<'a, 'i>) -> Vec<Measure<'a, 'i>> {
    let measures = elements(part).filter(|node| name(*node) == "measure");
    measures.map(|node| Measure { attributes: node, music: node }).collect()
}

fn partwise<'a, 'i>(root: Node<'a, 'i>) -> Vec<PartBody<'a, 'i>> {
    let parts = elements(root).filter(|node| name(*node) == "part");
    parts
        .map(|part| PartBody {
            id: part.attribute("id").unwrap_or_default().to_owned(),
            byte: part.range().start,
            music: Music::Tree(measures(part)),
        })
        .collect()
}

fn timewise<'a, 'i>(
    sheet: &Sheet<'_>,
    root: Node<'a, 'i>,
    log: &mut Log,
) -> Result<Vec<PartBody<'a, 'i>>, ImportError> {
    let mut left_out = 0;
    // Each costs memory that is not in the file, so a longer file may leave out more.
    let most_left_out = 10_000 + sheet.text.len() / 8;
    let mut parts: Vec<(&str, usize, Vec<Measure<'a, 'i>>)> = Vec::new();
    let all = elements(root).filter(|node| name(*node) == "measure");
    for (bar, attributes) in all.enumerate() {
        for music in elements(attributes).filter(|node| name(*node) == "part") {
            let id = music.attribute("id").unwrap_or_default();
            let known = parts.iter().position(|(known, ..)| *known == id);
            if known.is_none() && parts.len() >= sheet.limits.parts {
                return Err(too_many_parts(sheet, music.range().start));
            }
            let idx = known.unwrap_or_else(|| {
                parts.push((id, music.range().start, Vec::new()));
                parts.len() - 1
            });
            let Some((.., measures)) = parts.get_mut(idx) else { continue };
            // A part that is missing in some measures is silent there.
            while measures.len() < bar {
                left_out += 1;
                if left_out > most_left_out {
                    let what = "parts are missing in too many bars";
                    let byte = music.range().start;
                    return Err(sheet.too_large(byte, what, most_left_out as u64));
                }
                measures.push(Measure { attributes, music: attributes });
            }
            if measures.len() > bar {
                let message =
                    format!("part \"{id}\" stands twice in one measure; the first counts");
                log.add_general(Code::PartListOdd, Some(music.range().start), message);
                continue;
            }
            measures.push(Measure { attributes, music });
        }
    }
    let body = |(id, byte, measures): (&str, usize, _)| PartBody {
        id: id.to_owned(),
        byte,
        music: Music::Tree(measures),
    };
    Ok(parts.into_iter().map(body).collect())
}

fn too_many_parts(sheet: &Sheet<'_>, byte: usize) -> ImportError {
    sheet.too_large(byte, "the score has too many parts", sheet.limits.parts as u64)
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
        let id = body.id.clone();
        let byte = body.byte;
        ordered.push((PartHeader { id, byte, ..PartHeader::default() }, body));
    }
    ordered
}
