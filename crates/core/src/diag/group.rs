//! Findings of one kind as one row with a count.

use super::{Code, Diagnostic, Severity};
use std::collections::BTreeMap;

/// All findings of one kind in one file.
#[derive(Clone, Debug)]
pub struct Group<'a> {
    /// The kind.
    pub code: Code,
    /// The file, without folders; empty for findings about no file.
    pub file: &'a str,
    /// The findings that are listed, in their order; at least one.
    pub members: Vec<&'a Diagnostic>,
    /// How many there are, with those that were only counted.
    pub count: usize,
}

impl Group<'_> {
    /// How bad it is.
    pub fn severity(&self) -> Severity {
        self.code.severity()
    }

    /// The parts that have it, in order of appearance, each with how often.
    pub fn parts(&self) -> Vec<(String, usize)> {
        let mut parts: Vec<(String, usize)> = Vec::new();
        for member in &self.members {
            let Some((id, name)) = &member.place.part else { continue };
            let name = if name.is_empty() { id } else { name };
            match parts.iter_mut().find(|(known, _)| known == name) {
                Some((_, count)) => *count += weight(member),
                None => parts.push((name.clone(), weight(member))),
            }
        }
        parts
    }
}

/// How many findings one that is listed stands for.
fn weight(found: &Diagnostic) -> usize {
    1 + found.more as usize
}

/// Findings by kind and file: the worst first, then in the order of the table of codes and of the
/// files.
pub fn groups<'a>(found: impl IntoIterator<Item = &'a Diagnostic>) -> Vec<Group<'a>> {
    let mut files: Vec<&str> = Vec::new();
    let mut groups: BTreeMap<(Severity, Code, usize), Group<'a>> = BTreeMap::new();
    for finding in found {
        let file = finding.place.file.as_str();
        let known = files.iter().position(|known| *known == file);
        let nth = known.unwrap_or_else(|| {
            files.push(file);
            files.len() - 1
        });
        let key = (finding.severity(), finding.code, nth);
        let group = groups.entry(key).or_insert_with(|| Group {
            code: finding.code,
            file,
            members: Vec::new(),
            count: 0,
        });
        group.members.push(finding);
        group.count += weight(finding);
    }
    groups.into_values().collect()
}

/// How many findings of a severity there are, with those that were only counted.
pub fn count<'a>(found: impl IntoIterator<Item = &'a Diagnostic>, severity: Severity) -> usize {
    let of_severity = found.into_iter().filter(|found| found.severity() == severity);
    of_severity.map(weight).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Place;

    fn finding(code: Code, file: &str, part: &str, more: u32) -> Diagnostic {
        let part = Some((part.to_owned(), part.to_owned()));
        let place = Place { file: file.to_owned(), part, ..Place::default() };
        Diagnostic { code, place, message: String::from("x"), hint: None, more }
    }

    #[test]
    fn repeats_of_one_kind_are_one_row_with_a_count() {
        let mut found: Vec<Diagnostic> =
            (0..20).map(|_| finding(Code::TieOpen, "a.xml", "Flute", 0)).collect();
        found.push(finding(Code::TieOpen, "a.xml", "Oboe", 3979));
        found.push(finding(Code::TieOpen, "b.xml", "Oboe", 0));
        found.push(finding(Code::BarTooLong, "b.xml", "Oboe", 0));
        let groups = groups(&found);
        let rows: Vec<_> = groups.iter().map(|row| (row.code, row.file, row.count)).collect();
        assert_eq!(
            rows,
            [
                (Code::BarTooLong, "b.xml", 1),
                (Code::TieOpen, "a.xml", 4000),
                (Code::TieOpen, "b.xml", 1)
            ]
        );
        let parts = groups[1].parts();
        assert_eq!(parts, [(String::from("Flute"), 20), (String::from("Oboe"), 3980)]);
        assert_eq!(count(&found, Severity::Note), 4001);
    }
}
