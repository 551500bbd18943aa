//! What readings by one tool have in common, and what each has for itself.

use numerics::math;

/// Uncertainty of a reading that is taken at bass and treble, or on every string, with one tool. Standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paired {
    /// Part that all readings share, because one tool and one hand took them.
    pub shared: f64,
    /// Part of each reading alone.
    pub each: f64,
}

impl Paired {
    /// Split a total standard uncertainty so that two readings have the given correlation, 0 to 1.
    #[must_use]
    pub fn correlated(total: f64, correlation: f64) -> Self {
        let correlation = correlation.clamp(0.0, 1.0);
        Self {
            shared: total * correlation.sqrt(),
            each: total * (1.0 - correlation).sqrt(),
        }
    }

    /// Correlation of two readings, 0 to 1; 0 where nothing is uncertain.
    #[must_use]
    pub fn correlation(&self) -> f64 {
        let total = self.total();
        if total > 0.0 {
            math::powi(self.shared / total, 2)
        } else {
            0.0
        }
    }

    /// Total standard uncertainty of one reading.
    #[must_use]
    pub fn total(&self) -> f64 {
        math::hypot(self.shared, self.each)
    }
}
