//! What is told: a plan with how sure it is.

use saddle::Plan;
use saddle::tolerance::{Band, Sampling, Tolerance};

/// A plan's sureness with what it was worked out for.
#[derive(Debug, Clone, Copy)]
pub struct Sureness<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// What counted as in tolerance.
    pub band: Band,
    /// How it was sampled.
    pub sampling: Sampling,
    /// What came of it.
    pub tolerance: &'a Tolerance,
}
