//! The table of explained differences, `references/differences.toml`: rules with a name, a reason
//! that says whose rule differs and why ours, and the lines that it explains.

use std::collections::BTreeSet;

use crate::outside::root;

/// The explained differences.
pub(super) struct Table {
    lines: BTreeSet<String>,
}

impl Table {
    /// Reads the table.
    pub(super) fn read() -> Self {
        let text =
            std::fs::read_to_string(root().join("tests/references/differences.toml")).unwrap();
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
    pub(super) fn check(&self, found: &BTreeSet<String>, ran: impl Fn(&str) -> bool) {
        let unexplained: Vec<_> = found.difference(&self.lines).cloned().collect();
        let gone = self.lines.difference(found).filter(|line| ran(line.as_str()));
        let gone: Vec<_> = gone.cloned().collect();
        assert!(
            unexplained.is_empty() && gone.is_empty(),
            "file | place | fact | ours | theirs\nnot explained:\n{}\nexplained but gone:\n{}",
            unexplained.join("\n"),
            gone.join("\n")
        );
    }
}
