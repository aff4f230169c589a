//! How large an input may be. Beyond these the reader refuses and says which limit was met; they
//! lie far above any orchestral score and far below what would exhaust a machine.

/// The largest file taken, in bytes, packed or not.
pub const MAX_FILE_BYTES: u64 = 1 << 30;
/// The largest entry unpacked from an archive, in bytes.
pub const MAX_ENTRY_BYTES: u64 = 1 << 30;
/// How many times larger than the archive an entry may be. Score text packs 20 to 40 times.
pub const MAX_RATIO: u64 = 400;
/// Entries smaller than this are not held to [`MAX_RATIO`], in bytes.
pub const RATIO_FREE_BYTES: u64 = 16 << 20;
/// The most entries in an archive.
pub const MAX_ENTRIES: usize = 4096;
/// The most elements and texts in a document.
pub const MAX_NODES: u32 = 200_000_000;
/// The deepest nesting of elements.
pub const MAX_DEPTH: usize = 256;
/// The most parts in a score.
pub const MAX_PARTS: usize = 1000;
/// The most bars in a movement.
pub const MAX_BARS: usize = 100_000;
/// The most bars, over all parts, that a timewise score may leave out of its parts.
pub const MAX_LEFT_OUT: usize = 100_000;
/// The longest bar, in quarters.
pub const MAX_BAR_QUARTERS: i64 = 100_000;
/// The longest movement, in quarters: with the finest resolution it still fits 63 bits.
pub const MAX_MOVEMENT_QUARTERS: i64 = 400_000_000;
/// The most words of one text or name that are looked at.
pub const MAX_WORDS: usize = 64;
/// How many findings of one kind in one part are listed one by one; the rest are counted.
pub const MAX_LISTED: u32 = 20;
