//! Every key of the facts stands in the tables of DEVELOPERS.md, and every key there is printed.

use std::collections::{BTreeMap, BTreeSet};

use barloom_core::import::{self, InputFile, Watch};
use serde_json::Value;

use crate::{outside, works};

/// A harp, strings and a clarinet with what the example does not show: swing, uneven meters of one
/// part, bar repeats, another tuning, techniques of the strings, notes out of range.
const SCORE: &str = include_str!("facts_keys/score.musicxml");

/// Keys by path, with the paths that were seen to be printed.
#[derive(Default)]
struct Printed {
    paths: BTreeSet<String>,
}

impl Printed {
    fn add(&mut self, value: &Value, path: &str) {
        match value {
            Value::Object(keys) => {
                for (key, value) in keys {
                    let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                    self.add(value, &path);
                }
            }
            Value::Array(rows) => {
                let row_path = format!("{path}[]");
                for row in rows {
                    // A pair of bars is one value.
                    if row.is_array() {
                        self.paths.insert(row_path.clone());
                    } else {
                        self.add(row, &row_path);
                    }
                }
                if rows.is_empty() {
                    self.paths.insert(path.to_owned());
                }
            }
            _ => {
                self.paths.insert(path.to_owned());
            }
        }
    }

    /// The paths of a movement without the list that it stands in.
    fn short(&self) -> BTreeSet<&str> {
        self.paths.iter().map(|path| path.strip_prefix("movements[].").unwrap_or(path)).collect()
    }
}

/// The paths in the first column of the tables.
fn documented() -> BTreeMap<String, usize> {
    let text = std::fs::read_to_string(outside::root().join("DEVELOPERS.md")).unwrap();
    let (_, behind) = text.split_once("<!-- facts: begin -->").unwrap();
    let (tables, _) = behind.split_once("<!-- facts: end -->").unwrap();
    let mut found = BTreeMap::new();
    for row in tables.lines().filter(|line| line.starts_with("| `")) {
        let cell = row.split(" | ").next().unwrap();
        for path in cell.split('`').skip(1).step_by(2) {
            *found.entry(path.to_owned()).or_insert(0) += 1;
        }
    }
    found
}

fn printed() -> Printed {
    let mut printed = Printed::default();
    printed.add(&works::facts(works::example()), "");
    let name = String::from("score.musicxml");
    let files = [InputFile { name, bytes: SCORE.as_bytes().to_vec() }];
    printed.add(&works::facts(import::read(&files, &Watch::default()).unwrap()), "");
    printed
}

#[test]
fn every_key_that_is_printed_is_explained() {
    let documented = documented();
    let twice: Vec<&String> =
        documented.iter().filter(|(_, n)| **n > 1).map(|(path, _)| path).collect();
    assert!(twice.is_empty(), "explained twice: {twice:?}");
    let printed = printed();
    // An empty list has no rows to look at: its own row explains it.
    let known = |path: &str| {
        let plain = path.trim_end_matches("[]");
        documented.contains_key(plain) || documented.contains_key(&format!("{plain}[]"))
    };
    let missing: Vec<&str> = printed.short().into_iter().filter(|path| !known(path)).collect();
    assert!(missing.is_empty(), "not in DEVELOPERS.md: {missing:#?}");
}

#[test]
fn every_key_that_is_explained_is_printed() {
    let printed = printed();
    let printed = printed.short();
    let begun = |prefix: &str| printed.iter().any(|path| path.starts_with(prefix));
    let is_gone = |path: &&String| {
        // Of a list without rows, and of null, nothing below is printed.
        let parent = path.rsplit_once('.').map(|(parent, _)| format!("{parent}."));
        let seen = parent.is_none_or(|parent| begun(&parent));
        let plain = path.trim_end_matches("[]");
        seen && !printed.contains(plain)
            && !begun(&format!("{plain}."))
            && !begun(&format!("{plain}["))
    };
    let mut documented = documented();
    // The list that all others are in.
    assert!(documented.remove("movements[]").is_some());
    let gone: Vec<&String> = documented.keys().filter(is_gone).collect();
    assert!(gone.is_empty(), "in DEVELOPERS.md, but not printed: {gone:#?}");
}
