//! `bonewright assess --json`; every key is described in `JSON.md`.

use super::assessed::{Assessed, COMPARISON};
use crate::json::{JSON_VERSION, pretty};
use assess::Assessment;
use serde::Serialize;
use work::AirFrom;

/// The assessment as one JSON object, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn assess_json(of: &Assessed) -> Result<String, serde_json::Error> {
    pretty(&Document {
        format: "bonewright-assess",
        version: JSON_VERSION,
        title: of.title,
        caution: COMPARISON,
        verdict: of.fork(),
        impossible: of.impossible(),
        humidity_from: of.air.map(|from| match from {
            AirFrom::Assess => "assess",
            AirFrom::Book => "book",
        }),
        advice: of.found.findings.iter().map(|f| of.advice(f)).collect(),
        found: of.found,
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    caution: &'static str,
    verdict: String,
    impossible: Vec<String>,
    humidity_from: Option<&'static str>,
    advice: Vec<String>,
    #[serde(flatten)]
    found: &'a Assessment,
}
