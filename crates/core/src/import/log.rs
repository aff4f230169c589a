//! Collecting findings while reading. A finding knows its part through the log it lies in, and its
//! bar and byte position; names, labels and lines are filled in when the movement is known.

use super::limits::MAX_LISTED;
use super::raw::Pos;
use crate::diag::Code;

/// A finding before its place has names.
#[derive(Debug, Clone)]
pub(super) struct Finding {
    pub(super) code: Code,
    pub(super) pos: Option<Pos>,
    /// Byte position in the document; `None` for findings about a whole file.
    pub(super) byte: Option<usize>,
    pub(super) message: String,
    pub(super) hint: Option<String>,
    /// How many more of this kind were only counted.
    pub(super) more: u32,
}

/// The findings of one part, or of the document.
#[derive(Debug, Default)]
pub(super) struct Log {
    pub(super) findings: Vec<Finding>,
    /// How many of each kind were found.
    counts: Vec<(Code, u32)>,
}

impl Log {
    /// Adds a finding. The message is made only if it is listed.
    pub(super) fn add(
        &mut self,
        code: Code,
        pos: Pos,
        byte: usize,
        message: impl FnOnce() -> String,
    ) {
        if self.count(code) <= MAX_LISTED {
            let (pos, byte) = (Some(pos), Some(byte));
            self.findings.push(Finding {
                code,
                pos,
                byte,
                message: message(),
                hint: None,
                more: 0,
            });
        }
    }

    /// Adds a finding about the whole part or document.
    pub(super) fn add_general(&mut self, code: Code, byte: Option<usize>, message: String) {
        if self.count(code) <= MAX_LISTED {
            self.findings.push(Finding { code, pos: None, byte, message, hint: None, more: 0 });
        }
    }

    /// Whether anything of this kind was found.
    pub(super) fn has(&self, code: Code) -> bool {
        self.counts.iter().any(|(known, _)| *known == code)
    }

    /// Adds everything of another log.
    pub(super) fn append(&mut self, other: Self) {
        self.findings.extend(other.findings);
        for (code, count) in other.counts {
            match self.counts.iter_mut().find(|(known, _)| *known == code) {
                Some((_, known)) => *known = known.saturating_add(count),
                None => self.counts.push((code, count)),
            }
        }
    }

    /// The findings; where some were only counted, the last one listed says how many.
    pub(super) fn finish(mut self) -> Vec<Finding> {
        for (code, count) in self.counts {
            let Some(more) = count.checked_sub(MAX_LISTED).filter(|more| *more > 0) else {
                continue;
            };
            if let Some(last) = self.findings.iter_mut().rev().find(|row| row.code == code) {
                last.more = more;
            }
        }
        self.findings
    }

    fn count(&mut self, code: Code) -> u32 {
        match self.counts.iter_mut().find(|(known, _)| *known == code) {
            Some((_, count)) => {
                *count = count.saturating_add(1);
                *count
            }
            None => {
                self.counts.push((code, 1));
                1
            }
        }
    }
}
