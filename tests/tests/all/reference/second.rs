//! The second opinion: what partitura, a third published reader, says where we and music21 differ.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

use super::agreement::entries;
use super::compared::plain;
use crate::outside;

/// With whom the third reader agrees.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Side {
    /// With us.
    Ours,
    /// With music21.
    Theirs,
    /// With neither, or it refuses the file or does not read the fact.
    Neither,
}

/// The side of the third reader for every line of difference.
///
/// `paths` are the files by the names that the lines give them.
pub(super) fn sides(
    python: &Path,
    differences: &BTreeSet<String>,
    paths: &BTreeMap<String, PathBuf>,
) -> BTreeMap<String, Side> {
    let name = |line: &str| line.split(" | ").next().unwrap_or_default().to_owned();
    let names: BTreeSet<String> = differences.iter().map(|line| name(line)).collect();
    let script = outside::root().join("tests/references/partitura_facts.py");
    let run = Command::new(python)
        .arg(script)
        .args(names.iter().map(|name| &paths[name]))
        .output()
        .unwrap();
    assert!(run.status.success(), "partitura: {}", String::from_utf8_lossy(&run.stderr));
    let text = String::from_utf8(run.stdout).unwrap();
    let read: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(read.len(), names.len(), "a line for each file");
    let facts: BTreeMap<&String, Value> = names.iter().zip(read).collect();
    let side_of = |line: &String| (line.clone(), side(line, &facts[&name(line)]));
    differences.iter().map(side_of).collect()
}

fn side(line: &str, facts: &Value) -> Side {
    let [_, place, fact, ours, theirs] = line.split(" | ").collect::<Vec<_>>()[..] else {
        panic!("not a line of difference: {line}")
    };
    if facts.get("refused").is_some() {
        return Side::Neither;
    }
    let part = facts["parts"].as_array().unwrap().iter().find(|part| part["id"] == place);
    let has = |list: &Value| {
        let entry = if ours == "-" { theirs } else { ours };
        let found = entries(list).contains(entry);
        if found == (ours != "-") { Side::Ours } else { Side::Theirs }
    };
    let value = match (fact, part) {
        ("tempo", _) => return has(&facts["tempi"]),
        ("level", Some(part)) => return has(&part["levels"]),
        ("bars" | "played", _) => plain(&facts[fact]),
        ("length", _) => {
            let bar = place.trim_start_matches("bar ").parse::<usize>().unwrap();
            plain(&facts["lengths"][bar])
        }
        ("parts", _) => {
            let ids = facts["parts"].as_array().unwrap().iter().map(|part| plain(&part["id"]));
            ids.collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join(" ")
        }
        (_, Some(part)) => plain(&part[fact]),
        (_, None) => return Side::Neither,
    };
    match value {
        value if value == ours => Side::Ours,
        value if value == theirs => Side::Theirs,
        _ => Side::Neither,
    }
}
