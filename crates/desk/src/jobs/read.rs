//! Reading a work: files, what a journal holds, the example suite, or further files.

use crate::example;
use barloom_core::import::Watch;
use barloom_core::journal::Left;
use barloom_core::study::{Edit, IdMaker};
use barloom_core::work::{self, Added, OpenError, Replacements, Work};
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
    /// The example suite, as if it lay in this folder.
    Example {
        /// The folder.
        folder: PathBuf,
        /// Seconds since 1970-01-01 UTC.
        now: u64,
    },
    /// Further score files for an open work.
    More {
        /// A copy of the work.
        work: Box<Work>,
        /// The files.
        paths: Vec<PathBuf>,
    },
}

/// What came of it.
#[derive(Debug)]
pub struct Read {
    /// Which read it was.
    pub id: u64,
    /// The files asked for.
    pub paths: Vec<PathBuf>,
    /// What it is, or why there is nothing.
    pub result: Result<Found, OpenError>,
}

/// What was read.
#[derive(Debug)]
pub enum Found {
    /// A work.
    Work(Box<Work>),
    /// The example suite; its files are not on the disk.
    Example(Box<Work>),
    /// A work with the edits of a journal.
    Replayed(Box<Work>, Replayed),
    /// Further sources for the open work.
    More(Box<Added>),
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
            Self::Example { .. } => String::from("reading the example suite"),
            Self::More { paths, .. } => match paths.as_slice() {
                [one] => format!("reading {}", name(one)),
                _ => format!("reading {} files", paths.len()),
            },
        }
    }
}

pub(super) fn run(id: u64, what: What, watch: &Watch) -> Read {
    let boxed = |work: Work| Found::Work(Box::new(work));
    match what {
        What::Files { paths, replacements, now } => {
            let opened = work::open(&paths, &replacements, &mut IdMaker::new(), now, watch);
            Read { id, paths, result: opened.map(boxed) }
        }
        What::Journal(left) => {
            let opened = work::open_left(&left, &Replacements::new(), watch);
            let result = opened.map(|(work, edits, refused)| {
                let refused = refused.iter().map(ToString::to_string).collect();
                Found::Replayed(Box::new(work), Replayed { journal: *left, edits, refused })
            });
            Read { id, paths: Vec::new(), result }
        }
        What::Example { folder, now } => {
            let opened = example::read(&folder, now, watch);
            let result = opened.map(|work| Found::Example(Box::new(work)));
            Read { id, paths: Vec::new(), result }
        }
        What::More { work, paths } => {
            let added = work.add_files(&paths, watch);
            Read { id, paths, result: added.map(|added| Found::More(Box::new(added))) }
        }
    }
}
