//! Partials against those of a limp string: the places that a picture of them shows.

use crate::heard::{Heard, HeardPartial, cents};
use numerics::math;

/// Least width of the scale, cents, and what it has left and right of the partials.
const LEAST: f64 = 10.0;
const AIR: f64 = 3.0;

impl HeardPartial {
    /// How far it stands over a limp string's partial of its number, cents.
    #[must_use]
    pub fn over_limp(&self) -> f64 {
        cents(self.frequency, self.limp)
    }
}

impl Heard {
    /// How far the partial of a number stands over a limp string's in the series that all agree on, cents: that of `sqrt(1 + B n^2)`.
    #[must_use]
    pub fn series_over_limp(&self, number: u32) -> f64 {
        let squared = math::powi(f64::from(number), 2);
        0.5 * cents((1.0 + self.inharmonicity.value * squared).max(0.1), 1.0)
    }
}

/// The scale on which partials stand against a limp string's, cents; it has 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgainstLimp {
    /// Its lower end, below 0.
    pub least: f64,
    /// Its upper end, above 10.
    pub most: f64,
}

impl AgainstLimp {
    /// The scale that has room for these.
    pub fn of<'a>(partials: impl Iterator<Item = &'a HeardPartial>) -> Self {
        let (least, most) = partials
            .map(HeardPartial::over_limp)
            .fold((0.0, LEAST), |(least, most): (f64, f64), off| {
                (least.min(off), most.max(off))
            });
        Self {
            least: least - AIR,
            most: most + AIR,
        }
    }

    /// Its round figures, upward, of which there are about `steps` at most.
    #[must_use]
    pub fn ticks(&self, steps: f64) -> Vec<f64> {
        let step = step((self.most - self.least) / steps);
        let mut ticks = Vec::new();
        let mut at = (self.least / step).ceil() * step;
        while at <= self.most {
            ticks.push(at);
            at += step;
        }
        ticks
    }
}

/// The least round step that is no less than this.
fn step(rough: f64) -> f64 {
    let ten = math::powf(10f64, math::log10(rough).floor());
    let ways = [1.0, 2.0, 5.0, 10.0].map(|by| by * ten);
    ways.into_iter().find(|step| *step >= rough).unwrap_or(rough)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (width, want) in [(13.0, 2.0), (16.1, 5.0), (80.0, 10.0), (90.0, 20.0), (7.9, 1.0)] {
            assert!((step(width / 8.0) - want).abs() < 1e-12, "{width}");
        }
    }

    #[test]
    fn a_scale_has_its_round_figures_and_no_more() {
        let scale = AgainstLimp {
            least: -4.0,
            most: 21.0,
        };
        assert_eq!(scale.ticks(6.0), [0.0, 5.0, 10.0, 15.0, 20.0]);
        assert_eq!(
            AgainstLimp::of(std::iter::empty()),
            AgainstLimp {
                least: -3.0,
                most: 13.0
            }
        );
    }
}
