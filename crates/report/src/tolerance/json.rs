//! `bonewright tolerance --json`; every key is described in `JSON.md`.

use super::sureness::Sureness;
use super::words::{self, In};
use crate::json::{JSON_VERSION, pretty};
use saddle::tolerance::{Share, Spread, StringSpread};
use serde::Serialize;

/// The sureness as one JSON object, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn tolerance_json(title: &str, sure: &Sureness) -> Result<String, serde_json::Error> {
    let (tolerance, sampling) = (sure.tolerance, sure.sampling);
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
        band: Band {
            action: sure.band.action,
            cents: sure.band.cents,
        },
        all_within: tolerance.all_within,
        any_too_low: tolerance.any_too_low,
        proud: tolerance.proud,
        strings: strings
            .map(|((plan, spread), (&action, &cents))| string(&plan.note, spread, FirstOrder { action, cents }))
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
struct Band {
    action: f64,
    cents: f64,
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    action: SpreadOut,
    cents: SpreadOut,
    within: f64,
    too_low: f64,
    proud: f64,
    first_order: FirstOrder,
}

#[derive(Serialize)]
struct SpreadOut {
    mean: f64,
    deviation: f64,
    low: f64,
    high: f64,
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
    sigma: f64,
    of_all: f64,
    of_action: &'a [f64],
    of_cents: &'a [f64],
}

fn spread(s: &Spread) -> SpreadOut {
    SpreadOut {
        mean: s.mean,
        deviation: s.deviation,
        low: s.low,
        high: s.high,
    }
}

fn string<'a>(note: &'a str, s: &StringSpread, first_order: FirstOrder) -> StringOut<'a> {
    StringOut {
        number: s.number,
        note,
        action: spread(&s.action),
        cents: spread(&s.cents),
        within: s.within,
        too_low: s.too_low,
        proud: s.proud,
        first_order,
    }
}

fn reading(share: &Share) -> ReadingOut<'_> {
    ReadingOut {
        reading: words::key(share.reading),
        unit: match words::unit(share.reading) {
            In::Length => "mm",
            In::Angle => "rad",
            In::Share => "share",
        },
        sigma: share.sigma,
        of_all: share.of_all,
        of_action: &share.of_action,
        of_cents: &share.of_cents,
    }
}
