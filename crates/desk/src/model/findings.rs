//! What reading found, as rows of a list: one for each kind, under which its paragraph and its places
//! unfold.

use super::lists::{Fold, ListRow};
use super::place::roman;
use barloom_core::diag::{Diagnostic, Group, Severity, groups};

/// Letters in a line of a paragraph: what a list shows without cutting it.
const LINE: usize = 100;

/// The rows of findings, the worst kind first. `several` says whether movements are named.
pub fn rows(found: &[Diagnostic], several: bool) -> Vec<ListRow> {
    let mut rows = Vec::new();
    for group in groups(found) {
        let name = format!("{} {}", group.code.name(), group.file);
        rows.push(head(&group, &name));
        for line in wrapped(group.code.row().paragraph()) {
            let fold = Fold::Under(name.clone());
            rows.push(ListRow { text: line, light: true, fold, ..ListRow::default() });
        }
        rows.extend(group.members.iter().map(|found| place(found, &name, several)));
    }
    rows
}

/// "4000 times · warning · hairpin open: A hairpin begins ... (Flute, Oboe; mill.musicxml)".
fn head(group: &Group<'_>, name: &str) -> ListRow {
    let place = match group.count {
        1 => String::from("once"),
        2 => String::from("twice"),
        n => format!("{n} times"),
    };
    let parts: Vec<String> = group.parts().into_iter().take(4).map(|(name, _)| name).collect();
    let parts = match (parts.is_empty(), group.file.is_empty()) {
        (true, true) => String::new(),
        (true, false) => format!(" ({})", group.file),
        (false, true) => format!(" ({})", parts.join(", ")),
        (false, false) => format!(" ({}; {})", parts.join(", "), group.file),
    };
    let sentence = group.code.row().sentences().first().copied().unwrap_or_default();
    ListRow {
        place,
        head: group.severity().name().to_owned(),
        text: format!("{}: {sentence}{parts}", group.code.row().title()),
        light: group.severity() == Severity::Note,
        fold: Fold::Head(name.to_owned()),
        ..ListRow::default()
    }
}

fn place(found: &Diagnostic, name: &str, several: bool) -> ListRow {
    let bar = found.place.bar.as_ref().map(|(bar, name)| (*bar, name.as_str()));
    let words = match (bar, found.place.movement.filter(|_| several)) {
        (Some((_, name)), Some(idx)) => format!("{} {name}", roman(idx + 1)),
        (Some((_, name)), None) => name.to_owned(),
        (None, Some(idx)) => roman(idx + 1),
        (None, None) => String::new(),
    };
    let part = found.place.part.as_ref();
    let part = part.map(|(id, name)| if name.is_empty() { id } else { name });
    let hint = found.hint.as_ref().map(|hint| format!(" — {hint}")).unwrap_or_default();
    let more = match found.more {
        0 => String::new(),
        more => format!("; and {more} more of this kind in this part"),
    };
    let message = &found.message;
    ListRow {
        goes_to: Some((found.place.movement.unwrap_or(0), bar.map(|(bar, _)| bar))),
        place: words,
        head: part.cloned().unwrap_or_default(),
        text: format!("{message}{more}{hint} [{}]", found.place),
        light: found.severity() == Severity::Note,
        fold: Fold::Under(name.to_owned()),
        ..ListRow::default()
    }
}

fn wrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() < LINE => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::bar::BarIndex;
    use barloom_core::diag::{Code, Place};
    use std::collections::BTreeSet;

    #[test]
    fn four_thousand_repeats_are_one_row_that_unfolds() {
        let finding = |bar: u32| Diagnostic {
            code: Code::HairpinOpen,
            place: Place {
                file: String::from("mill.musicxml"),
                movement: Some(0),
                part: Some((String::from("P1"), String::from("Flute"))),
                bar: Some((BarIndex(bar), (bar + 1).to_string())),
                ..Place::default()
            },
            message: String::from("it ends with the bar"),
            hint: None,
            more: if bar == 19 { 3980 } else { 0 },
        };
        let found: Vec<Diagnostic> = (0..20).map(finding).collect();
        let rows = rows(&found, false);
        let mut unfolded = BTreeSet::new();
        let shown: Vec<&ListRow> =
            rows.iter().filter(|row| row.fold.is_shown(&unfolded, false)).collect();
        let [head] = shown.as_slice() else { panic!("{shown:?}") };
        assert!(head.words().starts_with("4000 times · warning · hairpin open: A hairpin begins"));
        let Fold::Head(name) = &head.fold else { panic!("{head:?}") };
        unfolded.insert(name.clone());
        let shown: Vec<&ListRow> =
            rows.iter().filter(|row| row.fold.is_shown(&unfolded, false)).collect();
        // The paragraph in lines, then the places, each a jump.
        assert!(shown[1].text.starts_with("A hairpin begins") && shown[1].goes_to.is_none());
        assert_eq!(shown.last().unwrap().goes_to, Some((0, Some(BarIndex(19)))));
        assert_eq!(shown.iter().filter(|row| row.goes_to.is_some()).count(), 20);
    }
}
