//! Where fast and slow attacks meet, as rows of a list.

use super::ListRow;
use crate::model::env::Env;

pub(super) fn rows(_env: &Env<'_>) -> Vec<ListRow> {
    Vec::new()
}
