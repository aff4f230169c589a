//! Who reads, and what one reading costs.

use crate::prepare::Places;
use anyhow::{Context, Result, bail};
use barloom_core::import::{self, InputFile, Watch};
use cpu_time::ProcessTime;
use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

/// How often ours and the general parser read each movement in turn.
pub(crate) const ROUNDS: usize = 15;

/// A reader.
pub(crate) struct Contender {
    pub(crate) name: &'static str,
    /// What it makes of a file.
    pub(crate) makes: &'static str,
    /// It is a library of this program and not one of Python.
    pub(crate) is_rust: bool,
    /// How often it reads a movement.
    pub(crate) rounds: usize,
    /// How often it reads the synthetic score; 0 where that would take many minutes or much memory.
    pub(crate) rounds_on_synthetic: usize,
}

/// All readers: ours, then the general parser that ours must not be slower than.
pub(crate) const CONTENDERS: &[Contender] = &[
    Contender {
        name: "barloom",
        makes: "finished score and findings",
        is_rust: true,
        rounds: ROUNDS,
        rounds_on_synthetic: 7,
    },
    Contender {
        name: "roxmltree",
        makes: "tree of elements alone",
        is_rust: true,
        rounds: ROUNDS,
        rounds_on_synthetic: 7,
    },
    Contender {
        name: "musicxml",
        makes: "typed elements",
        is_rust: true,
        rounds: 3,
        rounds_on_synthetic: 1,
    },
    Contender {
        name: "verovio",
        makes: "score ready for layout",
        is_rust: false,
        rounds: 3,
        rounds_on_synthetic: 1,
    },
    Contender {
        name: "partitura",
        makes: "score",
        is_rust: false,
        rounds: 1,
        rounds_on_synthetic: 0,
    },
    Contender {
        name: "music21",
        makes: "score",
        is_rust: false,
        rounds: 1,
        rounds_on_synthetic: 0,
    },
];

/// What reading took.
#[derive(Clone, Copy)]
pub(crate) struct Cost {
    pub(crate) wall_ms: f64,
    pub(crate) cpu_ms: f64,
    /// The most memory that the process held at once, with what it needs to run at all.
    pub(crate) peak_kib: f64,
}

impl Cost {
    /// The median of each figure; `None` without any.
    pub(crate) fn median(costs: &[Self]) -> Option<Self> {
        let middle = |figure: fn(&Self) -> f64| {
            let mut figures: Vec<f64> = costs.iter().map(figure).collect();
            figures.sort_by(f64::total_cmp);
            figures.get(figures.len() / 2).copied()
        };
        Some(Self {
            wall_ms: middle(|cost| cost.wall_ms)?,
            cpu_ms: middle(|cost| cost.cpu_ms)?,
            peak_kib: middle(|cost| cost.peak_kib)?,
        })
    }
}

impl Contender {
    /// Reads a file in a process of its own.
    pub(crate) fn run(&self, places: &Places, path: &Path) -> Result<Cost> {
        let mut command = if self.is_rust {
            let mut command = Command::new(std::env::current_exe()?);
            command.arg("read").arg(self.name);
            command
        } else {
            let mut command = Command::new(places.python());
            command.arg(places.readers_py()).arg(self.name);
            command
        };
        let output = command.arg(path).output()?;
        let said = String::from_utf8_lossy(&output.stdout);
        if !output.status.success() {
            bail!("{}", String::from_utf8_lossy(&output.stderr));
        }
        let last = said.lines().last().unwrap_or_default();
        let figures: Vec<f64> = last.split(' ').filter_map(|word| word.parse().ok()).collect();
        let [wall_ms, cpu_ms, peak_kib] = figures[..] else { bail!("it says \"{said}\"") };
        Ok(Cost { wall_ms, cpu_ms, peak_kib })
    }
}

/// Reads a file in this process and says what that took. The bytes are in memory before the clock
/// starts.
pub(crate) fn read_here(name: &str, path: &str) -> Result<()> {
    let bytes = std::fs::read(path)?;
    let (wall, cpu) = (Instant::now(), ProcessTime::now());
    let done = match name {
        "barloom" => {
            let file = InputFile { name: String::from("score.musicxml"), bytes };
            let (wall, cpu) = (Instant::now(), ProcessTime::now());
            let read = black_box(import::read(std::slice::from_ref(&file), &Watch::default())?);
            let done = (wall.elapsed(), cpu.elapsed());
            anyhow::ensure!(!read.score.movements.is_empty(), "nothing was read");
            done
        }
        "roxmltree" => {
            let text = std::str::from_utf8(&bytes)?;
            let options = roxmltree::ParsingOptions {
                allow_dtd: true,
                nodes_limit: u32::MAX,
                ..Default::default()
            };
            let tree = black_box(roxmltree::Document::parse_with_options(text, options)?);
            let done = (wall.elapsed(), cpu.elapsed());
            anyhow::ensure!(tree.root_element().has_children(), "nothing was read");
            done
        }
        "musicxml" => {
            let score = black_box(musicxml::read_score_data_partwise(bytes));
            let done = (wall.elapsed(), cpu.elapsed());
            score.map_err(anyhow::Error::msg)?;
            done
        }
        other => bail!("no such reader: {other}"),
    };
    let ms = |time: std::time::Duration| time.as_secs_f64() * 1000.0;
    println!("{:.3} {:.3} {}", ms(done.0), ms(done.1), peak_kib()?);
    Ok(())
}

/// The most memory that this process held at once.
fn peak_kib() -> Result<u64> {
    let status = std::fs::read_to_string("/proc/self/status")?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let figure = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
    figure.context("the system does not say how much memory was held")
}
