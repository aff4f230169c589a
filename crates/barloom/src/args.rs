//! What can be said on the command line: declarations only.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Score study for orchestral conductors.
///
/// Without a command the desk opens, with the given scores or study if there are any.
#[derive(Parser, Debug)]
#[command(name = "barloom", version, args_conflicts_with_subcommands = true)]
pub(crate) struct Words {
    /// What to do without a window.
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    /// Scores (.musicxml, .xml, .mxl, .mei), the movements of one work in order; or one study (.barloom).
    pub(crate) files: Vec<PathBuf>,
}

/// Everything that works without a display.
#[derive(Subcommand, Debug)]
pub(crate) enum Command {
    /// Print what was read and computed, as JSON.
    Facts(Files),
    /// Say what reading found: losses, assumptions, oddities. Exit code 1 if anything was lost.
    Check(Check),
    /// Print the study plan.
    Plan(Plan),
    /// Write bars and parts of a score as MusicXML.
    Extract(Extract),
    /// Set two passages side by side: what stayed, what changed.
    Compare(Compare),
}

/// Scores or a study.
#[derive(Args, Debug)]
pub(crate) struct Files {
    /// Scores (.musicxml, .xml, .mxl, .mei), the movements of one work in order; or one study (.barloom).
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
}

/// Options of `check`.
#[derive(Args, Debug)]
pub(crate) struct Check {
    /// Scores (.musicxml, .xml, .mxl, .mei), the movements of one work in order; one study (.barloom); or
    /// folders, in which every score is a work of its own.
    #[arg(required_unless_present = "explain")]
    pub(crate) files: Vec<PathBuf>,
    /// Say how long reading alone took.
    #[arg(long)]
    pub(crate) timings: bool,
    /// Name every place instead of the first few of each kind of finding.
    #[arg(long)]
    pub(crate) each: bool,
    /// Print what a kind of finding means, what is done then and what you can do; "all" prints every
    /// kind.
    #[arg(long, value_name = "NAME", conflicts_with = "files")]
    pub(crate) explain: Option<String>,
}

/// Options of `plan`.
#[derive(Args, Debug)]
pub(crate) struct Plan {
    #[command(flatten)]
    pub(crate) files: Files,
    /// Where the PDF goes.
    #[arg(short, long, value_name = "OUT.pdf")]
    pub(crate) output: PathBuf,
    /// The paper.
    #[arg(long, value_enum, default_value_t = PaperWord::A4)]
    pub(crate) paper: PaperWord,
    /// Also write the pages as PNG into this folder, which is made if missing.
    #[arg(long, value_name = "DIR")]
    pub(crate) png: Option<PathBuf>,
    /// The date on the title page as YYYY-MM-DD; today if left out, "none" for no date.
    #[arg(long, value_name = "DATE")]
    pub(crate) date: Option<String>,
}

/// Options of `extract`.
#[derive(Args, Debug)]
pub(crate) struct Extract {
    #[command(flatten)]
    pub(crate) files: Files,
    /// Which bars, by their printed labels, the last included; a work of several movements needs the
    /// number of the movement. "2:" is all of movement 2, "12.." all from bar 12, "#7" the seventh bar
    /// in the file, "upbeat" a bar without a number at the beginning.
    #[arg(long, value_name = "[MOVEMENT:]FIRST..LAST")]
    pub(crate) bars: Option<String>,
    /// Which parts, by name, abbreviation or id; all if left out.
    #[arg(long, value_name = "NAME,...", value_delimiter = ',')]
    pub(crate) parts: Vec<String>,
    /// Also write the marks and decisions of the study.
    #[arg(long)]
    pub(crate) marks: bool,
    /// Where the score goes; the ending says whether it is compressed.
    #[arg(short, long, value_name = "OUT.musicxml|OUT.mxl")]
    pub(crate) output: PathBuf,
}

/// Options of `compare`.
#[derive(Args, Debug)]
pub(crate) struct Compare {
    #[command(flatten)]
    pub(crate) files: Files,
    /// The first passage, by the printed labels of its bars, the last included; a work of several
    /// movements needs the number of the movement. As in `extract`.
    #[arg(long, value_name = "[MOVEMENT:]FIRST..LAST")]
    pub(crate) bars: String,
    /// The second passage, in the same way.
    #[arg(long, value_name = "[MOVEMENT:]FIRST..LAST")]
    pub(crate) with: String,
    /// Print it as JSON instead of text.
    #[arg(long, conflicts_with = "output")]
    pub(crate) json: bool,
    /// Write it as PDF instead of printing text.
    #[arg(short, long, value_name = "OUT.pdf")]
    pub(crate) output: Option<PathBuf>,
    /// The paper of the PDF.
    #[arg(long, value_enum, default_value_t = PaperWord::A4, requires = "output")]
    pub(crate) paper: PaperWord,
    /// The date in the PDF as YYYY-MM-DD; today if left out, "none" for no date.
    #[arg(long, value_name = "DATE", requires = "output")]
    pub(crate) date: Option<String>,
}

/// Paper sizes by name.
#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PaperWord {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
    /// 297 by 420 mm.
    A3,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn declarations_are_consistent() {
        Words::command().debug_assert();
    }

    #[test]
    fn plain_files_open_the_desk_and_commands_do_not() {
        let words = Words::parse_from(["barloom", "a.mxl", "b.mxl"]);
        assert!(words.command.is_none());
        assert_eq!(words.files.len(), 2);
        let words = Words::parse_from(["barloom", "plan", "a.mxl", "-o", "x.pdf", "--paper", "a3"]);
        let Some(Command::Plan(plan)) = words.command else { panic!("plan was not understood") };
        assert_eq!(plan.paper, PaperWord::A3);
        assert!(Words::try_parse_from(["barloom", "facts"]).is_err());
        let words = ["barloom", "extract", "a.mxl", "--bars", "2:1..4", "--parts", "Ob.,Horn 1"];
        let words = Words::parse_from(words.into_iter().chain(["-o", "x.mxl"]));
        let Some(Command::Extract(extract)) = words.command else { panic!("not understood") };
        assert_eq!(extract.parts, ["Ob.", "Horn 1"]);
        let words = ["barloom", "compare", "a.mxl", "--bars", "1:1..4", "--with", "2:9..12"];
        let Some(Command::Compare(compare)) = Words::parse_from(words).command else {
            panic!("not understood")
        };
        assert_eq!((compare.with.as_str(), compare.json), ("2:9..12", false));
    }
}
