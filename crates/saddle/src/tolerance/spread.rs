//! The spread of one figure, taken up part by part.

use super::ranked::{Ranked, key};
use numerics::math;
use serde::Serialize;

/// Spread of one figure over all samples.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// Mean less the planned value.
    pub mean: f64,
    /// Standard deviation.
    pub deviation: f64,
    /// Low end of the middle 95 %, less the planned value.
    pub low: f64,
    /// High end of the middle 95 %, less the planned value.
    pub high: f64,
}

/// One figure of a stream of samples.
#[derive(Debug)]
pub(super) struct Figure {
    count: f64,
    mean: f64,
    /// Sum of the squares of what each value differs from the mean.
    squares: f64,
    /// Low and high end of the middle 95 %.
    middle: [Ranked; 2],
    also: Option<Ranked>,
}

impl Figure {
    /// Of no sample yet; `also` is one more share whose value is wanted. For `margin` see [`Ranked::new`].
    pub(super) fn new(also: Option<f64>, margin: f64) -> Self {
        let ranked = |share| Ranked::new(share, margin);
        Self {
            count: 0.0,
            mean: 0.0,
            squares: 0.0,
            middle: [0.025, 0.975].map(ranked),
            also: also.map(ranked),
        }
    }

    /// Takes up the next part of the stream; `more` where others follow. Parts join by T. F. Chan, G. H. Golub, R. J. LeVeque, Updating formulae and a pairwise
    /// algorithm for computing sample variances (1979), from memory.
    pub(super) fn take(&mut self, values: &[f64], more: bool) {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let squares = values.iter().map(|v| math::powi(v - mean, 2)).sum::<f64>();
        if self.count > 0.0 {
            let (all, apart) = (self.count + count, mean - self.mean);
            self.squares += squares + math::powi(apart, 2) * self.count * count / all;
            self.mean += apart * count / all;
            self.count = all;
        } else {
            (self.count, self.mean, self.squares) = (count, mean, squares);
        }
        let mut keys: Vec<i64> = values.iter().map(|v| key(*v)).collect();
        for ranked in self.ranked() {
            ranked.take(&mut keys, more);
        }
    }

    /// Its spread; `None` where a margin was too little.
    pub(super) fn spread(&mut self) -> Option<Spread> {
        let [low, high] = &mut self.middle;
        Some(Spread {
            mean: self.mean,
            deviation: (self.squares / (self.count - 1.0)).sqrt(),
            low: low.value()?,
            high: high.value()?,
        })
    }

    /// The value of the further share; `None` as above, or where none was wanted.
    pub(super) fn also(&mut self) -> Option<f64> {
        self.also.as_mut()?.value()
    }

    /// Every order statistic that is wanted of it.
    pub(super) fn ranked(&mut self) -> impl Iterator<Item = &mut Ranked> {
        self.middle.iter_mut().chain(&mut self.also)
    }
}
