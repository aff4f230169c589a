//! The textures, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_analysis::texture::TextureClass;
use barloom_core::bar::BarAddress;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = Vec::new();
    let movements = env.basis.score.movements.iter().zip(&env.tracks.movements);
    for (movement, tracks) in movements {
        for span in &tracks.textures {
            let mut row = row_at(env, BarAddress::start_of(movement.id, span.from), None);
            if span.to != span.from {
                row.place.push_str(&format!("–{}", movement.bar_name(span.to)));
            }
            row.head = span.words();
            let said = [span.numbers(), span.strength()];
            let said: Vec<String> = said.into_iter().filter(|words| !words.is_empty()).collect();
            row.text = said.join(" · ");
            row.light |= span.class == TextureClass::Silence;
            rows.push(row);
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::lists::{ListKind, Sorting};
    use crate::model::status::Status;
    use crate::model::view_state::ViewState;
    use barloom_analysis::Tracks;
    use barloom_analysis::texture::TextureSpan;
    use barloom_core::bar::BarIndex;

    #[test]
    fn a_row_says_the_class_and_the_numbers_behind_it() {
        let basis = crate::testing::basis();
        let mut tracks = Tracks::default();
        tracks.movements.resize_with(basis.score.movements.len(), Default::default);
        tracks.movements[1].textures = vec![TextureSpan {
            from: BarIndex(1),
            to: BarIndex(3),
            class: TextureClass::Homophony,
            relation: TextureClass::Homophony,
            n_parts: 4,
            n_lines: 4,
            synchrony: 0.9,
            together: 0.5,
            weight: 4.0,
            ..TextureSpan::default()
        }];
        let (study, view) = (crate::testing::study(&basis), ViewState::default());
        let status = Status::default();
        let env =
            Env { basis: &basis, tracks: &tracks, study: &study, view: &view, status: &status };
        let rows = super::super::rows(ListKind::Texture, Sorting::ByBar, &env);
        assert_eq!(rows[0].goes_to, Some((1, Some(BarIndex(1)))));
        assert_eq!(rows[0].head, "homophony");
        assert_eq!(
            rows[0].text,
            "4 parts in 4 lines, 90 % of the attacks together, 50 % of the moves alike · \
             as strong as 4 woodwinds"
        );
    }
}
