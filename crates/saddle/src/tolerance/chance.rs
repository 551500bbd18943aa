//! The chance that the strings end in tolerance, to first order: for weighing many ways to read an instrument against each other.

use super::first_order::Felt;
use super::sample::{ToleranceError, can_be_told};
use super::tally::Band;
use super::world::World;
use crate::{Plan, SaddleSurvey};
use evidence::quantile;
use known::{Evidence, MOST};
use nalgebra::{DMatrix, DMatrixView};
use numerics::math;
use std::sync::OnceLock;

/// Points at which [`Endings::together`] looks.
pub const POINTS: usize = 4096;
/// Most figures that strings end with: action and cents of each.
const FIGURES: usize = 2 * MOST;

/// What the strings of a made saddle end with, over the tolerances: of each string, bass to treble, its action at fret 12 and its cents
/// there, both against the plan, so that all within 1 is all in tolerance.
#[derive(Debug, Clone, PartialEq)]
pub struct Endings {
    /// How they go with the figures of the state, a row each; figures as in [`known::Known::figures`].
    pub slopes: DMatrix<f64>,
    /// Their covariance by what making adds.
    making: DMatrix<f64>,
}

impl Endings {
    /// Of the saddle of a plan.
    ///
    /// # Errors
    /// [`ToleranceError::NotPositive`], [`ToleranceError::TooLarge`].
    pub fn of(evidence: &Evidence, survey: &SaddleSurvey, plan: &Plan, band: Band) -> Result<Self, ToleranceError> {
        let world = World::of(evidence, survey, plan).ok_or(ToleranceError::TooLarge)?;
        can_be_told(band, &world.making(&evidence.unsure))?;
        let strings = plan.strings.len().min(MOST);
        let felt = Felt::of(&world, evidence, strings).ok_or(ToleranceError::TooLarge)?;
        let over = |i: usize| if i.is_multiple_of(2) { band.action } else { band.cents };
        let figures = evidence.known.figures.len();
        let slopes = DMatrix::from_fn(2 * strings, figures, |i, at| felt.state[i / 2][i % 2][at] / over(i));
        let mut making = DMatrix::zeros(2 * strings, 2 * strings);
        for (_, each) in &felt.making {
            let moved = |i: usize| {
                let shown = each[i / 2];
                (if i.is_multiple_of(2) { shown.action } else { shown.cents }) / over(i)
            };
            making += DMatrix::from_fn(2 * strings, 2 * strings, |i, j| moved(i) * moved(j));
        }
        Ok(Self { slopes, making })
    }

    /// Logarithm of the product of the chances of each by itself to end within, by their variances before making; the sum of many small
    /// doubts, quick to work out.
    #[must_use]
    pub fn singly(&self, variances: &[f64]) -> f64 {
        let all = variances.iter().enumerate();
        let product: f64 = all
            .map(|(i, variance)| within(variance + self.making[(i, i)]))
            .product();
        math::ln(product)
    }

    /// Variances of what the strings end with, making and all, by their covariance before it.
    ///
    /// # Panics
    /// As a sum of matrices does, where the covariance is not of these endings: `slopes` times that of the state times `slopes` turned.
    #[must_use]
    pub fn variances(&self, covariance: DMatrixView<'_, f64>) -> Vec<f64> {
        let all = covariance + &self.making;
        all.diagonal().iter().copied().collect()
    }

    /// Chance that all end within at once, 0 to 1, by their covariance before making: at [`POINTS`] fixed points, which leave it sure to
    /// some 0.5 in a hundred, of twelve strings to 1.
    ///
    /// # Panics
    /// As a sum of matrices does, where the covariance is not of these endings: `slopes` times that of the state times `slopes` turned.
    #[must_use]
    pub fn together(&self, covariance: DMatrixView<'_, f64>) -> f64 {
        let all = covariance + &self.making;
        let n = all.nrows();
        // What varies most is drawn first: most points that fail then fail at once.
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&a, &b| all[(b, b)].total_cmp(&all[(a, a)]).then(a.cmp(&b)));
        let lower = factor(&DMatrix::from_fn(n, n, |i, j| all[(order[i], order[j])]));
        let points = POINTS_DRAWN.get_or_init(drawn);
        let held = points.chunks_exact(FIGURES).filter(|point| {
            let mut row = lower.as_slice();
            (0..n).all(|i| {
                let (own, rest) = row.split_at(i + 1);
                row = rest;
                let off: f64 = own.iter().zip(*point).map(|(l, z)| l * z).sum();
                off.abs() <= 1.0
            })
        });
        held.count() as f64 / POINTS as f64
    }
}

/// A chance is told no smaller than this, so that the product of [`FIGURES`] of them stays above nought.
const LEAST: f64 = 1e-12;

/// Chance of a normal figure of this variance to lie within 1 of nought.
fn within(variance: f64) -> f64 {
    if variance <= 0.0 {
        return 1.0;
    }
    // The error function to 3e-7: M. Abramowitz and I. Stegun (eds.), Handbook of Mathematical Functions (1964), 7.1.28.
    const A: [f64; 6] = [
        0.000_043_063_8,
        0.000_276_567_2,
        0.000_152_014_3,
        0.009_270_527_2,
        0.042_282_012_3,
        0.070_523_078_4,
    ];
    let x = (0.5 / variance).sqrt();
    let sum = A.iter().fold(0.0, |sum, a| (sum + a) * x) + 1.0;
    let by_16 = math::powi(math::powi(math::powi(math::powi(sum, 2), 2), 2), 2);
    (1.0 - 1.0 / by_16).max(LEAST)
}

/// Rows of a triangular factor, one after the other; what does not vary by itself gets none of its own.
fn factor(covariance: &DMatrix<f64>) -> Vec<f64> {
    let n = covariance.nrows();
    let mut lower: Vec<f64> = Vec::with_capacity(n * (n + 1) / 2);
    let start = |i: usize| i * (i + 1) / 2;
    for i in 0..n {
        for j in 0..=i {
            let (row, upper) = (&lower[start(i)..], &lower[start(j)..][..j]);
            let before: f64 = row.iter().zip(upper).map(|(a, b)| a * b).sum();
            let left = covariance[(i, j)] - before;
            let entry = if i == j {
                left.max(0.0).sqrt()
            } else {
                let over = lower[start(j) + j];
                if over > 0.0 { left / over } else { 0.0 }
            };
            lower.push(entry);
        }
    }
    lower
}

static POINTS_DRAWN: OnceLock<Vec<f64>> = OnceLock::new();

/// Primes, one for each figure.
const PRIMES: [f64; FIGURES] = [
    2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0, 29.0, 31.0, 37.0, 41.0, 43.0, 47.0, 53.0, 59.0, 61.0, 67.0, 71.0,
    73.0, 79.0, 83.0, 89.0,
];

/// Independent standard normal figures at points that fill their space evenly, point after point: multiples of the roots of primes,
/// R. D. Richtmyer, The evaluation of definite integrals, and a quasi-Monte-Carlo method based on the properties of algebraic numbers,
/// Los Alamos LA-1342 (1951).
fn drawn() -> Vec<f64> {
    let point = |k: usize| PRIMES.map(|prime| quantile(((k as f64 + 0.5) * prime.sqrt()).fract()));
    (0..POINTS).flat_map(point).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the same library's `erfc`, by way of its own chance.
    #[test]
    fn the_quick_chance_is_that_of_the_normal_distribution() {
        for i in 1..400 {
            let deviation = 0.02 * f64::from(i);
            let want = 1.0 - evidence::two_sided(1.0 / deviation);
            assert!((within(deviation * deviation) - want).abs() < 3.5e-7, "{deviation}");
        }
        assert_eq!(within(0.0), 1.0);
    }

    fn of(making: DMatrix<f64>) -> Endings {
        Endings {
            slopes: DMatrix::zeros(making.nrows(), 1),
            making,
        }
    }

    #[test]
    fn what_varies_by_itself_holds_together_as_often_as_the_product_says() {
        for n in [1usize, 2, 6, 12, 24] {
            for each in [0.3, 0.5, 0.8] {
                let making = DMatrix::identity(n, n) * 0.5 * each * each;
                let endings = of(making.clone());
                let product = math::exp(endings.singly(making.diagonal().as_slice()));
                let found = endings.together(making.as_view());
                assert!((found - product).abs() < 0.006, "{n} {each}: {found} {product}");
            }
        }
    }

    #[test]
    fn what_goes_together_altogether_holds_as_often_as_one() {
        let all = DMatrix::from_element(8, 8, 0.49);
        let found = of(DMatrix::zeros(8, 8)).together(all.as_view());
        assert!((found - within(0.49)).abs() < 0.002, "{found}");
        assert_eq!(of(DMatrix::zeros(4, 4)).together(DMatrix::zeros(4, 4).as_view()), 1.0);
    }
}
