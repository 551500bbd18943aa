//! How a ball leaves the ends of the top.

use super::Surface;
use numerics::math;

/// Places across the blank, and along a rounded end, at which an end is looked at.
const PLACES: u32 = 24;
/// Places along the blank at which its faces are looked at.
const ALONG: u32 = 400;
/// Step inward over which its slope is taken, mm.
const STEP: f64 = 1e-4;

/// How a ball leaves one end of the top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Runout {
    /// X of the end, mm.
    pub x: f64,
    /// The axis goes this far past it, mm, until the ball has touched all of the end: where the top falls toward the end, the
    /// ball touches behind its axis.
    pub past: f64,
    /// No part of the end wants the tip lower than this Z, mm.
    pub floor: f64,
    /// So far inside the end, mm, the ball may meet a wall to drop along.
    pub inside: f64,
}

impl Surface {
    /// How a ball of `radius` mm leaves the end with the lower or the greater X.
    ///
    /// A ball that touches a place with the normal n has its axis `R n` beside it and its tip `R (1 - n_z)` below it.
    pub(crate) fn runout(&self, far: bool, radius: f64) -> Runout {
        let (x, inside) = if self.round {
            let (low, high) = self.ends_x();
            (if far { high } else { low }, 0.5 * self.thickness)
        } else {
            (if far { self.length } else { 0.0 }, 0.0)
        };
        let inward = if far { -1.0 } else { 1.0 };
        let across = self.front.tan.abs().max(self.back.tan.abs());
        let share = |k: u32| f64::from(k) / f64::from(PLACES);
        let mut runout = Runout {
            x,
            past: 0.0,
            floor: f64::INFINITY,
            inside,
        };
        for at in (0..=PLACES).map(|i| x + inward * inside * share(i)) {
            let cut = self.cut(self.u(at));
            let within = self.cut(self.u(at + inward * STEP));
            for b in (0..=PLACES).map(|k| cut.low + (cut.high - cut.low) * share(k)) {
                let top = self.section(&cut, b);
                let falls = (self.section(&within, b) - top) / STEP;
                let sideways = radius * falls / math::hypot(falls, 1.0);
                let drop = radius * (1.0 - 1.0 / math::hypot(math::hypot(falls, across), 1.0));
                runout.past = runout.past.max(sideways);
                runout.floor = runout.floor.min(top - self.lift - drop);
            }
        }
        runout
    }

    /// Lowest Z that the tip of a ball of `radius` mm comes to while it touches the top along its faces and ends.
    pub(crate) fn lowest_tip(&self, radius: f64) -> f64 {
        let (from, to) = self.span;
        let share = |k: u32| f64::from(k) / f64::from(ALONG);
        let along = (0..ALONG).map(|k| {
            let (u, next) = (from + (to - from) * share(k), from + (to - from) * share(k + 1));
            let (cut, after) = (self.cut(u), self.cut(next));
            let tip = |b: f64, fall: f64| {
                let top = self.section(&cut, b);
                let rise = (self.section(&after, b) - top) / (next - u);
                top - self.lift - radius * (1.0 - 1.0 / math::hypot(math::hypot(rise, fall), 1.0))
            };
            tip(cut.low, self.front.tan).min(tip(cut.high, self.back.tan))
        });
        let ends = [false, true].map(|far| self.runout(far, radius).floor);
        along.chain(ends).fold(f64::INFINITY, f64::min)
    }
}
