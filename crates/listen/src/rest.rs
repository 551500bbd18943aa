//! Where a string comes to rest after it was plucked.

use crate::Sure;
use nalgebra::{DMatrix, DVector, Matrix2, Vector2};
use numerics::math;

/// Stretches are not held to agree nearer than this, cents: the string swings to and fro between two ways of moving.
const NEAREST: f64 = 0.05;
/// How far what is taken out may be wrong, as a share of it: a string's stretch falls with its energy, which is heard through the body.
const DOUBT: f64 = 0.15;
/// What is left at the end of a glide that began at so much, as a share of that, and how sure: a string that moves along the top falls more
/// slowly, and is hardly heard. Derived here from strings on bodies that yield.
const LEFT: (f64, f64) = (0.016, 0.012);
/// And nothing is sure to less than this, cents: the two ways in which a string moves are a few tenths of a cent apart.
const LEAST: f64 = 0.1;

/// Rates of fall that are tried, by the root of so much each.
const TRIED: usize = 16;

/// A string that comes to rest.
pub(crate) struct AtRest {
    /// Where, cents over what the stretches are told over.
    pub(crate) rest: Sure,
    /// How much sharper it was in each stretch, cents.
    pub(crate) sharper: Vec<f64>,
    /// How much sharper it was at the pluck, cents.
    pub(crate) began: f64,
}

/// One way in which it may have come to rest.
struct Way {
    /// Where, cents.
    rest: f64,
    /// Variance of that, cents squared.
    variance: f64,
    /// How much sharper it was at the pluck, cents.
    began: f64,
    /// Rate at which that falls, 1/s.
    rate: f64,
    /// Weighed squares of what is left.
    misfit: f64,
}

/// Where a string comes to rest; `middles` are the stretches' times from the pluck, seconds, and `falls` the least and the greatest rate, 1/s,
/// at which its energy may fall. `None` where the covariance is none.
///
/// Stretch goes as the square of the swing: `rest + g e^(-r t)` is fitted by least squares with the stretches' own covariance for every rate r,
/// and each counts by how well it fits, so that what the rate leaves open is in the uncertainty. Our own way.
pub(crate) fn at_rest(
    stretches: &[f64],
    covariance: &DMatrix<f64>,
    middles: &[f64],
    falls: (f64, f64),
) -> Option<AtRest> {
    let count = stretches.len();
    let own = covariance + DMatrix::identity(count, count) * (NEAREST * NEAREST);
    let inverse = own.cholesky()?.inverse();
    let heard = DVector::from_column_slice(stretches);
    let times = DVector::from_fn(count, |i, _| middles.get(i).copied().unwrap_or(0.0));
    let ones = DVector::from_element(count, 1.0);
    // What all stretches say of a rest, and of what is heard.
    let (by_ones, by_heard) = (&inverse * &ones, &inverse * &heard);
    let still = || {
        let weight = by_ones.sum();
        let rest = by_heard.sum() / weight;
        let left = &heard - &ones * rest;
        (weight > 0.0).then(|| Way {
            rest,
            variance: weight.recip(),
            began: 0.0,
            rate: 1.0,
            misfit: left.dot(&(&by_heard - &by_ones * rest)),
        })
    };
    let glides = |rate: f64| {
        let falls = times.map(|t| math::exp(-rate * t));
        let by_falls = &inverse * &falls;
        let across = by_ones.dot(&falls);
        let spread = Matrix2::new(by_ones.sum(), across, across, by_falls.dot(&falls))
            .cholesky()?
            .inverse();
        let found = spread * Vector2::new(by_heard.sum(), by_heard.dot(&falls));
        let left = &heard - &ones * found[0] - &falls * found[1];
        let by_left = &by_heard - &by_ones * found[0] - by_falls * found[1];
        Some(Way {
            rest: found[0],
            variance: spread[(0, 0)],
            began: found[1],
            rate,
            misfit: left.dot(&by_left),
        })
    };
    // Not gliding at all is one of the ways.
    let mut ways = vec![still()?];
    if count >= 3 {
        #[allow(clippy::cast_precision_loss)] // a few
        let rates = (0..TRIED).map(|i| falls.0 * math::powf(falls.1 / falls.0, i as f64 / (TRIED as f64 - 1.0)));
        // No pluck makes a string flat.
        ways.extend(rates.filter_map(glides).filter(|way| way.began > 0.0));
    }
    let best = ways.iter().map(|way| way.misfit).fold(f64::INFINITY, f64::min);
    // Misfits beyond what the stretches' covariance explains make all ways more alike.
    #[allow(clippy::cast_precision_loss)] // a few
    let excess = (best / (count as f64 - 2.0).max(1.0)).max(1.0);
    let weights: Vec<f64> = ways
        .iter()
        .map(|way| math::exp(-0.5 * (way.misfit - best) / excess))
        .collect();
    let total: f64 = weights.iter().sum();
    let mean = |of: &dyn Fn(&Way) -> f64| -> f64 {
        let each = ways.iter().zip(&weights);
        each.map(|(way, weight)| weight * of(way)).sum::<f64>() / total
    };
    let rest = mean(&|way| way.rest);
    let variance = mean(&|way| excess * way.variance + math::powi(way.rest - rest, 2));
    let began = mean(&|way| way.began);
    let sharper = middles
        .iter()
        .map(|t| mean(&|way| way.began * math::exp(-way.rate * t)));
    let sharper: Vec<f64> = sharper.collect();
    let last = sharper.last().copied().unwrap_or(0.0);
    Some(AtRest {
        rest: Sure {
            value: rest - LEFT.0 * began,
            sure_to: (variance + math::powi(DOUBT * last, 2) + math::powi(LEFT.1 * began, 2) + LEAST * LEAST).sqrt(),
        },
        sharper,
        began,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretches(rest: f64, began: f64, rate: f64) -> (Vec<f64>, Vec<f64>, DMatrix<f64>) {
        let middles: Vec<f64> = (0..14).map(|i| 0.36 + 0.3 * f64::from(i)).collect();
        let at = middles.iter().map(|t| rest + began * math::exp(-rate * t)).collect();
        (at, middles, DMatrix::identity(14, 14) * 0.01)
    }

    #[test]
    fn a_fall_is_taken_out() {
        for (began, rate) in [(8.0, 0.9), (3.0, 2.5), (0.0, 1.0), (15.0, 1.4)] {
            let (at, middles, covariance) = stretches(-2.5, began, rate);
            let found = at_rest(&at, &covariance, &middles, (0.5, 4.0)).unwrap();
            assert!(found.rest.holds(-2.5), "{began} {rate}: {:?}", found.rest);
            assert!(
                (found.began - began).abs() < 0.15 * began + 0.2,
                "{began}: {}",
                found.began
            );
            assert_eq!(found.sharper.len(), 14);
        }
    }

    #[test]
    fn the_more_it_falls_the_less_is_it_sure() {
        let sure = |began: f64| {
            let (at, middles, covariance) = stretches(0.0, began, 1.0);
            at_rest(&at, &covariance, &middles, (0.5, 4.0)).unwrap().rest.sure_to
        };
        assert!(sure(10.0) > sure(2.0) && sure(2.0) > LEAST);
    }
}
