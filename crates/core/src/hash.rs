//! One fixed hash for fingerprints of files and of bars: the same on every machine and in every
//! release, which the hasher of the standard library does not promise.
//!
//! It tells accidents apart, not attacks.

/// FNV-1a with 64 bits (Fowler, Noll, Vo; IETF draft draft-eastlake-fnv): start from the offset
/// basis, for each byte xor it in, then multiply by the prime.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Fnv(u64);

const OFFSET_BASIS: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0000_0100_0000_01b3;

impl Fnv {
    /// The hash of nothing.
    pub const fn new() -> Self {
        Self(OFFSET_BASIS)
    }

    /// Takes bytes in.
    pub fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(PRIME);
        }
    }

    /// Takes a number in, as eight bytes with the lowest first.
    pub fn number(&mut self, number: i64) {
        self.bytes(&number.to_le_bytes());
    }

    /// The hash of all that was taken in.
    pub const fn finish(self) -> u64 {
        self.0
    }
}

impl Default for Fnv {
    fn default() -> Self {
        Self::new()
    }
}

/// The FNV-1a 64 hash of some bytes.
pub fn fingerprint(bytes: &[u8]) -> u64 {
    let mut hash = Fnv::new();
    hash.bytes(bytes);
    hash.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of the IETF draft "The FNV Non-Cryptographic Hash Algorithm", appendix C.
    #[test]
    fn the_published_vectors_come_out() {
        assert_eq!(fingerprint(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fingerprint(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fingerprint(b"foobar"), 0x8594_4171_f739_67e8);
    }
}
