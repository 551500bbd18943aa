//! The finished top as what a program is held against.

use super::{Surface, WALL, ends};
use crate::{Locator, Target};
use numerics::math;

/// Most of an inner corner that is taken as out of a ball's reach, mm; a corner that keeps more asks for a smaller ball.
const UNREACHED: f64 = 0.05;

/// Rounds of the search for how low a ball comes at a place, and places in each of its rings.
const NARROWINGS: u32 = 5;

const RING: u32 = 8;

impl Target for Surface {
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        let u = self.u(x);
        if u < self.ends.0 || u > self.ends.1 {
            return None;
        }
        if self.round {
            // A place right on the wall of a rounded end is neither top nor air.
            let cut = self.cut(u);
            let (half, middle) = (0.5 * self.thickness, 0.5 * self.thickness + y);
            let beyond = (self.plain.0 - u).max(u - self.plain.1).max(0.0);
            if beyond > 0.0 && math::hypot(beyond, middle) > half - WALL || cut.low > cut.high {
                return None;
            }
        }
        Self::height(self, x, y)
    }

    fn steepest_near(&self, x: f64, y: f64, reach: f64) -> Option<f64> {
        let (u, b) = (self.u(x), -y);
        let inside = |at: f64, (from, to): (f64, f64)| at - reach > from && at + reach < to;
        let smooth = inside(u, self.plain) && inside(u, self.ends) && inside(b, (0.0, self.thickness));
        smooth.then(|| self.steepest())
    }

    fn bounds(&self) -> [f64; 4] {
        let (from, to) = self.ends_x();
        [from, -self.thickness, to, 0.0]
    }

    fn stock(&self, x: f64, y: f64) -> Option<f64> {
        let left = self.silhouette_left(x)?;
        let beside = !(-self.thickness..=0.0).contains(&y);
        Some(if beside { 0.0 } else { left } - self.lift)
    }

    fn kerf(&self, x: f64, y: f64) -> Option<f64> {
        ends::kerf(self.round_cuts(), self.thickness, self.rounds, x, y)
    }

    fn walls(&self) -> Vec<Vec<[f64; 2]>> {
        let wall = |cuts| ends::wall(cuts, self.thickness);
        self.round_cuts.iter().map(wall).collect()
    }

    fn foot(&self, x: f64, y: f64) -> Option<f64> {
        ends::foot(self.round_cuts(), self.thickness, x, y)
    }

    fn walled_by(&self) -> Option<u32> {
        Some(self.rounder)
    }

    fn unreached(&self, x: f64, y: f64) -> f64 {
        if self.ramp == 0.0 && self.wings.is_none() {
            return 0.0;
        }
        Self::height(self, x, y).map_or(0.0, |top| (self.lowest(x, y) - top).clamp(0.0, UNREACHED))
    }
}

impl Surface {
    /// How low the finisher brings the material at `(x, y)`: the lowest that its end comes there while it rests anywhere on the
    /// surface. Narrowed from a ring of places about the best; never less than the truth.
    fn lowest(&self, x: f64, y: f64) -> f64 {
        let cutter = &self.finisher;
        let radius = cutter.radius();
        let mut locator = Locator::new(cutter, self);
        let mut over = |dx: f64, dy: f64| locator.z(x + dx, y + dy) + cutter.profile(math::hypot(dx, dy));
        let mut best = (over(0.0, 0.0), 0.0, 0.0);
        let mut reach = 0.6 * radius;
        for _ in 0..NARROWINGS {
            let (_, x0, y0) = best;
            for ring in [0.5, 1.0] {
                for k in 0..RING {
                    let (sin, cos) = math::sin_cos(std::f64::consts::TAU * f64::from(k) / f64::from(RING));
                    let (dx, dy) = (x0 + reach * ring * cos, y0 + reach * ring * sin);
                    let z = over(dx, dy);
                    if z < best.0 {
                        best = (z, dx, dy);
                    }
                }
            }
            reach *= 0.35;
        }
        best.0
    }
}
