//! Bars: their identity, their printed labels, the table of one movement, and the one address that
//! tracks, study, lists, plan and messages use.

use crate::meter::Meter;
use crate::time::{Quarters, Resolution, Ticks};
use std::fmt;

/// A bar's identity inside its movement: 0-based, in written order, the same for every part.
///
/// It is not what is printed; see [`Bar::label`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Debug)]
pub struct BarIndex(pub u32);

impl BarIndex {
    /// The index into a bar table.
    pub const fn idx(self) -> usize {
        self.0 as usize
    }
}

impl From<usize> for BarIndex {
    fn from(idx: usize) -> Self {
        Self(u32::try_from(idx).unwrap_or(u32::MAX))
    }
}

/// A movement's permanent name inside a study. Order and source are a table beside it, so that
/// reordering, splitting and joining move nothing. Without a study, the movements of a score are
/// numbered from 1.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct MovementId(pub u32);

impl Default for MovementId {
    fn default() -> Self {
        Self(1)
    }
}

impl fmt::Display for MovementId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "m{}", self.0)
    }
}

/// The one address of a place: movement, bar, and the offset from the bar's start.
///
/// Ordered by movement id, bar and offset; across movements the study's table gives the order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct BarAddress {
    /// The movement.
    pub movement: MovementId,
    /// The bar in written order.
    pub bar: BarIndex,
    /// Quarters from the start of the bar, in [0, bar length).
    pub offset: Quarters,
}

impl BarAddress {
    /// The start of a bar.
    pub const fn start_of(movement: MovementId, bar: BarIndex) -> Self {
        Self { movement, bar, offset: Quarters::ZERO }
    }
}

/// What is drawn at the end of a bar.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Hash)]
pub enum Barline {
    /// A single line, or none stated.
    #[default]
    Single,
    /// A double line.
    Double,
    /// The thick line that ends a movement.
    Final,
    /// Any other style (dashed, dotted, none, ...).
    Other,
}

/// Repeats, endings and jumps written at a bar.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct BarFlow {
    /// A repeat begins at the start of this bar.
    pub repeat_start: bool,
    /// A repeat ends at the end of this bar; the value is how often the passage is played in all.
    pub repeat_end: Option<u32>,
    /// The numbers of the ending (volta) that this bar belongs to; empty outside endings.
    pub endings: Vec<u32>,
    /// An ending's bracket closes here.
    pub ending_stops: bool,
    /// A segno stands at the start of this bar.
    pub segno: bool,
    /// A coda sign stands at the start of this bar: the target of a "to coda".
    pub coda: bool,
    /// Jump instructions at the end of this bar.
    pub jump: Option<Jump>,
    /// Play leaves for the coda at the end of this bar, after a jump.
    pub to_coda: bool,
    /// Play ends at the end of this bar, after a jump.
    pub fine: bool,
}

/// Where play goes at the end of a bar.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Jump {
    /// Da capo: to the beginning.
    DaCapo,
    /// Dal segno: to the sign.
    DalSegno,
}

/// One measure position of the file.
///
/// The two halves of a bar split at a repeat are two bars, the second with [`Self::continues`].
#[derive(Clone, PartialEq, Debug)]
pub struct Bar {
    /// Where it begins, from the start of the movement.
    pub start: Ticks,
    /// What sounds: the longest part decides.
    pub length: Ticks,
    /// What the meter says; equal to `length` when the bar is unmeasured.
    pub nominal: Ticks,
    /// The meter in force.
    pub meter: Meter,
    /// The printed number: "12", "12a", "" for a pickup. Never computed on.
    pub label: String,
    /// The bar is an upbeat: shorter than its meter and not completed by the bar before.
    pub pickup: bool,
    /// The bar is the second half of the one before it, split by a repeat sign.
    pub continues: bool,
    /// The rehearsal mark at its start.
    pub rehearsal: Option<String>,
    /// The line at its end.
    pub barline: Barline,
    /// Repeats, endings, jumps.
    pub flow: BarFlow,
    /// Line in the source file where the first part's bar begins, 1-based; 0 if there is none.
    pub line: u32,
}

impl Bar {
    /// Where the next bar begins.
    pub fn end(&self) -> Ticks {
        self.start + self.length
    }
}

/// The bars of one movement: contiguous from tick 0, in written order.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BarTable {
    bars: Vec<Bar>,
}

impl BarTable {
    /// A table of bars. Starts are set here so that the bars are contiguous from tick 0.
    pub fn new(mut bars: Vec<Bar>) -> Self {
        let mut start = Ticks::ZERO;
        for bar in &mut bars {
            bar.start = start;
            start += bar.length;
        }
        Self { bars }
    }

    /// The number of bars.
    pub fn len(&self) -> usize {
        self.bars.len()
    }

    /// Whether there are no bars.
    pub fn is_empty(&self) -> bool {
        self.bars.is_empty()
    }

    /// The bars in written order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (BarIndex, &Bar)> + ExactSizeIterator {
        self.bars.iter().enumerate().map(|(idx, bar)| (BarIndex::from(idx), bar))
    }

    /// A bar, `None` past the end.
    pub fn get(&self, bar: BarIndex) -> Option<&Bar> {
        self.bars.get(bar.idx())
    }

    /// A bar to be corrected; its start and length must not be changed.
    pub(crate) fn get_mut(&mut self, bar: BarIndex) -> Option<&mut Bar> {
        self.bars.get_mut(bar.idx())
    }

    /// All bars as a slice.
    pub fn as_slice(&self) -> &[Bar] {
        &self.bars
    }

    /// The last bar, `None` in an empty table.
    pub fn last_index(&self) -> Option<BarIndex> {
        self.bars.len().checked_sub(1).map(BarIndex::from)
    }

    /// The end of the movement.
    pub fn end(&self) -> Ticks {
        self.bars.last().map_or(Ticks::ZERO, Bar::end)
    }

    /// The bar that holds a position; the last bar for positions at or past the end. `None` only
    /// in an empty table. Of bars without length the last one that starts there is taken.
    pub fn bar_at(&self, at: Ticks) -> Option<BarIndex> {
        let after = self.bars.partition_point(|bar| bar.start <= at);
        let last = self.last_index()?;
        Some(BarIndex::from(after.saturating_sub(1)).min(last))
    }

    /// Bar and offset of a position.
    pub fn place(&self, at: Ticks, resolution: Resolution) -> (BarIndex, Quarters) {
        let bar = self.bar_at(at).unwrap_or_default();
        let start = self.get(bar).map_or(Ticks::ZERO, |bar| bar.start);
        (bar, resolution.quarters(at - start))
    }

    /// The position of a bar and offset; offsets between ticks fall back to the tick before.
    /// `None` if the bar does not exist.
    pub fn ticks(&self, bar: BarIndex, offset: Quarters, resolution: Resolution) -> Option<Ticks> {
        Some(self.get(bar)?.start + resolution.ticks_floor(offset)?)
    }

    /// The first bar with a printed label, written exactly so.
    pub fn by_label(&self, label: &str) -> Option<BarIndex> {
        self.bars.iter().position(|bar| bar.label == label).map(BarIndex::from)
    }
}
