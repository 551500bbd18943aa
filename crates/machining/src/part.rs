//! What is cut.

use nut::NutPlan;
use saddle::Plan;

/// A part that programs are made for.
#[derive(Debug, Clone, Copy)]
pub enum Part<'a> {
    /// A saddle.
    Saddle(&'a Plan),
    /// A nut.
    Nut(&'a NutPlan),
}

impl<'a> From<&'a Plan> for Part<'a> {
    fn from(plan: &'a Plan) -> Self {
        Self::Saddle(plan)
    }
}

impl<'a> From<&'a NutPlan> for Part<'a> {
    fn from(plan: &'a NutPlan) -> Self {
        Self::Nut(plan)
    }
}
