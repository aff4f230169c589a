//! The one executable: the desk, and everything that works without a display.
//!
//! Exit codes: 0 when the output is complete but for reported losses; `check` answers 1 when
//! something was lost; 2 for unreadable input or wrong usage.

mod args;
mod check;
mod compare;
mod extract;
mod facts;
mod letter;
mod open;
mod plan;
mod report;

use args::{Command, Words};
use clap::Parser;
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let words = Words::parse();
    let done = match words.command {
        None => barloom_desk::run(words.files)
            .map(|()| ExitCode::SUCCESS)
            // The window system's own error cannot cross threads, so only its words go on.
            .map_err(|error| anyhow::anyhow!("the window cannot be opened: {error}")),
        Some(Command::Facts(files)) => facts::run(&files.files),
        Some(Command::Check(check)) => check::run(&check),
        Some(Command::Plan(plan)) => plan::run(&plan),
        Some(Command::Extract(extract)) => extract::run(&extract),
        Some(Command::Compare(compare)) => compare::run(&compare),
    };
    match done {
        Ok(code) => code,
        // Whoever reads our output has heard enough (a pipe to `head`): not a failure.
        Err(error) if is_broken_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "barloom: {error:#}");
            ExitCode::from(2)
        }
    }
}

fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<std::io::Error>())
        .any(|cause| cause.kind() == std::io::ErrorKind::BrokenPipe)
}
