//! `bonewright fit --json`; every key is described in `JSON.md`.

use crate::json::{Document as PlanDocument, JSON_VERSION, Say, document, pretty};
use crate::{Note, notes};
use instrument::StrungString;
use saddle::filing::Stroke;
use saddle::{Doubt, FitLimits, Seat, StringFit, StringPlan, Wishes};
use serde::Serialize;
use units::BenchUnit;
use work::{Borne, Fitted, Left, StringLeft, Untunable, Whole};

/// The fit as one JSON object, at full precision; `bench` is for the words of the corrected plan's notes.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn fit_json(title: &str, fitted: &Fitted, bench: BenchUnit) -> Result<String, serde_json::Error> {
    let fit = &fitted.fit;
    let notes: Vec<Note> = notes(&fitted.next_remarks(), &fit.next, bench);
    let strings = fitted
        .made
        .strings
        .iter()
        .zip(fitted.read)
        .zip(&fit.strings)
        .zip(fitted.strings());
    let wishes = Wishes::of(&fit.corrected, &fit.corrected, &fit.next);
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
        whole: whole(fitted.whole()),
        next: document(title, &fit.next, &fit.corrected, wishes.as_ref(), &notes),
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
    move_back: f64,
    move_alone: Option<&'a Stroke>,
    lower: f64,
    rest: f64,
    lifted_12: f64,
    then_action_12: f64,
    then_cents_12: f64,
    untuned: Option<UntunedOut>,
    left: LeftOut,
    doubt: Option<DoubtOut>,
}

#[derive(Serialize)]
struct LeftOut {
    say: &'static str,
    floor: Option<f64>,
}

#[derive(Serialize)]
struct UntunedOut {
    off: f64,
    why: &'static str,
}

#[derive(Serialize)]
struct DoubtOut {
    about: &'static str,
    fret: u32,
    off: Option<f64>,
    gap_off: Option<f64>,
    read: Option<f64>,
    likely: Option<f64>,
}

fn doubt(doubt: &Doubt) -> DoubtOut {
    let (about, fret, off, gap_off, read, likely) = match *doubt {
        Doubt::Action { off } => ("action", 12, Some(off), None, None, None),
        Doubt::Clearance { off } => ("first-fret-clearance", 1, None, Some(off), None, None),
        Doubt::Either { action, clearance } => ("action-or-clearance", 12, Some(action), Some(clearance), None, None),
        Doubt::Cents { fret, read, likely } => ("cents", fret, None, None, Some(read), Some(likely)),
    };
    DoubtOut {
        about,
        fret,
        off,
        gap_off,
        read,
        likely,
    }
}

fn whole(whole: Whole) -> Say {
    let (say, by) = match whole {
        Whole::Good => ("good", None),
        Whole::AsNear => ("as-near", None),
        Whole::File => ("file", None),
        Whole::Shim(by) => ("shim", Some(by)),
        Whole::ShimOrNew(by) => ("shim-or-new", Some(by)),
        Whole::NewSaddle(by) => ("new-saddle", Some(by)),
        Whole::SlotsFirst => ("slots-first", None),
        Whole::ReadAgain => ("read-again", None),
    };
    Say { say, by }
}

fn left_say(left: Left) -> LeftOut {
    let say = match left {
        Left::Good => "good",
        Left::File => "file",
        Left::Held => "held",
        Left::Low(_) => "low",
        Left::Untuned => "untuned",
        Left::TooLow => "too-low",
        Left::ReadAgain => "read-again",
        Left::Wait => "wait",
        Left::WithShim => "with-shim",
        Left::Remade => "remade",
    };
    let floor = match left {
        Left::Low(Borne::OverFloor(floor)) => Some(floor),
        _ => None,
    };
    LeftOut { say, floor }
}

fn string<'a>(plan: &'a StringPlan, read: &'a StrungString, fit: &'a StringFit, left: &StringLeft) -> StringOut<'a> {
    let moved = fit.moved.as_ref().filter(|_| left.move_back != 0.0);
    StringOut {
        number: plan.number,
        note: &plan.note,
        read,
        fit,
        move_back: left.move_back,
        move_alone: moved.map(|moved| &moved.alone),
        lower: left.lower,
        rest: left.rest(),
        lifted_12: left.lifted_12,
        then_action_12: left.then_action_12,
        then_cents_12: left.then_cents_12,
        untuned: left.untuned.map(|untuned| UntunedOut {
            off: untuned.off,
            why: match untuned.why {
                Untunable::Held => "held",
                Untunable::PastLand => "past-land",
                Untunable::EndsLow => "ends-low",
                Untunable::NotWorth => "not-worth",
            },
        }),
        left: left_say(left.left),
        doubt: fit.doubt.as_ref().map(doubt),
    }
}
