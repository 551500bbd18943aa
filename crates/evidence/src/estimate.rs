//! The likeliest state, and how sure it is.

use crate::Reading;
use crate::ask::{AskError, finite, of_length, own_variance};
use crate::further::{Further, turn};
use crate::weighed::Weighed;
use nalgebra::{DMatrix, DVector, DVectorView};
use numerics::math;

/// The likeliest state after all readings, with what its readings leave.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The state.
    pub state: DVector<f64>,
    /// Its covariance.
    pub covariance: DMatrix<f64>,
    /// Slopes of the readings over their uncertainties, a column a reading.
    pub(crate) slopes: DMatrix<f64>,
    /// What was read less what is expected at the state, over the readings' uncertainties.
    pub(crate) residuals: DVector<f64>,
    /// Standard uncertainties of the readings.
    pub(crate) sure_to: Vec<f64>,
}

impl Estimate {
    pub(crate) fn new(state: DVector<f64>, covariance: DMatrix<f64>, weighed: Weighed, readings: &[Reading]) -> Self {
        Self {
            state,
            covariance,
            slopes: weighed.slopes,
            residuals: weighed.residuals,
            sure_to: readings.iter().map(|reading| reading.sure_to).collect(),
        }
    }

    /// Readings beyond those that would do.
    #[must_use]
    pub fn redundancy(&self) -> usize {
        self.slopes.ncols().saturating_sub(self.state.len())
    }

    /// Sum of squares of the residuals, each over its reading's uncertainty; about [`Estimate::redundancy`] where all is as said.
    #[must_use]
    pub fn squares(&self) -> f64 {
        self.residuals.norm_squared()
    }

    /// Residual of a reading, in its own unit: what was read less what is expected.
    ///
    /// # Panics
    /// As an index of a list does, where there is no such reading.
    #[must_use]
    pub fn residual(&self, reading: usize) -> f64 {
        self.residuals[reading] * self.sure_to[reading]
    }

    /// Standard uncertainty of a reading's own part, in its own unit.
    #[must_use]
    pub fn uncertainty(&self, reading: usize) -> f64 {
        self.sure_to[reading]
    }

    /// Standard uncertainty of a figure of the state.
    ///
    /// # Panics
    /// As an index of a list does, where there is no such figure.
    #[must_use]
    pub fn sure_to(&self, figure: usize) -> f64 {
        self.covariance[(figure, figure)].sqrt()
    }

    /// Variance of what goes with the state by these derivatives, one for each of its figures.
    ///
    /// # Errors
    /// [`AskError::Length`], [`AskError::NotFinite`].
    pub fn variance(&self, slopes: &[f64]) -> Result<f64, AskError> {
        self.between(slopes, slopes)
    }

    /// Covariance of the state after one more reading, which goes with the state by these derivatives and is sure to `sure_to`, at the same
    /// state. It is nowhere greater than before.
    ///
    /// # Errors
    /// [`AskError::Length`], [`AskError::Uncertainty`] of 0, [`AskError::NotFinite`].
    pub fn with(&self, slopes: &[f64], sure_to: f64) -> Result<DMatrix<f64>, AskError> {
        let spread = own_variance(0, sure_to)? + self.variance(slopes)?;
        let mut gain = DVector::zeros(self.state.len());
        turn(&self.covariance, slopes, &mut gain);
        let mut covariance = self.covariance.clone();
        covariance.ger(-1.0 / spread, &gain, &gain, 1.0);
        Ok(covariance)
    }

    /// Variance of what goes with the state by `of`, after one more reading as in [`Estimate::with`]. Of many such readings, or of several in
    /// turn, ask [`Estimate::further`].
    ///
    /// # Errors
    /// As [`Estimate::with`].
    pub fn variance_with(&self, of: &[f64], slopes: &[f64], sure_to: f64) -> Result<f64, AskError> {
        let spread = own_variance(0, sure_to)? + self.variance(slopes)?;
        finite(self.variance(of)? - math::powi(self.between(of, slopes)?, 2) / spread)
    }

    /// What further readings, which go with the state by `slopes`, a row a reading, and are sure to `sure_to`, would gain for figures of
    /// interest, which go with it by `of`, a row a figure; at the same state.
    ///
    /// # Errors
    /// [`AskError::Length`] of a row or of the list of uncertainties, [`AskError::Uncertainty`], [`AskError::NotFinite`].
    pub fn further(&self, of: &DMatrix<f64>, slopes: &DMatrix<f64>, sure_to: &[f64]) -> Result<Further, AskError> {
        Further::of(&self.covariance, of, slopes, sure_to)
    }

    /// Covariance of what goes with the state by `one` and by `other`.
    fn between(&self, one: &[f64], other: &[f64]) -> Result<f64, AskError> {
        of_length(one.len(), self.state.len())?;
        of_length(other.len(), self.state.len())?;
        finite(self.product(one, other))
    }

    /// `one' * covariance * other`, of lists as long as the state; noughts cost nothing.
    pub(crate) fn product(&self, one: &[f64], other: &[f64]) -> f64 {
        let column = |j: usize| {
            let column = self.covariance.column(j);
            let rows = one.iter().enumerate().filter(|(_, a)| **a != 0.0);
            rows.map(|(i, a)| a * column[i]).sum::<f64>()
        };
        let columns = other.iter().enumerate().filter(|(_, b)| **b != 0.0);
        columns.map(|(j, b)| b * column(j)).sum()
    }

    /// How far one standard uncertainty of each reading by itself moves what goes with the state by these derivatives; the squares add up to
    /// [`Estimate::variance`].
    ///
    /// # Errors
    /// [`AskError::Length`].
    pub fn influence(&self, slopes: &[f64]) -> Result<DVector<f64>, AskError> {
        of_length(slopes.len(), self.state.len())?;
        let gain = &self.covariance * DVectorView::from_slice(slopes, slopes.len());
        Ok(self.slopes.tr_mul(&gain))
    }

    /// A triangular factor of the covariance: with independent standard normal figures z, `state + L z` is a state as likely as this
    /// estimate makes it. `None` where rounding leaves no such factor.
    #[must_use]
    pub fn factor(&self) -> Option<DMatrix<f64>> {
        self.covariance.clone().cholesky().map(|found| found.unpack())
    }
}
