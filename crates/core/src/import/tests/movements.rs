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

fn doubts(import: &Import) -> Vec<&str> {
    let found = import.diagnostics.iter().filter(|found| found.code == Code::PartMatchDoubtful);
    found.map(|found| found.message.as_str()).collect()
}

fn two(first: &[&str], second: &[&str]) -> Import {
    let bars = |names: &[&str]| -> Vec<String> {
        names.iter().map(|name| format!("{name}: @4/4 C4:16")).collect()
    };
    let file = |name: &str, names: &[&str]| {
        let parts = bars(names);
        file(name, &parts.iter().map(String::as_str).collect::<Vec<_>>())
    };
    read(&[file("1.xml", first), file("2.xml", second)], &Watch::default()).unwrap()
}

/// Ids go by place in these files, so that every one of them is reused for another instrument.
#[test]
fn languages_numbers_order_and_ids_do_not_matter() {
    let import = two(
        &["Flute", "Oboe 1", "Oboe 2", "Bassoon", "Horn I in F", "Horn II in F", "Violoncello"],
        &["Cor 1", "Cor 2", "Violoncelle", "Fl\u{f6}te", "Hautbois I", "Hautbois II", "Fagott"],
    );
    let expected = ["flute", "oboe-1", "oboe-2", "bassoon", "horn-1", "horn-2", "cellos"];
    assert_eq!(keys(&import), expected);
    assert_eq!(present(&import)[1], [0, 1, 2, 3, 4, 5, 6]);
    assert!(doubts(&import).is_empty(), "{:?}", doubts(&import));
    // The second movement's flute is the part that the first calls so, under another id.
    let flute = &import.score.movements[1].music[0];
    assert_eq!((flute.source_name.as_str(), flute.source_id.as_str()), ("Fl\u{f6}te", "P4"));
}

#[test]
fn a_match_that_may_be_wrong_is_said() {
    // Two players on one staff, and each on his own.
    let import = two(&["Horns 1.2", "Tuba"], &["Horn 1", "Horn 2", "Tuba"]);
    assert_eq!(keys(&import), ["horn-1", "horn-2", "horn-1-2", "tuba"]);
    let said = doubts(&import);
    assert_eq!(said.len(), 2);
    assert!(said[0].contains("\"Horn 1\" was kept as a part of its own, though \"Horns 1.2\""));
    // One horn part that says no number.
    let import = two(&["Horns 1.2", "Tuba"], &["Horn", "Tuba"]);
    assert_eq!(keys(&import), ["horn-1-2", "tuba"]);
    assert!(doubts(&import)[0].contains("\"Horn\" was taken to be \"Horns 1.2\""));
    // More of the same instrument, all of the first being there: no doubt.
    let import = two(&["Horn 1", "Horn 2"], &["Horn 1", "Horn 2", "Horn 3"]);
    assert!(doubts(&import).is_empty(), "{:?}", doubts(&import));
}

/// A player who doubles is one part: the piccolo of a movement in which the third flute plays
/// nothing else.
#[test]
fn a_doubling_player_is_found_again() {
    let import = two(
        &["Flute 1", "Flute 2", "Flute 3 (also Piccolo)", "Oboe"],
        &["Piccolo", "Flute 1", "Flute 2", "Oboe"],
    );
    assert_eq!(keys(&import), ["flute-1", "flute-2", "flute-3", "oboe"]);
    assert_eq!(present(&import)[1], [0, 1, 2, 3]);
    assert!(doubts(&import)[0].contains("\"Piccolo\" was taken to be \"Flute 3"));
    // Both are there: they are two parts.
    let import = two(
        &["Flute 1", "Flute 2 (also Piccolo)"],
        &["Piccolo", "Flute 1", "Flute 2 (also Piccolo)"],
    );
    assert_eq!(keys(&import).len(), 3);
}

fn pack(entries: &[(&str, &str)]) -> InputFile {
    let mut packed = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, text) in entries {
        packed.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        std::io::Write::write_all(&mut packed, text.as_bytes()).unwrap();
    }
    let bytes = packed.finish().unwrap().into_inner();
    InputFile { name: String::from("suite.mxl"), bytes }
}

const CONTAINER: &str =
    "<container><rootfiles><rootfile full-path=\"suite/opus.xml\"/></rootfiles></container>";

fn opus(items: &str) -> String {
    format!(
        "<opus version=\"4.0\" xmlns:xlink=\"http://www.w3.org/1999/xlink\"><title>Mill Suite</title>\
         {items}</opus>"
    )
}

/// `opus` of MusicXML 4.0: a work in several movements, each a score of its own, in one archive.
#[test]
fn an_archive_with_an_opus_is_a_work_in_its_order() {
    let items = "<score xlink:href=\"two.xml\"/><opus-link xlink:href=\"more/opus.xml\"/>";
    let more = opus("<score xlink:href=\"../one.xml\" new-page=\"yes\"/>");
    let (one, two) = (
        document(&["Flute: @4/4 C4:16 | C4:16", "Oboe: @4/4 C4:16 | C4:16"]),
        document(&["Oboe: @4/4 C4:x r:16", "Flute: @4/4 C4:16"]),
    );
    let file = pack(&[
        ("META-INF/container.xml", CONTAINER),
        ("suite/one.xml", &one),
        ("suite/two.xml", &two),
        ("suite/opus.xml", &opus(items)),
        ("suite/more/opus.xml", &more),
    ]);
    let import = read(&[file], &Watch::default()).unwrap();
    let lengths: Vec<usize> = import.score.movements.iter().map(|m| m.bars.len()).collect();
    assert_eq!((import.score.title.as_str(), lengths), ("Mill Suite", vec![1, 2]));
    assert_eq!(import.score.sources.len(), 1);
    assert!(import.score.movements.iter().all(|movement| movement.source == 0));
    assert_eq!(keys(&import), ["oboe", "flute"]);
    let found = import.diagnostics.iter().find(|found| found.code == Code::DurationUnreadable);
    let place = &found.unwrap().place;
    assert_eq!((place.file.as_str(), place.entry.as_str()), ("suite.mxl", "suite/two.xml"));
}

#[test]
fn an_opus_that_cannot_be_followed_says_why_and_where() {
    let refused = |items: &str| {
        let one = document(&["Flute: @4/4 C4:16"]);
        let file = pack(&[
            ("META-INF/container.xml", CONTAINER),
            ("suite/one.xml", &one),
            ("suite/opus.xml", &opus(items)),
        ]);
        read(&[file], &Watch::default()).unwrap_err().to_string()
    };
    let missing = refused("<score xlink:href=\"one.xml\"/>\n<score xlink:href=\"two.xml\"/>");
    assert_eq!(
        missing,
        "the opus names \"suite/two.xml\", which is not in the archive: \
         suite.mxl/suite/opus.xml:2:1"
    );
    for out in ["../../two.xml", "/etc/two.xml", "http://mill.example/two.xml"] {
        let error = refused(&format!("<score xlink:href=\"{out}\"/>"));
        assert!(error.contains("leads out"), "{error}");
    }
    assert!(refused("<opus-link xlink:href=\"opus.xml\"/>").contains("without end"));
    assert!(refused("").contains("lists no scores"));
}
