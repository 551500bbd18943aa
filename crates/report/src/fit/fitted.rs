//! What is told: a fit with what it was made from.

use saddle::{Fit, FitLimits, Plan, SaddleSurvey, StrungString};

/// A fit with what it was made from.
#[derive(Debug, Clone, Copy)]
pub struct Fitted<'a> {
    /// The plan that the saddle was made to.
    pub made: &'a Plan,
    /// The survey of that plan.
    pub survey: &'a SaddleSurvey,
    /// The readings, bass to treble.
    pub read: &'a [StrungString],
    /// What counted as good and as doubtful.
    pub limits: FitLimits,
    /// What came of it.
    pub fit: &'a Fit,
}
