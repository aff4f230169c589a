//! Reading: from the bytes of score files to a [`Score`] and what had to be said about them.
//!
//! The way of a file: [`container`] unpacks it, [`encoding`] makes text of it, [`xml`] and [`markup`] a tree,
//! [`musicxml`] or [`mei`] raw parts, each read in one pass; [`words`] understands texts; [`movements`] and
//! [`bars`] find the movements and their bar tables; [`roster`] finds the parts of the work again in
//! every movement; [`assemble`] makes the tables. Nothing here touches the file system.
//!
//! Only unreadable input is an error. Everything else is read as far as it can be, and every
//! assumption and loss is a diagnostic.

mod assemble;
mod bars;
mod binding;
mod container;
mod encoding;
mod error;
mod finish;
mod flow;
mod guard;
mod header;
mod in_hand;
pub mod limits;
mod log;
mod markup;
mod mei;
mod movements;
mod musicxml;
pub(crate) mod opus;
mod pool;
mod raw;
mod resolution;
mod roster;
mod slices;
#[cfg(test)]
mod tests;
mod watch;
mod words;
mod xml;

pub use error::{ImportError, Spot};
pub use limits::Limits;
pub use watch::Watch;

use crate::diag::Diagnostic;
use crate::score::Score;

/// A file to read.
#[derive(Clone, Debug, Default)]
pub struct InputFile {
    /// Its name, without folders.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What was read.
#[derive(Clone, Debug, Default)]
pub struct Import {
    /// The score.
    pub score: Score,
    /// What was lost, assumed or noticed, in order of files, movements and bars.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads files as the movements of one work, in order; a file may hold several movements.
///
/// # Errors
/// A file cannot be read at all, a limit of [`limits`] is met, or someone asked to stop.
pub fn read(files: &[InputFile], watch: &Watch) -> Result<Import, ImportError> {
    read_within(files, watch, &Limits::STANDARD)
}

/// As [`read`], within other limits than the usual ones.
///
/// # Errors
/// As [`read`].
pub fn read_within(
    files: &[InputFile],
    watch: &Watch,
    limits: &Limits,
) -> Result<Import, ImportError> {
    if files.is_empty() {
        return Err(ImportError::Nothing);
    }
    let mut work = finish::Work::default();
    for (idx, file) in files.iter().enumerate() {
        let share = |part: usize| {
            let done = (idx * 100 + part) * 1000 / (files.len() * 100);
            watch.set_permille(u32::try_from(done).unwrap_or(1000));
        };
        // Hashing a large file takes as long as a good part of reading it.
        let n_sources = work.n_sources();
        let hash = || crate::hash::fingerprint(&file.bytes);
        let (read, fingerprint) = pool::beside(
            file.bytes.len(),
            || read_file(file, &mut work, watch, limits, &share),
            hash,
        );
        read?;
        work.sign(n_sources, fingerprint);
    }
    let import = work.finish();
    watch.set_permille(1000);
    Ok(import)
}

fn read_file(
    file: &InputFile,
    work: &mut finish::Work,
    watch: &Watch,
    limits: &Limits,
    share: &impl Fn(usize),
) -> Result<(), ImportError> {
    let document = container::open(&file.name, &file.bytes, limits)?;
    work.begin(&file.name);
    read_document(file, document, work, Reading { watch, limits, depth: 0 }, share)
}

/// How documents of a file are read.
#[derive(Clone, Copy)]
struct Reading<'a> {
    watch: &'a Watch,
    limits: &'a Limits,
    /// How many opuses lead to the document.
    depth: usize,
}

/// Reads a document of a file: a score, or an opus whose scores are entries of the same archive.
fn read_document(
    file: &InputFile,
    document: container::Document<'_>,
    work: &mut finish::Work,
    reading: Reading<'_>,
    share: &impl Fn(usize),
) -> Result<(), ImportError> {
    share(10);
    let decoded = encoding::decode(&document.bytes)
        .map_err(|cause| ImportError::Encoding { file: file.name.clone(), cause })?;
    let sheet = xml::Sheet::new(&file.name, &document.entry, &decoded.text).within(reading.limits);
    share(20);
    if reading.watch.is_cancelled() {
        return Err(ImportError::Cancelled);
    }
    if opus::looks_like_opus(&document.bytes) {
        return read_opus(file, &sheet, work, reading, share);
    }
    let mut log = log::Log::default();
    if let Some(oddity) = document.oddity {
        log.add_general(crate::diag::Code::ContainerOdd, None, oddity);
    }
    if let Some(assumed) = decoded.assumed {
        log.add_general(crate::diag::Code::EncodingAssumed, None, assumed);
    }
    if mei::is_mei(sheet.text) {
        let scores = mei::read(&sheet, log, reading.watch)?;
        share(90);
        return work.add(&sheet, scores);
    }
    let score = read_music(&sheet, &mut log, reading.watch)?;
    share(90);
    work.add(&sheet, vec![(score, log)])
}

/// Reads the scores that an opus inside an archive lists.
fn read_opus(
    file: &InputFile,
    sheet: &xml::Sheet<'_>,
    work: &mut finish::Work,
    reading: Reading<'_>,
    share: &impl Fn(usize),
) -> Result<(), ImportError> {
    let opus = opus::parse(sheet, opus::folder_of(sheet.entry))?;
    work.entitle(&opus.title);
    for item in opus.items {
        let failed = |why: String| ImportError::Opus { why, spot: item.spot.clone() };
        if sheet.entry == file.name {
            let why = "the opus names scores that lie beside it; it can only be opened as a file";
            return Err(failed(String::from(why)));
        }
        if reading.depth >= opus::MAX_LINKS || work.n_movements() > opus::MAX_SCORES {
            return Err(failed(String::from("the opuses link to each other without end")));
        }
        let document = container::entry(&file.name, &file.bytes, &item.name, reading.limits)?;
        let Some(document) = document else {
            let name = &item.name;
            let why = format!("the opus names \"{name}\", which is not in the archive");
            return Err(failed(why));
        };
        let deeper = Reading { depth: reading.depth + 1, ..reading };
        read_document(file, document, work, deeper, share)?;
    }
    Ok(())
}

/// What a plain opus file lists: its title, and the names of scores and further opuses relative to
/// its folder and inside it. `None` if the file is no opus.
///
/// # Errors
/// The opus is damaged, lists nothing, or names something outside its folder.
pub(crate) fn opus_items(
    file: &InputFile,
) -> Result<Option<(String, Vec<opus::OpusItem>)>, ImportError> {
    if !opus::looks_like_opus(&file.bytes) {
        return Ok(None);
    }
    let decoded = encoding::decode(&file.bytes)
        .map_err(|cause| ImportError::Encoding { file: file.name.clone(), cause })?;
    let sheet = xml::Sheet::new(&file.name, &file.name, &decoded.text);
    let opus = opus::parse(&sheet, "")?;
    Ok(Some((opus.title, opus.items)))
}

/// Reads at the resolution that the divisions ask for; where a duration turns out to be finer, at
/// the one that it asks for too. So the many durations of a file are looked at once.
fn read_music(
    sheet: &xml::Sheet<'_>,
    log: &mut log::Log,
    watch: &Watch,
) -> Result<raw::RawScore, ImportError> {
    let coarse = resolution::of(sheet)?;
    let mut found = log::Log::default();
    let mut score = musicxml::read(sheet, coarse, &mut found, watch)?;
    let code = crate::diag::Code::DurationRounded;
    if score.parts.iter().any(|part| part.log.has(code)) {
        let fine = resolution::exact(sheet)?;
        if fine != coarse {
            found = log::Log::default();
            score = musicxml::read(sheet, fine, &mut found, watch)?;
        }
    }
    log.append(found);
    Ok(score)
}

/// The parts that a list of names stands for, as a bar map gives them: with the keys that parts of
/// the same names in score files have, in the order of the list.
pub(crate) fn parts_named(names: &[String]) -> Vec<crate::part::Part> {
    roster::parts_named(names)
}
