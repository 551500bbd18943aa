//! What the plan was made from, so that another program can solve it again.

use instrument::{Board, ReferenceEnd, SlotEnd, SlotSurvey};
use saddle::{CrownSpec, ExitEnd, SaddleSurvey, StringSurvey};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Inputs<'a> {
    board: &'a Board,
    press: f64,
    ends: f64,
    stand_off: f64,
    strings: &'a [StringSurvey],
    slot: Slot<'a>,
    bridge: Option<[ExitEnd; 2]>,
    crown: &'a CrownSpec,
    bass_end: Option<f64>,
}

#[derive(Serialize)]
struct Slot<'a> {
    read_by: &'static str,
    lean: f64,
    lean_under_tension: f64,
    bridge_top_under_tension: [f64; 2],
    under: f64,
    width: Option<f64>,
    length: Option<f64>,
    straightedge: Option<&'a [SlotEnd; 2]>,
    reference: Option<&'a [ReferenceEnd; 2]>,
}

impl<'a> From<&'a SaddleSurvey> for Inputs<'a> {
    fn from(survey: &'a SaddleSurvey) -> Self {
        let (read_by, straightedge, reference) = match &survey.slot {
            SlotSurvey::Straightedge(ends) => ("straightedge", Some(ends), None),
            SlotSurvey::Reference(ends) => ("reference-saddle", None, Some(ends)),
        };
        Self {
            board: &survey.board,
            press: survey.press,
            ends: survey.ends.sum(),
            stand_off: survey.stand_off,
            strings: &survey.strings,
            slot: Slot {
                read_by,
                lean: survey.lean,
                lean_under_tension: survey.under_tension.lean,
                bridge_top_under_tension: survey.under_tension.bridge_top,
                under: survey.under,
                width: survey.slot_width,
                length: survey.slot_length,
                straightedge,
                reference,
            },
            bridge: survey.exit,
            crown: &survey.crown,
            bass_end: survey.blank.bass_end,
        }
    }
}
