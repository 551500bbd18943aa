//! Everything found for one survey.

use crate::{Clearance, Exposure, Finding, Limits, Load, Neck, Path, SlotFit, WhatIf};
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
