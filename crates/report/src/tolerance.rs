//! How sure a plan is: as a page and as JSON.

mod advice;
mod json;
mod page;
mod words;

use saddle::Plan;
use saddle::tolerance::{Band, Sampling, Tolerance};

pub use json::tolerance_json;
pub use page::tolerance_page;

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

#[cfg(test)]
mod tests;
