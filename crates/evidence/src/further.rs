//! What further readings would gain, one after another.

use crate::ask::{AskError, of_length, own_variance};
use nalgebra::{DMatrix, DMatrixView, DVector};

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
    /// Of figures of interest, which go with a state by `of`, a row a figure, and of readings, which go with it by `slopes`, a row a reading,
    /// and are sure to `sure_to` each; `covariance` is the state's.
    ///
    /// # Errors
    /// [`AskError::Length`] of a row or of the list of uncertainties, [`AskError::Uncertainty`], [`AskError::NotFinite`].
    pub fn of(
        covariance: &DMatrix<f64>,
        of: &DMatrix<f64>,
        slopes: &DMatrix<f64>,
        sure_to: &[f64],
    ) -> Result<Self, AskError> {
        let figures = covariance.nrows();
        of_length(covariance.ncols(), figures)?;
        of_length(of.ncols(), figures)?;
        of_length(slopes.ncols(), figures)?;
        of_length(sure_to.len(), slopes.nrows())?;
        let own = sure_to.iter().enumerate().map(|(i, sure_to)| own_variance(i, *sure_to));
        let own = own.collect::<Result<_, _>>()?;
        let count = of.nrows() + slopes.nrows();
        let mut all = DMatrix::zeros(count, figures);
        all.rows_mut(0, of.nrows()).copy_from(of);
        all.rows_mut(of.nrows(), slopes.nrows()).copy_from(slopes);
        let rows = all.transpose();
        let mut between = DMatrix::zeros(count, count);
        let mut turned = DVector::zeros(figures);
        for (row, mut column) in rows.column_iter().zip(between.column_iter_mut()) {
            turn(covariance, row.as_slice(), &mut turned);
            column.gemv(1.0, &all, &turned, 0.0);
        }
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

    /// Variances of the figures of interest, were all these readings taken, too, each once.
    ///
    /// # Errors
    /// [`AskError::NoReading`].
    pub fn variances_with_all(&self, readings: &[usize]) -> Result<Vec<f64>, AskError> {
        let places = readings.iter().map(|&reading| self.place(reading));
        let places = places.collect::<Result<Vec<_>, _>>()?;
        let n = places.len();
        // A triangular factor of the readings' covariance, row by row.
        let mut lower = vec![0.0; n * n];
        for (i, &(one, spread)) in places.iter().enumerate() {
            for (j, &(other, _)) in places[..=i].iter().enumerate() {
                let (row, upper) = (&lower[i * n..i * n + j], &lower[j * n..j * n + j]);
                let before: f64 = row.iter().zip(upper).map(|(a, b)| a * b).sum();
                lower[i * n + j] = if i == j {
                    (spread - before).sqrt()
                } else {
                    (self.between[(one, other)] - before) / lower[j * n + j]
                };
            }
        }
        let mut turned = vec![0.0; n];
        let after = self.variances().enumerate().map(|(asked, before)| {
            let mut left = before;
            for (i, &(place, _)) in places.iter().enumerate() {
                let row = &lower[i * n..i * n + i];
                let known: f64 = row.iter().zip(&turned).map(|(a, b)| a * b).sum();
                turned[i] = (self.between[(asked, place)] - known) / lower[i * n + i];
                left -= turned[i] * turned[i];
            }
            left.max(0.0)
        });
        Ok(after.collect())
    }

    /// How much two readings go together, -1 to 1: each as it would be read, with its own part.
    ///
    /// # Errors
    /// [`AskError::NoReading`].
    pub fn correlation(&self, one: usize, other: usize) -> Result<f64, AskError> {
        let ((place, spread), (other_place, other_spread)) = (self.place(one)?, self.place(other)?);
        let shared = if one == other {
            spread
        } else {
            self.between[(place, other_place)]
        };
        Ok(shared / (spread * other_spread).sqrt())
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

/// `turned = covariance * slopes`; noughts cost nothing.
pub(crate) fn turn(covariance: &DMatrix<f64>, slopes: &[f64], turned: &mut DVector<f64>) {
    turned.as_mut_slice().fill(0.0);
    for (column, slope) in covariance.column_iter().zip(slopes) {
        if *slope != 0.0 {
            turned.axpy(*slope, &column, 1.0);
        }
    }
}
