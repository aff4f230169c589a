//! A table of explained differences, such as `references/differences.toml`: rules with a name, a
//! reason that says whose rule differs and why ours, and the lines that it explains. A line may end in
//! stars and then stands for every difference that begins as it does.

use std::collections::BTreeSet;

use crate::outside::root;

/// The explained differences.
pub(crate) struct Table {
    lines: BTreeSet<String>,
}

impl Table {
    /// Reads the table in a file of `references`.
    pub(crate) fn read(name: &str) -> Self {
        let text = std::fs::read_to_string(root().join("tests/references").join(name)).unwrap();
        let table: toml::Table = text.parse().unwrap();
        let mut lines = BTreeSet::new();
        for rule in table["rule"].as_array().unwrap() {
            let name = rule["name"].as_str().unwrap();
            assert!(rule["why"].as_str().unwrap().len() > 60, "say why: {name}");
            for line in rule["differences"].as_array().unwrap() {
                let line = line.as_str().unwrap();
                assert_eq!(line.split(" | ").count(), 5, "{name}: {line}");
                assert!(lines.insert(line.to_owned()), "explained twice: {line}");
            }
        }
        Self { lines }
    }

    /// Fails for a difference without explanation and for an explanation without difference;
    /// explanations of files that did not run are left alone.
    pub(crate) fn check(&self, found: &BTreeSet<String>, ran: impl Fn(&str) -> bool) {
        let (starred, plain): (Vec<_>, Vec<_>) =
            self.lines.iter().partition(|line| line.ends_with(" | *"));
        let plain: BTreeSet<&str> = plain.into_iter().map(String::as_str).collect();
        let stem = |line: &str| format!("{} | ", line.trim_end_matches(" | *"));
        let explained = |line: &str| {
            plain.contains(line) || starred.iter().any(|row| line.starts_with(&stem(row)))
        };
        let unexplained: Vec<_> = found.iter().filter(|line| !explained(line)).cloned().collect();
        let is_gone = |line: &&String| {
            let stem = stem(line);
            let holds = |found: &String| {
                *found == **line || line.ends_with('*') && found.starts_with(&stem)
            };
            ran(line.as_str()) && !found.iter().any(holds)
        };
        let gone: Vec<_> = self.lines.iter().filter(is_gone).cloned().collect();
        assert!(
            unexplained.is_empty() && gone.is_empty(),
            "file | place | fact | ours | theirs\nnot explained:\n{}\nexplained but gone:\n{}",
            unexplained.join("\n"),
            gone.join("\n")
        );
    }
}
