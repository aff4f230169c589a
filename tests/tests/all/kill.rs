//! A program killed at any moment: the study stays readable, and no mark that was made is lost.
//!
//! The test runs itself as a child that opens a study, marks it and saves all the time through the
//! same document and journal as the desk, and kills it at a random moment. The child says each edit
//! after it was made, so that the parent knows what has to be there. A killed process loses nothing
//! that it wrote, whether synced or not; so what is asked for here is stricter than the few seconds
//! that a power cut may cost.

use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::import::Watch;
use barloom_core::journal::{self, Left};
use barloom_core::sidecar;
use barloom_core::study::{Edit, EntryId, IdMaker, Item, Mark, Sign, Study};
use barloom_core::work::{self, Replacements, Work};
use barloom_desk::model::document::{Document, SaveDone, SaveJob};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};

/// Names the folder of a run, and makes the test a child.
const CHILD: &str = "BARLOOM_KILL_CHILD";
const N_CHAINS: u64 = 5;
const N_KILLS: u64 = 10;
const N_BARS: u64 = 40;

/// Numbers that look like chance and are the same in every run (SplitMix64).
struct Chance(u64);

impl Chance {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % limit
    }
}

fn score_text() -> String {
    let mut text = String::from(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\">\
         <part-name>Viola</part-name></score-part></part-list><part id=\"P1\">",
    );
    for bar in 1..=N_BARS {
        let attributes = "<attributes><divisions>1</divisions><time><beats>4</beats>\
                          <beat-type>4</beat-type></time></attributes>";
        let attributes = if bar == 1 { attributes } else { "" };
        text.push_str(&format!(
            "<measure number=\"{bar}\">{attributes}<note><rest/><duration>4</duration></note>\
             </measure>"
        ));
    }
    text + "</part></score-partwise>"
}

fn study_path(folder: &Path) -> PathBuf {
    folder.join("viola.barloom")
}

fn journals(folder: &Path) -> PathBuf {
    folder.join("journals")
}

/// What a run begins with and ends with: the journal that was left, else the study, else the score.
fn reopen(folder: &Path) -> (Work, Option<(Left, Vec<Edit>)>) {
    let (none, watch) = (Replacements::new(), Watch::default());
    let mut left = journal::pending(&journals(folder)).unwrap();
    assert!(left.len() <= 1, "{} journals of one study are offered", left.len());
    if let Some(left) = left.pop() {
        let (work, replayed, refused) = work::open_left(&left, &none, &watch).unwrap();
        assert!(refused.is_empty(), "{refused:?}");
        return (work, Some((left, replayed)));
    }
    let study = study_path(folder);
    let path = if study.is_file() { study } else { folder.join("viola.musicxml") };
    let mut ids = IdMaker::seeded(1);
    (work::open(&[path], &none, &mut ids, 0, &watch).unwrap(), None)
}

/// The child: marks and saves until it is killed. A test without work of its own otherwise.
#[test]
fn child_that_is_killed() {
    let Ok(folder) = std::env::var(CHILD) else { return };
    let folder = Path::new(&folder);
    let (work, left) = reopen(folder);
    let ids = IdMaker::new();
    let mut document = match left {
        Some((left, replayed)) => {
            Document::recovered(work, replayed, &left, Some(journals(folder)), ids)
        }
        None => Document::new(work, Some(journals(folder)), ids),
    };
    assert_eq!(document.journal_error(), None);
    let (jobs, done) = saver();
    let mut chance = Chance(std::process::id().into());
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(20) {
        edit(&mut document, &mut chance);
        if let Ok(done) = done.try_recv() {
            document.finish_save(done, Instant::now()).unwrap();
        }
        if chance.below(30) == 0
            && let Some(job) = document.snapshot(Some(study_path(folder)))
        {
            jobs.send(job).unwrap();
        }
        if let Some(sync) = document.tick(Instant::now()) {
            sync.run().unwrap();
        }
        std::thread::sleep(Duration::from_micros(chance.below(3000)));
    }
}

/// Saves on a thread of its own, as the desk does.
fn saver() -> (Sender<SaveJob>, Receiver<SaveDone>) {
    let (jobs, todo) = channel::<SaveJob>();
    let (finished, done) = channel();
    let work = move || {
        for job in todo {
            finished.send(job.run()).unwrap();
        }
    };
    std::thread::Builder::new().name(String::from("saver")).spawn(work).unwrap();
    (jobs, done)
}

fn numbers(study: &Study) -> BTreeSet<u64> {
    study.marks().map(|(_, mark)| mark.text.parse().unwrap()).collect()
}

/// One edit, said after it was made: `+ 7` for mark 7 made, `- 7` for mark 7 gone.
fn edit(document: &mut Document, chance: &mut Chance) {
    let now = Instant::now();
    let numbers = numbers(document.study());
    let chosen = (!numbers.is_empty()).then(|| chance.below(numbers.len() as u64) as usize);
    let chosen = chosen.and_then(|nth| numbers.iter().nth(nth).copied());
    match (chance.below(10), chosen) {
        (0, Some(number)) => {
            let id = id_of(document.study(), number);
            document.apply(Edit::Remove(id), "remove mark", None, now).unwrap();
            say('-', number);
        }
        (1, _) if document.undo_label() == Some("add mark") => {
            let last = numbers.last().copied().unwrap_or_default();
            document.undo(now).unwrap();
            if !self::numbers(document.study()).contains(&last) {
                say('-', last);
            }
            document.redo(now).unwrap();
            say('+', last);
        }
        _ => {
            let number = numbers.last().map_or(1, |last| last + 1);
            let layer = document.study().layers()[0].0.id;
            let bar = BarIndex(chance.below(N_BARS) as u32);
            let mark = Mark {
                layer,
                from: BarAddress::start_of(MovementId(1), bar),
                to: None,
                parts: Vec::new(),
                sign: Sign::Text,
                text: number.to_string(),
            };
            let mut ids = document.ids().clone();
            let entry = document.study().new_entry(Item::Mark(mark), &mut ids, 0);
            *document.ids() = ids;
            document.apply(Edit::Put(entry), "add mark", None, now).unwrap();
            say('+', number);
        }
    }
}

fn id_of(study: &Study, number: u64) -> EntryId {
    let number = number.to_string();
    study.marks().find(|(_, mark)| mark.text == number).unwrap().0.id
}

fn say(what: char, number: u64) {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{what} {number}").unwrap();
    out.flush().unwrap();
}

#[test]
fn no_kill_loses_a_mark_or_leaves_a_study_that_cannot_be_read() {
    let mut n_heard = 0;
    let mut n_saves = 0;
    for chain in 0..N_CHAINS {
        let mut chance = Chance(chain);
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path().canonicalize().unwrap();
        barloom_core::store::replace(&folder.join("viola.musicxml"), score_text().as_bytes())
            .unwrap();
        let mut marks = BTreeSet::new();
        for kill in 0..N_KILLS {
            let heard = run_and_kill(&folder, &mut chance);
            n_heard += heard.len();
            for (what, number) in heard {
                if what == '+' {
                    marks.insert(number)
                } else {
                    marks.remove(&number)
                };
            }
            let place = format!("chain {chain}, kill {kill}");
            if let Ok(bytes) = std::fs::read(study_path(&folder)) {
                let study = sidecar::read(&bytes);
                assert!(study.is_ok(), "{place}: the study cannot be read: {study:?}");
                n_saves = n_saves.max(study.unwrap().version);
            }
            let found = numbers(&reopen(&folder).0.study);
            // The last edit may have been made and not been said any more.
            let off: Vec<_> = found.symmetric_difference(&marks).collect();
            assert!(off.len() <= 1, "{place}: {off:?} differ of {} marks", marks.len());
            marks = found;
        }
    }
    // So that this test cannot pass by doing nothing.
    assert!(n_heard > 1000, "only {n_heard} edits were made in all");
    assert!(n_saves > 3, "nothing was saved meanwhile");
}

/// Starts a child and kills it; answers what it said.
fn run_and_kill(folder: &Path, chance: &mut Chance) -> Vec<(char, u64)> {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["kill::child_that_is_killed", "--exact", "--nocapture"])
        .env(CHILD, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut heard = Vec::new();
    // Most are killed at work, some while they start and take up what is there.
    if chance.below(5) > 0 {
        heard.extend(lines.by_ref().map_while(Result::ok).filter_map(|line| said(&line)).next());
        std::thread::sleep(Duration::from_millis(chance.below(700)));
    } else {
        std::thread::sleep(Duration::from_millis(chance.below(60)));
    }
    end(&mut child);
    heard.extend(lines.map_while(Result::ok).filter_map(|line| said(&line)));
    heard
}

/// Kills a process without giving it a chance (SIGKILL on Unix).
fn end(child: &mut Child) {
    child.kill().unwrap();
    let status = child.wait().unwrap();
    assert!(!status.success(), "the child ended before it was killed");
}

/// What a line says at its end; the harness may have begun the line.
fn said(line: &str) -> Option<(char, u64)> {
    let mut words = line.split_whitespace().rev();
    let number = words.next()?.parse().ok()?;
    match words.next()? {
        "+" => Some(('+', number)),
        "-" => Some(('-', number)),
        _ => None,
    }
}
