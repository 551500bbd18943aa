//! What a stroke in a slot does, what is left after stringing up and how sure each slot is, as JSON. Every key is described in
//! `JSON.md`.

use super::json::NUT_JSON_VERSION;
use super::lines::pairs;
use crate::json::{Say, pretty};
use instrument::StrungString;
use nut::NutPlan;
use nut::filing::{GOOD, Lowered, SlotWork};
use nut::tolerance::SlotSpread;
use serde::Serialize;
use units::BenchUnit;
use work::{NutSureness, SlotRead, SlotStrokes, stroke_depth};

#[derive(Serialize)]
struct Document<'a, Head: Serialize, Each: Serialize> {
    format: &'static str,
    version: u32,
    title: &'a str,
    #[serde(flatten)]
    head: Head,
    strings: Vec<Each>,
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
    #[serde(flatten)]
    at: SlotStrokes,
    strokes: f64,
}

/// What each stroke in a slot does, as [`crate::nut_filing_page`] tells it, at full precision; `bench` chooses the depth of a
/// stroke.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn nut_filing_json(title: &str, nut: &NutPlan, bench: BenchUnit) -> Result<String, serde_json::Error> {
    let stroke = stroke_depth(bench);
    let figures = SlotStrokes::of(nut, stroke);
    let strings = pairs(nut).zip(figures).map(|((s, line), at)| FiledSlot {
        number: s.number,
        note: &line.note,
        at,
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
    then: Option<Lowered>,
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
    let found = SlotRead::of(nut, readings);
    let strings = pairs(nut).zip(readings).zip(&found).map(|(((s, line), read), found)| {
        let (say, then) = match found.as_ref().map(|found| &found.work) {
            None => ("not-read", None),
            Some(SlotWork::Good) => ("good", None),
            Some(SlotWork::File(then)) => ("file", Some(then)),
            Some(SlotWork::TooLow(then)) => ("too-low", Some(then)),
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
            then: then.copied(),
        }
    });
    pretty(&Document {
        format: "bonewright-nut-fit",
        version: NUT_JSON_VERSION,
        title,
        head: FitHead {
            good: GOOD,
            stroke: stroke_depth(bench),
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
    #[serde(flatten)]
    spread: SlotSpread,
}

/// How sure each slot is, as [`crate::nut_tolerance_page`] tells it, at full precision.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn nut_tolerance_json(title: &str, sure: &NutSureness) -> Result<String, serde_json::Error> {
    let strings = pairs(sure.nut).zip(&sure.slots).map(|((s, line), spread)| SureSlot {
        number: s.number,
        note: &line.note,
        clearance: s.clearance,
        spread: *spread,
    });
    pretty(&Document {
        format: "bonewright-nut-tolerance",
        version: NUT_JSON_VERSION,
        title,
        head: ToleranceHead {
            confidence: sure.confidence,
            proud: sure.nut.proud,
            leave_proud: sure.leave_proud,
        },
        strings: strings.collect(),
    })
}
