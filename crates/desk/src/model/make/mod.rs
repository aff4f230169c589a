//! Changes that commands ask for, made from the selection. Pure: nothing is applied here.
//!
//! Each answers an error in words when the selection does not allow it.

mod beating;
mod cue;
mod plan;

pub use beating::{accept, beat, copy_to_like, effective, to_proposal};
pub use cue::{accept_cues, cue, drop_cue, drop_cues, seat, toggle_cue_at};
pub use plan::{cut, device, instrument, pause, players, rehearsal, renumber, repeat, tempo};

use super::draft::{Change, Draft, NewMark};
use super::env::Env;
use barloom_core::study::{Edit, EntryId, Group, Item, Layer, Sign};

/// The answer when bars are needed and none are selected.
pub(super) fn no_bars() -> String {
    String::from("select a bar first")
}

/// A mark for the selection: at its first beat or bar, over its bars, for its parts.
///
/// # Errors
/// Without a selected bar; or with words alone and none given.
pub fn mark(env: &Env<'_>, sign: Sign, text: &str) -> Result<Change, String> {
    let at = env.place().ok_or_else(no_bars)?;
    if sign == Sign::Text && text.trim().is_empty() {
        return Err(String::from("type the words first"));
    }
    let to = env.span().filter(|(from, to)| from != to).map(|(_, to)| to);
    let mark = NewMark {
        layer: env.view.layer,
        from: at,
        to,
        parts: env.part_keys(),
        sign,
        text: text.trim().to_owned(),
    };
    Ok(Change::one(
        format!("add {}", if sign == Sign::Text { "words" } else { sign.name() }),
        Draft::NewMark(mark),
    ))
}

/// A group of the selected bars, above the groups that it holds; groups that hold it rise above it.
///
/// # Errors
/// Without a selected bar, or when it would lie above level 6.
pub fn group(env: &Env<'_>, name: &str) -> Result<Change, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let others: Vec<(EntryId, &Group)> = env
        .study
        .groups()
        .filter(|(_, group)| group.movement == movement)
        .map(|(entry, group)| (entry.id, group))
        .collect();
    if others.iter().any(|(_, group)| (group.from, group.to) == (from, to)) {
        return Err(String::from("these bars are a group already"));
    }
    let inside = others.iter().filter(|(_, g)| from <= g.from && g.to <= to);
    let mut level = 1 + inside.map(|(_, group)| group.level).max().unwrap_or(0);
    let item = Group {
        movement,
        from,
        to,
        level,
        name: name.trim().to_owned(),
        elision: false,
        extension: 0,
    };
    let mut drafts = vec![Draft::Put(Item::Group(item))];
    let mut around: Vec<_> = others.iter().filter(|(_, g)| g.from <= from && to <= g.to).collect();
    around.sort_by_key(|(_, group)| (group.level, group.to.0 - group.from.0));
    for (id, group) in around {
        if group.level > level {
            break;
        }
        level += 1;
        drafts.push(Draft::Change(*id, Item::Group(Group { level, ..(*group).clone() })));
    }
    if level > 6 {
        return Err(String::from("groups are nested six deep at most"));
    }
    Ok(Change::new("add group", drafts))
}

/// A new layer, shown and open.
///
/// # Errors
/// Without a name.
pub fn layer(name: &str) -> Result<Change, String> {
    if name.trim().is_empty() {
        return Err(String::from("a layer needs a name"));
    }
    let layer = Layer { name: name.trim().to_owned(), shown: true, locked: false };
    Ok(Change::one("add layer", Draft::Put(Item::Layer(layer))))
}

/// Another title for the work.
///
/// # Errors
/// Without a title.
pub fn title(title: &str) -> Result<Change, String> {
    if title.trim().is_empty() {
        return Err(String::from("the work needs a title"));
    }
    Ok(Change::one("rename the work", Draft::Raw(Edit::Title(title.trim().to_owned()))))
}

/// Takes away the marks of shown, open layers that begin in the selected bars and concern the
/// selected parts.
///
/// # Errors
/// Without a selected bar, or when no such mark is there.
pub fn remove_marks(env: &Env<'_>) -> Result<Change, String> {
    let (from, to) = env.span().ok_or_else(no_bars)?;
    let movement = env.movement_id().ok_or_else(no_bars)?;
    let open: Vec<EntryId> = env
        .study
        .layers()
        .into_iter()
        .filter(|(_, layer)| layer.shown && !layer.locked)
        .map(|(entry, _)| entry.id)
        .collect();
    let parts = env.part_keys();
    let drafts: Vec<Draft> = env
        .study
        .marks()
        .filter(|(_, mark)| open.contains(&mark.layer) && mark.from.movement == movement)
        .filter(|(_, mark)| from <= mark.from.bar && mark.from.bar <= to)
        .filter(|(_, mark)| parts.is_empty() || mark.parts.iter().any(|p| parts.contains(p)))
        .map(|(entry, _)| Draft::Remove(entry.id))
        .collect();
    match drafts.len() {
        0 => Err(String::from("there is no mark to take away here")),
        1 => Ok(Change::new("remove mark", drafts)),
        n => Ok(Change::new(format!("remove {n} marks"), drafts)),
    }
}
