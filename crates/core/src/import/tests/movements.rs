//! Several movements: in one file, in several files, and the parts found again in each.

use super::compact::{document, read_parts};
use crate::diag::Code;
use crate::import::{Import, InputFile, Watch, read};

fn file(name: &str, parts: &[&str]) -> InputFile {
    InputFile { name: name.to_owned(), bytes: document(parts).into_bytes() }
}

fn keys(import: &Import) -> Vec<&str> {
    import.score.parts.iter().map(|part| part.key.0.as_str()).collect()
}

/// Which parts each movement has, by their places.
fn present(import: &Import) -> Vec<Vec<usize>> {
    let movements = import.score.movements.iter();
    movements.map(|movement| movement.parts().map(|(part, _)| part.idx()).collect()).collect()
}

#[test]
fn a_file_is_split_where_numbering_begins_again() {
    let import = read_parts(&[
        "Flute: #1 @4/4 !p C4:16 | #2 C4:16 | #3 D4:16 || | #1 E4:16 | #2 @3/4 !f F4:12",
        "Oboe: #1 @4/4 C4:16 | #2 C4:16 | #3 D4:16 || | #1 E4:16 | #2 @3/4 F4:12",
    ]);
    let movements = &import.score.movements;
    assert_eq!(movements.iter().map(|m| m.bars.len()).collect::<Vec<_>>(), [3, 2]);
    assert_eq!(movements[1].id.0, 2);
    // The meter carries over the break, positions start anew.
    assert_eq!(movements[1].bars.as_slice()[0].meter.to_string(), "4/4");
    assert_eq!(movements[1].music[0].notes[0].onset.0, 0);
    assert_eq!(movements[1].music[0].markings.len(), 1);
    assert!(import.diagnostics.iter().any(|found| found.code == Code::MovementSplit));
    assert_eq!(keys(&import), ["flute", "oboe"]);
}

#[test]
fn a_title_after_a_final_barline_begins_a_movement() {
    let title = "{<direction><direction-type><words_font-size=\"22\">Second_Dance</words>\
                 </direction-type></direction>}";
    let import = read_parts(&[&format!("Flute: @4/4 C4:16 | C4:16 || | {title} C4:16 | C4:16")]);
    assert_eq!(import.score.movements.len(), 2);
    assert_eq!(import.score.movements[1].title, "Second Dance");
}

#[test]
fn a_final_barline_alone_splits_nothing() {
    let import = read_parts(&["Flute: @4/4 C4:16 | C4:16 || | C4:16 | C4:16"]);
    assert_eq!(import.score.movements.len(), 1);
    // Numbering that begins again without a final barline: first and second endings do that.
    let import = read_parts(&["Flute: @4/4 #1 C4:16 | #2 C4:16 | #1 C4:16 | #2 C4:16"]);
    assert_eq!(import.score.movements.len(), 1);
}

#[test]
fn parts_are_found_again_by_what_they_are() {
    let files = [
        file(
            "1.xml",
            &[
                "Flute 1: @4/4 C4:16",
                "Flute 2: @4/4 C4:16",
                "Violino I: @4/4 C4:16",
                "Bratsche: @4/4 C4:16",
            ],
        ),
        file(
            "2.xml",
            &[
                "Viola: @4/4 C4:16",
                "Flauto II: @4/4 C4:16",
                "Corno inglese: @4/4 C4:16",
                "Violin 1: @4/4 C4:16",
            ],
        ),
    ];
    let import = read(&files, &Watch::default()).unwrap();
    assert_eq!(keys(&import), ["flute-1", "flute-2", "cor-anglais", "violins-1", "violas"]);
    assert_eq!(present(&import), [vec![0, 1, 3, 4], vec![1, 2, 3, 4]]);
    assert_eq!(import.score.sources.len(), 2);
    assert_eq!(import.score.movements[1].source, 1);
}

#[test]
fn keys_are_unique_whatever_the_names() {
    let import = read_parts(&[
        "Violin: @4/4 C4:16",
        "Violin: @4/4 C4:16",
        "Kazoophon: @4/4 C4:16",
        "Kazoophon: @4/4 C4:16",
        "Solo Violin: @4/4 C4:16",
        ": @4/4 C4:16",
    ]);
    assert_eq!(
        keys(&import),
        ["violins-1", "violins-2", "kazoophon-1", "kazoophon-2", "violin-solo", "part-p6"]
    );
}

#[test]
fn an_unnumbered_part_is_the_only_numbered_one_elsewhere() {
    let files = [
        file("1.xml", &["Piccolo 1: @4/4 C4:16", "Flute: @4/4 C4:16"]),
        file("2.xml", &["Piccolo: @4/4 C4:16", "Flute: @4/4 C4:16"]),
    ];
    let import = read(&files, &Watch::default()).unwrap();
    assert_eq!(keys(&import), ["piccolo-1", "flute"]);
    assert_eq!(present(&import), [vec![0, 1], vec![0, 1]]);
}
