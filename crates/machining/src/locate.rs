//! Cutter location: how low a cutter may go over a place without cutting into the finished surface.
//!
//! With the axis over (x, y) the tip stands at the greatest of `h(u, b) - profile(r)` over the surface, r the distance from
//! the axis. In a section square to the blank the surface is concave and the cutter's end convex, so the best place of one
//! section is unique: in closed form for flat and ball ends ([`section`]), by bisection for the rest. Along the blank the
//! bend of the crown is gentle against a ball's, so the place where both slopes agree is found by a few steps of the
//! condition itself; near kinks, ends and wings, and for ends that are not strictly convex, every smooth piece is scanned
//! and its best bracket narrowed. The error in height goes with the square of the error in place.

mod locator;
mod search;
mod section;

pub use locator::Locator;

use crate::{Cutter, Surface};
use rayon::prelude::*;
use section::Best;
pub use section::Feature;

/// Where a cutter rests on the surface, program coordinates, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// What it touches.
    pub feature: Feature,
    /// Where.
    pub point: [f64; 3],
}

/// How low a cutter may go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Location {
    /// Height of the tip, mm; minus infinity where no part of the surface is under the cutter.
    pub z: f64,
    /// Where it then touches; `None` where no part of the surface is under the cutter.
    pub contact: Option<Contact>,
}

impl Locator<'_> {
    /// The location with the axis over `(x, y)`.
    #[must_use]
    pub fn at(&mut self, x: f64, y: f64) -> Location {
        let surface = self.surface;
        let best = self.best(surface.u(x), -y);
        if best.tip == f64::NEG_INFINITY {
            return Location {
                z: best.tip,
                contact: None,
            };
        }
        let cut = surface.cut_near(best.u, &mut self.hint);
        let top = surface.section(&cut, best.b);
        Location {
            z: best.tip - surface.lift,
            contact: Some(Contact {
                feature: section::feature(surface, &cut, best.u, best.b),
                point: [surface.x(best.u), -best.b, top - surface.lift],
            }),
        }
    }

    /// Height of the tip alone, mm, with the axis over `(x, y)`.
    #[must_use]
    pub fn z(&mut self, x: f64, y: f64) -> f64 {
        self.best(self.surface.u(x), -y).tip - self.surface.lift
    }

    /// Best contact with the axis at `(u, b)` of the blank.
    fn best(&mut self, u: f64, b: f64) -> Best {
        let surface = self.surface;
        let radius = self.end.radius();
        let from = surface.span.0.max(u - radius);
        let to = surface.span.1.min(u + radius);
        if !(from <= to && b > -radius && b < surface.thickness + radius) {
            return Best::NONE;
        }
        let near = (u.clamp(from, to) - self.reach, u.clamp(from, to) + self.reach);
        if self.quick && near.0.max(from) >= surface.plain.0 && near.1.min(to) <= surface.plain.1 {
            return self.quick_best(u, b, (near.0.max(from), near.1.min(to)));
        }
        if self.flat && from >= surface.plain.0 && to <= surface.plain.1 {
            return self.pieces(from, to, |locator, from, to| locator.roll(u, b, from, to));
        }
        self.pieces(from, to, |locator, from, to| locator.scan(u, b, from, to))
    }

    fn quick_best(&mut self, u: f64, b: f64, (from, to): (f64, f64)) -> Best {
        self.pieces(from, to, |locator, from, to| locator.slide(u, b, from, to))
    }

    /// The best over the smooth pieces of the surface between `from` and `to`.
    fn pieces(&mut self, from: f64, to: f64, mut one: impl FnMut(&mut Self, f64, f64) -> Best) -> Best {
        let kinks = &self.surface.kinks;
        let mut best = Best::NONE;
        let mut start = from;
        // Few kinks: a walk is quicker than a search.
        for kink in kinks {
            if *kink > start && *kink < to {
                best = best.or(one(self, start, *kink));
                start = *kink;
            }
        }
        best.or(one(self, start, to))
    }
}

/// The location of `cutter` over `surface` with the axis over `(x, y)`, program coordinates, mm.
#[must_use]
pub fn locate(cutter: &Cutter, surface: &Surface, x: f64, y: f64) -> Location {
    Locator::new(cutter, surface).at(x, y)
}

/// Places in one piece of work for one thread.
const CHUNK: usize = 1024;

/// Heights of the tip at many places, mm, on all cores.
#[must_use]
pub fn locate_all(cutter: &Cutter, surface: &Surface, places: &[[f64; 2]]) -> Vec<f64> {
    let locator = Locator::new(cutter, surface);
    let chunks = places.par_chunks(CHUNK).flat_map_iter(|chunk| {
        let mut locator = locator.clone();
        chunk.iter().map(move |[x, y]| locator.z(*x, *y))
    });
    chunks.collect()
}
