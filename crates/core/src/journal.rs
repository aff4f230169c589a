//! The recovery journal: every edit of an open study on a line of its own, so that a program killed
//! at any moment loses nothing that reached the disk.
//!
//! A journal begins with what it builds on (a saved study with its fingerprint, or the text of one
//! never saved), goes on with numbered edits, and notes each save before it happens: after a kill in
//! the middle of a save it is still known which edits the file on disk has already. Each line begins
//! with the FNV-1a 64 of its rest; reading stops at the first line that does not agree. The folder
//! is chosen by the caller; a journal is locked while its study is open.

use crate::hash::fingerprint;
use crate::sidecar::{self, SidecarError, journal_line, parse_journal_line};
use crate::store::{self, Growing, StoreError, SyncHandle};
use crate::study::{Edit, IdMaker, Study};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// The extension of journals, without the dot.
pub const EXTENSION: &str = "journal";
/// Written edits wait at most so long to be synced, if [`Journal::tick`] is called often enough.
pub const SYNC_EVERY: Duration = Duration::from_secs(1);
/// The largest journal that is read: 256 MiB.
const MAX_BYTES: u64 = 256 << 20;

/// What a journal builds on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Base {
    /// A study file as it was when opened or last saved.
    Saved {
        /// The file, absolute.
        path: PathBuf,
        /// How often it had been saved.
        version: u64,
        /// FNV-1a 64 of its bytes.
        fingerprint: u64,
    },
    /// A study that was never saved, as the text of a study file.
    Unsaved {
        /// The folder that its sources' paths are relative to.
        folder: PathBuf,
        /// The text.
        text: String,
    },
}

/// The first line of a journal.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Header {
    /// The study's title, for the question at the next start.
    pub title: String,
    /// What the edits build on.
    pub base: Base,
    /// Where each source of the study was found, absolute; empty for bar maps.
    pub sources: Vec<PathBuf>,
}

/// A line of a journal.
#[derive(Clone, PartialEq, Debug)]
pub enum Line {
    /// The first one.
    Begin(Header),
    /// An edit with its number, counted from 1.
    Edit(u64, Edit),
    /// The study is about to be saved with all edits up to a number.
    Saving {
        /// Where to.
        path: PathBuf,
        /// FNV-1a 64 of the new file.
        fingerprint: u64,
        /// The last edit that is in it; 0 if none.
        after: u64,
    },
}

/// The bytes of a line: checksum, content, line end.
fn sealed(line: &Line) -> Vec<u8> {
    let content = journal_line(line);
    format!("{:016x} {content}\n", fingerprint(content.as_bytes())).into_bytes()
}

/// A journal being written.
#[derive(Debug)]
pub struct Journal {
    file: Arc<Mutex<Growing>>,
    n_edits: u64,
    waiting_since: Option<Instant>,
}

impl Journal {
    /// Begins a journal in a folder, which is made if it does not exist. `edits` are those made
    /// since what it builds on.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn begin(
        folder: &Path,
        header: &Header,
        edits: &[Edit],
        ids: &mut IdMaker,
    ) -> Result<Self, StoreError> {
        store::make_folder(folder)?;
        let mut bytes = sealed(&Line::Begin(header.clone()));
        let mut n_edits = 0;
        for edit in edits {
            n_edits += 1;
            bytes.extend(sealed(&Line::Edit(n_edits, edit.clone())));
        }
        let path = folder.join(format!("{}.{EXTENSION}", ids.next_id()));
        let file = Arc::new(Mutex::new(Growing::create(&path, &bytes)?));
        Ok(Self { file, n_edits, waiting_since: None })
    }

    /// Adds an edit. It outlives this process at once, and a power cut after the next sync.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn append(&mut self, edit: &Edit, now: Instant) -> Result<(), StoreError> {
        let line = sealed(&Line::Edit(self.n_edits + 1, edit.clone()));
        self.file.lock().unwrap_or_else(PoisonError::into_inner).append(&line)?;
        self.n_edits += 1;
        self.waiting_since.get_or_insert(now);
        Ok(())
    }

    /// Edits written so far.
    pub fn n_edits(&self) -> u64 {
        self.n_edits
    }

    /// What to sync now, if edits have waited for [`SYNC_EVERY`]; to be called several times a
    /// second. The sync itself may block and belongs on a worker thread.
    pub fn tick(&mut self, now: Instant) -> Option<SyncHandle> {
        let since = self.waiting_since?;
        if now.saturating_duration_since(since) < SYNC_EVERY {
            return None;
        }
        self.waiting_since = None;
        self.file.lock().unwrap_or_else(PoisonError::into_inner).sync_handle().ok()
    }

    /// What notes the next save. It can go to the thread that saves.
    pub fn save_note(&self) -> SaveNote {
        SaveNote { file: Arc::clone(&self.file), after: self.n_edits }
    }

    /// The file.
    pub fn path(&self) -> PathBuf {
        self.file.lock().unwrap_or_else(PoisonError::into_inner).path().to_path_buf()
    }

    /// Ends the journal of a study that is saved, or whose changes the user gave up.
    ///
    /// # Errors
    /// When the system refuses to delete the file.
    pub fn discard(self) -> Result<(), StoreError> {
        let path = self.path();
        drop(self);
        store::remove(&path)
    }
}

/// Notes a save in the journal before it happens.
#[derive(Debug)]
pub struct SaveNote {
    file: Arc<Mutex<Growing>>,
    after: u64,
}

impl SaveNote {
    /// Says that the study goes to `path` with this fingerprint, and waits for the disk.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn write(&self, path: &Path, fingerprint: u64) -> Result<(), StoreError> {
        let line = Line::Saving { path: path.to_path_buf(), fingerprint, after: self.after };
        let mut file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
        file.append(&sealed(&line))?;
        file.sync()
    }
}

/// A journal that nobody writes any more.
#[derive(Clone, Debug)]
pub struct Left {
    /// The file.
    pub path: PathBuf,
    /// Its first line.
    pub header: Header,
    /// What follows, in order.
    pub lines: Vec<Line>,
    /// Whether something after the last good line could not be read: the line that was being
    /// written when the program ended, as a rule.
    pub torn: bool,
}

/// Reads the text of a journal. `None` if not even its first line is whole.
fn parse(path: &Path, bytes: &[u8]) -> Option<Left> {
    let mut lines = Vec::new();
    let mut rest = bytes;
    let mut torn = false;
    while !rest.is_empty() {
        let end = rest.iter().position(|byte| *byte == b'\n');
        let Some(line) = end.and_then(|end| rest.get(..end)).and_then(parse_sealed) else {
            torn = true;
            break;
        };
        lines.push(line);
        rest = rest.get(end.map_or(rest.len(), |end| end + 1)..).unwrap_or_default();
    }
    let mut lines = lines.into_iter();
    let Some(Line::Begin(header)) = lines.next() else { return None };
    Some(Left { path: path.to_path_buf(), header, lines: lines.collect(), torn })
}

fn parse_sealed(line: &[u8]) -> Option<Line> {
    let (seal, content) = std::str::from_utf8(line).ok()?.split_once(' ')?;
    let seal = u64::from_str_radix(seal, 16).ok()?;
    if seal != fingerprint(content.as_bytes()) {
        return None;
    }
    parse_journal_line(content).ok()
}

/// The journals that were left behind in a folder and hold something that is nowhere else: edits, or
/// a study that was never saved. Those that a living process holds are not among them; those that
/// hold nothing are removed on the way.
///
/// # Errors
/// When the folder cannot be listed.
pub fn pending(folder: &Path) -> Result<Vec<Left>, StoreError> {
    let mut found: Vec<Left> = Vec::new();
    for path in store::list(folder, EXTENSION)? {
        if store::is_held(&path) {
            continue;
        }
        let Ok(bytes) = store::read(&path, MAX_BYTES) else { continue };
        match parse(&path, &bytes) {
            Some(left) if left.holds_something() => found.push(left),
            _ => store::remove(&path)?,
        }
    }
    // Two are left of one study when the program ended between beginning the second and deleting
    // the first; one of them has all that the other has.
    let starts: Vec<Option<Start>> = found.iter().map(|left| left.start().ok()).collect();
    let covered = |idx: usize| {
        let Some(Some(start)) = starts.get(idx) else { return false };
        starts.iter().enumerate().any(|(other_idx, other)| {
            let Some(other) = other else { return false };
            let same = start.saved.is_some() && start.saved == other.saved;
            let longer = (other.edits.len(), idx) > (start.edits.len(), other_idx);
            same && other_idx != idx && longer && other.edits.starts_with(&start.edits)
        })
    };
    let mut kept = Vec::with_capacity(found.len());
    for (idx, left) in found.iter().enumerate() {
        if covered(idx) { left.discard()? } else { kept.push(left.clone()) }
    }
    Ok(kept)
}

/// Why a journal cannot be replayed.
#[derive(Debug, thiserror::Error)]
pub enum RecoverError {
    /// The study file was saved by someone else, or is another one now.
    #[error("the study was changed after this journal was written: {}", .0.display())]
    OtherBase(PathBuf),
    /// The study file cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The study text is damaged.
    #[error("the study cannot be read ({cause}): {}", path.display())]
    Study {
        /// What is wrong with it.
        cause: SidecarError,
        /// The study file, or the journal when the study was never saved.
        path: PathBuf,
    },
}

/// What a journal is replayed onto.
#[derive(Debug)]
pub struct Start {
    /// The study without the edits.
    pub study: Study,
    /// Its file and the fingerprint of that, unless it was never saved.
    pub saved: Option<(PathBuf, u64)>,
    /// The folder that its sources' paths are relative to.
    pub folder: PathBuf,
    /// The edits that it does not have yet.
    pub edits: Vec<Edit>,
}

impl Left {
    /// Whether it holds anything that the study file does not have.
    fn holds_something(&self) -> bool {
        match self.start() {
            Ok(Start { saved: Some(_), edits, .. }) => !edits.is_empty(),
            Ok(_) => true,
            // Something may be saved of it by hand.
            Err(_) => self.n_edits() > 0,
        }
    }

    /// Whether it holds a study that was never saved.
    pub fn is_unsaved(&self) -> bool {
        matches!(self.header.base, Base::Unsaved { .. })
    }

    /// The number of edits.
    pub fn n_edits(&self) -> usize {
        self.lines.iter().filter(|line| matches!(line, Line::Edit(..))).count()
    }

    /// The study that this journal builds on as it is on disk now, and the edits that are missing
    /// there. A save that the program did not survive to confirm counts if it took place.
    ///
    /// # Errors
    /// See [`RecoverError`]; nothing is changed then.
    pub fn start(&self) -> Result<Start, RecoverError> {
        let saves = self.lines.iter().rev().filter_map(|line| match line {
            Line::Saving { path, fingerprint, after } => Some((path, *fingerprint, *after)),
            _ => None,
        });
        let first = match &self.header.base {
            Base::Saved { path, fingerprint, .. } => Some((path, *fingerprint, 0)),
            Base::Unsaved { .. } => None,
        };
        let mut failed = None;
        for (path, expected, after) in saves.chain(first) {
            match store::read(path, store::MAX_STUDY_BYTES) {
                Ok(bytes) if fingerprint(&bytes) == expected => {
                    let study = sidecar::read(&bytes)
                        .map_err(|cause| RecoverError::Study { cause, path: path.clone() })?;
                    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
                    let saved = Some((path.clone(), expected));
                    return Ok(Start { study, saved, folder, edits: self.edits_after(after) });
                }
                Ok(_) => failed = Some(RecoverError::OtherBase(path.clone())),
                Err(error) => failed = Some(error.into()),
            }
        }
        match &self.header.base {
            Base::Unsaved { folder, text } => {
                let path = self.path.clone();
                let study =
                    sidecar::parse(text).map_err(|cause| RecoverError::Study { cause, path })?;
                let (folder, edits) = (folder.clone(), self.edits_after(0));
                Ok(Start { study, saved: None, folder, edits })
            }
            Base::Saved { path, .. } => {
                Err(failed.unwrap_or_else(|| RecoverError::OtherBase(path.clone())))
            }
        }
    }

    fn edits_after(&self, after: u64) -> Vec<Edit> {
        let later = |line: &Line| match line {
            Line::Edit(number, edit) if *number > after => Some(edit.clone()),
            _ => None,
        };
        self.lines.iter().filter_map(later).collect()
    }

    /// Deletes the journal.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn discard(&self) -> Result<(), StoreError> {
        store::remove(&self.path)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Expect;
    use crate::study::testing::small_study;

    fn title(text: &str) -> Edit {
        Edit::Title(text.into())
    }

    fn unsaved(study: &Study) -> Header {
        let base = Base::Unsaved { folder: "scores".into(), text: sidecar::write(study) };
        Header { title: study.title.clone(), base, sources: vec!["scores/suite.mxl".into()] }
    }

    #[test]
    fn edits_come_back_after_the_end_of_the_process_that_made_them() {
        let folder = tempfile::tempdir().unwrap();
        let study = small_study();
        let header = unsaved(&study);
        let now = Instant::now();
        let mut ids = IdMaker::seeded(3);
        let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
        journal.append(&title("One\ntwo"), now).unwrap();
        journal.append(&title("Three"), now).unwrap();
        assert!(pending(folder.path()).unwrap().is_empty(), "a journal in use was offered");
        drop(journal);
        let left = pending(folder.path()).unwrap().remove(0);
        assert_eq!(left.header, header);
        let start = left.start().unwrap();
        assert_eq!(start.study, study);
        assert_eq!(start.edits, [title("One\ntwo"), title("Three")]);
        left.discard().unwrap();
        assert!(pending(folder.path()).unwrap().is_empty());
    }

    #[test]
    fn a_torn_line_costs_only_itself() {
        let folder = tempfile::tempdir().unwrap();
        let header = unsaved(&small_study());
        let mut ids = IdMaker::seeded(4);
        let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
        for text in ["One", "Two"] {
            journal.append(&title(text), Instant::now()).unwrap();
        }
        let path = journal.path();
        drop(journal);
        let whole = std::fs::read(&path).unwrap();
        let last = sealed(&Line::Edit(2, title("Two"))).len();
        for cut in 1..=last {
            let left = parse(&path, &whole[..whole.len() - cut]).unwrap();
            assert_eq!(left.n_edits(), 1);
            assert_eq!(left.torn, cut != last);
        }
        let mut flipped = whole.clone();
        let at = flipped.len() - 6;
        flipped[at] ^= 1;
        let left = parse(&path, &flipped).unwrap();
        assert!(left.torn && left.n_edits() == 1);
    }

    #[test]
    fn a_save_that_was_not_confirmed_is_recognized() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("suite.barloom");
        let mut study = small_study();
        let seen = store::save_study(&path, &sidecar::write(&study), Expect::Nothing).unwrap();
        let base = Base::Saved { path: path.clone(), version: study.version, fingerprint: seen };
        let header = Header { title: String::new(), base, sources: Vec::new() };
        let mut ids = IdMaker::seeded(5);
        let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
        let now = Instant::now();
        journal.append(&title("One"), now).unwrap();
        let note = journal.save_note();
        journal.append(&title("Two"), now).unwrap();
        study.apply(title("One")).unwrap();
        let text = sidecar::write(&study);
        note.write(&path, fingerprint(text.as_bytes())).unwrap();
        drop((journal, note));
        let start = |edits: &[Edit]| {
            let start = pending(folder.path()).unwrap().remove(0).start().unwrap();
            assert_eq!(start.edits, edits);
        };
        start(&[title("One"), title("Two")]);
        store::save_study(&path, &text, Expect::Seen(seen)).unwrap();
        start(&[title("Two")]);
        study.apply(title("Someone else's")).unwrap();
        store::save_study(&path, &sidecar::write(&study), Expect::AnyStudy).unwrap();
        let error = pending(folder.path()).unwrap().remove(0).start().unwrap_err();
        assert!(matches!(error, RecoverError::OtherBase(_)), "{error}");
    }

    #[test]
    fn syncs_wait_for_a_second() {
        let folder = tempfile::tempdir().unwrap();
        let header = unsaved(&small_study());
        let mut ids = IdMaker::seeded(6);
        let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
        let now = Instant::now();
        assert!(journal.tick(now).is_none());
        journal.append(&title("One"), now).unwrap();
        assert!(journal.tick(now + SYNC_EVERY / 2).is_none());
        let sync = journal.tick(now + SYNC_EVERY).unwrap();
        sync.run().unwrap();
        assert!(journal.tick(now + SYNC_EVERY * 3).is_none());
    }
}
