//! What is shown and selected: may be lost without harm, never part of the study.

pub use super::camera::Camera;
use super::field::Purpose;
use barloom_analysis::compare::Passage;
use barloom_core::bar::{BarIndex, BarTable};
use barloom_core::basis::Basis;
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::study::EntryId;
use barloom_core::time::{Resolution, Ticks};
use std::collections::BTreeSet;

/// Everything about the view.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ViewState {
    /// The movement shown, 0-based in the order of the work.
    pub movement: usize,
    /// What is selected in it.
    pub selection: Selection,
    /// Where and how large the grid is shown.
    pub camera: Camera,
    /// Families whose part rows are folded into one.
    pub folded: BTreeSet<Family>,
    /// Track rows that are folded away.
    pub hidden_rows: BTreeSet<TrackRow>,
    /// Track rows that are thin: only where there is something to see.
    pub thin_rows: BTreeSet<TrackRow>,
    /// Bars of equal width instead of widths in proportion to their length.
    pub equal_bars: bool,
    /// Bars in the order in which they are played, repeated ones again, instead of as written.
    pub played_order: bool,
    /// What the side panel or the lower list shows.
    pub list: Option<ListKind>,
    /// The list that was open last.
    pub last_list: ListKind,
    /// The entry whose text or fields are being edited in the side panel.
    pub editing: Option<EntryId>,
    /// The layer that new marks go to; the first layer if `None`.
    pub layer: Option<EntryId>,
    /// Whether the legend is open.
    pub legend: bool,
    /// What the side panel shows.
    pub side: SidePage,
    /// What the field in the title line is for.
    pub purpose: Purpose,
    /// Whether a sign is being chosen: letters stand for signs then.
    pub choosing_sign: bool,
    /// The passage that is kept to set another beside it.
    pub kept: Option<Passage>,
    /// The two passages that are shown side by side.
    pub beside: Option<(Passage, Passage)>,
}

/// What the side panel shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SidePage {
    /// Everything about the selection.
    #[default]
    Selection,
    /// All commands with their keys.
    Keys,
    /// Settings of the program.
    Settings,
}

/// Selected bars and parts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// The bar the selection began at and the one it reaches, in either order; `None` when nothing
    /// is selected.
    pub bars: Option<(BarIndex, BarIndex)>,
    /// Selected parts; empty means all.
    pub parts: BTreeSet<PartIdx>,
    /// The beat inside a single selected bar: index of the stroke, 0-based.
    pub beat: Option<usize>,
}

impl Selection {
    /// First and last selected bar, inclusive, in order.
    pub fn span(&self) -> Option<(BarIndex, BarIndex)> {
        self.bars.map(|(a, b)| (a.min(b), a.max(b)))
    }

    /// Whether a bar is selected.
    pub fn has_bar(&self, bar: BarIndex) -> bool {
        self.span().is_some_and(|(from, to)| from <= bar && bar <= to)
    }
}

/// The track rows from top to bottom.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TrackRow {
    /// Time signatures.
    Meter,
    /// Chosen and proposed beat patterns.
    Beating,
    /// Groups of bars.
    Groups,
    /// Share of the orchestra that sounds.
    Texture,
    /// Who carries the line.
    Lead,
    /// Who plays along with whom.
    Doublings,
    /// Band between softest and loudest.
    Dynamics,
    /// Whether the lead comes through.
    Balance,
    /// Mutes, bows and other techniques.
    Devices,
    /// Manners of the string section.
    Strings,
    /// Changes of mutes, bows, instruments, pedals and drums.
    Changes,
    /// Entrances and cues.
    Entrances,
    /// Fast and slow attacks together.
    Attacks,
    /// Extremes of range and long stretches.
    Ranges,
    /// Marks of the shown layers.
    Marks,
}

/// How a track row is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowShow {
    /// With all it says.
    Open,
    /// Only where there is something to see.
    Thin,
    /// Not at all.
    Hidden,
}

impl RowShow {
    /// All, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Open, Self::Thin, Self::Hidden];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Thin => "thin",
            Self::Hidden => "hidden",
        }
    }
}

impl TrackRow {
    /// The rows that are thin until they are opened: what is looked up more than read along.
    pub const THIN: [Self; 6] =
        [Self::Doublings, Self::Balance, Self::Strings, Self::Changes, Self::Attacks, Self::Ranges];

    /// All rows in order.
    pub const ALL: [Self; 15] = [
        Self::Meter,
        Self::Beating,
        Self::Groups,
        Self::Texture,
        Self::Lead,
        Self::Doublings,
        Self::Dynamics,
        Self::Balance,
        Self::Devices,
        Self::Strings,
        Self::Changes,
        Self::Entrances,
        Self::Attacks,
        Self::Ranges,
        Self::Marks,
    ];

    /// The name at the left of the row.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Meter => "Meter",
            Self::Beating => "Beating",
            Self::Groups => "Groups",
            Self::Texture => "Texture",
            Self::Dynamics => "Dynamics",
            Self::Devices => "Mutes, bows",
            Self::Entrances => "Entrances",
            Self::Marks => "Marks",
            Self::Lead => "Lead",
            Self::Doublings => "Doublings",
            Self::Balance => "Balance",
            Self::Strings => "Strings",
            Self::Changes => "Changes",
            Self::Attacks => "Attacks",
            Self::Ranges => "Ranges",
        }
    }

    /// The note under the name; empty if none.
    pub const fn note(self) -> &'static str {
        match self {
            Self::Beating => "light = proposed",
            Self::Texture => "share of the parts sounding",
            Self::Dynamics => "loudest and softest part",
            Self::Entrances => "tail = rest before",
            Self::Lead => "who has the line",
            Self::Doublings => "who plays along",
            Self::Balance => "estimate",
            Self::Strings => "manner of playing",
            Self::Changes => "triangle = lacks time",
            Self::Attacks => "fast meets slow",
            Self::Ranges => "extremes, long breaths",
            _ => "",
        }
    }
}

/// The lists that can be opened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ListKind {
    /// All marks, by layer and place.
    #[default]
    Marks,
    /// The layers.
    Layers,
    /// Cues by bar.
    Cues,
    /// Entrances.
    Entrances,
    /// Changes of pattern.
    Beating,
    /// The textures.
    Texture,
    /// Who carries the line, and where it is handed on.
    Lead,
    /// Who plays along with whom.
    Doublings,
    /// The manners of the strings, and what is written that does not fit.
    Strings,
    /// Changes of mutes, bows, instruments, pedals and drums with the time for them.
    Changes,
    /// Where fast and slow attacks meet.
    Attacks,
    /// Where the line is likely covered.
    Balance,
    /// Extremes of range and long stretches.
    Ranges,
    /// Corrections, tempi by hand, performing order.
    Decisions,
    /// What reading found.
    Diagnostics,
    /// The movements: join, split, reorder.
    Movements,
}

impl ListKind {
    /// All lists.
    pub const ALL: [Self; 16] = [
        Self::Marks,
        Self::Layers,
        Self::Cues,
        Self::Entrances,
        Self::Beating,
        Self::Texture,
        Self::Lead,
        Self::Doublings,
        Self::Strings,
        Self::Changes,
        Self::Attacks,
        Self::Balance,
        Self::Ranges,
        Self::Decisions,
        Self::Diagnostics,
        Self::Movements,
    ];

    /// The heading.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Marks => "Marks",
            Self::Layers => "Layers",
            Self::Cues => "Cues",
            Self::Entrances => "Entrances",
            Self::Beating => "Changes of beating",
            Self::Texture => "Texture",
            Self::Lead => "Who has the line",
            Self::Doublings => "Doublings",
            Self::Strings => "Strings and contradictions",
            Self::Changes => "Time for changes",
            Self::Attacks => "Mixed attacks",
            Self::Balance => "Balance",
            Self::Ranges => "Ranges and breath",
            Self::Decisions => "Decisions",
            Self::Diagnostics => "Places to look at",
            Self::Movements => "Movements",
        }
    }
}

/// The x axis of the grid for one movement: quarters, or equal bars stretched to the mean bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Columns {
    /// Left edges of the bars in units of the axis, one more for the end.
    edges: Vec<f32>,
}

impl Columns {
    /// The axis of a movement.
    pub fn of(bars: &BarTable, resolution: Resolution, equal: bool) -> Self {
        let end = resolution.as_f64(bars.end()) as f32;
        let n_bars = bars.len().max(1) as f32;
        let mut edges: Vec<f32> = bars
            .iter()
            .map(|(idx, bar)| {
                if equal {
                    end * idx.0 as f32 / n_bars
                } else {
                    resolution.as_f64(bar.start) as f32
                }
            })
            .collect();
        edges.push(end);
        Self { edges }
    }

    /// Left and right edge of a bar; an empty span at the end for bars past it.
    pub fn bar(&self, bar: BarIndex) -> (f32, f32) {
        let end = self.end();
        let at = |idx: usize| self.edges.get(idx).copied().unwrap_or(end);
        (at(bar.idx()), at(bar.idx() + 1))
    }

    /// The right end of the axis.
    pub fn end(&self) -> f32 {
        self.edges.last().copied().unwrap_or(0.0)
    }

    /// The bar at a place of the axis, held inside the movement; `None` if there are no bars.
    pub fn bar_at(&self, x: f32) -> Option<BarIndex> {
        let n_bars = self.edges.len().checked_sub(1).filter(|n| *n > 0)?;
        let after = self.edges.partition_point(|edge| *edge <= x);
        Some(BarIndex::from(after.saturating_sub(1).min(n_bars - 1)))
    }

    /// The place on the axis of a position in the movement.
    pub fn x(&self, at: Ticks, bars: &BarTable) -> f32 {
        let Some(bar_idx) = bars.bar_at(at) else { return 0.0 };
        let Some(bar) = bars.get(bar_idx) else { return 0.0 };
        let (left, right) = self.bar(bar_idx);
        let share =
            if bar.length.0 > 0 { (at - bar.start).0 as f32 / bar.length.0 as f32 } else { 0.0 };
        left + (right - left) * share.min(1.0)
    }
}

impl ViewState {
    /// How a track row is shown.
    pub fn row_show(&self, row: TrackRow) -> RowShow {
        if self.hidden_rows.contains(&row) {
            RowShow::Hidden
        } else if self.thin_rows.contains(&row) {
            RowShow::Thin
        } else {
            RowShow::Open
        }
    }

    /// Shows a track row otherwise.
    pub fn show_row(&mut self, row: TrackRow, show: RowShow) {
        self.hidden_rows.remove(&row);
        self.thin_rows.remove(&row);
        match show {
            RowShow::Open => {}
            RowShow::Thin => {
                self.thin_rows.insert(row);
            }
            RowShow::Hidden => {
                self.hidden_rows.insert(row);
            }
        }
    }

    /// Drops what no longer exists: movements, bars and parts past the end of the basis.
    pub fn repair(&mut self, basis: &Basis) {
        let n_movements = basis.score.movements.len();
        if self.movement >= n_movements {
            self.movement = n_movements.saturating_sub(1);
            self.selection = Selection::default();
        }
        let last = basis.score.movements.get(self.movement).and_then(|m| m.bars.last_index());
        self.selection.bars = match (self.selection.bars, last) {
            (Some((from, to)), Some(last)) => Some((from.min(last), to.min(last))),
            _ => None,
        };
        let there = |passage: &Passage| {
            let movement = basis.score.movements.get(passage.movement);
            let last = movement.and_then(|movement| movement.bars.last_index());
            last.is_some_and(|last| passage.to <= last)
        };
        self.kept = self.kept.filter(there);
        self.beside = self.beside.filter(|(first, second)| there(first) && there(second));
        let n_parts = basis.score.parts.len();
        self.selection.parts.retain(|part| part.idx() < n_parts);
    }
}
