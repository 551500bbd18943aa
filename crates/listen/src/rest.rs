//! Where a string comes to rest after it was plucked.

use crate::Sure;
use nalgebra::{DMatrix, DVector};

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

/// Where a string comes to rest; `middles` are the stretches' times from the pluck, seconds, and `falls` the least and the greatest rate, 1/s,
/// at which its energy may fall.
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
    let inverse = own.try_inverse()?;
    let heard = DVector::from_column_slice(stretches);
    let fit = |energy: Option<&[f64]>| {
        let columns = 1 + usize::from(energy.is_some());
        let x = DMatrix::from_fn(count, columns, |i, j| {
            if j == 0 { 1.0 } else { energy.map_or(0.0, |of| of[i]) }
        });
        let spread = (x.transpose() * &inverse * &x).try_inverse()?;
        let found = &spread * x.transpose() * &inverse * &heard;
        let left = &heard - &x * &found;
        let misfit = (left.transpose() * &inverse * &left)[(0, 0)];
        Some((found, spread[(0, 0)], misfit))
    };
    // Not gliding at all is one of the ways.
    let still = fit(None)?;
    let mut ways = vec![(still.0[0], still.1, 0.0, 1.0, still.2)];
    if count >= 3 {
        let ratio = falls.1 / falls.0;
        for i in 0..TRIED {
            #[allow(clippy::cast_precision_loss)] // a few
            let rate = falls.0 * ratio.powf(i as f64 / (TRIED as f64 - 1.0));
            let energy: Vec<f64> = middles.iter().map(|t| (-rate * t).exp()).collect();
            let Some((found, own, misfit)) = fit(Some(&energy)) else {
                continue;
            };
            // No pluck makes a string flat.
            if found[1] > 0.0 {
                ways.push((found[0], own, found[1], rate, misfit));
            }
        }
    }
    let best = ways.iter().map(|way| way.4).fold(f64::INFINITY, f64::min);
    // Misfits beyond what the stretches' covariance explains make all ways more alike.
    #[allow(clippy::cast_precision_loss)] // a few
    let excess = (best / (count as f64 - 2.0).max(1.0)).max(1.0);
    let weights: Vec<f64> = ways.iter().map(|way| (-0.5 * (way.4 - best) / excess).exp()).collect();
    let total: f64 = weights.iter().sum();
    let mean = |of: &dyn Fn(&(f64, f64, f64, f64, f64)) -> f64| {
        ways.iter()
            .zip(&weights)
            .map(|(way, weight)| weight * of(way))
            .sum::<f64>()
            / total
    };
    let rest = mean(&|way| way.0);
    let spread = mean(&|way| excess * way.1 + (way.0 - rest).powi(2));
    let began = mean(&|way| way.2);
    let sharper: Vec<f64> = middles
        .iter()
        .map(|t| mean(&|way| way.2 * (-way.3 * t).exp()))
        .collect();
    let last = sharper.last().copied().unwrap_or(0.0);
    let sure_to = (spread + (DOUBT * last).powi(2) + (LEFT.1 * began).powi(2) + LEAST * LEAST).sqrt();
    Some(AtRest {
        rest: Sure {
            value: rest - LEFT.0 * began,
            sure_to,
        },
        sharper,
        began,
    })
}
