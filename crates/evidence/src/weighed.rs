//! Readings over their uncertainties.

use crate::{Model, Reading};
use nalgebra::{DMatrix, DVector};

/// Readings over their uncertainties, at a state.
pub(crate) struct Weighed {
    pub(crate) slopes: DMatrix<f64>,
    pub(crate) residuals: DVector<f64>,
}

impl Weighed {
    /// At a state; else the first reading that is no number, or is expected to be none.
    pub(crate) fn at<M: Model + ?Sized>(model: &M, readings: &[Reading], state: &DVector<f64>) -> Result<Self, usize> {
        let count = readings.len();
        let (mut expected, mut slopes) = (DVector::zeros(count), DMatrix::zeros(count, model.states()));
        model.expect(state.as_slice(), &mut expected, &mut slopes);
        let mut residuals = DVector::zeros(count);
        for (i, reading) in readings.iter().enumerate() {
            let weight = 1.0 / reading.sure_to;
            residuals[i] = (reading.value - expected[i]) * weight;
            slopes.row_mut(i).scale_mut(weight);
            if !(residuals[i].is_finite() && slopes.row(i).iter().all(|v| v.is_finite())) {
                return Err(i);
            }
        }
        Ok(Self { slopes, residuals })
    }

    pub(crate) fn squares(&self) -> f64 {
        self.residuals.norm_squared()
    }
}
