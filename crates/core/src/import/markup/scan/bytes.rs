//! What a byte of markup may be, as flags.

/// Begins a name.
pub(super) const NAME_START: u8 = 1;
/// Stands in a name.
pub(super) const NAME: u8 = 2;
/// Space between words.
pub(super) const SPACE: u8 = 4;
/// Stops a run of plain text.
pub(super) const TEXT_STOP: u8 = 8;
/// Stops a run of a plain attribute value.
pub(super) const VALUE_STOP: u8 = 16;

static KINDS: [u8; 256] = kinds();

const fn kinds() -> [u8; 256] {
    let mut kinds = [0u8; 256];
    let mut byte = 0usize;
    while byte < 256 {
        let b = byte as u8;
        let mut kind = 0;
        if b.is_ascii_alphabetic() || b == b'_' {
            kind |= NAME_START | NAME;
        }
        if b.is_ascii_digit() || matches!(b, b'-' | b'.') {
            kind |= NAME;
        }
        if matches!(b, b' ' | b'\t' | b'\n' | b'\r') {
            kind |= SPACE;
        }
        // 0xEF begins the two characters below U+10000 that no document may hold.
        let odd = b < 0x20 && !matches!(b, b'\t' | b'\n') || matches!(b, b'&' | b'<' | 0xEF);
        if odd || b == b']' {
            kind |= TEXT_STOP;
        }
        if odd || matches!(b, b'"' | b'\'' | b'\t' | b'\n') {
            kind |= VALUE_STOP;
        }
        kinds[byte] = kind;
        byte += 1;
    }
    kinds
}

/// Whether a byte is of a kind.
#[inline]
pub(super) fn is(byte: u8, kind: u8) -> bool {
    KINDS[byte as usize] & kind != 0
}
