//! A way out taken for a trial: the survey as it would be read after the slot is cut so, or the nut set so.

use instrument::SlotSurvey;

use strings::Criterion;

use crate::ways_out::{NutWay, Way, WaysOut};
use crate::{Plan, SaddleSurvey};

/// The survey with a way out of `plan` taken: a thicker blank in a slot cut wider, the slot moved, or the nut set back under the strings that
/// ask for it. `None` where the plan has no ways out, for a nut that cannot be set so, and for a slot that was not read by straightedge.
#[must_use]
pub fn tried(survey: &SaddleSurvey, plan: &Plan, way: Way) -> Option<SaddleSurvey> {
    let ways = plan.ways_out.as_ref()?;
    let mut tried = survey.clone();
    if way == Way::Nut {
        return set_back(tried, plan, &ways.nut);
    }
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

/// The survey with the nut set back as these ways say; `None` where none of them can.
fn set_back(mut survey: SaddleSurvey, plan: &Plan, ways: &[NutWay]) -> Option<SaddleSurvey> {
    let mut moved = false;
    for (i, planned) in plan.strings.iter().enumerate() {
        let own = ways.iter().find(|way| way.string == planned.number);
        let Some(setback) = own.and_then(|way| way.setback) else {
            continue;
        };
        survey.move_nut(i, planned, setback);
        if let Some(s) = survey.strings.get_mut(i)
            && s.criterion == Criterion::BestFitWithNut
        {
            // The nut is not looked for again.
            s.criterion = Criterion::BestFit;
        }
        moved = true;
    }
    moved.then_some(survey)
}
