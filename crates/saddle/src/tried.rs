//! A way out taken for a trial: the survey as it would be read after the slot is cut so.

use instrument::SlotSurvey;

use crate::ways_out::{Way, WaysOut};
use crate::{Plan, SaddleSurvey};

/// The survey with a way out of `plan` taken: a thicker blank in a slot cut wider, or the slot moved. `None` where the plan has no ways out,
/// for a nut setback, which is of single strings and no part of the slot, and where the slot was not read by straightedge.
#[must_use]
pub fn tried(survey: &SaddleSurvey, plan: &Plan, way: Way) -> Option<SaddleSurvey> {
    let ways = plan.ways_out.as_ref()?;
    let mut tried = survey.clone();
    let SlotSurvey::Straightedge(ends) = &mut tried.slot else {
        return None;
    };
    let shift = match way {
        Way::Nut => return None,
        Way::Slot => [ways.slot.bass, ways.slot.treble],
        Way::Thicker => {
            let WaysOut { thicker, .. } = ways;
            tried.blank.thickness = thicker.thickness;
            tried.slot_width = tried.slot_width.map(|width| width + thicker.forward + thicker.back);
            // Along x, a distance square to the face is longer.
            [-thicker.forward / plan.frame.e_b.x; 2]
        }
    };
    for (end, shift) in ends.iter_mut().zip(shift) {
        end.edge_from_fret_12 += shift;
    }
    Some(tried)
}
