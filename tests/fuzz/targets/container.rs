//! Packed scores: bytes as they are, or, when they are no archive, seeds of lies that are told one
//! after the other in an archive made for it.
#![no_main]

use barloom_core::import::{InputFile, Watch, read};
use barloom_fuzz::mutate::{Chance, archive};
use libfuzzer_sys::fuzz_target;

const SCORE: &[u8] = b"<score-partwise><part-list><score-part id=\"P1\"><part-name>Oboe</part-name>\
    </score-part></part-list><part id=\"P1\"><measure number=\"1\"><note><rest/><duration>4</duration>\
    </note></measure></part></score-partwise>";

fuzz_target!(|data: &[u8]| {
    let bytes = if data.starts_with(b"PK") { data.to_vec() } else { lies(data) };
    // What was packed is not computed: the other targets do that.
    let file = InputFile { name: String::from("fuzz.mxl"), bytes };
    let _ = read(&[file], &Watch::default());
});

fn lies(seeds: &[u8]) -> Vec<u8> {
    let mut entries = archive::packed_score(SCORE);
    let (mut patches, mut prefix) = (Vec::new(), 0);
    for seed in seeds.chunks(4).take(64) {
        let number = seed.iter().fold(0u64, |sum, byte| sum << 8 | u64::from(*byte));
        match number % 8 {
            0 => patches.push(number / 8),
            1 => prefix = (number / 8 % 100) as usize,
            _ => archive::step(&mut entries, &mut Chance::new(number / 8)),
        }
    }
    let mut bytes = archive::pack(&entries);
    for patch in patches {
        let at = (patch >> 8) as usize % bytes.len().max(1);
        if let Some(byte) = bytes.get_mut(at) {
            *byte = patch as u8;
        }
    }
    [b"PK\x03\x04".repeat(prefix), bytes].concat()
}
