//! Samples as they come in, and what they must be to be listened to.

use crate::Unheard;

/// Rates that are read, samples a second: from a telephone's to the highest of a sound card.
pub const RATES: (f64, f64) = (8_000.0, 192_000.0);
/// Expected pitches, Hz: from an octave under a bass guitar's lowest string to two over a mandolin's highest.
pub const PITCHES: (f64, f64) = (20.0, 2_700.0);

/// Sound of one channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sound<'a> {
    /// Samples, full scale at -1 and 1.
    samples: &'a [f64],
    /// Samples a second.
    rate: f64,
}

impl<'a> Sound<'a> {
    /// Samples of one channel, full scale at -1 and 1, so many a second.
    ///
    /// # Errors
    /// [`Unheard::Rate`] outside [`RATES`], [`Unheard::NoNumber`] where a sample is none.
    pub fn of(samples: &'a [f64], rate: f64) -> Result<Self, Unheard> {
        if !(RATES.0..=RATES.1).contains(&rate) {
            return Err(Unheard::Rate { rate });
        }
        let number = |part: &[f64]| part.iter().fold(true, |all, sample| all & sample.is_finite());
        if !samples.chunks(64).all(number) {
            return Err(Unheard::NoNumber);
        }
        Ok(Self { samples, rate })
    }

    /// Samples that were taken from a sound, at a rate that may be below [`RATES`].
    pub(crate) fn within(samples: &'a [f64], rate: f64) -> Self {
        Self { samples, rate }
    }

    /// Its samples.
    #[must_use]
    pub fn samples(&self) -> &'a [f64] {
        self.samples
    }

    /// Samples a second.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// How long it is, seconds.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // a count of samples
    pub fn seconds(&self) -> f64 {
        self.samples.len() as f64 / self.rate
    }

    /// The samples from a time on, for so long, seconds; fewer at its end.
    #[must_use]
    pub fn part(&self, from: f64, long: f64) -> &'a [f64] {
        let first = self.count(from).min(self.samples.len());
        let last = (first + self.count(long)).min(self.samples.len());
        self.samples.get(first..last).unwrap_or_default()
    }

    /// How many samples so many seconds are.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // not negative, and no longer than what was recorded
    pub fn count(&self, seconds: f64) -> usize {
        (seconds.max(0.0) * self.rate).round() as usize
    }
}
