//! The state that agrees best with all readings.

use crate::weighed::Weighed;
use crate::{Estimate, Model, Reading};
use nalgebra::{DMatrix, DVector};
use thiserror::Error;

/// Why readings cannot be adjusted. Numbers count from nought.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AdjustError {
    /// The state to start from has another count of figures than the model.
    #[error("the search starts from {given} figures, but the model has {wanted}")]
    Start {
        /// Figures given.
        given: usize,
        /// Figures of the model.
        wanted: usize,
    },
    /// An uncertainty that is nought, negative or no number.
    #[error("reading {0} is sure to nothing that can be weighed")]
    Uncertainty(usize),
    /// A value, or what is expected in its place, is no number.
    #[error("reading {0} is not a number, or is expected to be none")]
    NotFinite(usize),
    /// No reading tells these figures of the state apart.
    #[error("figures {0:?} of the state are not determined")]
    Undetermined(Vec<usize>),
    /// No best state was found.
    #[error("the readings do not settle on a state")]
    NotSettled,
}

/// A step shorter than this, in standard deviations of the state, ends the search.
const SETTLED: f64 = 1e-9;
/// A search that can go no lower has settled if its step is shorter than this, in standard deviations: what is left is rounding.
const ROUNDED: f64 = 1e-5;
/// Sums of squares that differ by this share of themselves differ by rounding alone.
const ROUNDING: f64 = 1e-14;
/// Most steps; it needs three to six.
const ROUNDS: usize = 200;
/// Most times that a step which does not help is halved.
const HALVINGS: usize = 40;
/// Squares of scaled columns that agree to this share leave a figure undetermined.
const RANK: f64 = 1e-11;
/// The same by singular values, where squares would hide it.
const FINE_RANK: f64 = 1e-13;

/// The covariance of the state by these slopes, and the step toward the best state.
struct Solved {
    covariance: DMatrix<f64>,
    step: DVector<f64>,
}

fn solve(weighed: &Weighed) -> Result<Solved, AdjustError> {
    let slopes = &weighed.slopes;
    // Columns of unit length: figures come in millimetres, radians and shares.
    let lengths: Vec<f64> = slopes.column_iter().map(|column| column.norm()).collect();
    let unread: Vec<usize> = (0..lengths.len()).filter(|&j| lengths[j] == 0.0).collect();
    if !unread.is_empty() {
        return Err(AdjustError::Undetermined(unread));
    }
    let mut scaled = slopes.clone();
    for (mut column, length) in scaled.column_iter_mut().zip(&lengths) {
        column /= *length;
    }
    let inverse = match by_squares(&scaled) {
        Some(inverse) => inverse,
        None => by_singular_values(&scaled)?,
    };
    let step = &inverse * scaled.tr_mul(&weighed.residuals);
    let unscale = |j: usize| 1.0 / lengths[j];
    Ok(Solved {
        covariance: DMatrix::from_fn(lengths.len(), lengths.len(), |i, j| {
            inverse[(i, j)] * unscale(i) * unscale(j)
        }),
        step: DVector::from_fn(lengths.len(), |j, _| step[j] * unscale(j)),
    })
}

/// Inverse of the squares of scaled slopes; `None` where they are too near to one another.
fn by_squares(scaled: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    let factor = scaled.tr_mul(scaled).cholesky()?;
    let least = factor
        .l_dirty()
        .diagonal()
        .iter()
        .fold(f64::INFINITY, |least, d| least.min(d * d));
    (least > RANK).then(|| factor.inverse())
}

fn by_singular_values(scaled: &DMatrix<f64>) -> Result<DMatrix<f64>, AdjustError> {
    let count = scaled.ncols();
    // Rows of nought make a tall matrix, which has as many singular values as figures.
    let tall = scaled.clone().resize_vertically(scaled.nrows().max(count), 0.0);
    let svd = tall.svd(false, true);
    let Some(v_t) = svd.v_t else {
        return Err(AdjustError::NotSettled);
    };
    let most = svd.singular_values.max();
    let lost = |k: usize| svd.singular_values[k] <= FINE_RANK * most;
    let free: Vec<usize> = (0..count)
        .filter(|&j| (0..count).any(|k| lost(k) && v_t[(k, j)].abs() > 1e-6))
        .collect();
    if !free.is_empty() {
        return Err(AdjustError::Undetermined(free));
    }
    let mut shares = v_t;
    for (mut row, value) in shares.row_iter_mut().zip(svd.singular_values.iter()) {
        row /= *value;
    }
    Ok(shares.tr_mul(&shares))
}

/// The state at which the sum of squares of all readings' residuals, each over its uncertainty, is least: Gauss-Newton from `start`,
/// a step that does not help being halved.
///
/// # Errors
/// [`AdjustError`].
pub fn adjust<M: Model + ?Sized>(model: &M, readings: &[Reading], start: &[f64]) -> Result<Estimate, AdjustError> {
    let (given, wanted) = (start.len(), model.states());
    if given != wanted {
        return Err(AdjustError::Start { given, wanted });
    }
    for (i, reading) in readings.iter().enumerate() {
        if !(reading.sure_to.is_finite() && reading.sure_to > 0.0) {
            return Err(AdjustError::Uncertainty(i));
        }
    }
    let mut state = DVector::from_column_slice(start);
    let mut weighed = Weighed::at(model, readings, &state).map_err(AdjustError::NotFinite)?;
    for _ in 0..ROUNDS {
        let Solved { covariance, step } = solve(&weighed)?;
        let size = (&weighed.slopes * &step).norm();
        if size < SETTLED {
            return Ok(Estimate::new(state, covariance, weighed, readings));
        }
        let before = weighed.squares();
        let shorter = (0..HALVINGS).find_map(|halved| {
            let share = 0.5f64.powi(i32::try_from(halved).unwrap_or(i32::MAX));
            let there = &state + share * &step;
            let then = Weighed::at(model, readings, &there).ok()?;
            (then.squares() <= before * (1.0 + ROUNDING)).then_some((there, then))
        });
        match shorter {
            Some((there, then)) => (state, weighed) = (there, then),
            None if size < ROUNDED => return Ok(Estimate::new(state, covariance, weighed, readings)),
            None => return Err(AdjustError::NotSettled),
        }
    }
    Err(AdjustError::NotSettled)
}
