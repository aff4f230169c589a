//! Part rows seen close: a staff lane for each part, attacks as strokes, sounds as lines at the height
//! of their pitch, ties as one line, and the words at their place.

use super::geometry::{Layout, PartRow, View};
use super::glyphs;
use super::pens::{fitted, music, text};
use barloom_core::event::{MarkingKind, Note, NoteTraits};
use barloom_core::part::PartIdx;
use barloom_core::pitch::WrittenPitch;
use barloom_core::score::{Clef, PartMusic};
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
use egui::{Align2, Color32, Painter, Rangef, Rect, Stroke, pos2};

/// Most notes drawn in a row; more cannot be told apart.
const MAX_NOTES: usize = 600;

/// Draws the lanes of the visible parts; rows of parts that rest are too low for one.
pub(super) fn paint(painter: &Painter, view: &View<'_>, layout: &Layout) {
    for (row, rect) in &layout.rows {
        if let PartRow::Part(part) = row
            && rect.height() > 2.5 * view.pens.em
            && let Some(music) = view.movement.part(*part).filter(|music| music.present)
        {
            lane(painter, view, *part, music, *rect);
        }
    }
}

/// The five lines of a lane: the middle one at `middle`, `space` apart.
struct Staff {
    middle: f32,
    space: f32,
    lowest: f32,
    highest: f32,
}

impl Staff {
    fn of(rect: Rect, em: f32) -> Self {
        let space = 0.38 * em;
        let middle = rect.bottom() - 1.45 * em;
        Self { middle, space, lowest: rect.bottom() - 2.0, highest: rect.top() + 2.0 }
    }

    /// The height of a staff step counted from the middle line, held inside the row.
    fn y(&self, step: i32) -> f32 {
        let y = self.middle - step as f32 * self.space / 2.0;
        (y.clamp(self.highest, self.lowest) * 2.0).round() / 2.0
    }
}

fn lane(painter: &Painter, view: &View<'_>, part_idx: PartIdx, part: &PartMusic, rect: Rect) {
    let pens = view.pens;
    let staff = Staff::of(rect, pens.em);
    let line = Stroke::new(0.6, if view.pens.theme.contrast { pens.ink() } else { pens.wash() });
    // Lines only where the part plays: silence stays paper.
    for (idx, _) in view.bars() {
        if view.tracks.is_none_or(|tracks| tracks.playing.sounds(part_idx, idx)) {
            let (left, right) = view.bar_x(idx);
            for nth in -2..=2 {
                painter.hline(Rangef::new(left, right), staff.y(nth * 2), line);
            }
        }
    }
    let (from, to) = view.tick_span();
    // Notes that began before the view may reach into it: look one bar's length further back.
    let lead = view
        .seen
        .and_then(|(first, _)| view.movement.bars.get(first))
        .map_or(Ticks::ZERO, |bar| bar.length);
    let mut mesh = Mesh::default();
    let notes = part.notes_in(from - lead, to);
    for note in notes.iter().filter(|note| note.sounds()).take(MAX_NOTES) {
        draw_note(&mut mesh, view, part, note, &staff, pens.ink(), pens.mid());
    }
    painter.add(mesh);
    words(painter, view, part, rect, (from, to));
}

fn draw_note(
    mesh: &mut Mesh,
    view: &View<'_>,
    part: &PartMusic,
    note: &Note,
    staff: &Staff,
    ink: Color32,
    tone: Color32,
) {
    let y = staff.y(staff_step(part, note));
    let x0 = view.tick_x(note.onset).round();
    let grace = note.traits.has(NoteTraits::GRACE);
    let x1 = if grace { x0 } else { end_x(view, note.end()) };
    let half = staff.space * 0.36;
    let tied_on = note.traits.has(NoteTraits::TIED_ON);
    let line_end = if tied_on { x1 } else { (x1 - 2.5).max(x0 + 1.0) };
    let line = Rangef::point(y).expand(half * 0.62);
    mesh.add_colored_rect(Rect::from_x_y_ranges(Rangef::new(x0, line_end), line), tone);
    if note.traits.has(NoteTraits::CONTINUES) {
        return;
    }
    // The attack: an upright stroke, shorter for grace notes, before the beat.
    let (x, height) = if grace { (x0 - 4.0, half * 1.6) } else { (x0, half * 3.2) };
    let stroke = Rangef::point(y).expand(height);
    mesh.add_colored_rect(Rect::from_x_y_ranges(Rangef::new(x, x + 2.2), stroke), ink);
}

fn end_x(view: &View<'_>, to: Ticks) -> f32 {
    if to >= view.movement.bars.end() { view.x(view.columns.end()) } else { view.tick_x(to) }
}

/// Steps above the middle line of the staff in the clef in force; parts of several staves share one
/// lane around their middle. Unpitched notes lie on the middle line.
fn staff_step(part: &PartMusic, note: &Note) -> i32 {
    let Some(written) = note.written else { return 0 };
    let clef =
        part.clefs.iter().rev().find(|clef| clef.at <= note.onset && clef.staff == note.staff);
    let middle = clef.map_or(MIDDLE_OF_TREBLE, middle_line);
    let step = diatonic(written) - middle;
    match (part.staves, note.staff) {
        (0 | 1, _) => step,
        (_, 1) => step / 2 + 3,
        _ => step / 2 - 3,
    }
}

/// B above middle C, the middle line of the treble clef (common practice).
const MIDDLE_OF_TREBLE: i32 = 4 * 7 + 6;

fn diatonic(pitch: WrittenPitch) -> i32 {
    i32::from(pitch.octave) * 7 + pitch.step as i32
}

/// The diatonic number of the middle line: the clef's own note is G4, F3 or C4 on its line.
fn middle_line(clef: &Clef) -> i32 {
    let own = match clef.sign.as_str() {
        "G" => 4 * 7 + 4,
        "F" => 3 * 7 + 3,
        "C" => 4 * 7,
        _ => return MIDDLE_OF_TREBLE,
    };
    own + (3 - i32::from(clef.line)) * 2 + i32::from(clef.octaves) * 7
}

/// Levels as signs, all other words in italics, over the lane at their place.
fn words(
    painter: &Painter,
    view: &View<'_>,
    part: &PartMusic,
    rect: Rect,
    (from, to): (Ticks, Ticks),
) {
    let pens = view.pens;
    let y = rect.top() + 1.0 * pens.em;
    let mut taken = f32::MIN;
    let markings = part.markings_in(from, to);
    for (idx, marking) in markings.iter().enumerate() {
        let x = (view.tick_x(marking.at) + 1.0).max(taken);
        match &marking.kind {
            MarkingKind::Level(level) => {
                let signs = glyphs::level(*level);
                let width = music(
                    painter,
                    pens,
                    pos2(x, y - 0.1 * pens.em),
                    &signs,
                    1.35 * pens.em,
                    pens.ink(),
                );
                taken = x + width + 0.4 * pens.em;
            }
            MarkingKind::Hairpin { louder, end, .. } => {
                let (x0, x1) = (x, end_x(view, *end) - 2.0);
                hairpin(painter, (x0, x1), y - 0.3 * pens.em, *louder, pens.dark());
            }
            MarkingKind::Fermata(shape, _) => {
                let sign = glyphs::fermata(*shape).to_string();
                music(painter, pens, pos2(x - 2.0, y), &sign, 1.2 * pens.em, pens.ink());
            }
            _ if marking.words.is_empty() => {}
            _ => {
                let next = markings.get(idx + 1).map_or(rect.right(), |next| view.tick_x(next.at));
                let room = (next - x).max(5.0 * pens.em);
                let shown = fitted(painter, &marking.words, &pens.words_small, room);
                let at = pos2(x, y + 0.2 * pens.em);
                let font = &pens.words_small;
                let drawn = text(painter, at, Align2::LEFT_BOTTOM, &shown, font, pens.dark());
                taken = drawn.right() + 0.4 * pens.em;
            }
        }
    }
}

fn hairpin(painter: &Painter, (x0, x1): (f32, f32), y: f32, louder: bool, color: Color32) {
    let (point, open) = if louder { (x0, x1) } else { (x1, x0) };
    let stroke = Stroke::new(1.0, color);
    for side in [-3.0, 3.0] {
        painter.line_segment([pos2(point, y), pos2(open, y + side)], stroke);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::pitch::Step;

    /// The note on the middle line of each clef: common practice.
    #[test]
    fn clefs_put_their_middle_line_where_it_is() {
        let middle = |sign: &str, line, octaves| {
            middle_line(&Clef { at: Ticks::ZERO, staff: 1, sign: sign.to_owned(), line, octaves })
        };
        let note = |step, octave| diatonic(WrittenPitch { step, alter_quarter_tones: 0, octave });
        assert_eq!(middle("G", 2, 0), note(Step::B, 4));
        assert_eq!(middle("F", 4, 0), note(Step::D, 3));
        assert_eq!(middle("C", 3, 0), note(Step::C, 4));
        assert_eq!(middle("C", 4, 0), note(Step::A, 3));
        assert_eq!(middle("G", 2, -1), note(Step::B, 3));
    }
}
