//! Changes of mutes, bows, instruments, pedals and drums with the time for them, as rows of a list.

use super::ListRow;
use crate::model::env::Env;

pub(super) fn rows(_env: &Env<'_>) -> Vec<ListRow> {
    Vec::new()
}
