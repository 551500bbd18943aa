//! What is read, and what it would be.

use nalgebra::{DMatrix, DVector};

/// A value read, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The value, in its own unit.
    pub value: f64,
    /// Standard uncertainty of this reading alone, in the same unit, positive.
    pub sure_to: f64,
}

/// What readings would be at a state.
pub trait Model {
    /// Count of figures of a state.
    fn states(&self) -> usize;

    /// Every reading as it would be at `state`, and its derivative by each figure of it, a row a reading. Both come filled with noughts.
    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>);
}
