//! The agreement table of DEVELOPERS.md: written by the test that compares, and compared with what
//! that test finds.

use std::collections::BTreeMap;

use super::second::Side;
use crate::outside::root;

const BEGIN: &str = "<!-- agreement: begin -->\n";
const END: &str = "<!-- agreement: end -->\n";

/// The table: a row for every fact, the share that agrees, and with whom partitura agrees in the
/// cases that differ.
pub(super) fn table(
    counts: &BTreeMap<&'static str, (usize, usize)>,
    sides: &BTreeMap<String, Side>,
) -> String {
    let mut text = String::from(
        "| fact | compared | agree | differ | partitura: as we, as music21, neither |\n\
         |---|--:|--:|--:|---|\n",
    );
    let mut all = (0, 0);
    for (fact, (compared, differ)) in counts {
        let of = |wanted: Side| {
            let here = |line: &&String| line.split(" | ").nth(2) == Some(*fact);
            let sided = sides.iter().filter(|(_, side)| **side == wanted);
            sided.map(|(line, _)| line).filter(here).count()
        };
        let third = match differ {
            0 => String::new(),
            _ => format!("{}, {}, {}", of(Side::Ours), of(Side::Theirs), of(Side::Neither)),
        };
        let share = share(*compared, *differ);
        text += &format!("| {} | {compared} | {share} | {differ} | {third} |\n", words(fact));
        all = (all.0 + compared, all.1 + differ);
    }
    text + &format!("| all | {} | {} | {} | |\n", all.0, share(all.0, all.1), all.1)
}

/// Per cent with three figures, rounded down: only what agrees wholly is 100 %.
fn share(compared: usize, differ: usize) -> String {
    let thousandths = (compared - differ) * 100_000 / compared.max(1);
    match differ {
        0 => String::from("100 %"),
        _ => format!("{}.{:03} %", thousandths / 1000, thousandths % 1000),
    }
}

fn words(fact: &str) -> &str {
    match fact {
        "entrance" => "entrances: bar and offset",
        "graces" => "grace notes of a part",
        "highest" => "highest sounding pitch of a part",
        "length" => "bar lengths",
        "level" => "levels: bar, offset and letters",
        "lowest" => "lowest sounding pitch of a part",
        "meter" => "meters",
        "notes" => "notes of a part",
        "played" => "bars in played order, of files with repeats",
        "reading" => "file read or refused",
        "sounding_quarters" => "sounding length of a part",
        "tempo" => "printed tempo numbers: bar, offset and value",
        other => other,
    }
}

/// Fails when the table in DEVELOPERS.md is another one; writes it with `BARLOOM_UPDATE=1`.
pub(super) fn check(table: &str) {
    let path = root().join("DEVELOPERS.md");
    let page = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = page.split_once(BEGIN).expect("the begin marker");
    let (kept, after) = rest.split_once(END).expect("the end marker");
    if kept == table {
        return;
    }
    assert!(
        std::env::var_os("BARLOOM_UPDATE").is_some(),
        "the agreement table in DEVELOPERS.md is not what was found; with BARLOOM_UPDATE=1 this \
         test writes it:\n{table}"
    );
    let page = format!("{before}{BEGIN}{table}{END}{after}");
    barloom_core::store::replace(&path, page.as_bytes()).unwrap();
}
