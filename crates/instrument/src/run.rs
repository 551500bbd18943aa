//! Where a string runs in plan.

use numerics::Real;
use serde::Serialize;

/// A string's straight run in plan.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringRun {
    /// y at x = 0, mm, positive on the treble side: its place at the nut, where that stands square.
    pub nut: f64,
    /// dy/dx, no unit.
    pub slope: f64,
}

impl StringRun {
    /// The centre line.
    pub const CENTRE: Self = Self { nut: 0.0, slope: 0.0 };

    /// Run from `nut` to `saddle` (both y in mm) over the scale length in mm, on a board with square frets.
    #[must_use]
    pub fn between(nut: f64, saddle: f64, scale: f64) -> Self {
        Self {
            nut,
            slope: (saddle - nut) / scale,
        }
    }

    /// y at `x`, mm; runs on straight beyond both ends.
    #[inline]
    #[must_use]
    pub fn y<R: Real>(&self, x: R) -> R {
        x * self.slope + self.nut
    }
}
