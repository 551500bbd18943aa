//! Readings that go straight with the state.

use evidence::{AdjustError, Estimate, Model, Reading, adjust};
use nalgebra::{DMatrix, DVector};

pub struct Straight(pub DMatrix<f64>);

impl Model for Straight {
    fn states(&self) -> usize {
        self.0.ncols()
    }

    fn expect(&self, state: &[f64], expected: &mut DVector<f64>, slopes: &mut DMatrix<f64>) {
        *expected = &self.0 * DVector::from_column_slice(state);
        slopes.copy_from(&self.0);
    }
}

/// Readings by their rows of slopes, each with value and uncertainty, adjusted from nought.
pub fn adjusted(rows: &[&[f64]], readings: &[(f64, f64)]) -> Result<Estimate, AdjustError> {
    let columns = rows.first().map_or(0, |row| row.len());
    let slopes = DMatrix::from_fn(rows.len(), columns, |i, j| rows[i][j]);
    let readings: Vec<Reading> = readings
        .iter()
        .map(|&(value, sure_to)| Reading { value, sure_to })
        .collect();
    adjust(&Straight(slopes), &readings, &vec![0.0; columns])
}
