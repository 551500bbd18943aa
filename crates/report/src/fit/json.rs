//! `bonewright fit --json`; every key is described in `JSON.md`.

use super::fitted::Fitted;
use crate::filing::{StrokeOut, stroke_out};
use crate::json::{Document as PlanDocument, JSON_VERSION, Say, document, pretty};
use crate::{Note, notes};
use saddle::{Doubt, Outcome, StringFit, StringPlan, StringWork, StrungString};
use serde::Serialize;
use units::BenchUnit;

/// The fit as one JSON object, at full precision; `bench` is for the words of the corrected plan's notes.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn fit_json(title: &str, fitted: &Fitted, bench: BenchUnit) -> Result<String, serde_json::Error> {
    let fit = fitted.fit;
    let notes: Vec<Note> = notes(&fit.next, &fit.corrected, bench);
    let (say, by) = match fit.outcome {
        Outcome::Good => ("good", None),
        Outcome::File => ("file", None),
        Outcome::Shim(by) => ("shim", Some(by)),
        Outcome::NewSaddle(by) => ("new-saddle", Some(by)),
        Outcome::ReadAgain => ("read-again", None),
    };
    let strings = fitted.made.strings.iter().zip(fitted.read).zip(&fit.strings);
    pretty(&Document {
        format: "bonewright-fit",
        version: JSON_VERSION,
        title,
        limits: LimitsOut {
            action: fitted.limits.action,
            cents: fitted.limits.cents,
            stray_action: fitted.limits.stray_action,
            stray_cents: fitted.limits.stray_cents,
        },
        seat: Seat {
            bass: fit.seat.bass,
            treble: fit.seat.treble,
        },
        lean: fit.lean,
        strings: strings.map(|((plan, read), fit)| string(plan, read, fit)).collect(),
        outcome: Say { say, by },
        next: document(title, &fit.next, &fit.corrected, &notes),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    limits: LimitsOut,
    seat: Seat,
    lean: f64,
    strings: Vec<StringOut<'a>>,
    outcome: Say,
    next: PlanDocument<'a>,
}

#[derive(Serialize)]
struct LimitsOut {
    action: f64,
    cents: f64,
    stray_action: f64,
    stray_cents: f64,
}

#[derive(Serialize)]
struct Seat {
    bass: f64,
    treble: f64,
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    read: Read,
    action_12: f64,
    cents_12: f64,
    stretch: f64,
    off_seat: Option<f64>,
    lower: f64,
    move_back: f64,
    move_alone: Option<StrokeOut>,
    then_action_12: f64,
    then_cents_12: f64,
    verdict: Say,
    doubt: Option<DoubtOut>,
}

#[derive(Serialize)]
struct Read {
    action_12: Option<f64>,
    first_fret_clearance: Option<f64>,
    cents_12: Option<f64>,
    cents_at: Vec<CentsAt>,
}

#[derive(Serialize)]
struct CentsAt {
    fret: u32,
    cents: f64,
}

#[derive(Serialize)]
struct DoubtOut {
    about: &'static str,
    fret: u32,
    off: Option<f64>,
    read: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

fn doubt(doubt: &Doubt) -> DoubtOut {
    let (about, fret, off, read, low, high) = match *doubt {
        Doubt::Action { off } => ("action", 12, Some(off), None, None, None),
        Doubt::Cents(strings::CalibrationError::Doubtful { read, low, high }) => {
            ("cents", 12, None, Some(read), Some(low), Some(high))
        }
        Doubt::OtherFret { fret, read, model } => ("cents", fret, None, Some(read), Some(model), Some(model)),
    };
    DoubtOut {
        about,
        fret,
        off,
        read,
        low,
        high,
    }
}

fn string<'a>(plan: &'a StringPlan, read: &StrungString, fit: &StringFit) -> StringOut<'a> {
    let (say, by) = match fit.verdict {
        StringWork::Good => ("good", None),
        StringWork::File => ("file", None),
        StringWork::TooLow(by) => ("too-low", Some(by)),
        StringWork::Doubtful(_) => ("doubtful", None),
    };
    StringOut {
        number: plan.number,
        note: &plan.note,
        read: Read {
            action_12: read.action_12,
            first_fret_clearance: read.clearance,
            cents_12: read.cents_12,
            cents_at: read
                .others
                .iter()
                .map(|&(fret, cents)| CentsAt { fret, cents })
                .collect(),
        },
        action_12: fit.action_12,
        cents_12: fit.cents_12,
        stretch: fit.stretch,
        off_seat: fit.off_seat,
        lower: fit.lower,
        move_back: fit.move_back,
        move_alone: fit.move_alone.as_ref().map(stroke_out),
        then_action_12: fit.then_action_12,
        then_cents_12: fit.then_cents_12,
        verdict: Say { say, by },
        doubt: match &fit.verdict {
            StringWork::Doubtful(why) => Some(doubt(why)),
            _ => None,
        },
    }
}
