//! What a stroke in a slot does, what is left after stringing up and how sure each slot is, as JSON. Every key is described in
//! `JSON.md`.

use super::filing::{judged, strokes};
use super::json::NUT_JSON_VERSION;
use super::lines::pairs;
use super::tolerance::leave_proud;
use crate::json::{Say, pretty};
use nut::NutPlan;
use nut::filing::{GOOD, Lowered, SlotWork};
use nut::tolerance::SlotSpread;
use saddle::StrungString;
use serde::Serialize;
use units::BenchUnit;

#[derive(Serialize)]
struct Document<'a, Head: Serialize, Each: Serialize> {
    format: &'static str,
    version: u32,
    title: &'a str,
    #[serde(flatten)]
    head: Head,
    strings: Vec<Each>,
}

/// A string with its floor at some height.
#[derive(Serialize)]
struct At {
    lowered: f64,
    clearance: f64,
    action_12: f64,
    cents_1: f64,
    cents_12: f64,
}

fn at(l: &Lowered) -> At {
    At {
        // Nought has no sign.
        lowered: l.by + 0.0,
        clearance: l.clearance,
        action_12: l.action_12,
        cents_1: l.cents_1,
        cents_12: l.cents_12,
    }
}

#[derive(Serialize)]
struct FilingHead {
    stroke: f64,
    proud: f64,
}

#[derive(Serialize)]
struct FiledSlot<'a> {
    number: u32,
    note: &'a str,
    proud: At,
    #[serde(rename = "final")]
    last: At,
    stroke_further: At,
    strokes: f64,
}

/// What each stroke in a slot does, as [`crate::nut_filing_page`] tells it, at full precision; `bench` chooses the depth of a
/// stroke.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn nut_filing_json(title: &str, nut: &NutPlan, bench: BenchUnit) -> Result<String, serde_json::Error> {
    let stroke = super::filing::step(bench);
    let figures = strokes(nut, stroke);
    let strings = pairs(nut)
        .zip(&figures)
        .map(|((s, line), (proud, last, further))| FiledSlot {
            number: s.number,
            note: &line.note,
            proud: at(proud),
            last: at(last),
            stroke_further: at(further),
            strokes: (nut.proud / stroke).max(0.0),
        });
    pretty(&Document {
        format: "bonewright-nut-filing",
        version: NUT_JSON_VERSION,
        title,
        head: FilingHead {
            stroke,
            proud: nut.proud,
        },
        strings: strings.collect(),
    })
}

#[derive(Serialize)]
struct FitHead {
    good: f64,
    stroke: f64,
}

#[derive(Serialize)]
struct FittedSlot<'a> {
    number: u32,
    note: &'a str,
    read: Read,
    wanted: f64,
    verdict: Say,
    then: Option<At>,
}

#[derive(Serialize)]
struct Read {
    first_fret_clearance: Option<f64>,
    action_12: Option<f64>,
}

/// What is left to do in the slots after stringing up, as [`crate::nut_fit_page`] tells it, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn nut_fit_json(
    title: &str,
    nut: &NutPlan,
    readings: &[StrungString],
    bench: BenchUnit,
) -> Result<String, serde_json::Error> {
    let found = judged(nut, readings);
    let strings = pairs(nut).zip(readings).zip(&found).map(|(((s, line), read), found)| {
        let (say, then) = match found {
            None => ("not-read", None),
            Some((_, SlotWork::Good)) => ("good", None),
            Some((_, SlotWork::File(then))) => ("file", Some(then)),
            Some((_, SlotWork::TooLow(then))) => ("too-low", Some(then)),
        };
        FittedSlot {
            number: s.number,
            note: &line.note,
            read: Read {
                first_fret_clearance: read.clearance,
                action_12: read.action_12,
            },
            wanted: line.action_1(),
            verdict: Say {
                say,
                by: then.map(|then| then.by.abs()),
            },
            then: then.map(at),
        }
    });
    pretty(&Document {
        format: "bonewright-nut-fit",
        version: NUT_JSON_VERSION,
        title,
        head: FitHead {
            good: GOOD,
            stroke: super::filing::step(bench),
        },
        strings: strings.collect(),
    })
}

#[derive(Serialize)]
struct ToleranceHead {
    confidence: f64,
    proud: f64,
    leave_proud: f64,
}

#[derive(Serialize)]
struct SureSlot<'a> {
    number: u32,
    note: &'a str,
    clearance: f64,
    by_stack: f64,
    by_reading: f64,
    action_12: f64,
    proud: f64,
}

/// How sure each slot is, as [`crate::nut_tolerance_page`] tells it, at full precision. `confidence` is that of the spreads.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn nut_tolerance_json(
    title: &str,
    nut: &NutPlan,
    spreads: &[SlotSpread],
    confidence: f64,
) -> Result<String, serde_json::Error> {
    let strings = pairs(nut).zip(spreads).map(|((s, line), spread)| SureSlot {
        number: s.number,
        note: &line.note,
        clearance: s.clearance,
        by_stack: spread.by_stack,
        by_reading: spread.by_reading,
        action_12: spread.action_12,
        proud: spread.proud,
    });
    pretty(&Document {
        format: "bonewright-nut-tolerance",
        version: NUT_JSON_VERSION,
        title,
        head: ToleranceHead {
            confidence,
            proud: nut.proud,
            leave_proud: leave_proud(spreads),
        },
        strings: strings.collect(),
    })
}
