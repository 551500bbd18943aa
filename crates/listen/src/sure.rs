//! A figure with its standard uncertainty.

use serde::Serialize;

/// A figure with its standard uncertainty, both in one unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sure {
    /// The figure.
    pub value: f64,
    /// Standard uncertainty: two times in three the truth lies within it.
    pub sure_to: f64,
}

impl Sure {
    /// Standard uncertainties that hold 19 times in 20.
    pub const NINETEEN_IN_TWENTY: f64 = 1.96;

    /// The uncertainty as a share of the figure, no unit.
    #[must_use]
    pub fn share(self) -> f64 {
        self.sure_to / self.value.abs()
    }

    /// Whether `truth` lies where 19 in 20 should.
    #[must_use]
    pub fn holds(self, truth: f64) -> bool {
        (truth - self.value).abs() <= Self::NINETEEN_IN_TWENTY * self.sure_to
    }
}
