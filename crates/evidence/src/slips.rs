//! Readings that do not fit the others, and how large a slip would go unnoticed.
//!
//! After W. Baarda, A testing procedure for use in geodetic networks, Netherlands Geodetic Commission, New Series 2 (5), 1968.

use crate::ask::{AskError, finite, of_length};
use crate::further::turn;
use crate::{Estimate, threshold};
use nalgebra::{DVector, DVectorView};

/// A reading of which others check less than this share is checked by none.
const UNCHECKED: f64 = 1e-9;
/// Tests that go together by this much or more accuse each other's readings.
pub const TOGETHER: f64 = 0.8;
/// Standard normal quantile of the power with which a hidden slip would be found, 80 %.
const POWER: f64 = 0.841_621_233_572_914_2;

/// How a reading stands among the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Test {
    /// How much of a slip in it the others would reveal, 0 to 1.
    pub checked_share: f64,
    /// Its residual over what that varies by where nothing is wrong; `None` where nothing checks it.
    pub off: Option<f64>,
}

/// What would explain the residuals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// How large it would be, in units of the pattern.
    pub size: f64,
    /// That over what it varies by where nothing is wrong.
    pub off: f64,
}

impl Estimate {
    /// How each reading stands.
    #[must_use]
    pub fn tests(&self) -> Vec<Test> {
        let mut turned = DVector::zeros(self.state.len());
        let test = |(slopes, residual): (DVectorView<'_, f64>, &f64)| {
            turn(&self.covariance, slopes.as_slice(), &mut turned);
            let checked = (1.0 - slopes.dot(&turned)).clamp(0.0, 1.0);
            Test {
                checked_share: checked,
                off: (checked > UNCHECKED).then(|| residual / checked.sqrt()),
            }
        };
        self.slopes.column_iter().zip(self.residuals.iter()).map(test).collect()
    }

    /// How far off a test must be for its reading to be called a slip, so that a survey without one is accused with a chance of `alpha`.
    #[must_use]
    pub fn limit(&self, alpha: f64) -> f64 {
        threshold(alpha, self.tests().iter().filter(|test| test.off.is_some()).count())
    }

    /// The largest slip of a reading that would go unnoticed one time in five with this `limit`, in the reading's unit; infinite where
    /// nothing checks it.
    #[must_use]
    pub fn hidden_slip(&self, reading: usize, test: &Test, limit: f64) -> f64 {
        match (test.off, self.sure_to.get(reading)) {
            (Some(_), Some(sure_to)) => sure_to * (limit + POWER) / test.checked_share.sqrt(),
            _ => f64::INFINITY,
        }
    }

    /// How much the tests of two readings go together, -1 to 1; `None` where nothing checks one of them.
    #[must_use]
    pub fn together(&self, tests: &[Test], one: usize, other: usize) -> Option<f64> {
        let checked = |i: usize| {
            let test = tests.get(i).filter(|test| test.off.is_some())?;
            (i < self.residuals.len()).then_some(test.checked_share)
        };
        let (a, b) = (checked(one)?, checked(other)?);
        if one == other {
            return Some(1.0);
        }
        let shared = self.product(self.slopes.column(one).as_slice(), self.slopes.column(other).as_slice());
        Some(-shared / (a * b).sqrt())
    }

    /// Readings that a slip in `reading` cannot be told from: itself and all whose tests go with its own by [`TOGETHER`] or more.
    #[must_use]
    pub fn group(&self, tests: &[Test], reading: usize) -> Vec<usize> {
        let with = |other: &usize| {
            self.together(tests, reading, *other)
                .is_some_and(|r| r.abs() >= TOGETHER)
        };
        (0..tests.len()).filter(with).collect()
    }

    /// The slip of one kind that fits the residuals best: `pattern` says by how much each reading is moved by a slip of size 1, in the
    /// readings' units, one for each reading. `None` where no reading could reveal it.
    ///
    /// # Errors
    /// [`AskError::Length`], [`AskError::NotFinite`].
    pub fn slip(&self, pattern: &[f64]) -> Result<Option<Slip>, AskError> {
        of_length(pattern.len(), self.sure_to.len())?;
        let moved = DVector::from_iterator(pattern.len(), pattern.iter().zip(&self.sure_to).map(|(p, s)| p / s));
        let all = finite(moved.norm_squared())?;
        let taken = &self.slopes * &moved;
        let left = all - self.product(taken.as_slice(), taken.as_slice());
        // What the state itself takes up leaves no residual.
        let unexplained = &self.slopes * &self.residuals;
        let across = moved.dot(&self.residuals) - self.product(taken.as_slice(), unexplained.as_slice());
        Ok((left > UNCHECKED * all).then(|| Slip {
            size: across / left,
            off: across / left.sqrt(),
        }))
    }
}
