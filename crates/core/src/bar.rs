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
    /// Whether the file says that this repeat is taken (or not) after a jump back.
    pub repeat_after_jump: Option<bool>,
    /// The numbers of the ending (volta) that this bar belongs to; empty outside endings.
    pub endings: Vec<u32>,
    /// An ending's bracket closes here.
    pub ending_stops: bool,
    /// A segno stands at the start of this bar: the name that jumps call it by, empty if it has
    /// none.
    pub segno: Option<String>,
    /// A coda sign stands at the start of this bar, the target of a "to coda": its name, empty if
    /// it has none.
    pub coda: Option<String>,
    /// A middle section begins at the start of this bar: the trio of a minuet or a scherzo.
    pub middle: bool,
    /// The jump back at the end of this bar.
    pub jump: Option<Jump>,
    /// Play leaves for the coda at the end of this bar.
    pub to_coda: Option<WayOut>,
    /// Play ends at the end of this bar.
    pub fine: Option<WayOut>,
}

/// A jump back: D.C. or D.S., with what its words add.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Jump {
    /// To where.
    pub to: JumpTo,
    /// The name of the segno meant; empty if only one can be.
    pub segno: String,
    /// The name of the coda meant ("al Coda II"); empty if only one can be.
    pub coda: String,
    /// Up to where is played then ("al fine").
    pub until: Until,
    /// The coda follows what is played then ("e poi la coda").
    pub then_coda: bool,
    /// Whether repeats are taken after the jump, if the words say so ("senza rep.", "con rep.").
    pub repeats: Option<bool>,
    /// At which times through this bar the jump is taken; empty for the first.
    pub passes: Vec<u32>,
}

impl fmt::Display for Jump {
    /// As it is printed: `D.C. al Fine`, `D.S. al Coda`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.to {
            JumpTo::Beginning => "D.C.",
            JumpTo::Segno => "D.S.",
        })?;
        f.write_str(match self.until {
            Until::Unstated => "",
            Until::Fine => " al Fine",
            Until::Coda => " al Coda",
            Until::Segno => " al Segno",
        })?;
        if self.then_coda { f.write_str(" e poi la Coda") } else { Ok(()) }
    }
}

/// Where a jump goes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum JumpTo {
    /// Da capo: to the beginning.
    #[default]
    Beginning,
    /// Dal segno: to the sign.
    Segno,
}

/// Up to where is played after a jump.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Until {
    /// Not stated: to the first way out that is written, or to the end.
    #[default]
    Unstated,
    /// To the Fine.
    Fine,
    /// To where play leaves for the coda.
    Coda,
    /// To the segno.
    Segno,
}

/// A place where play leaves its way after a jump: Fine, To Coda.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct WayOut {
    /// The name of the coda meant; empty if only one can be, and for a Fine.
    pub name: String,
    /// At which times through this bar it holds; empty for after a jump.
    pub passes: Vec<u32>,
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
    /// The other half of a double signature: the 6/8 of 3/4 (6/8), or the meter of the bars between
    /// where two stand in turn.
    pub other_meter: Option<Meter>,
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
    /// A full bar with nothing printed in it but its label. It begins at tick 0 until it stands in a
    /// [`BarTable`].
    pub fn blank(meter: Meter, length: Ticks, label: impl Into<String>) -> Self {
        Self {
            start: Ticks::ZERO,
            length,
            nominal: length,
            meter,
            other_meter: None,
            label: label.into(),
            pickup: false,
            continues: false,
            rehearsal: None,
            barline: Barline::Single,
            flow: BarFlow::default(),
            line: 0,
        }
    }

    /// Whether a thick line stands at its end: that of a movement, or that of a repeat.
    pub fn ends_thick(&self) -> bool {
        self.barline == Barline::Final || self.flow.repeat_end.is_some()
    }

    /// The meter as printed: "3/4", or "3/4 (6/8)" where two are stated.
    pub fn meter_text(&self) -> String {
        match &self.other_meter {
            Some(other) => format!("{} ({other})", self.meter),
            None => self.meter.to_string(),
        }
    }

    /// Where the next bar begins.
    pub fn end(&self) -> Ticks {
        self.start + self.length
    }
}

/// The bars of one movement: contiguous from tick 0, in written order.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BarTable {
    bars: Vec<Bar>,
    /// The bars that have a label, in order.
    labeled: Vec<BarIndex>,
}

impl BarTable {
    /// A table of bars. Starts are set here so that the bars are contiguous from tick 0.
    pub fn new(mut bars: Vec<Bar>) -> Self {
        let mut start = Ticks::ZERO;
        for bar in &mut bars {
            bar.start = start;
            start += bar.length;
        }
        let mut table = Self { bars, labeled: Vec::new() };
        table.find_labeled();
        table
    }

    fn find_labeled(&mut self) {
        let labeled = self.bars.iter().enumerate().filter(|(_, bar)| !bar.label.is_empty());
        self.labeled = labeled.map(|(idx, _)| BarIndex::from(idx)).collect();
    }

    /// The last bar up to this one that has a label; `None` if there is none.
    pub fn last_labeled(&self, bar: BarIndex) -> Option<&Bar> {
        let after = self.labeled.partition_point(|labeled| *labeled <= bar);
        self.get(*self.labeled.get(after.checked_sub(1)?)?)
    }

    /// Goes through all bars in order to give them other labels.
    pub(crate) fn relabel(&mut self, mut each: impl FnMut(BarIndex, &mut Bar)) {
        for (idx, bar) in self.bars.iter_mut().enumerate() {
            each(BarIndex::from(idx), bar);
        }
        self.find_labeled();
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

    /// A bar to be corrected; its start and length must not be changed, and its label
    /// only by [`BarTable::relabel`].
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
