//! Reading a work: files, what a journal holds, or the example suite.

use barloom_core::import::Watch;
use barloom_core::journal::Left;
use barloom_core::study::{Edit, IdMaker};
use barloom_core::work::{self, OpenError, Replacements, Work};
use std::path::PathBuf;

/// What is to be read.
#[derive(Debug)]
pub enum What {
    /// Score files or a study.
    Files {
        /// The files, in the order of the movements.
        paths: Vec<PathBuf>,
        /// Files for sources that are not where the study says.
        replacements: Replacements,
        /// Seconds since 1970-01-01 UTC, for a new study.
        now: u64,
    },
    /// A journal of an earlier run.
    Journal(Box<Left>),
}

/// What came of it.
#[derive(Debug)]
pub struct Read {
    /// Which read it was.
    pub id: u64,
    /// The files asked for.
    pub paths: Vec<PathBuf>,
    /// The work, with the edits of the journal and those of them that did not fit any more.
    pub result: Result<(Work, Option<Replayed>), OpenError>,
}

/// The edits of a journal.
#[derive(Debug)]
pub struct Replayed {
    /// The journal.
    pub journal: Left,
    /// Those that are in the work now.
    pub edits: Vec<Edit>,
    /// Why others are not.
    pub refused: Vec<String>,
}

impl What {
    /// What is going on, for the foot line.
    pub(super) fn words(&self) -> String {
        let name = |path: &PathBuf| {
            path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
        };
        match self {
            Self::Files { paths, .. } => match paths.as_slice() {
                [one] => format!("reading {}", name(one)),
                [first, ..] => format!("reading {} and {} more", name(first), paths.len() - 1),
                [] => String::from("reading"),
            },
            Self::Journal(left) => format!("taking up {}", left.header.title),
        }
    }
}

pub(super) fn run(id: u64, what: What, watch: &Watch) -> Read {
    match what {
        What::Files { paths, replacements, now } => {
            let mut ids = IdMaker::new();
            let opened = work::open(&paths, &replacements, &mut ids, now, watch);
            Read { id, paths, result: opened.map(|work| (work, None)) }
        }
        What::Journal(left) => {
            let opened = work::open_left(&left, &Replacements::new(), watch);
            let result = opened.map(|(work, edits, refused)| {
                let refused = refused.iter().map(ToString::to_string).collect();
                (work, Some(Replayed { journal: *left, edits, refused }))
            });
            Read { id, paths: Vec::new(), result }
        }
    }
}
