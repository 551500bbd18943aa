//! What further readings would gain, one after another.

use crate::ask::{AskError, own_variance};
use nalgebra::{DMatrix, DMatrixView};

/// How sure some figures of interest are, and how sure each of a list of further readings would make them, at the state of an
/// [`Estimate`](crate::Estimate). To ask after a reading costs a division for each figure of interest; to take it, one for each pair.
///
/// A copy is cheap, and [`Clone::clone_from`] into an older copy needs no memory: so is every second reading tried after every first.
#[derive(Debug, PartialEq)]
pub struct Further {
    /// Covariance of the figures of interest, then of the readings' expectations.
    between: DMatrix<f64>,
    /// Variance of each further reading's own part.
    own: Vec<f64>,
}

impl Clone for Further {
    fn clone(&self) -> Self {
        Self {
            between: self.between.clone(),
            own: self.own.clone(),
        }
    }

    fn clone_from(&mut self, from: &Self) {
        if self.between.shape() == from.between.shape() {
            self.between.copy_from(&from.between);
        } else {
            self.between = from.between.clone();
        }
        self.own.clone_from(&from.own);
    }
}

impl Further {
    /// Of the covariance between figures of interest and readings' expectations, in this order, and the readings' uncertainties.
    pub(crate) fn new(between: DMatrix<f64>, sure_to: &[f64]) -> Result<Self, AskError> {
        let own = sure_to.iter().enumerate().map(|(i, sure_to)| own_variance(i, *sure_to));
        let own = own.collect::<Result<_, _>>()?;
        if between.iter().all(|value| value.is_finite()) {
            Ok(Self { between, own })
        } else {
            Err(AskError::NotFinite)
        }
    }

    fn asked(&self) -> usize {
        self.between.nrows() - self.own.len()
    }

    /// Where a reading stands in the covariance, and the variance with which it would be read.
    fn place(&self, reading: usize) -> Result<(usize, f64), AskError> {
        let own = self.own.get(reading).ok_or(AskError::NoReading(reading))?;
        let place = self.asked() + reading;
        Ok((place, own + self.between[(place, place)].max(0.0)))
    }

    /// Covariance of the figures of interest after the readings taken so far.
    #[must_use]
    pub fn covariance(&self) -> DMatrixView<'_, f64> {
        self.between.view((0, 0), (self.asked(), self.asked()))
    }

    /// Variances of the figures of interest after the readings taken so far.
    pub fn variances(&self) -> impl Iterator<Item = f64> {
        (0..self.asked()).map(|i| self.between[(i, i)].max(0.0))
    }

    /// Variances of the figures of interest, were this reading taken, too.
    ///
    /// # Errors
    /// [`AskError::NoReading`].
    pub fn variances_with(&self, reading: usize) -> Result<impl Iterator<Item = f64>, AskError> {
        let (place, spread) = self.place(reading)?;
        let shared = self.between.column(place);
        let after = move |(i, before): (usize, f64)| (before - shared[i] * shared[i] / spread).max(0.0);
        Ok(self.variances().enumerate().map(after))
    }

    /// Takes a reading: all that is told from here on is after it. Taken again, it is another of the same kind.
    ///
    /// # Errors
    /// [`AskError::NoReading`].
    pub fn take(&mut self, reading: usize) -> Result<(), AskError> {
        let (place, spread) = self.place(reading)?;
        let still = self.between[(place, place)];
        for j in (0..self.between.ncols()).filter(|j| *j != place) {
            let share = self.between[(place, j)] / spread;
            let (shared, mut column) = self.between.columns_range_pair_mut(place, j);
            column.axpy(-share, &shared, 1.0);
        }
        // The column that all others are lessened by comes last.
        let mut shared = self.between.column_mut(place);
        shared *= 1.0 - still.max(0.0) / spread;
        Ok(())
    }
}
