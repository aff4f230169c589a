//! Work on other threads: reading, analyzing, saving, printing, the system's file dialogs. Each thread
//! has a name, sends one result, and wakes the window; results are taken before the next frame.

mod dialog;
mod extract;
mod print;
mod read;
mod sheet;

pub use read::{Found, Read, Replayed};

use crate::model::desk::Chosen;
use crate::model::document::{SaveDone, SaveJob};
use crate::model::status::Busy;
use barloom_analysis::Tracks;
use barloom_analysis::settings::Settings as AnalysisSettings;
use barloom_core::basis::Basis;
use barloom_core::import::Watch;
use barloom_core::store::SyncHandle;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// What a thread has done.
#[derive(Debug)]
pub enum Done {
    /// A work was read, or why not.
    Read(Box<Read>),
    /// The tracks of a basis.
    Analyzed(Box<Tracks>),
    /// What came of a save.
    Saved(Box<SaveDone>),
    /// Where the plan is and how many pages it has, or why there is none.
    Printed(Result<(PathBuf, usize), String>),
    /// Where the passages side by side are, or why they are not.
    SheetPrinted(Result<PathBuf, String>),
    /// Where the written bars are, or why there are none.
    Written(Result<PathBuf, String>),
    /// What was chosen in a dialog.
    Chosen(Chosen),
}

/// The threads.
pub struct Jobs {
    sender: Sender<Done>,
    receiver: Receiver<Done>,
    wake: Arc<dyn Fn() + Send + Sync>,
    /// Tells the present read from one that was given up.
    reading: Option<(u64, Arc<Watch>, String)>,
    n_reads: u64,
    /// Stops the analysis of an older basis.
    analyzing: Option<Arc<AtomicBool>>,
    printing: bool,
}

impl Jobs {
    /// No threads yet. `wake` brings the window to take results.
    pub fn new(wake: impl Fn() + Send + Sync + 'static) -> Self {
        let (sender, receiver) = channel();
        Self {
            sender,
            receiver,
            wake: Arc::new(wake),
            reading: None,
            n_reads: 0,
            analyzing: None,
            printing: false,
        }
    }

    /// A result that has arrived; those of reads that were given up are left out.
    pub fn take(&mut self) -> Option<Done> {
        loop {
            let done = self.receiver.try_recv().ok()?;
            match &done {
                Done::Read(read) => {
                    if self.reading.as_ref().is_none_or(|(id, ..)| *id != read.id) {
                        continue;
                    }
                    self.reading = None;
                }
                Done::Printed(_) => self.printing = false,
                _ => {}
            }
            return Some(done);
        }
    }

    /// Runs `work` on a thread of its own; answers whether there is one.
    fn start(&self, name: &str, work: impl FnOnce() -> Option<Done> + Send + 'static) -> bool {
        let (sender, wake) = (self.sender.clone(), Arc::clone(&self.wake));
        let run = move || {
            if let Some(done) = work() {
                // The window may be gone; then nobody needs the result.
                let _ = sender.send(done);
                wake();
            }
        };
        thread::Builder::new().name(name.to_owned()).spawn(run).is_ok()
    }

    /// Reads files, a journal or the example. A read that is going on is given up.
    pub fn read(&mut self, what: read::What) {
        self.stop();
        self.n_reads += 1;
        let (id, watch) = (self.n_reads, Arc::new(Watch::default()));
        self.reading = Some((id, Arc::clone(&watch), what.words()));
        self.start("barloom read", move || Some(Done::Read(Box::new(read::run(id, what, &watch)))));
    }

    /// Computes the tracks of a basis. The analysis of an older one is stopped.
    pub fn analyze(&mut self, basis: Arc<Basis>, settings: AnalysisSettings) {
        if let Some(cancel) = self.analyzing.take() {
            cancel.store(true, Ordering::Relaxed);
        }
        let cancel = Arc::new(AtomicBool::new(false));
        self.analyzing = Some(Arc::clone(&cancel));
        self.start("barloom analyze", move || {
            let tracks = Tracks::of(&basis, &settings, &cancel)?;
            Some(Done::Analyzed(Box::new(tracks)))
        });
    }

    /// Saves a study.
    pub fn save(&self, job: SaveJob) {
        self.start("barloom save", move || Some(Done::Saved(Box::new(job.run()))));
    }

    /// Brings what is in the journal to the disk.
    pub fn sync(&self, handle: SyncHandle) {
        self.start("barloom journal", move || {
            // The lines are in the file already; only a power cut could still lose them.
            let _ = handle.run();
            None
        });
    }

    /// Prints a plan.
    pub fn print(&mut self, job: print::PrintJob) {
        self.printing = true;
        self.start("barloom plan", move || Some(Done::Printed(job.run())));
    }

    /// Prints passages side by side.
    pub fn print_sheet(&self, job: sheet::SheetJob) {
        self.start("barloom passages", move || Some(Done::SheetPrinted(job.run())));
    }

    /// Writes bars as MusicXML.
    pub fn extract(&self, job: extract::ExtractJob) {
        self.start("barloom extract", move || Some(Done::Written(job.run())));
    }

    /// Asks with the system's dialog.
    pub fn ask(&self, question: dialog::Question) {
        self.start("barloom dialog", move || Some(Done::Chosen(question.ask())));
    }

    /// Gives the present read up.
    pub fn stop(&mut self) {
        if let Some((_, watch, _)) = self.reading.take() {
            watch.cancel();
        }
    }

    /// What is going on, for the foot line.
    pub fn busy(&self) -> Option<Busy> {
        if let Some((_, watch, what)) = &self.reading {
            let share = Some(watch.permille() as f32 / 1000.0);
            return Some(Busy { what: what.clone(), share, can_stop: true });
        }
        let printing =
            Busy { what: String::from("printing the plan"), share: None, can_stop: false };
        self.printing.then_some(printing)
    }
}

pub use dialog::Question;
pub use extract::ExtractJob;
pub(crate) use extract::as_score;
pub use print::PrintJob;
pub use read::What;
pub use sheet::SheetJob;
