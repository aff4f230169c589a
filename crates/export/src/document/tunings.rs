//! Harp pedals and timpani as rows for the template.

use super::Files;
use crate::figures::pedals;
use barloom_analysis::plan::{
    PlanDrum, PlanHarp, PlanMovement, PlanSetting, PlanTimpani, StudyPlan,
};
use serde_json::{Value, json};

/// "III. Lock gates: Harp", or the part alone in a work of one movement.
fn name(plan: &StudyPlan, movement: &PlanMovement, part: &str) -> String {
    if plan.movements.len() > 1 { format!("{}: {part}", movement.heading) } else { part.to_owned() }
}

/// The settings of each harp with their diagrams, one list a movement and harp.
pub(super) fn harps(plan: &StudyPlan, files: &mut Files) -> Vec<Value> {
    let mut row = |setting: &PlanSetting| {
        let changed = match setting.changed {
            0 => String::new(),
            1 => String::from("1 pedal moved"),
            n => format!("{n} pedals moved"),
        };
        json!({
            "place": setting.place,
            "figure": files.add(pedals::draw(setting.pedals)),
            "words": pedals::in_words(setting.pedals),
            "changed": changed,
            "moves": setting.moves.join("; "),
        })
    };
    let mut lists = Vec::new();
    for movement in &plan.movements {
        for PlanHarp { part, settings, problems } in &movement.harps {
            let rows: Vec<Value> = settings.iter().map(&mut row).collect();
            let name = name(plan, movement, part);
            lists.push(json!({ "name": name, "rows": rows, "problems": problems }));
        }
    }
    lists
}

/// The drums of each player of timpani, one list a movement and part.
pub(super) fn timpani(plan: &StudyPlan) -> Vec<Value> {
    let row = |drum: &PlanDrum| {
        let first = if drum.first.is_empty() { "not needed" } else { &drum.first };
        json!([drum.size, drum.range, first, drum.tunings.join("; ")])
    };
    let mut lists = Vec::new();
    for movement in &plan.movements {
        for PlanTimpani { part, drums, problems } in &movement.timpani {
            let rows: Vec<Value> = drums.iter().map(row).collect();
            let name = name(plan, movement, part);
            lists.push(json!({ "name": name, "rows": rows, "problems": problems }));
        }
    }
    lists
}
