//! The part list of a bar map.

use super::scan::Piece;
use crate::diag::{Code, Diagnostic, Place};
use crate::import::parts_named;
use crate::instrument::InstrumentId;
use crate::instrument::recognize::by_name;
use crate::part::Part;

/// What "strings" stands for.
const STRINGS: [&str; 5] = ["Violin 1", "Violin 2", "Viola", "Cello", "Double bass"];

/// The parts, and what nobody knows.
pub(super) fn parts(pieces: &[Piece], file: &str) -> (Vec<Part>, Vec<Diagnostic>) {
    let mut names: Vec<String> = Vec::new();
    let mut diagnostics = Vec::new();
    for piece in pieces {
        if piece.text.eq_ignore_ascii_case("strings") {
            names.extend(STRINGS.map(String::from));
            continue;
        }
        if by_name(&piece.text).is_none_or(|instrument| instrument == InstrumentId::unknown()) {
            diagnostics.push(unknown(piece, file));
        }
        names.push(capitalized(&piece.text));
    }
    (parts_named(&names), diagnostics)
}

fn unknown(piece: &Piece, file: &str) -> Diagnostic {
    Diagnostic {
        code: Code::InstrumentUnknown,
        place: Place {
            file: file.to_owned(),
            part: Some((piece.text.clone(), piece.text.clone())),
            line: u32::try_from(piece.spot.line).unwrap_or(0),
            column: u32::try_from(piece.spot.column).unwrap_or(0),
            ..Place::default()
        },
        message: format!("the catalog has no instrument \"{}\"", piece.text),
        hint: Some(String::from("write its usual English, Italian, German or French name")),
        more: 0,
    }
}

fn capitalized(name: &str) -> String {
    let mut chars = name.chars();
    let first = chars.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(chars).collect()
}
