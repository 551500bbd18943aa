//! The likeliest state, and how sure it is.

use crate::Reading;
use crate::weighed::Weighed;
use nalgebra::{DMatrix, DVector};

/// The likeliest state after all readings, with what its readings leave.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The state.
    pub state: DVector<f64>,
    /// Its covariance.
    pub covariance: DMatrix<f64>,
    /// Slopes of the readings over their uncertainties, a row a reading.
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
        self.slopes.nrows().saturating_sub(self.state.len())
    }

    /// Sum of squares of the residuals, each over its reading's uncertainty; about [`Estimate::redundancy`] where all is as said.
    #[must_use]
    pub fn squares(&self) -> f64 {
        self.residuals.norm_squared()
    }

    /// Residual of a reading, in its own unit: what was read less what is expected.
    #[must_use]
    pub fn residual(&self, reading: usize) -> f64 {
        self.residuals[reading] * self.sure_to[reading]
    }

    /// Standard uncertainty of a figure of the state.
    #[must_use]
    pub fn sure_to(&self, figure: usize) -> f64 {
        self.covariance[(figure, figure)].sqrt()
    }

    /// Variance of what goes with the state by these derivatives.
    #[must_use]
    pub fn variance(&self, slopes: &DVector<f64>) -> f64 {
        slopes.dot(&(&self.covariance * slopes))
    }

    /// Covariance of the state after one more reading, which goes with the state by these derivatives and is sure to `sure_to`, at the same
    /// state. It is nowhere greater than before.
    #[must_use]
    pub fn with(&self, slopes: &DVector<f64>, sure_to: f64) -> DMatrix<f64> {
        let gain = &self.covariance * slopes;
        let spread = sure_to * sure_to + slopes.dot(&gain);
        &self.covariance - &gain * gain.transpose() / spread
    }

    /// Variance of what goes with the state by `of`, after one more reading as in [`Estimate::with`].
    #[must_use]
    pub fn variance_with(&self, of: &DVector<f64>, slopes: &DVector<f64>, sure_to: f64) -> f64 {
        let gain = &self.covariance * slopes;
        self.variance(of) - of.dot(&gain).powi(2) / (sure_to * sure_to + slopes.dot(&gain))
    }

    /// How far one standard uncertainty of each reading by itself moves what goes with the state by these derivatives; the squares add up to
    /// [`Estimate::variance`].
    #[must_use]
    pub fn influence(&self, slopes: &DVector<f64>) -> DVector<f64> {
        &self.slopes * (&self.covariance * slopes)
    }

    /// A triangular factor of the covariance: with independent standard normal figures z, `state + L z` is a state as likely as this
    /// estimate makes it. `None` where rounding leaves no such factor.
    #[must_use]
    pub fn factor(&self) -> Option<DMatrix<f64>> {
        self.covariance.clone().cholesky().map(|found| found.unpack())
    }
}
