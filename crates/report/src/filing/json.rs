//! `bonewright filing --json`; every key is described in `JSON.md`.

use crate::json::{JSON_VERSION, Say, pretty};
use instrument::BlankPoint;
use saddle::filing::{Limit, Move, PresentCrown, Proud, Stroke};
use serde::Serialize;
use work::{FiledString, Filing, FilingVerdict, Untuned};

/// The set as one JSON object, at full precision. `stops`: why the saddle is not to be made.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn filing_json(title: &str, filing: &Filing, stops: &[String]) -> Result<String, serde_json::Error> {
    pretty(&Document {
        format: "bonewright-filing",
        version: JSON_VERSION,
        title,
        stops,
        at_height: filing.terms.at_height,
        allowed: filing.terms.allowed,
        step: filing.terms.step,
        strings: filing.strings.iter().map(string).collect(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    stops: &'a [String],
    at_height: bool,
    allowed: f64,
    step: f64,
    strings: Vec<StringOut<'a>>,
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    crown: CrownOut,
    before: Before,
    target: Target,
    asked: Asked,
    stroke: Option<Stroke>,
    refusal: Option<String>,
    verdict: Say,
    untuned: Option<Untuned>,
    proud: Option<Proud>,
    floor_12: f64,
    furthest: Furthest,
    steps: &'a [Option<Stroke>],
}

#[derive(Serialize)]
struct CrownOut {
    shape: &'static str,
    fall: Option<f64>,
    radius: Option<f64>,
}

#[derive(Serialize)]
struct Before {
    contact: BlankPoint,
    proud: f64,
    action_12: f64,
    action_1: f64,
    cents_12: f64,
}

#[derive(Serialize)]
struct Target {
    action_12: f64,
    cents_12: f64,
}

#[derive(Serialize)]
struct Asked {
    by: &'static str,
    forward: Option<f64>,
    cents: Option<f64>,
}

#[derive(Serialize)]
struct Furthest {
    until: &'static str,
    forward: Option<f64>,
}

fn string<'a>(s: &'a FiledString<'a>) -> StringOut<'a> {
    let (shape, fall, radius) = match s.ask.crown {
        PresentCrown::Flat => ("flat", None, None),
        PresentCrown::Facet { fall } => ("facet", Some(fall), None),
        PresentCrown::Rounded { radius } => ("rounded", None, Some(radius)),
        PresentCrown::Planned => ("planned", None, None),
    };
    let (by, forward, cents) = match s.ask.step {
        None => ("plan", None, None),
        Some(Move::Forward(forward)) => ("length", Some(forward), None),
        Some(Move::Cents(cents)) => ("cents", None, Some(cents)),
    };
    let (say, short) = match s.verdict {
        FilingVerdict::Still => ("still", None),
        FilingVerdict::NotWorth => ("not-worth", None),
        FilingVerdict::Go => ("go", None),
        FilingVerdict::LeaveProud(by) => ("leave-proud", Some(by)),
        FilingVerdict::EndsLow(by) => ("ends-low", Some(by)),
        FilingVerdict::OutsideLand(by) => ("outside-land", Some(by)),
        FilingVerdict::Rises(by) => ("rises", Some(by)),
        FilingVerdict::OffBlank => ("off-blank", None),
        FilingVerdict::OutOfReach => ("out-of-reach", None),
    };
    let (until, furthest) = match s.furthest {
        Limit::Floor(forward) => ("floor", Some(forward)),
        Limit::Land(forward) => ("land", Some(forward)),
        Limit::Already => ("already-low", None),
    };
    StringOut {
        number: s.plan.number,
        note: &s.plan.note,
        crown: CrownOut { shape, fall, radius },
        before: Before {
            contact: s.before.contact,
            proud: s.proud_now,
            action_12: s.before.action_12,
            action_1: s.before.action_1,
            cents_12: s.before.cents_12,
        },
        target: Target {
            action_12: s.plan.action_12,
            cents_12: s.plan.aim_cents_12,
        },
        asked: Asked { by, forward, cents },
        stroke: s.stroke.ok(),
        refusal: s.stroke.as_ref().err().map(ToString::to_string),
        verdict: Say { say, by: short },
        untuned: s.untuned,
        proud: s.proud.ok(),
        floor_12: s.ask.floor,
        furthest: Furthest {
            until,
            forward: furthest,
        },
        steps: &s.steps,
    }
}
