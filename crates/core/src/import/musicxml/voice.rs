//! Voices of a part: numbers for the names in the file, and voices for notes that name none.

use super::part::PartReader;

/// The voices of a part.
#[derive(Debug, Default)]
pub(super) struct Voices {
    /// By their names in the file; the place in the list is the number less one.
    names: Vec<String>,
    /// How far the notes without a voice reach in this bar, one place for each layer of them.
    layers: Vec<i64>,
    /// The layer of the last of them, for further heads of its chord.
    last_layer: usize,
}

impl Voices {
    pub(super) fn begin_bar(&mut self) {
        self.layers.clear();
        self.last_layer = 0;
    }

    fn number(&mut self, name: &str) -> u8 {
        let known = self.names.iter().position(|voice| voice == name);
        let idx = known.unwrap_or_else(|| {
            // Names beyond what a number can tell share the last one.
            if self.names.len() < usize::from(u8::MAX) {
                self.names.push(name.to_owned());
            }
            self.names.len() - 1
        });
        u8::try_from(idx + 1).unwrap_or(u8::MAX)
    }

    /// The layer of a note without a voice: the first that is free at its onset.
    fn layer(&mut self, onset: i64, end: i64, in_chord: bool) -> usize {
        if !in_chord {
            let free = self.layers.iter().position(|reach| *reach <= onset);
            self.last_layer = free.unwrap_or_else(|| {
                if self.layers.len() < usize::from(u8::MAX) {
                    self.layers.push(0);
                }
                self.layers.len() - 1
            });
        }
        if let Some(reach) = self.layers.get_mut(self.last_layer) {
            *reach = end.max(*reach);
        }
        self.last_layer
    }
}

impl PartReader<'_> {
    /// The number of a voice by its name in the file. Where no name is stated, notes that follow
    /// each other are voice "1"; notes that the file steps back for are voices of their own.
    pub(super) fn voice(
        &mut self,
        stated: Option<&str>,
        (onset, length): (i64, i64),
        in_chord: bool,
    ) -> u8 {
        if let Some(name) = stated {
            return self.voices.number(name);
        }
        match self.voices.layer(onset, onset.saturating_add(length), in_chord) {
            0 => self.voices.number("1"),
            layer => self.voices.number(&format!("1, layer {}", layer + 1)),
        }
    }

    /// The number of a voice that a direction names.
    pub(super) fn voice_named(&mut self, name: &str) -> u8 {
        self.voices.number(name)
    }
}
