//! The step toward the best state, and the covariance there.

use crate::weighed::Weighed;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Squares of scaled columns that agree to this share leave a figure undetermined.
const RANK: f64 = 1e-11;
/// The same by singular values, where squares would hide it.
const FINE_RANK: f64 = 1e-13;

/// The squares of slopes, ready to be divided by.
pub(crate) struct Solver {
    /// Of the columns of the slopes: figures come in millimetres, radians and shares, so that all is solved in columns of unit length.
    lengths: DVector<f64>,
    squares: Squares,
}

enum Squares {
    Factor(Cholesky<f64, Dyn>),
    Inverse(DMatrix<f64>),
}

impl Solver {
    /// Of these slopes, a column a reading; else the figures that they do not determine.
    pub(crate) fn new(slopes: &DMatrix<f64>) -> Result<Self, Vec<usize>> {
        let mut squares = squares(slopes);
        let lengths = squares.diagonal().map(f64::sqrt);
        let unread: Vec<usize> = (0..lengths.len()).filter(|&j| lengths[j] == 0.0).collect();
        if !unread.is_empty() {
            return Err(unread);
        }
        divide_both_ways(&mut squares, &lengths);
        let squares = match Cholesky::new(squares).filter(well_apart) {
            Some(factor) => Squares::Factor(factor),
            None => Squares::Inverse(by_singular_values(slopes, &lengths)?),
        };
        Ok(Self { lengths, squares })
    }

    /// The step from a state toward the best one, and its length in standard deviations.
    pub(crate) fn step(&self, weighed: &Weighed) -> (DVector<f64>, f64) {
        let downhill = (&weighed.slopes * &weighed.residuals).component_div(&self.lengths);
        let step = match &self.squares {
            Squares::Factor(factor) => factor.solve(&downhill),
            Squares::Inverse(inverse) => inverse * &downhill,
        };
        let size = downhill.dot(&step).max(0.0).sqrt();
        (step.component_div(&self.lengths), size)
    }

    /// The covariance of the state.
    pub(crate) fn covariance(&self) -> DMatrix<f64> {
        let mut covariance = match &self.squares {
            Squares::Factor(factor) => inverse(factor),
            Squares::Inverse(inverse) => inverse.clone(),
        };
        divide_both_ways(&mut covariance, &self.lengths);
        covariance
    }
}

/// Sums over readings of squares and products of slopes, below the diagonal and on it. A reading goes with few figures: the others cost little.
fn squares(slopes: &DMatrix<f64>) -> DMatrix<f64> {
    let count = slopes.nrows();
    let mut sums = DMatrix::zeros(count, count);
    for reading in slopes.column_iter() {
        let reading = reading.as_slice();
        let end = reading
            .iter()
            .rposition(|slope| *slope != 0.0)
            .map_or(0, |last| last + 1);
        for (j, slope) in reading.iter().enumerate().take(end) {
            if *slope != 0.0 {
                add_times(&mut sums.column_mut(j).as_mut_slice()[j..end], *slope, &reading[j..end]);
            }
        }
    }
    sums
}

/// Every row and every column divided by its length.
fn divide_both_ways(matrix: &mut DMatrix<f64>, lengths: &DVector<f64>) {
    let shares: Vec<f64> = lengths.iter().map(|length| 1.0 / length).collect();
    for (mut column, by) in matrix.column_iter_mut().zip(&shares) {
        for (value, other) in column.as_mut_slice().iter_mut().zip(&shares) {
            *value *= by * other;
        }
    }
}

/// `to += by * of`.
fn add_times(to: &mut [f64], by: f64, of: &[f64]) {
    for (to, of) in to.iter_mut().zip(of) {
        *to += by * of;
    }
}

/// Whether no column of unit length is all but a sum of others.
fn well_apart(factor: &Cholesky<f64, Dyn>) -> bool {
    factor.l_dirty().diagonal().iter().all(|d| d * d > RANK)
}

/// The inverse of what was factored, the same on both sides of the diagonal.
fn inverse(factor: &Cholesky<f64, Dyn>) -> DMatrix<f64> {
    let lower = factor.l_dirty();
    let count = lower.nrows();
    // The inverse of the factor, column by column; above the diagonal it is nought.
    let mut turned = DMatrix::<f64>::zeros(count, count);
    for (j, mut column) in turned.column_iter_mut().enumerate() {
        let column = column.as_mut_slice();
        column[j] = 1.0;
        for k in j..count {
            let value = column[k] / lower[(k, k)];
            column[k] = value;
            add_times(&mut column[k + 1..], -value, &lower.column(k).as_slice()[k + 1..]);
        }
    }
    let mut inverse = DMatrix::zeros(count, count);
    for j in 0..count {
        let tail = turned.view_range(j.., j);
        for i in 0..=j {
            let value = turned.view_range(j.., i).dot(&tail);
            (inverse[(i, j)], inverse[(j, i)]) = (value, value);
        }
    }
    inverse
}

/// The inverse of the squares of columns of unit length, where squaring would lose it; else the figures that are not determined.
fn by_singular_values(slopes: &DMatrix<f64>, lengths: &DVector<f64>) -> Result<DMatrix<f64>, Vec<usize>> {
    let count = slopes.nrows();
    // Rows of nought make a tall matrix, which has as many singular values as figures.
    let mut scaled = slopes.transpose().resize_vertically(slopes.ncols().max(count), 0.0);
    for (mut column, length) in scaled.column_iter_mut().zip(lengths.iter()) {
        column /= *length;
    }
    let svd = scaled.svd(false, true);
    let Some(v_t) = svd.v_t else {
        return Err((0..count).collect());
    };
    let most = svd.singular_values.max();
    let lost = |k: usize| svd.singular_values[k] <= FINE_RANK * most;
    let free: Vec<usize> = (0..count)
        .filter(|&j| (0..count).any(|k| lost(k) && v_t[(k, j)].abs() > 1e-6))
        .collect();
    if !free.is_empty() {
        return Err(free);
    }
    let mut shares = v_t;
    for (mut row, value) in shares.row_iter_mut().zip(svd.singular_values.iter()) {
        row /= *value;
    }
    Ok(shares.tr_mul(&shares))
}
