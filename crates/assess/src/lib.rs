//! Is a saddle the right remedy? What one survey says of exposure, break angle, load, slot, neck and bridge.
//!
//! [`assess`] takes a survey, its plan and the [`Facts`] that only this question needs, and gives an [`Assessment`]: every
//! figure, and the [`Finding`]s ranked by what to do first. It is a comparison, not a promise: grain, cracks and glue
//! decide. Lengths in mm, angles in radians, forces in N, pressures in MPa (N/mm2). No text and no files here.

mod assessment;
mod break_angle;
mod exposure;
mod facts;
mod finding;
mod findings;
mod limits;
mod load;
mod makeable;
mod neck;
mod slot;
mod what_if;
mod wood;

pub use assessment::Assessment;
pub use break_angle::{Path, Touch, paths};
pub use exposure::{Clearance, Exposure, StringExposure, Tip, clearance, exposure, tilt};
pub use facts::{Accept, Facts, Ramp};
pub use finding::{Finding, Quantity, Topic, Undo, Verdict};
pub use findings::findings;
pub use limits::{Bound, LEAST_AT_RIDGE, LEAST_CLEARANCE, LOWEST_EXPOSURE, Limits, Source};
pub use load::{Friction, FrictionState, Load, StringLoad, Thrust, Wall, load, wall};
pub use makeable::{LEAST_ANGLE, LEAST_MOVE, told_angle};
pub use neck::{BoardEnd, HeelCut, Neck, NeckError, PIVOT_BELOW, neck};
pub use slot::{Place, SlotFit, SlotString, slot};
pub use what_if::{ActionSample, ExposureSample, Remedy, WhatIf, what_if};
pub use wood::{Wood, wood, woods};

use saddle::{Plan, SaddleSurvey};

/// Assesses `plan`, which was made from `survey`.
#[must_use]
pub fn assess(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Assessment {
    Assessment {
        what_if: what_if(survey, plan, facts),
        ..judge(survey, plan, facts)
    }
}

/// The same without what is asked by "what if", which no finding hangs on and which takes most of the time.
#[must_use]
pub fn judge(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Assessment {
    let paths = paths(survey, plan, facts);
    let mut found = Assessment {
        limits: facts.limits.clone(),
        exposure: exposure(survey, plan, facts),
        clearance: clearance(survey, plan),
        load: paths.as_deref().and_then(|paths| load(survey, plan, paths, facts)),
        paths,
        slot: slot(survey, plan, facts),
        neck: neck(survey, plan, facts).ok(),
        what_if: None,
        findings: Vec::new(),
    };
    found.findings = findings(survey, plan, facts, &found);
    found
}
