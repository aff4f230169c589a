//! The table in DEVELOPERS.md.

use crate::contender::CONTENDERS;
use crate::{Outcome, Row};
use anyhow::{Context, Result};
use std::path::Path;

const BEGIN: &str = "<!-- speed table: made by tests/speed, not by hand -->";
const END: &str = "<!-- end of speed table -->";

/// The table and what must be known to read it.
pub(crate) fn table(rows: &[Row], versions: &[String]) -> String {
    let mut out = String::from("| score |");
    for contender in CONTENDERS {
        out.push_str(&format!(" {} |", contender.name));
    }
    out.push_str(" ours / roxmltree |\n|---|");
    out.push_str(&"---|".repeat(CONTENDERS.len() + 1));
    out.push('\n');
    for row in rows {
        out.push_str(&format!("| {} {:.1} MB |", row.input.name, row.input.megabytes()));
        for outcome in &row.outcomes {
            out.push_str(&format!(" {} |", cell(outcome)));
        }
        if let [Outcome::Read(ours), Outcome::Read(general), ..] = &row.outcomes[..] {
            out.push_str(&format!(
                " {:.2}, {:.2}, {:.2} |",
                ours.wall_ms / general.wall_ms,
                ours.cpu_ms / general.cpu_ms,
                ours.peak_kib / general.peak_kib
            ));
        }
        out.push('\n');
    }
    out.push_str(
        "\nEach cell: wall time, processor time, peak memory of the process; the last column ",
    );
    out.push_str("is the ratio of each.\n");
    let makes: Vec<String> =
        CONTENDERS.iter().map(|known| format!("{} ({})", known.name, known.makes)).collect();
    out.push_str(&format!("What each makes of the file: {}.\n", makes.join(", ")));
    out.push_str(&format!("Versions: {}.\n", versions.join(", ")));
    out
}

fn cell(outcome: &Outcome) -> String {
    let cost = match outcome {
        Outcome::Read(cost) => cost,
        Outcome::LeftOut => return String::from("–"),
        Outcome::Fails => return String::from("cannot read it"),
    };
    format!("{}, {}, {:.0} MB", time(cost.wall_ms), time(cost.cpu_ms), cost.peak_kib / 1024.0)
}

fn time(ms: f64) -> String {
    match ms {
        ..100.0 => format!("{ms:.1} ms"),
        100.0..1000.0 => format!("{ms:.0} ms"),
        _ => format!("{:.1} s", ms / 1000.0),
    }
}

/// Puts a text between the marks of a file.
pub(crate) fn write(path: &Path, text: &str) -> Result<()> {
    let old = std::fs::read_to_string(path)?;
    let (before, rest) = old.split_once(BEGIN).context("the begin of the table is not marked")?;
    let (_, after) = rest.split_once(END).context("the end of the table is not marked")?;
    Ok(std::fs::write(path, format!("{before}{BEGIN}\n\n{text}\n{END}{after}"))?)
}
