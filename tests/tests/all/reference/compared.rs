//! Values of two readings compared one by one: how many of each fact, and which of them differ.
//!
//! A difference is one line, `file | place | fact | ours | theirs`, the very line that a table of
//! explanations holds. Nothing here knows what the facts mean.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// How many values were compared and which of them differ.
#[derive(Default)]
pub(crate) struct Compared {
    counts: BTreeMap<&'static str, (usize, usize)>,
    differences: BTreeSet<String>,
}

impl Compared {
    /// The lines of all differences.
    pub(crate) fn differences(&self) -> &BTreeSet<String> {
        &self.differences
    }

    /// Values compared and values that differ, by fact.
    pub(crate) fn counts(&self) -> &BTreeMap<&'static str, (usize, usize)> {
        &self.counts
    }

    /// Compares two lists entry by entry: what stands in both agrees.
    pub(crate) fn list(
        &mut self,
        name: &str,
        place: &str,
        fact: &'static str,
        ours: &BTreeSet<String>,
        theirs: &BTreeSet<String>,
    ) {
        for entry in ours.union(theirs) {
            let of =
                |list: &BTreeSet<String>| if list.contains(entry) { entry.as_str() } else { "-" };
            self.value(name, place, fact, of(ours), of(theirs));
        }
    }

    /// Compares two values.
    pub(crate) fn value(
        &mut self,
        name: &str,
        place: &str,
        fact: &'static str,
        ours: &str,
        theirs: &str,
    ) {
        let (compared, differ) = self.counts.entry(fact).or_default();
        *compared += 1;
        if ours != theirs {
            *differ += 1;
            self.differences.insert(format!("{name} | {place} | {fact} | {ours} | {theirs}"));
        }
    }
}

/// A JSON value without quotes.
pub(crate) fn plain(value: &Value) -> String {
    match value {
        Value::Null => String::from("none"),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}
