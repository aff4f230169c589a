//! From a plan to what the typesetter reads: one template, the plan as data, the drawings as files.
//!
//! The template holds the form of every chapter; this module only arranges data for it. No user text
//! ever becomes part of the template.

mod grids;
mod lists;
pub(crate) mod sheet;
mod tunings;

use crate::figures::canvas::{Drawing, Run};
use crate::options::{ExportError, ExportOptions, Paper};
use crate::world::PlanWorld;
use barloom_analysis::plan::{PlanMovement, StudyPlan, words};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use typst::foundations::Bytes;

const TEMPLATE: &str = include_str!("plan.typ");

/// Margins in points: left and right, top, bottom. 13 mm at the sides.
const SIDE_PT: f64 = 36.85;
const TOP_PT: f64 = 36.0;
const BOTTOM_PT: f64 = 48.0;

/// The room for content on a page of this paper, in points.
pub(crate) fn room(paper: Paper) -> (f64, f64) {
    let (width, height) = paper.size_pt();
    (width - 2.0 * SIDE_PT, height - TOP_PT - BOTTOM_PT)
}

/// The world in which a plan is set.
pub(crate) fn world(plan: &StudyPlan, options: &ExportOptions) -> Result<PlanWorld, ExportError> {
    let mut files = Files::default();
    let data = data(plan, options, &mut files);
    let text =
        serde_json::to_vec(&data).map_err(|error| ExportError::Typesetting(error.to_string()))?;
    files.files.insert(String::from("/plan.json"), Bytes::new(text));
    PlanWorld::new(TEMPLATE, files.files)
        .ok_or_else(|| ExportError::Typesetting(String::from("the template has no place")))
}

/// The drawings by path; equal ones are kept once.
#[derive(Default)]
struct Files {
    files: BTreeMap<String, Bytes>,
    known: BTreeMap<String, String>,
}

impl Files {
    /// Takes a drawing in; answers what the template needs to place it.
    fn add(&mut self, drawing: Drawing) -> Value {
        let next = format!("/drawing-{}.svg", self.known.len() + 1);
        let path = self.known.entry(drawing.svg).or_insert_with_key(|svg| {
            self.files.insert(next.clone(), Bytes::from_string(svg.clone()));
            next
        });
        let text = |text: &crate::figures::canvas::Text| {
            json!([text.x, text.y, text.size, text.face.key(), text.ink.0, text.text])
        };
        json!({
            "path": path,
            "width": drawing.width,
            "height": drawing.height,
            "alt": drawing.alt,
            "texts": drawing.texts.iter().map(text).collect::<Vec<_>>(),
        })
    }
}

fn data(plan: &StudyPlan, options: &ExportOptions, files: &mut Files) -> Value {
    let (width, height) = options.paper.size_pt();
    let (room_width, _) = room(options.paper);
    let longest = plan.movements.iter().map(|movement| movement.seconds).fold(0.0, f64::max);
    let grids: Vec<Value> = plan
        .movements
        .iter()
        .map(|movement| grids::movement(plan, movement, options.paper, files))
        .collect();
    let glance: Vec<Value> = plan
        .movements
        .iter()
        .map(|movement| {
            let strip = crate::figures::glance::draw(movement, room_width, longest);
            json!({ "movement": summary(movement), "strip": files.add(strip) })
        })
        .collect();
    let played: f64 = plan.movements.iter().map(|movement| movement.played_seconds).sum();
    let written: f64 = plan.movements.iter().map(|movement| movement.seconds).sum();
    json!({
        "paper": { "width": width, "height": height, "side": SIDE_PT, "top": TOP_PT, "bottom": BOTTOM_PT },
        "title": plan.title,
        "composer": plan.composer,
        "author": plan.author,
        "version": plan.version,
        "date": options.date.map(long_date),
        "forces": plan.forces,
        "families": plan.families.iter().map(|row| json!([row.family, row.parts.join(", ")])).collect::<Vec<_>>(),
        "needs": plan.needs.iter().map(|row| json!([row.part, row.what.join(", ")])).collect::<Vec<_>>(),
        "seats": plan.seats.iter().map(|row| json!([row.depth, row.sides])).collect::<Vec<_>>(),
        "total": [words::clock(written), words::clock(played)],
        "movements": plan.movements.iter().map(summary).collect::<Vec<_>>(),
        "glance": glance,
        "key": files.add(crate::figures::key::draw(room_width)),
        "grids": grids,
        "cues": lists::cues(plan),
        "players": lists::cues_by_player(plan),
        "entrances": lists::entrances(plan),
        "beatings": lists::beatings(plan, files),
        "tables": lists::tables(plan),
        "harps": tunings::harps(plan, files),
        "timpani": tunings::timpani(plan),
        "layers": lists::layers(plan),
        "looks": plan.looks.iter().map(|look| json!([look.place, look.what])).collect::<Vec<_>>(),
    })
}

/// A movement in one line.
fn summary(movement: &PlanMovement) -> Value {
    json!({
        "heading": movement.heading,
        "tempo": first_tempo(movement),
        "bars": movement.n_bars,
        "meters": movement.meters.join(", "),
        "written": words::clock(movement.seconds),
        "played": words::clock(movement.played_seconds),
        "order": movement.order,
    })
}

fn first_tempo(movement: &PlanMovement) -> Value {
    let first = movement.tempi.first().filter(|tempo| tempo.at.bar == 0);
    run(&first.map(|tempo| crate::figures::music::tempo(tempo, 9.0)).unwrap_or_default())
}

/// A run of texts for the template: face, text and size in points.
fn run(run: &Run) -> Value {
    run.iter().map(|(kind, text)| json!([kind.face.key(), text, kind.size])).collect()
}

/// "25 November 2026".
fn long_date((year, month, day): (i32, u8, u8)) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    match MONTHS.get(usize::from(month).wrapping_sub(1)) {
        Some(month) => format!("{day} {month} {year}"),
        None => year.to_string(),
    }
}
