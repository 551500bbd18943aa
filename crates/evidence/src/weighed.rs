//! Readings over their uncertainties.

use crate::{Model, Reading};
use nalgebra::{DMatrix, DVector};
use numerics::math;

/// A residual or a slope beyond this, over the reading's uncertainty, is none: sums of its squares would overflow.
const LARGEST: f64 = 1e140;

/// Readings over their uncertainties, at a state.
pub(crate) struct Weighed {
    /// A column a reading: what is done with them goes from reading to reading.
    pub(crate) slopes: DMatrix<f64>,
    pub(crate) residuals: DVector<f64>,
    expected: DVector<f64>,
    /// A row a reading, as the model says.
    said: DMatrix<f64>,
}

impl Weighed {
    /// Room for so many readings of so many figures.
    pub(crate) fn room(readings: usize, states: usize) -> Self {
        Self {
            slopes: DMatrix::zeros(states, readings),
            residuals: DVector::zeros(readings),
            expected: DVector::zeros(readings),
            said: DMatrix::zeros(readings, states),
        }
    }

    /// Puts itself at a state; else the first reading that cannot be weighed, with itself of no use until it is put elsewhere.
    pub(crate) fn put(&mut self, model: &dyn Model, readings: &[Reading], state: &DVector<f64>) -> Result<(), usize> {
        self.expected.as_mut_slice().fill(0.0);
        self.said.as_mut_slice().fill(0.0);
        model.expect(state.as_slice(), &mut self.expected, &mut self.said);
        self.said.transpose_to(&mut self.slopes);
        for (i, mut slopes) in self.slopes.column_iter_mut().enumerate() {
            let weight = 1.0 / readings[i].sure_to;
            let residual = (readings[i].value - self.expected[i]) * weight;
            slopes *= weight;
            self.residuals[i] = residual;
            // No number is not below it either.
            let weighable = slopes
                .as_slice()
                .iter()
                .fold(residual.abs() < LARGEST, |all, v| all & (v.abs() < LARGEST));
            if !weighable {
                return Err(i);
            }
        }
        Ok(())
    }

    pub(crate) fn squares(&self) -> f64 {
        self.residuals.norm_squared()
    }

    /// The reading furthest off.
    pub(crate) fn furthest(&self) -> usize {
        (0..self.residuals.len())
            .max_by(|a, b| self.residuals[*a].abs().total_cmp(&self.residuals[*b].abs()))
            .unwrap_or(0)
    }

    /// What rounding of values and expectations leaves of the residuals' norm.
    pub(crate) fn rounding(&self, readings: &[Reading]) -> f64 {
        let size = |(reading, expected): (&Reading, &f64)| {
            math::powi((reading.value.abs() + expected.abs()) / reading.sure_to, 2)
        };
        f64::EPSILON * readings.iter().zip(self.expected.iter()).map(size).sum::<f64>().sqrt()
    }
}
