//! Numbers that formulas are written for: plain ones, and ones that carry their derivatives along.

use num_dual::{DualNum, DualSVec64};

/// A real number: an `f64`, or a [`Slope`] that carries its derivatives. Formulas that are differentiated are written for both, so that
/// a derivative is exact and never written a second time. Sines and logarithms of them are those of [`crate::math`].
pub trait Real: DualNum<Primitive = f64> + Copy + Send + Sync {
    /// A function of this number, by its value here and its slope here over this number, which is asked for only where it counts.
    #[must_use]
    fn through(self, value: f64, slope: impl FnOnce() -> f64) -> Self;
}

impl Real for f64 {
    #[inline]
    fn through(self, value: f64, _: impl FnOnce() -> f64) -> Self {
        value
    }
}

/// A number with its derivatives by N others.
pub type Slope<const N: usize> = DualSVec64<N>;

impl<const N: usize> Real for Slope<N> {
    #[inline]
    fn through(self, value: f64, slope: impl FnOnce() -> f64) -> Self {
        Self::new(value, self.eps * slope())
    }
}
