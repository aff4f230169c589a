//! Archives made by hand, so that they can lie: about sizes, names, encryption, checksums and their
//! own table of contents. After the ZIP application note of PKWARE (APPNOTE.TXT 6.3), sections 4.3
//! and 4.4; entries are stored, not packed.

use super::{Chance, bytes};

/// One entry of an archive.
#[derive(Clone, Debug, Default)]
pub struct Entry {
    /// Its name, which need not be text.
    pub name: Vec<u8>,
    /// Its bytes.
    pub data: Vec<u8>,
    /// General purpose flags: 1 is encrypted.
    pub flags: u16,
    /// How it is packed: 0 is not at all.
    pub method: u16,
    /// The size that is stated instead of the true one.
    pub stated_size: Option<u32>,
    /// The checksum is wrong.
    pub bad_checksum: bool,
    /// The attributes of the system it comes from: a symbolic link has `0o120777 << 16`.
    pub attributes: u32,
    /// Bytes behind the name, where larger sizes are stated.
    pub extra: Vec<u8>,
}

/// An entry without lies.
pub fn entry(name: &str, data: &[u8]) -> Entry {
    Entry { name: name.as_bytes().to_vec(), data: data.to_vec(), ..Entry::default() }
}

/// A packed score as programs write it: the container and the score it names.
pub fn packed_score(score: &[u8]) -> Vec<Entry> {
    let container = b"<?xml version=\"1.0\"?><container><rootfiles>\
        <rootfile full-path=\"score.musicxml\"/></rootfiles></container>";
    vec![entry("META-INF/container.xml", container), entry("score.musicxml", score)]
}

/// The bytes of an archive.
pub fn pack(entries: &[Entry]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut table = Vec::new();
    for entry in entries {
        let offset = out.len() as u32;
        let header = header(entry);
        out.extend(b"PK\x03\x04");
        out.extend(&header);
        out.extend([entry.name.as_slice(), &entry.extra, &entry.data].concat());
        table.extend(b"PK\x01\x02\x14\x03");
        table.extend(&header);
        // Comment length, disk, internal attributes.
        table.extend([0; 6]);
        table.extend(entry.attributes.to_le_bytes());
        table.extend(offset.to_le_bytes());
        table.extend([entry.name.as_slice(), &entry.extra].concat());
    }
    let (at, size) = (out.len() as u32, table.len() as u32);
    let count = (entries.len() as u16).to_le_bytes();
    out.extend(table);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend([count, count].concat());
    out.extend(size.to_le_bytes());
    out.extend(at.to_le_bytes());
    out.extend([0, 0]);
    out
}

/// What the header in front of an entry and its row in the table have in common.
fn header(entry: &Entry) -> Vec<u8> {
    let size = entry.data.len() as u32;
    let stated = entry.stated_size.unwrap_or(size);
    let checksum = checksum(&entry.data) ^ u32::from(entry.bad_checksum);
    let mut out = Vec::new();
    for short in [20, entry.flags, entry.method, 0, 0x21] {
        out.extend(short.to_le_bytes());
    }
    for long in [checksum, if entry.stated_size.is_some() { stated } else { size }, stated] {
        out.extend(long.to_le_bytes());
    }
    out.extend((entry.name.len() as u16).to_le_bytes());
    out.extend((entry.extra.len() as u16).to_le_bytes());
    out
}

/// The CRC-32 of ISO 3309, bit by bit.
fn checksum(data: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in data {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg());
        }
    }
    !sum
}

/// Names that leave the archive, hide something or are no names at all.
const NAMES: &[&[u8]] = &[
    b"../score.musicxml",
    b"a/../../score.xml",
    b"/etc/score.xml",
    b"C:\\score.musicxml",
    b"..\\..\\score.musicxml",
    b"C:score.xml",
    b"a\0b.xml",
    b"\xff\xfe.xml",
    b"",
    b"/",
    b".",
    b"..",
    b"score.musicxml",
    b"META-INF/container.xml",
    b"META-INF/x.xml",
    b"CON.xml",
    b"score.musicxml/",
];

/// Changes an archive once to three times, then perhaps its bytes; at most `max` bytes.
pub fn change(entries: &[Entry], chance: &mut Chance, max: usize) -> Vec<u8> {
    let mut entries = entries.to_vec();
    for _ in 0..=chance.below(3) {
        step(&mut entries, chance);
    }
    let mut packed = pack(&entries);
    if chance.once_in(3) {
        packed = bytes::change(&packed, chance, max);
    } else if chance.once_in(4) {
        // Only the table, where the sizes and places stand.
        let table = packed.windows(4).position(|four| four == b"PK\x01\x02").unwrap_or(0);
        let (before, table) = packed.split_at(table);
        packed = [before, &bytes::change(table, chance, max)].concat();
    }
    packed.truncate(max);
    packed
}

/// Changes one entry, or leaves one out, or doubles one.
pub fn step(entries: &mut Vec<Entry>, chance: &mut Chance) {
    let idx = chance.below(entries.len());
    let Some(entry) = entries.get_mut(idx) else { return };
    match chance.below(10) {
        0 => {
            entries.remove(idx);
        }
        1 => {
            let copy = entry.clone();
            entries.push(copy);
        }
        2 | 3 => entry.name = chance.pick(NAMES).map(|name| name.to_vec()).unwrap_or_default(),
        4 => entry.flags = 1 << chance.below(16),
        5 => entry.method = [1, 8, 9, 12, 14, 93, 95, 99, 65535][chance.below(9)],
        6 => entry.stated_size = Some([0, 1, 1 << 20, u32::MAX - 1, u32::MAX][chance.below(5)]),
        7 => entry.bad_checksum = true,
        8 => entry.attributes = [0o120_777 << 16, 0o040_755 << 16, u32::MAX][chance.below(3)],
        _ => {
            // Sizes of 64 bits, section 4.5.3.
            let lie = [u64::MAX, 1 << 62, 1 << 33, 0][chance.below(4)].to_le_bytes();
            entry.extra = [[1, 0, 24, 0].as_slice(), &lie, &lie, &lie].concat();
            entry.stated_size = Some(u32::MAX);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_the_published_one() {
        // The check value that goes with CRC-32.
        assert_eq!(checksum(b"123456789"), 0xcbf4_3926);
    }
}
