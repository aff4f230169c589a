//! The document for users that explains every kind of finding, made from the table of codes.

use super::{CODES, Severity};

/// The text of `assets/findings.md`.
pub fn document() -> String {
    let mut text = String::from(
        "# What reading may find\n\n\
         Barloom reads a score as far as it can and says what it did with everything odd.\n\
         Each kind of finding has a name, which stands in brackets in `barloom check` and in the \
         list of places to look at.\n\
         `barloom check --explain NAME` prints its paragraph.\n",
    );
    let heads = [
        (Severity::Error, "Something was lost"),
        (Severity::Warning, "Kept, but altered or assumed"),
        (Severity::Note, "Worth knowing"),
    ];
    for (severity, head) in heads {
        text.push_str(&format!("\n## {head}\n"));
        let mut rows: Vec<_> = CODES.iter().filter(|row| row.severity == severity).collect();
        rows.sort_by_key(|row| row.name);
        for row in rows {
            text.push_str(&format!("\n### {}\n\n{}\n", row.name, row.paragraph()));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_paragraph_says_what_was_found_what_was_done_and_what_to_do() {
        for row in CODES {
            let sentences = row.sentences();
            let name = row.name;
            assert!((3..=5).contains(&sentences.len()), "{name}: {sentences:?}");
            assert!(sentences.iter().all(|sentence| sentence.ends_with(['.', '"'])), "{name}");
            assert!(row.paragraph().len() < 600, "{name} is too long");
        }
    }
}
