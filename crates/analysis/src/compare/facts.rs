//! A comparison as JSON, in the style of the facts.

use super::{Comparison, Passage, Remark};
use barloom_core::basis::Basis;
use barloom_core::part::PartIdx;
use serde_json::{Value, json};

/// A comparison; parts by the ids of the movement they are in, bars as indices in written order.
pub fn facts(basis: &Basis, comparison: &Comparison) -> Value {
    let ids = |passage: Passage, parts: &[PartIdx]| -> Vec<String> {
        let movement = basis.score.movements.get(passage.movement);
        let id = |part: &PartIdx| {
            movement.and_then(|m| m.part(*part)).map_or("", |music| music.source_id.as_str())
        };
        parts.iter().map(|part| id(part).to_owned()).collect()
    };
    let passage = |passage: Passage| json!({ "movement": passage.movement, "from": passage.from.0, "to": passage.to.0 });
    let bars: Vec<Value> = comparison
        .bars
        .iter()
        .map(|pair| {
            json!({
                "first": pair.first.map(|bar| bar.0),
                "second": pair.second.map(|bar| bar.0),
                "likeness": (f64::from(pair.likeness) * 100.0).round() / 100.0,
                "changed": pair.changed.iter().map(|aspect| aspect.name()).collect::<Vec<_>>(),
                "first_line": ids(comparison.first, &pair.first_line),
                "second_line": ids(comparison.second, &pair.second_line),
            })
        })
        .collect();
    let remark = |remark: &Remark| {
        json!({
            "aspect": remark.aspect.map(super::Aspect::name),
            "stayed": remark.stayed,
            "from": remark.from,
            "to": remark.to,
            "text": remark.text,
            "evidence": remark.evidence,
        })
    };
    json!({
        "first": passage(comparison.first),
        "second": passage(comparison.second),
        "transposition": comparison.transposition,
        "summary": comparison.summary,
        "remarks": comparison.remarks.iter().map(remark).collect::<Vec<_>>(),
        "bars": bars,
    })
}
