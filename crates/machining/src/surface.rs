//! The finished top in program coordinates, on edge.

mod ends;
mod error;
mod runout;
mod target;
mod track;
mod wings;

pub(crate) use ends::RoundEnd;
pub use error::SurfaceError;
use numerics::math;
pub(crate) use track::Place;

use crate::end::End;
use crate::lie::{FITS, Lie};
use crate::{Ends, Setup, Zero};
use saddle::{MEETS, Plan};
use track::Track;
use wings::CutWings;

/// The top of a rounded end is judged up to this far from its wall, mm.
const WALL: f64 = 0.005;

/// A slope's sine, cosine and tangent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fall {
    pub(crate) sin: f64,
    pub(crate) cos: f64,
    pub(crate) tan: f64,
}

impl Fall {
    fn new(angle: f64) -> Self {
        let (sin, cos) = math::sin_cos(angle);
        Self {
            sin,
            cos,
            tan: math::tan(angle),
        }
    }
}

/// The finished top: the crown, its ends, and where it lies in the program's axes.
///
/// Inside, places are counted as in the blank: u along (mm, plan's own), b back from the front face, v up. The surface at
/// one u, over b from front to back, is concave: two falls and the rounding, no higher than the wing's cap, between two
/// faces. Cutter location relies on that.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    pub(crate) track: Track,
    pub(crate) front: Fall,
    pub(crate) back: Fall,
    /// Radius of the rounding, mm.
    pub(crate) rounding: f64,
    /// Thickness of the blank, mm.
    pub(crate) thickness: f64,
    /// u where the surface starts and ends.
    pub(crate) span: (f64, f64),
    /// u of the finished blank's ends.
    pub(crate) ends: (f64, f64),
    wings: Option<CutWings>,
    round: bool,
    /// The cuts of rounded ends.
    round_cuts: Option<[RoundEnd; 2]>,
    /// Diameter of the cutter that rounds them, mm.
    rounds: f64,
    /// Its number.
    rounder: u32,
    lie: Lie,
    /// Z = v - lift.
    pub(crate) lift: f64,
    /// Length of the stock, mm.
    length: f64,
    /// The outline is cut already: nothing stands above the silhouette, nor beside the ends.
    outlined: bool,
    /// Places along u where the surface has a kink, in order.
    pub(crate) kinks: Vec<f64>,
    /// Cutter that finishes it; its ball does not fit into every inner corner.
    finisher: crate::Cutter,
    /// Steepest ramp of a stepped ridge, mm across per mm along; 0 for a smooth one.
    ramp: f64,
    /// Largest slope along u and largest bend along u (1/mm) of the crown without its ends.
    pub(crate) gentle: (f64, f64),
    /// u between which the ends have no part in the surface.
    pub(crate) plain: (f64, f64),
}

/// One section of the surface and how it changes along u.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cut {
    /// Where the rounding's centre lies, and its slopes.
    pub(crate) place: Place,
    /// First and last b of the section.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Height that the section does not exceed, v.
    pub(crate) cap: f64,
}

impl Surface {
    /// The finished top of `plan` as it lies in the stock of `setup`, on edge, so much higher as it is left proud.
    ///
    /// With square or winged ends the top carries on straight over the stock beyond the finished ends, which is cut off
    /// afterwards; with rounded ends it stops at them.
    ///
    /// # Errors
    /// [`SurfaceError`] if the stock does not hold the finished blank.
    pub fn new(plan: &Plan, setup: &Setup) -> Result<Self, SurfaceError> {
        let stock = &setup.stock;
        let thickness = plan.crown.thickness;
        let lie = Lie::new(stock, thickness, plan.ends, plan.left_handed)?;
        if !(plan.crown.rounding.is_finite() && plan.crown.rounding >= 0.0) {
            return Err(SurfaceError::Size { what: "rounding" });
        }
        let raw = (
            plan.ends.0 - stock.bass_margin,
            plan.ends.0 - stock.bass_margin + stock.length,
        );
        let ball = End::of(&setup.finisher)
            .ball()
            .unwrap_or_else(|| setup.finisher.radius());
        let wings = match &setup.ends {
            Ends::Winged { bass, treble } => {
                let proud = |contour: &[(f64, f64)]| -> Vec<(f64, f64)> {
                    contour.iter().map(|(x, v)| (*x, v + setup.leave_proud)).collect()
                };
                Some(CutWings::new(&proud(bass), &proud(treble), plan.ends, ball)?)
            }
            _ => None,
        };
        let round = setup.ends == Ends::Round;
        let span = if round { plan.ends } else { raw };
        let plain = if round {
            (span.0 + 0.5 * thickness, span.1 - 0.5 * thickness)
        } else {
            wings.as_ref().map_or(span, CutWings::between)
        };
        let (track, mut kinks) = Track::new(plan, setup.leave_proud);
        let ramp = kinks.chunks(2).map(|pair| {
            let middle = pair.iter().sum::<f64>() / pair.len() as f64;
            plan.crown.slopes(middle).0.abs()
        });
        let ramp = ramp.fold(0.0, f64::max);
        if let Some(wings) = &wings {
            kinks.extend(wings.kinks());
        }
        if round {
            kinks.extend([plain.0, plain.1]);
        }
        kinks.retain(|u| *u > span.0 && *u < span.1);
        kinks.sort_by(f64::total_cmp);
        let steep = math::tan(plan.crown.front_fall)
            .abs()
            .max(math::tan(plan.crown.back_fall).abs());
        let mut surface = Self {
            round_cuts: None,
            rounds: setup.rougher.diameter,
            rounder: setup.rougher.number,
            ramp,
            finisher: setup.finisher.clone(),
            gentle: track.gentle(steep),
            track,
            front: Fall::new(plan.crown.front_fall),
            back: Fall::new(plan.crown.back_fall),
            rounding: plan.crown.rounding,
            thickness,
            span,
            ends: plan.ends,
            wings,
            round,
            lie,
            lift: if setup.zero == Zero::RawTop { stock.height } else { 0.0 },
            length: stock.length,
            outlined: setup.outlined,
            kinks,
            plain,
        };
        if round {
            surface.round_cuts = Some(RoundEnd::both(surface.ends_x(), thickness, stock.length, setup));
        }
        for (end, point) in surface.wings.iter().flat_map(CutWings::tops) {
            let cut = surface.cut(point.0);
            let top = cut.place.v + surface.crown(surface.apex(&cut) - cut.place.b).0;
            if top - point.1 > MEETS {
                return Err(SurfaceError::WingStep { end, by: top - point.1 });
            }
        }
        let need = surface.highest();
        if need > stock.height + FITS {
            return Err(SurfaceError::Low {
                have: stock.height,
                need,
            });
        }
        Ok(surface)
    }

    /// Height of the stock over the seat at X, mm, where the outline was cut before: that of the part's highest place there, as seen
    /// from the front, or nothing beyond its ends. `None` for a whole block.
    pub(crate) fn silhouette_left(&self, x: f64) -> Option<f64> {
        let (from, to) = self.ends_x();
        self.outlined.then(|| {
            if x < from || x > to {
                return 0.0;
            }
            self.silhouette(x)
        })
    }

    /// Height over the seat of the highest place at X, mm.
    pub(crate) fn silhouette(&self, x: f64) -> f64 {
        let cut = self.cut(self.u(x));
        self.section(&cut, self.apex(&cut))
    }

    /// Highest v of the finished blank, mm.
    pub(crate) fn highest(&self) -> f64 {
        let steps = 400;
        (0..=steps)
            .map(|i| {
                let u = self.ends.0 + (self.ends.1 - self.ends.0) * f64::from(i) / f64::from(steps);
                let cut = self.cut(u);
                self.section(&cut, self.apex(&cut))
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Most that a ball leaves in the inner corners of a stepped ridge or a wing, mm; 0 without any. Two planes that meet at the
    /// angle delta keep `R (1/cos(delta/2) - 1)` from a ball, measured square to them (geometry).
    pub(crate) fn inner_corner(&self, radius: f64) -> f64 {
        let steep = self.front.tan.abs().max(self.back.tan.abs());
        let wing = self.wings.as_ref().map_or(0.0, CutWings::inner_corner);
        let delta = math::atan(steep * self.ramp / math::hypot(steep, 1.0)).max(wing);
        radius * (1.0 / math::cos(0.5 * delta) - 1.0)
    }

    /// Steepest slope of the top, across and along it together; no unit.
    pub(crate) fn steepest(&self) -> f64 {
        let across = self.front.tan.abs().max(self.back.tan.abs());
        let wing = self.wings.as_ref().map_or(0.0, CutWings::steepest);
        math::hypot(across, self.gentle.0).max(wing)
    }

    pub(crate) fn stepped(&self) -> bool {
        self.ramp > 0.0
    }

    /// X of the finished blank's ends, mm, the lower first.
    #[must_use]
    pub fn ends_x(&self) -> (f64, f64) {
        self.lie.ends_x()
    }

    /// Length of the stock, mm: X of its far end.
    #[must_use]
    pub fn stock_length(&self) -> f64 {
        self.length
    }

    /// Thickness of the blank, mm: the back face is at Y = -thickness.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        self.thickness
    }

    /// Whether the ends are rounded over the whole thickness.
    #[must_use]
    pub(crate) fn round_ends(&self) -> bool {
        self.round
    }

    /// How rounded ends are cut; none where the ends are not rounded.
    pub(crate) fn round_cuts(&self) -> &[RoundEnd] {
        self.round_cuts.as_ref().map_or(&[], |ends| ends.as_slice())
    }

    /// Finished top at `(x, y)` in program coordinates, mm; `None` where the finished blank has no top.
    #[must_use]
    pub fn height(&self, x: f64, y: f64) -> Option<f64> {
        let u = self.u(x);
        if u < self.span.0 || u > self.span.1 {
            return None;
        }
        let cut = self.cut(u);
        let b = -y;
        (b >= cut.low && b <= cut.high).then(|| self.section(&cut, b) - self.lift)
    }

    pub(crate) fn u(&self, x: f64) -> f64 {
        self.lie.u(x)
    }

    pub(crate) fn x(&self, u: f64) -> f64 {
        self.lie.x(u)
    }

    /// The section at `u`.
    pub(crate) fn cut(&self, u: f64) -> Cut {
        self.cut_near(u, &mut 0)
    }

    /// The section at `u`; `hint` holds where the last one was found.
    pub(crate) fn cut_near(&self, u: f64, hint: &mut usize) -> Cut {
        let mut cut = Cut {
            place: self.track.at(u, hint),
            low: 0.0,
            high: self.thickness,
            cap: f64::INFINITY,
        };
        if self.round && (u < self.plain.0 || u > self.plain.1) {
            let beyond = (self.plain.0 - u).max(u - self.plain.1);
            let half = 0.5 * self.thickness;
            let reach = (half * half - beyond * beyond).max(0.0).sqrt();
            cut.low = half - reach;
            cut.high = half + reach;
        }
        if let Some(wings) = &self.wings
            && (u < self.plain.0 || u > self.plain.1)
        {
            cut.cap = wings.cap(u);
        }
        cut
    }

    /// b of the section's highest place, within its faces.
    pub(crate) fn apex(&self, cut: &Cut) -> f64 {
        // A fall below nought rises outward, so the highest place is at the face.
        if self.front.sin < 0.0 {
            cut.low
        } else if self.back.sin < 0.0 {
            cut.high
        } else {
            cut.place.b.clamp(cut.low, cut.high)
        }
    }

    /// Height v of the section at `b`, faces left out.
    pub(crate) fn section(&self, cut: &Cut, b: f64) -> f64 {
        (cut.place.v + self.crown(b - cut.place.b).0).min(cut.cap)
    }

    /// Height over the rounding's centre at `t` mm behind it, and its slope.
    pub(crate) fn crown(&self, t: f64) -> (f64, f64) {
        let (front, back, rho) = (&self.front, &self.back, self.rounding);
        let (from, to) = (-rho * front.sin, rho * back.sin);
        if t <= from {
            (rho * front.cos - (from - t) * front.tan, front.tan)
        } else if t >= to {
            (rho * back.cos - (t - to) * back.tan, -back.tan)
        } else {
            let v = (rho * rho - t * t).max(0.0).sqrt();
            (v, -t / v)
        }
    }

    /// b between which the section lies at its cap, if it reaches it.
    pub(crate) fn capped(&self, cut: &Cut) -> Option<(f64, f64)> {
        let over = cut.cap - cut.place.v;
        if !over.is_finite() || self.section(cut, self.apex(cut)) < cut.cap {
            return None;
        }
        let side = |fall: &Fall, face: f64, sign: f64| {
            let touch = self.rounding * fall.cos;
            let t = if over >= touch {
                (self.rounding * self.rounding - over * over).max(0.0).sqrt()
            } else if fall.tan > 0.0 {
                self.rounding * fall.sin + (touch - over) / fall.tan
            } else {
                f64::INFINITY
            };
            let b = cut.place.b + sign * t;
            if sign < 0.0 { b.max(face) } else { b.min(face) }
        };
        Some((side(&self.front, cut.low, -1.0), side(&self.back, cut.high, 1.0)))
    }
}
