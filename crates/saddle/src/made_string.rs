//! What a string runs over once its saddle is made.

use crate::{Plan, SaddleSurvey, StringPlan, StringSurvey};
use known::MadeString;

/// A string of a plan, as it is to be made.
pub(crate) fn made_string(survey: &SaddleSurvey, plan: &Plan, s: &StringPlan, from: &StringSurvey) -> MadeString {
    MadeString {
        new_nut: from.new_gap.map(|gap| gap.reading(from.action_12(&survey.board))),
        nut_x: s.nut.x,
        rise: from.zero_fret.unwrap_or(0.0),
        ridge: s.contact,
        slopes: plan.crown.slopes(s.contact.u),
        stand_off: s.stand_off,
    }
}
