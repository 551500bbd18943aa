//! `bonewright fit --json`; every key is described in `JSON.md`.

use crate::doubted::doubts_after;
use crate::json::{Document as PlanDocument, Say, document, pretty};
use crate::{Note, notes};
use instrument::{Of, StrungString};
use saddle::filing::Stroke;
use saddle::{FitLimits, Seat, StringFit, StringPlan, Wishes};
use serde::Serialize;
use units::BenchUnit;
use work::{Borne, Charge, Fitted, Left, Place, StringLeft, Untunable, Whole, Wrong};

/// Version of this format: in the second a doubt may be of any reading, or of what is known beforehand.
pub(crate) const FIT_JSON_VERSION: u32 = 2;

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
        version: FIT_JSON_VERSION,
        title,
        limits: fitted.limits,
        seat: fit.seat,
        lean: fit.lean,
        strings: strings
            .map(|(((plan, read), fit), left)| string(plan, read, fit, left))
            .collect(),
        whole: whole(fitted.whole()),
        doubts: doubts(fitted, bench),
        next: document(title, &fit.next, None, &fit.corrected, wishes.as_ref(), &notes),
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
    doubts: Vec<DoubtOut>,
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
    say: String,
    may_be: Vec<ChargeOut>,
}

#[derive(Serialize)]
struct ChargeOut {
    what: &'static str,
    reading: Option<&'static str>,
    fret: Option<u32>,
    string: Option<u32>,
    end: Option<&'static str>,
    visit: Option<u32>,
    over_made: Option<bool>,
    over: f64,
    sure_to: f64,
}

fn doubts(fitted: &Fitted, bench: BenchUnit) -> Vec<DoubtOut> {
    let each = doubts_after(fitted, bench).into_iter().zip(&fitted.doubted);
    each.map(|(say, doubted)| DoubtOut {
        say,
        may_be: doubted.charges.iter().map(charge).collect(),
    })
    .collect()
}

fn charge(charge: &Charge) -> ChargeOut {
    let mut out = ChargeOut {
        what: "reading",
        reading: None,
        fret: None,
        string: None,
        end: None,
        visit: None,
        over_made: None,
        over: charge.over,
        sure_to: charge.sure_to,
    };
    let end = |end: usize| Some(if end == 0 { "bass" } else { "treble" });
    match &charge.what {
        Wrong::Reading(reading) => {
            out.of(reading.of);
            match reading.place {
                Place::Whole => {}
                Place::End(at) => out.end = end(at),
                Place::String(number) => out.string = Some(number),
            }
            out.visit = Some(reading.visit);
            out.over_made = Some(reading.over_made);
        }
        Wrong::NotTheSet(number) => (out.what, out.string) = ("set", Some(*number)),
        Wrong::Pull(number) => (out.what, out.string) = ("pull", Some(*number)),
        Wrong::NotBetween(number, of) => {
            (out.what, out.string) = ("between", Some(*number));
            out.of(*of);
        }
        Wrong::Tool(_, of) => {
            out.what = "tool";
            out.of(*of);
        }
        Wrong::Contact(number) => (out.what, out.string) = ("contact", Some(*number)),
        Wrong::Seat(at) => (out.what, out.end) = ("seat", end(*at)),
        Wrong::Straightedge => out.what = "straightedge",
        Wrong::Floor => out.what = "floor",
        Wrong::Ends => out.what = "ends",
        Wrong::StandOff => out.what = "stand-off",
        Wrong::Moved(visit) => (out.what, out.visit) = ("moved", Some(*visit)),
        Wrong::Made => out.what = "made",
    }
    out
}

impl ChargeOut {
    fn of(&mut self, of: Of) {
        self.reading = Some(job::reading_word(of));
        self.fret = match of {
            Of::Action { fret } | Of::Cents { fret } => Some(fret),
            _ => None,
        };
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
    }
}
