//! The end of a cutter, described once: a surface of revolution about the axis. Location, sweeps, grooves, jaws and feeds ask it.
//!
//! Every end rises outward and is convex. Heights are over the tip, mm; `r` is the distance from the axis, mm; slopes have no
//! unit. On a straight way of slope `m` (rise over run in plan) the place beside the way that is `p` mm from it is touched
//! by the end's point at `(p, w)`, `w` ahead of the axis: there `g'(r) w / r = m`, `g` the end's height, which every end but
//! the rounded corner solves in closed form.

use numerics::{halve, math};

use crate::{Cutter, CutterShape};

/// Halvings for the rounded corner, and for the radius at a height: 3 mm over 2^40 is far below a nanometre.
const HALVINGS: u32 = 40;
/// Slopes less than this are level.
pub(crate) const LEVEL: f64 = 1e-12;

/// A cutter's end, mm. Radii first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum End {
    /// Flat, square corner; a saw's blade seen from above, too.
    Flat(f64),
    /// Flat with a rounded corner.
    Corner {
        radius: f64,
        corner: f64,
    },
    Ball(f64),
    /// `touch`: where ball meets cone, at the ball's `height` there; `rise`: the cone's rise outward.
    TaperedBall {
        radius: f64,
        ball: f64,
        touch: f64,
        height: f64,
        rise: f64,
    },
    /// `tip`: radius of the flat; `rise`: the cone's rise outward.
    Vee {
        radius: f64,
        tip: f64,
        rise: f64,
    },
}

/// Height of a ball's surface over its lowest point.
fn ball_height(radius: f64, r: f64) -> f64 {
    radius - (radius * radius - r * r).max(0.0).sqrt()
}

/// Its slope.
fn ball_slope(radius: f64, r: f64) -> f64 {
    r / (radius * radius - r * r).max(0.0).sqrt()
}

impl End {
    pub fn of(cutter: &Cutter) -> Self {
        let radius = cutter.radius();
        match cutter.shape {
            CutterShape::Flat | CutterShape::Saw => Self::Flat(radius),
            CutterShape::Corner { radius: corner } => Self::Corner { radius, corner },
            CutterShape::Ball => Self::Ball(radius),
            CutterShape::TaperedBall {
                radius: ball,
                half_angle,
            } => {
                // The cone touches the ball where the ball's normal is square to the cone's side.
                let (sin, cos) = math::sin_cos(half_angle);
                Self::TaperedBall {
                    radius,
                    ball,
                    touch: ball * cos,
                    height: ball * (1.0 - sin),
                    rise: cos / sin,
                }
            }
            CutterShape::Vee { tip, half_angle } => Self::Vee {
                radius,
                tip: 0.5 * tip,
                rise: 1.0 / math::tan(half_angle),
            },
        }
    }

    /// Greatest distance from the axis.
    #[inline(always)]
    pub fn radius(&self) -> f64 {
        match *self {
            Self::Flat(radius)
            | Self::Corner { radius, .. }
            | Self::Ball(radius)
            | Self::TaperedBall { radius, .. }
            | Self::Vee { radius, .. } => radius,
        }
    }

    /// Radius of the ball at its tip; `None` for an end without.
    pub fn ball(&self) -> Option<f64> {
        match *self {
            Self::Ball(radius) => Some(radius),
            Self::TaperedBall { ball, .. } => Some(ball),
            Self::Flat(_) | Self::Corner { .. } | Self::Vee { .. } => None,
        }
    }

    /// Height at `r`, which is within the radius but for rounding.
    #[inline(always)]
    pub fn height(&self, r: f64) -> f64 {
        match *self {
            Self::Flat(_) => 0.0,
            Self::Ball(radius) => ball_height(radius, r),
            Self::Corner { radius, corner } => ball_height(corner, (r - (radius - corner)).max(0.0)),
            Self::TaperedBall {
                ball,
                touch,
                height,
                rise,
                ..
            } => {
                if r <= touch {
                    ball_height(ball, r)
                } else {
                    height + (r - touch) * rise
                }
            }
            Self::Vee { tip, rise, .. } => (r - tip).max(0.0) * rise,
        }
    }

    /// Slope outward at `r`.
    pub fn slope(&self, r: f64) -> f64 {
        match *self {
            Self::Flat(_) => 0.0,
            Self::Ball(radius) => ball_slope(radius, r),
            Self::Corner { radius, corner } => ball_slope(corner, (r - (radius - corner)).max(0.0)),
            Self::TaperedBall { ball, touch, rise, .. } => {
                if r <= touch {
                    ball_slope(ball, r)
                } else {
                    rise
                }
            }
            Self::Vee { tip, rise, .. } => {
                if r <= tip {
                    0.0
                } else {
                    rise
                }
            }
        }
    }

    /// Greatest radius that lies lower than `height`, which is above the tip.
    pub fn radius_below(&self, height: f64) -> f64 {
        let outer = self.radius();
        if self.height(outer) < height {
            return outer;
        }
        halve(0.0, outer, HALVINGS, |r| self.height(r) < height).0
    }

    /// How far ahead of the axis it touches beside a way of slope `m`, `p` from it; no more than `reach`, with the sign of `m`.
    #[inline(always)]
    pub fn ahead(&self, p: f64, m: f64, reach: f64) -> f64 {
        let steep = m.abs();
        // On a cone of this rise: w/r = m/rise.
        let cone = |rise: f64| (steep < rise).then(|| p.abs() * steep / (rise * rise - steep * steep).sqrt());
        let sphere = |ball: f64| (ball * ball - p * p).max(0.0).sqrt() * steep / math::hypot(steep, 1.0);
        let w = match *self {
            Self::Ball(radius) => sphere(radius),
            Self::TaperedBall { ball, touch, rise, .. } => {
                let sphere = sphere(ball);
                if p.abs() < touch && p * p + sphere * sphere <= touch * touch {
                    sphere
                } else {
                    cone(rise).unwrap_or(reach)
                }
            }
            Self::Vee { tip, rise, .. } => match cone(rise) {
                Some(w) if p * p + w * w > tip * tip => w,
                Some(_) => (tip * tip - p * p).max(0.0).sqrt(),
                None => reach,
            },
            Self::Corner { .. } => {
                let (low, high) = halve(0.0, reach, HALVINGS, |w| {
                    let r = math::hypot(p, w);
                    self.slope(r) * w < steep * r
                });
                0.5 * (low + high)
            }
            Self::Flat(_) => reach,
        };
        w.min(reach).copysign(m)
    }

    /// Height over the tip's line that it leaves `p` from a way of slope `m`; infinite beyond the radius.
    pub fn swept(&self, m: f64, p: f64) -> f64 {
        let rest = self.radius() * self.radius() - p * p;
        if rest < 0.0 {
            return f64::INFINITY;
        }
        let w = if m.abs() < LEVEL {
            0.0
        } else {
            self.ahead(p, m, rest.sqrt())
        };
        self.height(math::hypot(p, w)) - m * w
    }

    /// Greatest that [`ahead`](Self::ahead) comes to on a way of slope `m`, with its sign.
    pub fn most_ahead(&self, m: f64) -> f64 {
        let radius = self.radius();
        match *self {
            _ if m.abs() < LEVEL => 0.0,
            Self::Ball(radius) => radius * m / math::hypot(m, 1.0),
            Self::TaperedBall { ball, rise, .. } if m.abs() < 0.5 * rise => {
                let cone = radius * m / (rise * rise - m * m).sqrt();
                let sphere = ball * m / math::hypot(m, 1.0);
                if cone.abs() > sphere.abs() { cone } else { sphere }
            }
            _ => radius.copysign(m),
        }
    }

    /// Whether straight ways of this slope may join smoothly: the place where it touches moves no more than they turn.
    pub fn joins(&self, m: f64) -> bool {
        match *self {
            _ if m.abs() < LEVEL => true,
            Self::Ball(_) => true,
            Self::TaperedBall { rise, .. } => m.abs() < 0.5 * rise,
            _ => false,
        }
    }
}

impl Cutter {
    /// Height of the end's surface over the tip at `r` mm from the axis; infinite beyond the radius.
    #[must_use]
    pub fn profile(&self, r: f64) -> f64 {
        if r > self.radius() {
            return f64::INFINITY;
        }
        End::of(self).height(r)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testbed::cutter;
    use proptest::prelude::*;

    const SHAPES: [CutterShape; 5] = [
        CutterShape::Flat,
        CutterShape::Ball,
        CutterShape::Corner { radius: 0.4 },
        CutterShape::TaperedBall {
            radius: 0.25,
            half_angle: 0.09,
        },
        CutterShape::Vee {
            tip: 0.1,
            half_angle: 0.52,
        },
    ];

    fn ends() -> [End; 5] {
        SHAPES.map(|shape| End::of(&cutter(1, shape, 3.0)))
    }

    /// Least value of a convex function between two places, by thirds.
    fn least(of: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
        for _ in 0..48 {
            let third = (high - low) / 3.0;
            if of(low + third) < of(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        of(0.5 * (low + high))
    }

    proptest! {
        /// Every end rises outward and is convex, which cutter location relies on; its slope is that of its height.
        #[test]
        fn ends_rise_and_are_convex(a in 0.0..1.49f64, b in 0.0..1.49f64) {
            for end in ends() {
                let (low, high) = (a.min(b), a.max(b));
                prop_assert!(end.height(low) <= end.height(high) + 1e-12);
                let middle = end.height(0.5 * (a + b));
                prop_assert!(middle <= 0.5 * (end.height(a) + end.height(b)) + 1e-9);
                // A convex curve lies above each of its tangents.
                prop_assert!(end.height(b) >= end.height(a) + end.slope(a) * (b - a) - 1e-9);
            }
        }

        #[test]
        fn the_radius_at_a_height(r in 0.2..1.49f64) {
            for end in ends().into_iter().filter(|end| end.slope(r) > 0.0) {
                prop_assert!((end.radius_below(end.height(r)) - r).abs() < 1e-6);
            }
        }

        /// What an end leaves beside its way is the least of its own height along that way.
        #[test]
        fn what_is_left_is_the_least_along_the_way(slope in -0.3..0.3f64, p in 0.0..1.499f64) {
            let reach = (1.5f64 * 1.5 - p * p).sqrt();
            for end in ends() {
                let searched = least(|t| end.height((math::hypot(p, t)).min(1.5)) + slope * t, -reach, reach);
                let closed = end.swept(slope, p);
                // At a cone's or ball's rim the search stops a hair inside.
                prop_assert!((closed - searched).abs() < 1e-6, "{end:?}: {closed} {searched}");
            }
        }
    }

    #[test]
    fn a_cone_leads_with_its_flat() {
        let vee = ends()[4];
        // The flat's leading edge, 0.05 mm ahead.
        assert!((vee.swept(-0.1, 0.0) + 0.005).abs() < 1e-9);
        assert!((vee.swept(0.0, 0.25) - 0.2 / math::tan(0.52f64)).abs() < 1e-9);
        assert!(vee.swept(0.0, 1.51).is_infinite());
    }

    #[test]
    fn balls_at_the_tip() {
        assert_eq!(ends().map(|end| end.ball()), [None, Some(1.5), None, Some(0.25), None]);
    }
}
