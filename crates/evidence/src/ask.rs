//! Why nothing can be told of what was asked.

use thiserror::Error;

/// Why an [`Estimate`](crate::Estimate) tells nothing of what it was asked. Numbers count from nought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum AskError {
    /// A list has another length than the estimate has figures or readings.
    #[error("a list of {given} was given where {wanted} are wanted")]
    Length {
        /// Length given.
        given: usize,
        /// Length wanted.
        wanted: usize,
    },
    /// The uncertainty of a further reading is nought, negative or no number.
    #[error("further reading {0} would be sure to nothing that can be weighed")]
    Uncertainty(usize),
    /// A derivative is no number, or too large.
    #[error("a derivative is no number that can be weighed")]
    NotFinite,
    /// There is no such further reading.
    #[error("there is no further reading {0}")]
    NoReading(usize),
}

/// Whether a list has the length that is wanted.
pub(crate) fn of_length(given: usize, wanted: usize) -> Result<(), AskError> {
    if given == wanted {
        Ok(())
    } else {
        Err(AskError::Length { given, wanted })
    }
}

/// The variance of a further reading's own part.
pub(crate) fn own_variance(reading: usize, sure_to: f64) -> Result<f64, AskError> {
    let variance = sure_to * sure_to;
    // A positive uncertainty whose square is nought weighs no less than nought does.
    if sure_to > 0.0 && variance > 0.0 && variance.is_finite() {
        Ok(variance)
    } else {
        Err(AskError::Uncertainty(reading))
    }
}

pub(crate) fn finite(value: f64) -> Result<f64, AskError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(AskError::NotFinite)
    }
}
