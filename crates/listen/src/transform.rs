//! The discrete Fourier transform of real samples, by sums and products in one order, so that it is the same everywhere.

use nalgebra::Complex;
use numerics::math;
use std::array::from_fn;
use std::f64::consts::TAU;

type Number = Complex<f64>;

/// What a transform of one length needs, and room for it. Samples are taken in pairs as complex numbers, half as many, and told apart
/// afterwards (J. W. Cooley, P. A. W. Lewis, P. D. Welch, J. Sound Vib. 12, 315 (1970)).
pub(crate) struct Transform {
    /// Parts of a full turn, clockwise, as many as samples.
    turns: Vec<Number>,
    /// The samples in pairs, and room for what is made of them.
    pairs: Vec<Number>,
    room: Vec<Number>,
}

impl Transform {
    /// Of so many samples, a product of twos, threes and fives: [`Self::quick`] tells one.
    #[allow(clippy::cast_precision_loss)] // a count of samples
    pub(crate) fn of(long: usize) -> Self {
        let half = long / 2;
        let turn = |k: usize| {
            let (sin, cos) = math::sin_cos(TAU * k as f64 / long as f64);
            Complex::new(cos, -sin)
        };
        // The others are these, turned: sines are what takes time here.
        let known = if long.is_multiple_of(4) { long / 4 } else { half };
        let mut turns: Vec<Number> = (0..known).map(turn).collect();
        if known < half {
            turns.extend_from_within(..);
            turns[known..].iter_mut().for_each(|turn| *turn = back(*turn));
        }
        turns.extend_from_within(..);
        turns[half..].iter_mut().for_each(|turn| *turn = -*turn);
        Self {
            turns,
            pairs: vec![Number::default(); half],
            room: vec![Number::default(); half],
        }
    }

    /// The shortest quick length of at least so many samples.
    #[allow(clippy::cast_precision_loss)] // a count of samples
    pub(crate) fn quick(least: f64) -> usize {
        let sizes = [16usize, 18, 20, 24].map(|first| {
            let mut size = first;
            while (size as f64) < least {
                size *= 2;
            }
            size
        });
        sizes.into_iter().min().unwrap_or(16)
    }

    /// Samples that it takes.
    pub(crate) fn len(&self) -> usize {
        self.turns.len()
    }

    /// Power at the first so many frequencies, from 0 up in steps of one over the whole length; samples that are missing count as silence.
    pub(crate) fn powers(&mut self, mut samples: impl Iterator<Item = f64>, count: usize, into: &mut Vec<f64>) {
        for pair in &mut self.pairs {
            let mut next = || samples.next().unwrap_or(0.0);
            *pair = Complex::new(next(), next());
        }
        self.turn();
        into.clear();
        // Frequencies from both ends meet in the middle; the first pair is both ends in one.
        let Some((first, rest)) = self.pairs.split_first() else {
            return;
        };
        let power = |((here, there), turn): ((&Number, &Number), &Number)| {
            let there = there.conj();
            0.25 * (here + there + back((here - there) * turn)).norm_sqr()
        };
        into.push(math::powi(first.re + first.im, 2));
        into.extend(rest.iter().zip(rest.iter().rev()).zip(&self.turns[1..]).map(power));
        into.push(math::powi(first.re - first.im, 2));
        into.truncate(count);
    }

    /// The transform of the pairs, which are in order again after every pass (Stockham's way: C. Van Loan, Computational Frameworks for
    /// the Fast Fourier Transform (1992), 1.7).
    fn turn(&mut self) {
        let mut stride = 1;
        while stride < self.pairs.len() {
            let left = self.pairs.len() / stride;
            let (from, to, turns) = (&self.pairs[..], &mut self.room[..], &self.turns[..]);
            stride *= match left {
                _ if left.is_multiple_of(4) => pass(from, to, stride, turns, four),
                _ if left.is_multiple_of(5) => pass(from, to, stride, turns, five),
                _ if left.is_multiple_of(3) => pass(from, to, stride, turns, three),
                _ => pass(from, to, stride, turns, |[a, b]| [a + b, a - b]),
            };
            std::mem::swap(&mut self.pairs, &mut self.room);
        }
    }
}

/// One pass by R at a time over what lies `stride` apart; R. `turns` are of twice as many places.
#[inline(always)]
fn pass<const R: usize>(
    from: &[Number],
    to: &mut [Number],
    stride: usize,
    turns: &[Number],
    small: impl Fn([Number; R]) -> [Number; R],
) -> usize {
    let part = from.len() / R;
    let parts: [&[Number]; R] = from_fn(|j| &from[j * part..][..part]);
    for (p, to) in to.chunks_exact_mut(R * stride).enumerate() {
        let by: [Number; R] = from_fn(|j| turns[2 * j * p * stride]);
        for q in 0..stride {
            let done = small(from_fn(|j| parts[j][p * stride + q]));
            for j in 0..R {
                to[j * stride + q] = if j == 0 { done[0] } else { done[j] * by[j] };
            }
        }
    }
    R
}

/// The transform of four.
#[inline(always)]
fn four([a, b, c, d]: [Number; 4]) -> [Number; 4] {
    let (ac, bd) = (a + c, b + d);
    let (across, turned) = (a - c, back(b - d));
    [ac + bd, across + turned, ac - bd, across - turned]
}

/// A quarter of a turn clockwise.
#[inline(always)]
fn back(a: Number) -> Number {
    Complex::new(a.im, -a.re)
}

/// Half the root of 3: the sine of a third of a turn.
const THIRD: f64 = 0.866_025_403_784_438_6;

/// The transform of three.
#[inline(always)]
fn three([a, b, c]: [Number; 3]) -> [Number; 3] {
    let (sum, across) = (b + c, back(b - c) * THIRD);
    let middle = a - sum * 0.5;
    [a + sum, middle + across, middle - across]
}

/// Cosine and sine of a fifth of a turn and of two: (root 5 - 1)/4 and so on.
const FIFTH: (f64, f64) = (0.309_016_994_374_947_45, 0.951_056_516_295_153_5);
const FIFTHS: (f64, f64) = (-0.809_016_994_374_947_5, 0.587_785_252_292_473_1);

/// The transform of five.
#[inline(always)]
fn five([a, b, c, d, e]: [Number; 5]) -> [Number; 5] {
    let (be, cd) = (b + e, c + d);
    let (b_e, c_d) = (back(b - e), back(c - d));
    let (one, two) = (a + be * FIFTH.0 + cd * FIFTHS.0, a + be * FIFTHS.0 + cd * FIFTH.0);
    let (across, over) = (b_e * FIFTH.1 + c_d * FIFTHS.1, b_e * FIFTHS.1 - c_d * FIFTH.1);
    [a + be + cd, one + across, two + over, two - over, one - across]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Power at one frequency by its definition.
    #[allow(clippy::cast_precision_loss)] // a count of samples
    fn power(samples: &[f64], k: usize) -> f64 {
        let long = samples.len();
        let turned = samples.iter().enumerate().map(|(i, sample)| {
            let (sin, cos) = math::sin_cos(TAU * (i * k % long) as f64 / long as f64);
            Complex::new(cos, -sin) * *sample
        });
        turned.sum::<Number>().norm_sqr()
    }

    #[test]
    fn powers_are_those_of_the_definition() {
        for least in [1.0, 17.0, 19.0, 21.0, 30.0, 33.0, 40.0, 60.0, 150.0, 300.0, 1000.0] {
            let mut transform = Transform::of(Transform::quick(least));
            let long = transform.len();
            let mut seed = 7u64;
            let mut chance = || {
                seed = seed
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                f64::from(u32::try_from(seed >> 32).unwrap()) / f64::from(u32::MAX) - 0.5
            };
            let mut samples: Vec<f64> = (0..long - 3).map(|_| chance()).collect();
            let mut found = Vec::new();
            transform.powers(samples.iter().copied(), long, &mut found);
            samples.resize(long, 0.0);
            assert_eq!(found.len(), long / 2 + 1);
            for (k, found) in found.iter().enumerate() {
                assert!((found - power(&samples, k)).abs() < 1e-12 * long as f64, "{long} {k}");
            }
        }
    }

    #[test]
    #[allow(clippy::cast_precision_loss)] // a few thousand
    fn quick_lengths_are_long_enough() {
        for least in 1..5000usize {
            let quick = Transform::quick(least as f64);
            assert!(quick >= least && 3 * quick <= 4 * least.max(12), "{least} {quick}");
        }
    }
}
