//! The reader beside others, each reading in a process of its own:
//!
//! ```text
//! BARLOOM_DATA=FOLDER cargo run --release --manifest-path tests/speed/Cargo.toml
//! ```
//!
//! Measures six orchestral movements and a synthetic score of 100 MB, writes the table between its
//! marks in DEVELOPERS.md, and fails when our reader takes more time or memory than the general
//! parser takes to parse the same text into its tree. The Python libraries are installed under the
//! target folder, in the versions of `requirements.txt`.

#![allow(clippy::disallowed_methods, reason = "what is written can be made again")]

mod contender;
#[path = "../../src/movements.rs"]
mod movements;
mod prepare;
#[path = "../../src/synthetic.rs"]
mod synthetic;
mod table;

use anyhow::{Result, bail};
use contender::{CONTENDERS, Contender, Cost, ROUNDS};
use prepare::Input;
use std::process::ExitCode;

/// What became of a contender with one file.
enum Outcome {
    Read(Cost),
    LeftOut,
    /// It cannot read the file.
    Fails,
}

/// The outcomes of all contenders for one file, in the order of [`CONTENDERS`].
struct Row {
    input: Input,
    outcomes: Vec<Outcome>,
}

fn main() -> Result<ExitCode> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["read", name, path] => contender::read_here(name, path).map(|()| ExitCode::SUCCESS),
        [] => compare(),
        _ => bail!("no words are expected"),
    }
}

fn compare() -> Result<ExitCode> {
    let places = prepare::Places::find()?;
    places.install_python()?;
    let inputs = places.inputs()?;
    let mut rows = Vec::new();
    for input in inputs {
        eprintln!("{} ({:.1} MB)", input.name, input.megabytes());
        let outcomes = measure(&places, &input)?;
        rows.push(Row { input, outcomes });
    }
    let text = table::table(&rows, &places.versions()?);
    table::write(&places.developers_md(), &text)?;
    println!("{text}");
    let mut failed = false;
    for row in &rows {
        let [Outcome::Read(ours), Outcome::Read(general), ..] = &row.outcomes[..] else {
            bail!("{} was not read", row.input.name);
        };
        for (what, ratio) in
            [("time", ours.wall_ms / general.wall_ms), ("memory", ours.peak_kib / general.peak_kib)]
        {
            if ratio > 1.0 {
                failed = true;
                eprintln!("{}: {what} is {ratio:.2} of the general parser's", row.input.name);
            }
        }
    }
    Ok(if failed { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

/// Every contender on one file, in turn, so that what else the machine does falls on all alike.
fn measure(places: &prepare::Places, input: &Input) -> Result<Vec<Outcome>> {
    let mut all: Vec<Vec<Cost>> = vec![Vec::new(); CONTENDERS.len()];
    let mut failed = vec![false; CONTENDERS.len()];
    for round in 0..ROUNDS {
        for (idx, contender) in CONTENDERS.iter().enumerate() {
            if round >= rounds(contender, input) || failed[idx] {
                continue;
            }
            match contender.run(places, &input.path) {
                Ok(cost) => all[idx].push(cost),
                Err(error) => {
                    eprintln!("{} cannot read {}: {error:#}", contender.name, input.name);
                    failed[idx] = true;
                }
            }
        }
    }
    let outcome = |(costs, failed): (&Vec<Cost>, &bool)| match Cost::median(costs) {
        _ if *failed => Outcome::Fails,
        Some(cost) => Outcome::Read(cost),
        None => Outcome::LeftOut,
    };
    Ok(all.iter().zip(&failed).map(outcome).collect())
}

fn rounds(contender: &Contender, input: &Input) -> usize {
    if input.is_synthetic { contender.rounds_on_synthetic } else { contender.rounds }
}
