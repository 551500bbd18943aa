//! Numbers that formulas are written for: plain ones, and ones that carry their derivatives along.

use num_dual::{DualNum, DualSVec64};

/// A real number: an `f64`, or a [`Slope`] that carries its derivatives. Formulas that are differentiated are written for both, so that
/// a derivative is exact and never written a second time.
pub trait Real: DualNum<Primitive = f64> + Copy + Send + Sync {}

impl<T: DualNum<Primitive = f64> + Copy + Send + Sync> Real for T {}

/// A number with its derivatives by N others.
pub type Slope<const N: usize> = DualSVec64<N>;
