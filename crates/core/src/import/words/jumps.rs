//! Words that send the play elsewhere: D.C., D.S., Fine, To Coda.

use super::tokens::tokens;
use crate::bar::{BarFlow, Jump};

/// What a text says about the order of play, set in `flow`. Answers whether it says anything.
pub(crate) fn read(text: &str, flow: &mut BarFlow) -> bool {
    let words = tokens(text);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let has = |phrase: &[&str]| words.windows(phrase.len()).any(|window| window == phrase);
    if has(&["d", "c"]) || has(&["dc"]) || has(&["da", "capo"]) || has(&["dacapo"]) {
        // In the middle of a longer sentence ("come prima, poi da capo") it is still an order.
        flow.jump = Some(Jump::DaCapo);
        return true;
    }
    let sign = has(&["d", "s"]) || has(&["ds"]) || has(&["dal", "segno"]) || has(&["del", "segno"]);
    if sign {
        flow.jump = Some(Jump::DalSegno);
        return true;
    }
    if has(&["to", "coda"])
        || has(&["al", "coda"])
        || has(&["alla", "coda"])
        || has(&["zur", "coda"])
    {
        flow.to_coda = true;
        return true;
    }
    if words == ["coda"] {
        flow.coda = true;
        return true;
    }
    if words == ["fine"] || words == ["fin"] || words == ["ende"] {
        flow.fine = true;
        return true;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str) -> BarFlow {
        let mut flow = BarFlow::default();
        read(text, &mut flow);
        flow
    }

    #[test]
    fn the_usual_words_are_known() {
        for text in ["D.C.", "D. C. al Fine", "Da Capo", "da capo al coda", "DC"] {
            let flow = check(text);
            assert_eq!((flow.jump, flow.to_coda, flow.fine), (Some(Jump::DaCapo), false, false));
        }
        assert_eq!(check("D.S. al Coda").jump, Some(Jump::DalSegno));
        assert_eq!(check("Dal segno senza repetizione").jump, Some(Jump::DalSegno));
        assert!(check("To Coda").to_coda);
        assert!(check("Fine").fine);
        assert!(check("Coda").coda);
        for text in ["dolce", "c. d.", "fine ad lib."] {
            assert_eq!(check(text), BarFlow::default(), "{text}");
        }
    }
}
