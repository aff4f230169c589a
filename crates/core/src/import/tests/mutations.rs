//! Damaged input: whatever is changed in a score, reading it ends without a panic.

use super::compact::document;
use crate::import::{InputFile, Watch, read};

const SCORE: &[&str] = &[
    "Flutes 1.2: #i @4/4 K-1 T-1,-2 !mf C4:4 | #1 'Allegro' ~C4:8 -C4:8 |: '1.' gD4 E4:4 +G4:4 :| r:8 | \
     'D.C._al_Fine' x:16 || | #1 'con_sord.,_pizz.' v1 C4:16 <16 v2 E4:16",
    "Violin: #i @4/4 C4:4 | #1 @3/4 C4:16 | {<sound_tempo=\"90\"_dacapo=\"yes\"/>} R:16 | #1 R:16",
];

/// A small generator: the tests need the same bytes every time, not good randomness.
struct Generator(u64);

impl Generator {
    fn next(&mut self, below: usize) -> usize {
        // Knuth's MMIX constants.
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % below.max(1)
    }
}

fn mutate(text: &str, generator: &mut Generator) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    let numbers = ["0", "-1", "999999999999", "1.5", "x", "2147483647", "65536", "", "0.333333333"];
    for _ in 0..=generator.next(3) {
        let at = generator.next(bytes.len());
        match generator.next(6) {
            0 => bytes[at] = generator.next(256) as u8,
            1 => {
                bytes.remove(at);
            }
            2 => bytes.truncate(at),
            // Whole lines doubled or dropped keep the document well-formed more often.
            3 | 4 => {
                let text = String::from_utf8_lossy(&bytes).into_owned();
                let mut lines: Vec<&str> = text.lines().collect();
                let line = generator.next(lines.len());
                let other = generator.next(lines.len());
                match generator.next(3) {
                    0 => lines.swap(line, other),
                    1 => lines.insert(other, lines[line]),
                    _ => {
                        lines.remove(line);
                    }
                }
                bytes = lines.join("\n").into_bytes();
            }
            _ => {
                let text = String::from_utf8_lossy(&bytes).into_owned();
                let digits: Vec<usize> = text
                    .bytes()
                    .enumerate()
                    .filter(|(_, b)| b.is_ascii_digit())
                    .map(|(i, _)| i)
                    .collect();
                if !digits.is_empty() {
                    let digit = digits[generator.next(digits.len())];
                    let number = numbers[generator.next(numbers.len())];
                    bytes =
                        format!("{}{number}{}", &text[..digit], &text[digit + 1..]).into_bytes();
                }
            }
        }
        if bytes.is_empty() {
            break;
        }
    }
    bytes
}

#[test]
fn nothing_panics_on_damaged_scores() {
    let text = document(SCORE);
    let mut generator = Generator(1);
    let mut readable = 0;
    for _ in 0..4000 {
        let bytes = mutate(&text, &mut generator);
        let file = InputFile { name: String::from("a.xml"), bytes };
        readable += usize::from(read(&[file], &Watch::default()).is_ok());
    }
    // The mutations must leave enough that is read, or they would test only the parser.
    assert!(readable > 500, "only {readable} were readable");
}
