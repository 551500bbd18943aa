//! Whether a saddle is the right remedy: told as a page, as JSON, and as words for the owner's sheet.

mod advice;
mod figures;
mod json;
mod owner;
mod page;

use assess::Assessment;
use saddle::Plan;
use units::BenchUnit;

pub use json::assess_json;
pub use owner::{OwnerSheet, owner_sheet};
pub use page::assess_page;

/// A plan with what was found about it.
#[derive(Debug, Clone, Copy)]
pub struct Assessed<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// The plan.
    pub plan: &'a Plan,
    /// What was found.
    pub found: &'a Assessment,
    /// Unit shown first.
    pub bench: BenchUnit,
}

/// What every output says of its figures.
pub(crate) const COMPARISON: &str = "This is a comparison, not a promise: grain, cracks and glue decide. Look at the instrument before you believe a figure.";

#[cfg(test)]
mod tests;
