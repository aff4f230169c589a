//! Where the references from outside the project are found, and what to say when one is missing.
//!
//! The test script installs the Python references under the target folder; open test data lies in
//! the folder that `BARLOOM_DATA` names.
//! A missing reference is said aloud, past the capture of the test harness, so that nobody takes
//! silence for agreement; with `CI=true` a reference that the script installs must be there.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The root of the checkout.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The target folder, which also holds the Python environment of the references.
fn target() -> &'static Path {
    let scratch = Path::new(env!("CARGO_TARGET_TMPDIR"));
    scratch.parent().unwrap_or(scratch)
}

/// The folder that the references keep results in between runs.
pub(crate) fn cache() -> PathBuf {
    target().join("references-cache")
}

/// Writes a line that the test harness does not capture.
pub(crate) fn say(text: &str) {
    // A closed terminal is no reason for a test to fail.
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// The folder of open test data, or nothing after saying what is not checked without it.
pub(crate) fn data(what: &str) -> Option<PathBuf> {
    let folder = std::env::var_os("BARLOOM_DATA").map(PathBuf::from);
    let found = folder.filter(|folder| folder.is_dir());
    if found.is_none() {
        say(&format!("NOT CHECKED, BARLOOM_DATA names no folder: {what}"));
    }
    found
}

/// The Python of the references, or nothing after saying what is not checked without it.
///
/// # Panics
/// With `CI=true`, because there the test script has installed it.
pub(crate) fn python(what: &str) -> Option<PathBuf> {
    let python = target().join("references/bin/python3");
    installed(python.is_file().then_some(python), what)
}

/// What a tool of the system prints, or nothing after saying what is not checked without the tool.
///
/// # Panics
/// When the tool fails, and with `CI=true` when it is missing: there the test script has installed
/// it.
pub(crate) fn tool(command: &mut Command, what: &str) -> Option<String> {
    let run = installed(command.output().ok(), what)?;
    assert!(run.status.success(), "{command:?}: {}", String::from_utf8_lossy(&run.stderr));
    Some(String::from_utf8_lossy(&run.stdout).into_owned())
}

fn installed<T>(found: Option<T>, what: &str) -> Option<T> {
    if found.is_none() {
        assert!(
            std::env::var_os("CI").is_none_or(|ci| ci != "true"),
            "a reference is missing, run tests/run.sh: {what}"
        );
        say(&format!("NOT CHECKED, run tests/run.sh once to install the reference: {what}"));
    }
    found
}
