//! The rehearsal mark of a bar from what its parts print there. Any part may print one and it holds
//! for all; several are kept side by side.

use super::part_name;
use crate::diag::Code;
use crate::import::log::Log;
use crate::import::raw::{Pos, RawBar, RawPart};
use std::collections::BTreeSet;

/// The marks at the start of a bar, each once, in order of parts: "A", or "A / 12" where a letter
/// and a number stand together. `None` if no part has one. Parts with different marks are reported
/// once a bar.
pub(super) fn of_bar(parts: &[RawPart], idx: usize, log: &mut Log) -> Option<String> {
    let here = parts.iter().filter_map(|part| Some((part, part.bars.get(idx)?)));
    let marked: Vec<_> = here.filter(|(_, bar)| !bar.rehearsal.is_empty()).collect();
    let (first, known) = marked.first()?;
    let mut seen = BTreeSet::new();
    let all = marked.iter().flat_map(|(_, bar)| &bar.rehearsal).map(String::as_str);
    let marks: Vec<&str> = all.filter(|mark| seen.insert(*mark)).collect();
    let joined = marks.join(" / ");
    if let Some((part, other)) = marked.iter().find(|(_, bar)| set(bar) != set(known)) {
        let pos = Pos { bar: u32::try_from(idx).unwrap_or(u32::MAX), offset: 0 };
        log.add(Code::RehearsalConflict, pos, other.byte, || {
            format!(
                "the rehearsal mark is {} in {} and {} in {}; {joined} was taken",
                known.rehearsal.join(" / "),
                part_name(first),
                other.rehearsal.join(" / "),
                part_name(part)
            )
        });
    }
    Some(joined)
}

fn set(bar: &RawBar) -> BTreeSet<&str> {
    bar.rehearsal.iter().map(String::as_str).collect()
}
