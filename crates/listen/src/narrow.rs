//! A sound at no more samples a second than a string's partials need: what is above them is filtered away, so that it does not fold back.

use crate::lanes::product;
use numerics::math;
use std::f64::consts::{PI, TAU};

/// What folds back is so far under what it was, dB: noise and partials above the series hide nothing then.
const UNDER: f64 = 90.0;
/// Samples a second are at least twice this over the highest frequency that is kept: the filter has room to fall.
const ROOM: f64 = 1.2;
/// So many samples are made at once.
const PART: usize = 1_024;

/// Samples, so many a second as keep what lies up to `keeps` Hz, and their rate; the first is where the first was. `None` where there are
/// not twice as many as that takes.
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)] // a small whole number
pub(crate) fn narrowed(samples: &[f64], rate: f64, keeps: f64) -> Option<(Vec<f64>, f64)> {
    let by = (rate / (2.0 * ROOM * keeps)).floor() as usize;
    if by < 2 {
        return None;
    }
    // In two steps, the larger first: its filter may be short, for what it leaves is far above what is kept.
    let root = (by as f64).sqrt();
    let first = (2..=by).find(|step| by.is_multiple_of(*step) && *step as f64 >= root);
    let first = Step::of(rate, first.unwrap_or(by), keeps);
    let (narrow, count) = (rate / by as f64, samples.len().div_ceil(by));
    if first.by == by {
        return Some(((0..count).map(|i| first.at(samples, i * by)).collect(), narrow));
    }
    let then = Step::of(rate / first.by as f64, by / first.by, keeps);
    let (half, whole) = (then.weights.len() / 2, samples.len().div_ceil(first.by));
    let mut done = Vec::with_capacity(count);
    // Part by part, so that what stands between both steps stays small.
    let mut between = Vec::new();
    while done.len() < count {
        let part = done.len()..(done.len() + PART).min(count);
        let from = (part.start * then.by).saturating_sub(half);
        let to = (part.end * then.by + half).min(whole);
        between.clear();
        between.extend((from..to).map(|i| first.at(samples, i * first.by)));
        done.extend(part.map(|i| then.at(&between, i * then.by - from)));
    }
    Some((done, narrow))
}

/// Every so many samples, behind a filter of even weights to both sides, which delays nothing.
struct Step {
    by: usize,
    weights: Vec<f64>,
}

impl Step {
    /// A sine over its argument under Kaiser's window, whose length and shape are his (J. F. Kaiser, Proc. IEEE Int. Symp. Circuits and
    /// Systems 20 (1974); from memory).
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss
    )] // a few hundred weights
    fn of(rate: f64, by: usize, keeps: f64) -> Self {
        let stops = rate / by as f64 - keeps;
        let falls = TAU * (stops - keeps) / rate;
        let half = (0.5 * (UNDER - 7.95) / (2.285 * falls)).ceil() as usize;
        let shape = 0.1102 * (UNDER - 8.7);
        let middle = PI * (stops + keeps) / rate;
        let weight = |i: usize| {
            let at = i as f64 - half as f64;
            let sine = if i == half { middle } else { math::sin(middle * at) / at };
            let along = at / (half as f64 + 1.0);
            sine * bessel(shape * (1.0 - along * along).sqrt())
        };
        let weights: Vec<f64> = (0..=2 * half).map(weight).collect();
        let sum: f64 = weights.iter().sum();
        Self {
            by,
            weights: weights.into_iter().map(|weight| weight / sum).collect(),
        }
    }

    /// One sample, the filter's middle on one of those that are given; what is before and after them counts as silence.
    fn at(&self, samples: &[f64], middle: usize) -> f64 {
        let half = self.weights.len() / 2;
        let from = middle.saturating_sub(half);
        let to = (middle + half + 1).min(samples.len());
        let weights = self.weights.get(half.saturating_sub(middle)..).unwrap_or_default();
        product(samples.get(from..to).unwrap_or_default(), weights)
    }
}

/// The modified Bessel function of order 0, by its series.
fn bessel(x: f64) -> f64 {
    let (mut sum, mut term, mut k) = (1.0, 1.0, 1.0);
    while term > 1e-17 * sum {
        term *= math::powi(0.5 * x / k, 2);
        sum += term;
        k += 1.0;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sine(frequency: f64, rate: f64) -> Vec<f64> {
        (0..24_000)
            .map(|i| math::sin(TAU * frequency * f64::from(i) / rate))
            .collect()
    }

    fn loud(of: &[f64]) -> f64 {
        let inner = &of[of.len() / 4..3 * of.len() / 4];
        (inner.iter().map(|v| v * v).sum::<f64>() / inner.len() as f64).sqrt()
    }

    #[test]
    fn what_is_kept_stays_where_and_as_loud_as_it_was() {
        for (rate, keeps) in [
            (48_000.0, 3_240.0),
            (44_100.0, 5_700.0),
            (192_000.0, 3_240.0),
            (96_000.0, 4_000.0),
        ] {
            for share in [0.02, 0.3, 0.7, 1.0] {
                let frequency = share * keeps;
                let (found, own) = narrowed(&sine(frequency, rate), rate, keeps).unwrap();
                assert!(own >= 2.0 * ROOM * keeps);
                for (i, found) in found.iter().enumerate().skip(found.len() / 4).take(found.len() / 2) {
                    let want = math::sin(TAU * frequency * i as f64 / own);
                    assert!((found - want).abs() < 1e-4, "{rate} {frequency}: {found} {want}");
                }
            }
        }
    }

    #[test]
    fn nothing_folds_back_into_what_is_kept() {
        let (rate, keeps) = (48_000.0, 3_240.0);
        let (_, own) = narrowed(&[0.0], rate, keeps).unwrap();
        for folded in [100.0, 1_500.0, keeps] {
            for times in [1.0, 2.0] {
                for frequency in [times * own - folded, times * own + folded] {
                    let (found, _) = narrowed(&sine(frequency, rate), rate, keeps).unwrap();
                    assert!(loud(&found) < 5e-5, "{frequency}: {}", loud(&found));
                }
            }
        }
    }

    #[test]
    fn too_few_samples_stay_as_they_are() {
        assert!(narrowed(&[0.0; 100], 48_000.0, 12_000.0).is_none());
        assert!(narrowed(&[0.0; 100], 8_000.0, 3_240.0).is_none());
        assert_eq!(narrowed(&[], 48_000.0, 3_000.0).unwrap().0.len(), 0);
    }
}
