//! Where the slot, and the blank in it, lie.

use crate::{PlanError, SaddleSurvey, StringSurvey};
use instrument::{Slot, SlotSurvey};

/// The slot with its place along x read further back by so much at bass and treble, mm, and nothing else changed.
pub(crate) fn moved_slot(survey: &SaddleSurvey, back: [f64; 2]) -> Result<Slot, PlanError> {
    let (Some(bass), Some(treble)) = (survey.strings.first(), survey.strings.last()) else {
        return Err(PlanError::StringCount(0));
    };
    slot(survey, [bass, treble], survey.lean + survey.under_tension.lean, back)
}

pub(crate) fn slot(
    survey: &SaddleSurvey,
    outer: [&StringSurvey; 2],
    lean: f64,
    back: [f64; 2],
) -> Result<Slot, PlanError> {
    let board = &survey.board;
    let mut readings = survey.slot;
    match &mut readings {
        SlotSurvey::Straightedge(ends) => {
            for ((end, rise), back) in ends.iter_mut().zip(survey.under_tension.bridge_top).zip(back) {
                end.bridge_top += rise;
                end.edge_from_fret_12 += back;
            }
        }
        SlotSurvey::Reference(ends) => {
            for (end, back) in ends.iter_mut().zip(back) {
                end.contact_from_fret_12 += back;
            }
        }
    }
    let mut nut = [(0.0, 0.0); 2];
    if matches!(readings, SlotSurvey::Reference(_)) {
        for (nut, string) in nut.iter_mut().zip(outer) {
            let reading = string
                .present_nut
                .ok_or(PlanError::PresentNut { string: string.number })?;
            *nut = (string.nut_x, reading.height(board, &string.run, string.nut_x));
        }
    }
    Ok(readings.slot(board, outer.map(|s| s.run), nut, lean, survey.under)?)
}
