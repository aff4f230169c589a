//! How much memory the reader holds, against the size of what it reads: a test binary of its own,
//! because the allocator counts for the whole process and nothing else may run beside.

#[path = "../mutations/count.rs"]
mod count;

use barloom_core::import::{InputFile, Watch, read};
use barloom_tests::{movements, synthetic};
use std::path::Path;

/// Bytes held at most for each byte of text, the text itself aside. It is between 3 and 4 for the
/// example, whose text is short for its notes; the trees of a general parser, some seven times the
/// text beside all this, would not fit.
const HELD_PER_BYTE: usize = 5;

#[test]
fn synthetic_scores_are_read_in_memory_that_grows_with_their_size() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let packed = movements::packed(&root.join("examples/tide-mill"));
    let largest = packed.iter().max_by_key(|(_, bytes)| bytes.len()).unwrap();
    let text = movements::unpacked(&largest.1).unwrap();
    let once = reading(&synthetic::repeated(&text, 1).unwrap());
    let copies = 3_000_000 / text.len() + 1;
    let large = reading(&synthetic::repeated(&text, copies).unwrap());
    let twice = reading(&synthetic::repeated(&text, 2 * copies).unwrap());
    assert_eq!((large.n_bars, large.n_notes), (once.n_bars * copies, once.n_notes * copies));
    assert_eq!((twice.n_bars, twice.n_notes), (2 * large.n_bars, 2 * large.n_notes));
    for read in [&large, &twice] {
        assert!(read.held <= HELD_PER_BYTE * read.n_bytes, "{} for {}", read.held, read.n_bytes);
    }
    assert!(twice.held <= large.held * 9 / 4, "{} and then {}", large.held, twice.held);
}

struct Reading {
    n_bytes: usize,
    held: usize,
    n_bars: usize,
    n_notes: usize,
}

fn reading(text: &str) -> Reading {
    let (name, bytes) = (String::from("a.musicxml"), text.as_bytes().to_vec());
    let files = [InputFile { name, bytes }];
    let (import, held) = count::peak_of(|| read(&files, &Watch::default()).expect("a sound score"));
    let movements = || import.score.movements.iter();
    let n_bars = movements().map(|movement| movement.bars.len()).sum();
    let music = movements().flat_map(|movement| &movement.music);
    let n_notes = music.map(|music| music.notes.len()).sum();
    Reading { n_bytes: text.len(), held, n_bars, n_notes }
}
