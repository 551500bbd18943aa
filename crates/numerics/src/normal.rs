//! Numbers by chance after the normal distribution.

use crate::math;
use std::f64::consts::{PI, SQRT_2};

/// Strips of equal area under the bell's half, and where the lowest of them ends and the tail begins.
///
/// J. A. Doornik, "An improved ziggurat method to generate normal random samples", University of Oxford (2005), for 256 strips.
const STRIPS: usize = 256;
const TAIL: f64 = 3.654_152_885_361_009;

/// A drawer of standard normal numbers by Doornik's method, the same on every machine for the same words: tails, slopes and the table
/// itself are by [`math`]. Draws stray from the distribution by rounding alone.
#[derive(Debug, Clone)]
pub struct Normal {
    /// Right ends of the strips, from the lowest, whose end is that of a box of its area; the last is nought.
    ends: [f64; STRIPS + 1],
    /// Height of the bell over each of them; the bell is 1 high.
    heights: [f64; STRIPS + 1],
}

/// The bell, 1 high.
fn bell(x: f64) -> f64 {
    math::exp(-0.5 * x * x)
}

impl Default for Normal {
    fn default() -> Self {
        let area = TAIL * bell(TAIL) + (0.5 * PI).sqrt() * math::erfc(TAIL / SQRT_2);
        let mut ends = [0.0; STRIPS + 1];
        (ends[0], ends[1]) = (area / bell(TAIL), TAIL);
        for i in 2..STRIPS {
            let before = ends[i - 1];
            ends[i] = (-2.0 * math::ln(area / before + bell(before))).sqrt();
        }
        Self {
            heights: ends.map(bell),
            ends,
        }
    }
}

impl Normal {
    /// A number drawn from evenly random words of 64 bits; one word in 99 of 100 cases.
    #[inline]
    pub fn draw(&self, mut word: impl FnMut() -> u64) -> f64 {
        loop {
            let bits = word();
            // The lowest bits choose the strip, the highest the place in it, from -1 to 1.
            let strip = (bits & 0xff) as usize;
            let share = f64::from_bits(0x4000_0000_0000_0000 | (bits >> 12)) - 3.0;
            let x = share * self.ends[strip];
            if x.abs() < self.ends[strip + 1] {
                return x;
            }
            if strip == 0 {
                return tail(word).copysign(share);
            }
            let (low, high) = (self.heights[strip], self.heights[strip + 1]);
            if high + (low - high) * ((word() >> 11) as f64 * (0.5 * f64::EPSILON)) < bell(x) {
                return x;
            }
        }
    }
}

/// A number beyond [`TAIL`], by G. Marsaglia's way, "Generating a variable from the tail of the normal distribution",
/// Technometrics 6 (1964) 101.
#[cold]
fn tail(mut word: impl FnMut() -> u64) -> f64 {
    // Between 0 and 1, without either.
    let mut between = || f64::from_bits(0x3ff0_0000_0000_0000 | (word() >> 12)) - (1.0 - 0.5 * f64::EPSILON);
    loop {
        let beyond = -math::ln(between()) / TAIL;
        let y = -math::ln(between());
        if 2.0 * y >= beyond * beyond {
            return TAIL + beyond;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_distr::{Distribution, StandardNormal};
    use rand_xoshiro::Xoshiro256PlusPlus;
    use rand_xoshiro::rand_core::{Rng, SeedableRng};

    /// The same words, drawn from by the library of distributions, whose table is printed to 18 digits.
    #[test]
    fn draws_are_those_of_the_method() {
        let normal = Normal::default();
        let mut mine = Xoshiro256PlusPlus::seed_from_u64(3);
        let mut theirs = mine.clone();
        let mut tails = 0;
        for _ in 0..1_000_000 {
            let (ours, other): (f64, f64) = (normal.draw(|| mine.next_u64()), StandardNormal.sample(&mut theirs));
            assert!((ours - other).abs() < 1e-10, "{ours} {other}");
            tails += usize::from(ours.abs() > TAIL);
        }
        // 258 in a million lie out there.
        assert!((200..320).contains(&tails), "{tails}");
    }

    #[test]
    fn the_last_strip_closes_the_bell() {
        let Normal { ends, heights } = Normal::default();
        let area = ends[0] * heights[1];
        assert!((heights[STRIPS - 1] + area / ends[STRIPS - 1] - 1.0).abs() < 1e-12);
        assert_eq!((ends[STRIPS], heights[STRIPS]), (0.0, 1.0));
    }
}
