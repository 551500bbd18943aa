//! What a stroke in a slot does, what is left after stringing up and how sure each slot is, as JSON. Every key is described in
//! `JSON.md`.

use super::json::NUT_JSON_VERSION;
use super::lines::pairs;
use super::notes::nut_stops;
use crate::json::pretty;
use nut::NutPlan;
use nut::filing::Lowered;
use nut::tolerance::SlotSpread;
use serde::Serialize;
use units::BenchUnit;
use work::{Borne, NutSureness, SLOT_GOOD, SlotLeft, SlotStrokes, SlotsRead, stroke_depth};

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
    stops: Vec<String>,
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
            stops: nut_stops(nut, bench),
            stroke,
            proud: nut.proud,
        },
        strings: strings.collect(),
    })
}

#[derive(Serialize)]
struct FitHead {
    good: f64,
    reading: f64,
    least: f64,
    stroke: f64,
}

#[derive(Serialize)]
struct FittedSlot<'a> {
    number: u32,
    note: &'a str,
    read: Read,
    wanted: f64,
    verdict: SlotSay,
    then: Option<Lowered>,
}

#[derive(Serialize)]
struct SlotSay {
    say: &'static str,
    by: Option<f64>,
    least: Option<f64>,
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
pub fn nut_fit_json(title: &str, slots: &SlotsRead, bench: BenchUnit) -> Result<String, serde_json::Error> {
    let each = pairs(slots.nut).zip(slots.read).zip(&slots.slots);
    let strings = each.map(|(((s, line), read), found)| {
        let (say, then, low, borne) = match found.as_ref().map(|found| found.left) {
            None => ("not-read", None, None, None),
            Some(SlotLeft::Good) => ("good", None, None, None),
            Some(SlotLeft::File(then)) => ("file", Some(then), None, None),
            Some(SlotLeft::Low(by, borne)) => ("low", None, Some(by), Some(borne)),
            Some(SlotLeft::TooLow(then)) => ("too-low", Some(then), None, None),
        };
        FittedSlot {
            number: s.number,
            note: &line.note,
            read: Read {
                first_fret_clearance: read.clearance,
                action_12: read.action_12,
            },
            wanted: line.action_1(),
            verdict: SlotSay {
                say,
                by: then.map(|then| then.by.abs()).or(low),
                least: match borne {
                    Some(Borne::OverFloor(least)) => Some(least),
                    _ => None,
                },
            },
            then,
        }
    });
    pretty(&Document {
        format: "bonewright-nut-fit",
        version: NUT_JSON_VERSION,
        title,
        head: FitHead {
            good: SLOT_GOOD,
            reading: slots.limits.reading,
            least: slots.limits.least.value,
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
