//! `bonewright tolerance --json`; every key is described in `JSON.md`.

use super::words::{self, In};
use crate::json::{JSON_VERSION, pretty};
use saddle::tolerance::{Band, Share, StringSpread};
use serde::Serialize;
use work::Sureness;

/// The sureness as one JSON object, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn tolerance_json(title: &str, sure: &Sureness) -> Result<String, serde_json::Error> {
    let (tolerance, sampling) = (&sure.tolerance, sure.sampling);
    let first = &tolerance.first_order;
    let deviations = first.action.iter().zip(&first.cents);
    let strings = sure.plan.strings.iter().zip(&tolerance.strings).zip(deviations);
    pretty(&Document {
        format: "bonewright-tolerance",
        version: JSON_VERSION,
        title,
        samples: tolerance.samples,
        seed: sampling.seed,
        confidence: sampling.confidence,
        band: sure.band,
        all_within: tolerance.all_within,
        any_too_low: tolerance.any_too_low,
        proud: tolerance.proud,
        strings: strings
            .map(|((plan, spread), (&action, &cents))| StringOut {
                number: plan.number,
                note: &plan.note,
                spread,
                first_order: FirstOrder { action, cents },
            })
            .collect(),
        readings: first.shares.iter().map(reading).collect(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    samples: usize,
    seed: u64,
    confidence: f64,
    band: Band,
    all_within: f64,
    any_too_low: f64,
    proud: f64,
    strings: Vec<StringOut<'a>>,
    readings: Vec<ReadingOut<'a>>,
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    #[serde(flatten)]
    spread: &'a StringSpread,
    first_order: FirstOrder,
}

#[derive(Serialize)]
struct FirstOrder {
    action: f64,
    cents: f64,
}

#[derive(Serialize)]
struct ReadingOut<'a> {
    reading: &'static str,
    unit: &'static str,
    #[serde(flatten)]
    share: &'a Share,
}

fn reading(share: &Share) -> ReadingOut<'_> {
    ReadingOut {
        reading: words::key(share.reading),
        unit: match words::unit(share.reading) {
            In::Length => "mm",
            In::Angle => "rad",
            In::Share => "share",
            In::Cents => "cents",
            In::Number => "1",
        },
        share,
    }
}
