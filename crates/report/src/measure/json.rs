//! `bonewright measure --json`; every key is described in `JSON.md`.

use crate::json::{JSON_VERSION, pretty};
use crate::taken::unit;
use instrument::{At, Of};
use saddle::tolerance::Band;
use serde::Serialize;
use work::{Next, NextStep};

/// What to read next as one JSON object, at full precision; `numbers` are those of the strings, bass to treble.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn measure_json(title: &str, next: &Next, numbers: &[u32]) -> Result<String, serde_json::Error> {
    pretty(&Document {
        format: "bonewright-measure",
        version: JSON_VERSION,
        title,
        band: next.band,
        wished: next.wished,
        now: next.now,
        visit: next.visit,
        no_nut: next.no_nut,
        kinds: list(&next.kinds, numbers),
        singles: list(&next.singles, numbers),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    band: Band,
    wished: f64,
    now: f64,
    visit: u32,
    no_nut: bool,
    kinds: Vec<StepOut<'a>>,
    singles: Vec<StepOut<'a>>,
}

#[derive(Serialize)]
struct StepOut<'a> {
    reading: &'static str,
    fret: Option<u32>,
    strings: Vec<u32>,
    ends: Vec<&'static str>,
    tool: &'a str,
    sure_to: f64,
    unit: &'static str,
    again: bool,
    chance: f64,
}

fn list<'a>(steps: &'a [NextStep], numbers: &[u32]) -> Vec<StepOut<'a>> {
    steps.iter().map(|step| one(step, numbers)).collect()
}

fn one<'a>(step: &'a NextStep, numbers: &[u32]) -> StepOut<'a> {
    let places = || step.places.iter();
    StepOut {
        reading: job::reading_word(step.of),
        fret: match step.of {
            Of::Action { fret } | Of::Cents { fret } => Some(fret),
            _ => None,
        },
        strings: places()
            .filter_map(|at| match at {
                At::String(i) => numbers.get(*i).copied(),
                _ => None,
            })
            .collect(),
        ends: places()
            .filter_map(|at| match at {
                At::End(0) => Some("bass"),
                At::End(_) => Some("treble"),
                _ => None,
            })
            .collect(),
        tool: &step.tool,
        sure_to: step.sure_to,
        unit: unit(step.of),
        again: step.again,
        chance: step.chance,
    }
}
