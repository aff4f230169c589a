//! How large an input may be. Beyond these the reader refuses and says which limit was met and
//! where; they lie far above any orchestral score and far below what would exhaust a machine.
//!
//! Limits that a test can only reach with a huge input are fields of [`Limits`], so that it can set
//! them lower. Texts that are merely too long are cut, and findings that are merely too many are
//! counted; nothing is refused for those.

/// What makes the reader refuse an input.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The largest file taken, in bytes, packed or not.
    pub file_bytes: u64,
    /// The largest entry unpacked from an archive, in bytes.
    pub entry_bytes: u64,
    /// How many times larger than the archive an entry may be. Score text packs 20 to 40 times.
    pub ratio: u64,
    /// Entries smaller than this are not held to the ratio, in bytes.
    pub ratio_free_bytes: u64,
    /// The largest description of what is in an archive, in bytes.
    pub container_bytes: u64,
    /// The most entries in an archive.
    pub entries: usize,
    /// The most elements and texts in a document.
    pub nodes: u32,
    /// The deepest nesting of elements.
    pub depth: usize,
    /// The most attributes of an element.
    pub attributes: usize,
    /// The most parts in a score.
    pub parts: usize,
    /// The most bars in a document.
    pub bars: usize,
    /// The most bars over all parts: the number of parts times that of bars.
    pub part_bars: usize,
    /// The most movements in a document.
    pub movements: usize,
    /// The most movements in a document over all parts: the number of parts times that of movements.
    pub part_movements: usize,
    /// The most notes and rests in a part.
    pub notes: usize,
    /// The longest movement, in quarters: with the finest resolution it still fits 63 bits.
    pub movement_quarters: i64,
}

impl Limits {
    /// The limits for the user's files.
    pub const STANDARD: Self = Self {
        file_bytes: 1 << 30,
        entry_bytes: 1 << 30,
        ratio: 400,
        ratio_free_bytes: 16 << 20,
        container_bytes: 64 << 10,
        entries: 4096,
        nodes: 200_000_000,
        depth: MAX_DEPTH,
        attributes: 256,
        parts: MAX_PARTS,
        bars: MAX_BARS,
        part_bars: 10_000_000,
        movements: 500,
        part_movements: 30_000,
        notes: 10_000_000,
        movement_quarters: 400_000_000,
    };
}

impl Default for Limits {
    fn default() -> Self {
        Self::STANDARD
    }
}

/// The most elements and texts in a document.
pub(super) const MAX_NODES: u32 = Limits::STANDARD.nodes;
/// The deepest nesting of elements.
pub const MAX_DEPTH: usize = 256;
/// The most parts in a score.
pub const MAX_PARTS: usize = 1000;
/// The most bars in a document.
pub const MAX_BARS: usize = 100_000;
/// The longest bar, in quarters; a longer one is cut.
pub const MAX_BAR_QUARTERS: i64 = 100_000;
/// The most letters of a name or title; the rest is cut.
pub const MAX_NAME: usize = 300;
/// The most words of one text or name that are looked at.
pub const MAX_WORDS: usize = 64;
/// How many findings of one kind in one part are listed one by one; the rest are counted.
pub const MAX_LISTED: u32 = 20;
