//! What is told: a plan with what was found about it.

use assess::Assessment;
use saddle::Plan;
use units::BenchUnit;
use work::{AirFrom, Beside, Remark, SaddleWork};

/// A plan with what was found about it.
#[derive(Debug, Clone, Copy)]
pub struct Assessed<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// The plan.
    pub plan: &'a Plan,
    /// What was found.
    pub found: &'a Assessment,
    /// Why this saddle is not to be made; none where it may be.
    pub stops: &'a [Remark],
    /// What the plan counts on beside the saddle.
    pub beside: Beside,
    /// Where the humidity is written; `None` if nobody read it.
    pub air: Option<AirFrom>,
    /// Unit shown first.
    pub bench: BenchUnit,
}

impl<'a> Assessed<'a> {
    /// What was `found` of a saddle, with why it is not to be made, lengths in `bench` first.
    #[must_use]
    pub fn of(saddle: &SaddleWork<'a>, found: &'a Assessment, stops: &'a [Remark], bench: BenchUnit) -> Self {
        Self {
            title: &saddle.job.title,
            plan: saddle.plan,
            found,
            stops,
            beside: saddle.beside(),
            air: saddle.air().map(|air| air.from),
            bench,
        }
    }
}

/// What every output says of its figures.
pub(crate) const COMPARISON: &str = "This is a comparison, not a promise: grain, cracks and glue decide. Look at the instrument before you believe a figure.";
