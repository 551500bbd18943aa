//! What cutters keep clear of.

use crate::Setup;

/// Cutters keep this far above the jaws, mm.
pub(crate) const OVER_JAW: f64 = 0.3;

/// Highest jaw, if any.
pub(crate) fn jaw_top(setup: &Setup) -> Option<f64> {
    setup.jaws().iter().map(|j| j.top).reduce(f64::max)
}
