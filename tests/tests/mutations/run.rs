//! Running the cases: on every core a child process, so that the memory of one file is not counted
//! for another, and so that even a child that dies tells with which file it died.

use crate::count::peak_of;
use crate::damage::{Damaged, Files, Kind};
use barloom_analysis::plan::PlanOptions;
use barloom_analysis::settings::Settings;
use barloom_analysis::{Tracks, facts, plan};
use barloom_core::anchor::reanchor;
use barloom_core::basis::Basis;
use barloom_core::diag::Diagnostic;
use barloom_core::import::{Import, InputFile, Watch, read};
use barloom_core::score::Score;
use barloom_core::sidecar;
use barloom_core::study::Study;
use barloom_tests::mutate::samples;
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// Damaged files in a run.
const N_CASES: u64 = 21_000;
/// Of so many files one is not only read: everything is computed from it.
const COMPUTED: u64 = 12;
/// A file may take so long, on a machine that is busy with other things too.
pub(crate) const MAX_TIME: Duration = Duration::from_secs(20);
/// The reader may hold so many bytes for each of the file's, and these on top.
pub(crate) const MAX_TIMES: usize = 64;
pub(crate) const MAX_MORE: usize = 16 << 20;

/// Which share of the cases a child runs, as `1/2`.
const CHILD: &str = "BARLOOM_MUTATIONS_CHILD";
/// Runs one case alone.
const CASE: &str = "BARLOOM_MUTATION";
const TEST: &str = "run::nothing_that_is_opened_breaks_the_program";

#[test]
fn nothing_that_is_opened_breaks_the_program() {
    let number = |name: &str| std::env::var(name).ok().map(|text| text.parse::<u64>().unwrap());
    if let Some(case) = number(CASE) {
        Cases::new().run(case);
        return;
    }
    if let Ok(share) = std::env::var(CHILD) {
        let (nth, of) = share.split_once('/').unwrap();
        run_share(nth.parse().unwrap(), of.parse().unwrap());
        return;
    }
    let started = Instant::now();
    let n_children = std::thread::available_parallelism().map_or(1, |cores| cores.get() as u64);
    let children: Vec<Child> = (0..n_children).map(|nth| start(nth, n_children)).collect();
    let mut totals = [0; 4];
    for mut child in children {
        let output = BufReader::new(child.stdout.take().unwrap());
        let mut said = Vec::new();
        let mut counted = false;
        for line in output.lines().map(Result::unwrap) {
            if let Some(counts) = line.strip_prefix("counts ") {
                counted = true;
                for (total, count) in totals.iter_mut().zip(counts.split(' ')) {
                    *total += count.parse::<u64>().unwrap();
                }
            }
            said.push(line);
        }
        let status = child.wait().unwrap();
        let last = said.split_off(said.len().saturating_sub(12)).join("\n");
        assert!(
            status.success() && counted,
            "{status}; the last case is the bad one, run it alone with {CASE}=CASE:\n{last}"
        );
    }
    let [cases, readable, studies, documents] = totals;
    let seconds = started.elapsed().as_secs();
    println!("{cases} cases, {readable} scores and {studies} studies readable, {seconds} s");
    assert_eq!(cases, N_CASES);
    // Damage that nothing can be read from would only test the parser.
    assert!(readable * 3 > documents, "only {readable} of {documents} were readable");
    assert!(studies > 100, "only {studies} studies were readable");
}

fn start(nth: u64, of: u64) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args([TEST, "--exact", "--nocapture"])
        .env(CHILD, format!("{nth}/{of}"))
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

/// The case that runs, and when it began in milliseconds of the child's life; for the watchdog.
static RUNNING: AtomicU64 = AtomicU64::new(u64::MAX);
static SINCE: AtomicU64 = AtomicU64::new(0);

fn run_share(nth: u64, of: u64) {
    let born = Instant::now();
    let millis = move || born.elapsed().as_millis() as u64;
    let watchdog = move || {
        loop {
            std::thread::sleep(Duration::from_millis(500));
            let spent = millis().saturating_sub(SINCE.load(Ordering::Relaxed));
            if u128::from(spent) > MAX_TIME.as_millis() {
                let case = RUNNING.load(Ordering::Relaxed);
                // Nothing else can end a thread that does not end by itself.
                println!("case {case} takes longer than {} s: {}", MAX_TIME.as_secs(), keep(case));
                std::process::exit(3);
            }
        }
    };
    std::thread::Builder::new().name(String::from("watchdog")).spawn(watchdog).unwrap();
    let mut cases = Cases::new();
    let out = std::io::stdout();
    for case in (nth..N_CASES).step_by(of as usize) {
        SINCE.store(millis(), Ordering::Relaxed);
        RUNNING.store(case, Ordering::Relaxed);
        // A child that dies of a signal cannot say more than this.
        writeln!(out.lock(), "case {case}").unwrap();
        cases.run(case);
    }
    SINCE.store(u64::MAX, Ordering::Relaxed);
    let [a, b, c, d] = cases.counts;
    writeln!(out.lock(), "counts {a} {b} {c} {d}").unwrap();
}

/// Writes the file of a case where it can be looked at.
fn keep(case: u64) -> String {
    let Damaged { kind, bytes, .. } = Files::find().damaged(case);
    let name = format!("mutation-{case}.{}", kind.ending());
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    barloom_core::store::replace(&path, &bytes).unwrap();
    path.display().to_string()
}

struct Cases {
    files: Files,
    /// The score that studies are opened with.
    score: Score,
    /// Cases, readable scores, readable studies, scores.
    counts: [u64; 4],
}

impl Cases {
    fn new() -> Self {
        let name = samples::PACKED_NAME.to_owned();
        let file = InputFile { name, bytes: samples::PACKED_SCORE.to_vec() };
        let score = read(&[file], &Watch::default()).unwrap().score;
        Self { files: Files::find(), score, counts: [0; 4] }
    }

    fn run(&mut self, case: u64) {
        let Damaged { kind, bytes, size } = self.files.damaged(case);
        let limit = size * MAX_TIMES + MAX_MORE;
        // Few damaged studies can be read; much can go wrong with those.
        let compute = case.is_multiple_of(COMPUTED) || kind == Kind::Study;
        let (score, counts) = (&self.score, &mut self.counts);
        let work = std::panic::AssertUnwindSafe(|| {
            counts[0] += 1;
            let peak = match kind {
                Kind::Study => study(&bytes, score, compute, &mut counts[2]),
                _ => {
                    counts[3] += 1;
                    document(kind, bytes, compute, &mut counts[1])
                }
            };
            assert!(peak <= limit, "{peak} bytes were held for a file of {size}");
        });
        if std::panic::catch_unwind(work).is_err() {
            println!("case {case} broke the program: {}", keep(case));
            std::process::exit(1);
        }
    }
}

fn document(kind: Kind, bytes: Vec<u8>, compute: bool, readable: &mut u64) -> usize {
    let files = [InputFile { name: format!("case.{}", kind.ending()), bytes }];
    let (import, peak) = peak_of(|| read(&files, &Watch::default()));
    if let Ok(Import { score, diagnostics }) = import {
        *readable += 1;
        if compute {
            everything(&Basis::of(score), None, &diagnostics);
        }
    }
    peak
}

fn study(bytes: &[u8], score: &Score, compute: bool, readable: &mut u64) -> usize {
    let (study, peak) = peak_of(|| sidecar::read(bytes));
    let Ok(study) = study else { return peak };
    *readable += 1;
    let text = sidecar::write(&study);
    assert_eq!(sidecar::parse(&text).as_ref(), Ok(&study));
    // Sources and score must agree in number; the program sees to it before this.
    if compute && study.sources.len() == score.sources.len() {
        let fitted = reanchor(&study, score);
        let (basis, diagnostics) = Basis::build(score, &fitted.study, 1);
        everything(&basis, Some(&fitted.study), &diagnostics);
    }
    peak
}

/// Everything that is computed from a basis: tracks, facts and the content of the plan.
pub(crate) fn everything(basis: &Basis, study: Option<&Study>, diagnostics: &[Diagnostic]) {
    let tracks = Tracks::of(basis, &Settings::default(), &AtomicBool::new(false)).unwrap();
    facts::facts(basis, &tracks, study, diagnostics);
    let none = Study::default();
    plan::build(basis, &tracks, study.unwrap_or(&none), diagnostics, &PlanOptions::default());
}

#[test]
fn there_is_something_to_damage() {
    assert!(Files::find().n_documents() >= 2);
    let study = sidecar::parse(&samples::study()).unwrap();
    assert_eq!((study.sources.len(), study.movements.len()), (1, 1));
    let kinds = ["Layer(", "Mark(", "Beating(", "Cue(", "Group(", "Cut(", "Device(", "Pause("];
    for kind in kinds {
        assert!(samples::study().contains(kind), "the study has no {kind}");
    }
}
