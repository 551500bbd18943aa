//! Is a saddle the right remedy? What one survey says of exposure, break angle, load, slot, neck and bridge.
//!
//! [`assess`] takes a survey, its plan and the [`Facts`] that only this question needs, and gives an [`Assessment`]: every
//! figure, and the [`Finding`]s ranked by what to do first. It is a comparison, not a promise: grain, cracks and glue
//! decide. Lengths in mm, angles in radians, forces in N, pressures in MPa (N/mm2). No text and no files here.

mod break_angle;
mod exposure;
mod facts;
mod findings;
mod limits;
mod load;
mod neck;
mod slot;
mod what_if;
mod wood;

pub use break_angle::{Path, Touch, paths};
pub use exposure::{Clearance, Exposure, StringExposure, Tip, clearance, exposure, tilt};
pub use facts::{Facts, Ramp};
pub use findings::{Finding, Quantity, Topic, Undo, Verdict, findings};
pub use limits::{Bound, Limits, Source};
pub use load::{Friction, FrictionState, Load, PLAIN_FRICTION, StringLoad, Thrust, WOUND_FRICTION, Wall, load, wall};
pub use neck::{BoardEnd, HeelCut, Neck, NeckError, PIVOT_BELOW, neck, rotated};
pub use slot::{Place, SlotFit, SlotString, slot};
pub use what_if::{ActionSample, ExposureSample, Remedy, WhatIf, what_if};
pub use wood::{GRAVITY_LAW, Wood, wood, woods};

use saddle::{Plan, SaddleSurvey};
use serde::Serialize;

/// Everything found for one survey.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assessment {
    /// What the findings are measured against; each finding carries its own.
    #[serde(skip)]
    pub limits: Limits,
    /// Exposure and share in the slot; `None` if the depth of the slot is not known.
    pub exposure: Option<Exposure>,
    /// Clearance of the blank in the slot; `None` if its width or depth is not known.
    pub clearance: Option<Clearance>,
    /// The strings' path behind the saddle; `None` if it is not known where they leave the bridge.
    pub paths: Option<Vec<Path>>,
    /// Force on the saddle and pressure on the front wall; `None` if it is not known where the strings leave.
    pub load: Option<Load>,
    /// Where the slot should be.
    pub slot: Option<SlotFit>,
    /// The neck set that gives the wanted exposure; `None` if the depth is not known or no angle gives it.
    pub neck: Option<Neck>,
    /// Ranges of action and exposure; `None` if the depth of the slot is not known.
    pub what_if: Option<WhatIf>,
    /// What to do first comes first.
    pub findings: Vec<Finding>,
}

/// Assesses `plan`, which was made from `survey`.
#[must_use]
pub fn assess(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Assessment {
    let paths = paths(survey, plan, facts);
    let mut found = Assessment {
        limits: facts.limits.clone(),
        exposure: exposure(survey, plan, facts),
        clearance: clearance(survey, plan),
        load: paths.as_deref().and_then(|paths| load(survey, plan, paths, facts)),
        paths,
        slot: slot(survey, plan, facts),
        neck: neck(survey, plan, facts).ok(),
        what_if: what_if(survey, plan, facts),
        findings: Vec::new(),
    };
    found.findings = findings(survey, plan, facts, &found);
    found
}
