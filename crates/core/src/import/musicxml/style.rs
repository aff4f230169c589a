//! Signs that stand for music: repeats of bars and beats, slashes; and rests over several bars.
//!
//! The standard asks the file to spell out the music that such a sign stands for; many files do not.
//! Either way the bars are known to sound, and notes in them are known to stand under a sign.

use super::part::PartReader;
use crate::bar::BarIndex;
use crate::import::xml::{Node, elements, name, says_yes, text};
use crate::part_bars::{RepeatSign, RepeatedBar};

/// The longest pattern of bars that a sign repeats; longer ones are taken as this long.
const MAX_PATTERN: u32 = 64;

/// A sign in force.
#[derive(Debug)]
pub(super) struct Style {
    staff: Option<u8>,
    sign: RepeatSign,
    /// The bar and place where it began.
    since: (u32, i64),
    /// Names of voices that it leaves alone.
    except: Vec<String>,
}

impl PartReader<'_> {
    pub(super) fn measure_style(&mut self, node: Node<'_, '_>) {
        let staff = Self::staff(node.attribute("number"));
        for style in elements(node) {
            let sign = match name(style) {
                "measure-repeat" => {
                    let bars = text(style).parse().unwrap_or(1u32).clamp(1, MAX_PATTERN);
                    RepeatSign::Bars(u8::try_from(bars).unwrap_or(1))
                }
                "beat-repeat" => RepeatSign::Beat,
                "slash" => RepeatSign::Slashes { stems: says_yes(style, "use-stems") },
                "multiple-rest" => {
                    if let Some(bars) = text(style).parse().ok().filter(|bars| *bars > 0) {
                        self.out.multiple_rests.push((self.bar_idx, bars));
                    }
                    continue;
                }
                _ => continue,
            };
            self.stop_style(staff, sign);
            if style.attribute("type") == Some("start") {
                let except = elements(style).filter(|item| name(*item) == "except-voice");
                let except = except.map(|item| text(item).to_owned()).collect();
                let since = (self.bar_idx, self.cursor);
                self.styles.push(Style { staff, sign, since, except });
            }
        }
    }

    /// Ends a sign of the same kind. If it ends inside a bar, the bar still has it.
    fn stop_style(&mut self, staff: Option<u8>, sign: RepeatSign) {
        let same_kind = |style: &Style| {
            style.staff == staff
                && std::mem::discriminant(&style.sign) == std::mem::discriminant(&sign)
        };
        let Some(idx) = self.styles.iter().position(same_kind) else { return };
        let style = self.styles.remove(idx);
        if self.cursor > 0 && style.since != (self.bar_idx, self.cursor) {
            self.add_repeated(&style);
        }
    }

    /// At the end of a bar: the bar has the signs in force.
    pub(super) fn settle_styles(&mut self) {
        let styles = std::mem::take(&mut self.styles);
        for style in &styles {
            let (bar, cursor) = style.since;
            // A sign that begins at the end of this bar is for the next one.
            if bar < self.bar_idx || cursor == 0 || cursor < self.bar.length {
                self.add_repeated(style);
            }
        }
        self.styles = styles;
        for style in &mut self.styles {
            if style.since.0 == self.bar_idx && style.since.1 >= self.bar.length.max(1) {
                style.since = (self.bar_idx + 1, 0);
            }
        }
    }

    fn add_repeated(&mut self, style: &Style) {
        let (bar, staff, sign) = (self.bar_index(), style.staff, style.sign);
        self.bar.empty = false;
        let known = self.repeated_before(bar).iter();
        if known.clone().any(|known| known.staff == staff && known.sign == sign) {
            return;
        }
        let source = match sign {
            RepeatSign::Bars(n) => self.source(style, u32::from(n)),
            RepeatSign::Beat | RepeatSign::Slashes { .. } => None,
        };
        self.out.repeated_bars.push(RepeatedBar { bar, staff, sign, source });
    }

    /// The bar that is heard again in this one: of the pattern before the sign, the bar of the same
    /// place; if a sign stands there too, what that stands for.
    fn source(&self, style: &Style, n: u32) -> Option<BarIndex> {
        let place = self.bar_idx.checked_sub(style.since.0)? % n;
        let source = BarIndex((style.since.0 + place).checked_sub(n)?);
        let at_source = self.repeated_before(source).iter();
        let mut at_source = at_source.filter(|known| {
            matches!(known.sign, RepeatSign::Bars(_)) && known.staff == style.staff
        });
        at_source.next().map_or(Some(source), |known| known.source)
    }

    /// The signs of a bar that were found so far.
    fn repeated_before(&self, bar: BarIndex) -> &[RepeatedBar] {
        let all = &self.out.repeated_bars;
        let first = all.partition_point(|known| known.bar < bar);
        let last = all.partition_point(|known| known.bar <= bar);
        all.get(first..last).unwrap_or_default()
    }

    /// Whether a sign stands in the place of a note.
    pub(super) fn under_sign(&self, staff: u8, voice: Option<&str>) -> bool {
        self.styles.iter().any(|style| {
            style.staff.is_none_or(|own| own == staff)
                && !style.except.iter().any(|except| except == voice.unwrap_or("1"))
        })
    }
}
