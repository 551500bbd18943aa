//! `bonewright fit --json`; every key is described in `JSON.md`.

use crate::json::{Document as PlanDocument, JSON_VERSION, Say, document, pretty};
use crate::{Note, notes};
use instrument::StrungString;
use saddle::{Doubt, FitLimits, Outcome, Seat, StringFit, StringPlan, StringWork};
use serde::Serialize;
use units::BenchUnit;
use work::{Fitted, Left, StringLeft, Whole};

/// The fit as one JSON object, at full precision; `bench` is for the words of the corrected plan's notes.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn fit_json(title: &str, fitted: &Fitted, bench: BenchUnit) -> Result<String, serde_json::Error> {
    let fit = &fitted.fit;
    let notes: Vec<Note> = notes(&fitted.next_remarks(), &fit.next, bench);
    let (say, by) = match fit.outcome {
        Outcome::Good => ("good", None),
        Outcome::File => ("file", None),
        Outcome::Shim(by) => ("shim", Some(by)),
        Outcome::NewSaddle(by) => ("new-saddle", Some(by)),
        Outcome::ReadAgain => ("read-again", None),
    };
    let strings = fitted
        .made
        .strings
        .iter()
        .zip(fitted.read)
        .zip(&fit.strings)
        .zip(fitted.strings());
    pretty(&Document {
        format: "bonewright-fit",
        version: JSON_VERSION,
        title,
        limits: fitted.limits,
        seat: fit.seat,
        lean: fit.lean,
        strings: strings
            .map(|(((plan, read), fit), left)| string(plan, read, fit, left))
            .collect(),
        outcome: Say { say, by },
        whole: whole(fitted.whole()),
        next: document(title, &fit.next, &fit.corrected, &notes),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    limits: FitLimits,
    seat: Seat,
    lean: f64,
    strings: Vec<StringOut<'a>>,
    outcome: Say,
    whole: Say,
    next: PlanDocument<'a>,
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    read: &'a StrungString,
    #[serde(flatten)]
    fit: &'a StringFit,
    then_action_12: f64,
    then_cents_12: f64,
    verdict: Say,
    left: Say,
    doubt: Option<DoubtOut>,
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

fn whole(whole: Whole) -> Say {
    let (say, by) = match whole {
        Whole::Good => ("good", None),
        Whole::AsNear => ("as-near", None),
        Whole::File => ("file", None),
        Whole::Shim(by) => ("shim", Some(by)),
        Whole::NewSaddle(by) => ("new-saddle", Some(by)),
        Whole::ReadAgain => ("read-again", None),
    };
    Say { say, by }
}

fn left_say(left: Left) -> Say {
    let (say, by) = match left {
        Left::Good => ("good", None),
        Left::File => ("file", None),
        Left::Held => ("held", None),
        Left::Low(by) => ("low", Some(by)),
        Left::TooLow(by) => ("too-low", Some(by)),
        Left::ReadAgain => ("read-again", None),
    };
    Say { say, by }
}

fn string<'a>(plan: &'a StringPlan, read: &'a StrungString, fit: &'a StringFit, left: StringLeft) -> StringOut<'a> {
    let (say, by) = match fit.verdict {
        StringWork::Good => ("good", None),
        StringWork::File => ("file", None),
        StringWork::TooLow(by) => ("too-low", Some(by)),
        StringWork::Doubtful(_) => ("doubtful", None),
    };
    StringOut {
        number: plan.number,
        note: &plan.note,
        read,
        fit,
        then_action_12: left.then_action_12,
        then_cents_12: left.then_cents_12,
        verdict: Say { say, by },
        left: left_say(left.left),
        doubt: match &fit.verdict {
            StringWork::Doubtful(why) => Some(doubt(why)),
            _ => None,
        },
    }
}
