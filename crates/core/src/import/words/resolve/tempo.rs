//! Texts that set the tempo.

use super::{END, Resolver};
use crate::event::MarkingKind;
use crate::import::raw::{Pos, RawTempo, RawWords};
use crate::import::words::sentence::{Piece, Sentence};
use crate::import::words::vocabulary::{Meaning, TempoWord};
use crate::part::PlayerSet;
use crate::score::TempoKind;
use crate::time::Quarters;

impl Resolver<'_, '_> {
    /// Texts that set the tempo. They are tempi as a whole: "Allegro con brio" has no second
    /// meaning. Answers whether the text was one.
    pub(super) fn tempo_words(
        &mut self,
        words: &RawWords,
        text: &str,
        sentence: &Sentence,
        has_tempo: bool,
    ) -> bool {
        let tempo_of = |piece: &Piece| match piece {
            Piece::Known(Meaning::Tempo(word)) => Some(*word),
            _ => None,
        };
        let first = sentence.pieces.first().and_then(tempo_of);
        let any = sentence.pieces.iter().find_map(tempo_of);
        let kind = match (first, any) {
            (Some(TempoWord::Character), _) => {
                let is_term = |piece: &Piece| tempo_of(piece) == Some(TempoWord::Term);
                let beside_term = sentence.pieces.iter().any(is_term);
                let printed = has_tempo || words.prominent || sentence.compares || beside_term;
                if !printed {
                    self.push(words, MarkingKind::Expression, PlayerSet::ALL);
                    return true;
                }
                TempoKind::Term
            }
            (Some(TempoWord::Term), _) => match any_gradual(sentence) {
                // "Più lento poco a poco" still changes at once unless it says by degrees.
                Some(faster) if sentence.pieces.len() > 1 => {
                    TempoKind::Gradual { faster, end: None }
                }
                _ => TempoKind::Term,
            },
            (_, Some(TempoWord::Gradual(faster))) => TempoKind::Gradual { faster, end: None },
            (_, Some(TempoWord::ATempo)) => TempoKind::ATempo,
            (_, Some(TempoWord::Primo)) => TempoKind::TempoPrimo,
            (_, Some(TempoWord::Free)) => {
                // Beside an instrument or at the very beginning "ad lib." leaves the choice to play.
                let optional = words.text.to_lowercase().contains("ad lib")
                    && (sentence.pieces.len() > 1 || words.pos == Pos::default());
                if optional {
                    return false;
                }
                TempoKind::Free
            }
            (_, Some(TempoWord::Swing(on))) => swing(on),
            _ => {
                // Words beside a tempo are its words, even unknown ones, unless they mean
                // something for the players.
                if has_tempo && sentence.pieces.iter().all(is_expression) {
                    if words.prominent && !text.is_empty() {
                        self.tempo(words, TempoKind::Term, text, None);
                    } else if sentence.unknown > 0 || !sentence.pieces.is_empty() {
                        self.push(words, MarkingKind::Expression, PlayerSet::ALL);
                    }
                    return true;
                }
                return false;
            }
        };
        let end = words.end.or(sentence.to_end.then_some(END));
        // "Andante rubato" and "Medium swing" say two things about time.
        for word in sentence.pieces.iter().filter_map(tempo_of) {
            match word {
                TempoWord::Free if !matches!(kind, TempoKind::Free | TempoKind::Gradual { .. }) => {
                    self.tempo(words, TempoKind::Free, text, None);
                }
                TempoWord::Swing(on) if kind != swing(on) => {
                    self.tempo(words, swing(on), text, None);
                }
                _ => {}
            }
        }
        self.tempo(words, kind, text, end);
        // "Tempo I, arco" and "cresc. ed accel." say more than a tempo.
        let of_time = |piece: &&Piece| {
            !matches!(piece, Piece::Known(Meaning::Tempo(_) | Meaning::Expression))
        };
        let others: Vec<Piece> = sentence.pieces.iter().filter(of_time).cloned().collect();
        self.pieces(words, &others, sentence.to_end);
        true
    }

    pub(super) fn tempo(
        &mut self,
        words: &RawWords,
        kind: TempoKind,
        text: &str,
        end: Option<Pos>,
    ) {
        // A metronome mark in the same direction carries the words already.
        let beside = self.printed.contains(&(words.pos, words.text.clone()));
        if beside && kind == TempoKind::Term {
            return;
        }
        self.part.tempi.push(RawTempo {
            pos: words.pos,
            end,
            kind,
            words: text.to_owned(),
            byte: words.byte,
        });
    }
}

/// Swing by its word alone, of eighths as the standard takes it where nothing else is said (MusicXML
/// 4.0, `swing-type`).
fn swing(on: bool) -> TempoKind {
    let unit = Quarters::new(1, 2).unwrap_or(Quarters::ONE);
    if on { TempoKind::Swing { ratio: None, unit } } else { TempoKind::Straight }
}

fn is_expression(piece: &Piece) -> bool {
    matches!(piece, Piece::Known(Meaning::Expression | Meaning::Tempo(_)))
}

fn any_gradual(sentence: &Sentence) -> Option<bool> {
    sentence.pieces.iter().find_map(|piece| match piece {
        Piece::Known(Meaning::Tempo(TempoWord::Gradual(faster))) => Some(*faster),
        _ => None,
    })
}
