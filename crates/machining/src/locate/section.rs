//! The best contact in one section of the blank.

use crate::Surface;
use crate::end::End;
use crate::surface::Cut;
use numerics::{halve, math};

/// What a cutter touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feature {
    /// The fall in front of the ridge.
    FrontFall,
    /// The fall behind it.
    BackFall,
    /// The rounding along the ridge.
    Rounding,
    /// The level part of a wing.
    Wing,
    /// The edge between top and front or back face, or rounded end.
    Edge,
    /// The edge between top and square end.
    End,
}

/// Places count as on an edge or a tangent line within this, mm.
const ON: f64 = 1e-9;
/// Halvings in a section: from a cutter's width to below 1e-10 mm.
const HALVINGS: u32 = 40;

/// A contact: height of the tip, and place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Best {
    pub(super) tip: f64,
    pub(super) u: f64,
    pub(super) b: f64,
}

impl Best {
    pub(super) const NONE: Self = Self {
        tip: f64::NEG_INFINITY,
        u: 0.0,
        b: 0.0,
    };

    pub(super) fn or(self, other: Self) -> Self {
        if other.tip > self.tip { other } else { self }
    }
}

/// Best contact of `end` in the section `cut` at `d` along the blank from the axis, the axis over `b`: `(tip, b of contact)`.
pub(super) fn best(end: &End, surface: &Surface, cut: &Cut, d: f64, b: f64) -> (f64, f64) {
    match *end {
        End::Flat(radius) => flat(surface, cut, radius * radius - d * d, b),
        End::Ball(radius) => ball(surface, cut, radius * radius - d * d, radius, b),
        _ => other(surface, cut, end, d, b),
    }
}

fn flat(surface: &Surface, cut: &Cut, half2: f64, b: f64) -> (f64, f64) {
    let half = half2.max(0.0).sqrt();
    let (low, high) = (cut.low.max(b - half), cut.high.min(b + half));
    if low > high {
        return (f64::NEG_INFINITY, b);
    }
    let at = surface.apex(cut).clamp(low, high);
    (surface.section(cut, at), at)
}

/// The section of a ball at `d` from its axis is a circle of radius q about (b, tip + radius). It rests on the fall, the
/// rounding or the edge whose normals it lies among; the rounding and the circle then touch like two circles.
#[inline]
pub(super) fn ball(surface: &Surface, cut: &Cut, q2: f64, radius: f64, b: f64) -> (f64, f64) {
    let q = q2.max(0.0).sqrt();
    let (front, back, rho) = (&surface.front, &surface.back, surface.rounding);
    let (cb, cv) = (cut.place.b, cut.place.v);
    let off = b - cb;
    let wide = rho + q;
    let (centre, at) = if off < -wide * front.sin {
        let at = b + q * front.sin;
        (cv + (rho + q + off * front.sin) / front.cos, at)
    } else if off > wide * back.sin {
        let at = b - q * back.sin;
        (cv + (rho + q - off * back.sin) / back.cos, at)
    } else {
        (
            cv + (wide * wide - off * off).max(0.0).sqrt(),
            if wide > 0.0 { cb + off * rho / wide } else { cb },
        )
    };
    // A wing is level, with an edge on each side; below it the fall may carry.
    if cut.cap.is_finite()
        && let Some((from, to)) = surface.capped(cut)
    {
        let held = if b < from {
            at.min(from)
        } else if b > to {
            at.max(to)
        } else {
            b
        };
        if held != at || (b >= from && b <= to) {
            let held = held.clamp(cut.low, cut.high);
            return edge(surface.section(cut, held), held, q2, radius, b);
        }
    }
    if at < cut.low || at > cut.high {
        let at = at.clamp(cut.low, cut.high);
        return edge(surface.section(cut, at), at, q2, radius, b);
    }
    (centre - radius, at)
}

/// Resting on a point at height `v`, `at` across.
fn edge(v: f64, at: f64, q2: f64, radius: f64, b: f64) -> (f64, f64) {
    let across = b - at;
    let rise2 = q2 - across * across;
    if rise2 < 0.0 {
        return (f64::NEG_INFINITY, at);
    }
    (v + rise2.sqrt() - radius, at)
}

/// Any convex end: what the surface rises and the end's surface rises are equal at the best place, or it lies at an edge.
fn other(surface: &Surface, cut: &Cut, end: &End, d: f64, b: f64) -> (f64, f64) {
    let radius = end.radius();
    let half = (radius * radius - d * d).max(0.0).sqrt();
    let (low, high) = (cut.low.max(b - half), cut.high.min(b + half));
    if low > high {
        return (f64::NEG_INFINITY, b);
    }
    let tip = |at: f64| surface.section(cut, at) - end.height((math::hypot(d, at - b)).min(radius));
    let rises = |at: f64| {
        let (over, slope) = surface.crown(at - cut.place.b);
        let top = if cut.place.v + over > cut.cap { 0.0 } else { slope };
        let r = math::hypot(d, at - b);
        let own = if r > 0.0 { end.slope(r) * (at - b) / r } else { 0.0 };
        top - own > 0.0
    };
    let (low, high) = halve(low, high, HALVINGS, rises);
    // The bounds themselves, where the best place is an edge.
    [low, high]
        .map(|at| (tip(at), at))
        .into_iter()
        .fold(
            (f64::NEG_INFINITY, b),
            |best, one| if one.0 > best.0 { one } else { best },
        )
}

/// What lies at `(u, b)`.
pub(super) fn feature(surface: &Surface, cut: &Cut, u: f64, b: f64) -> Feature {
    let t = b - cut.place.b;
    if b <= cut.low + ON || b >= cut.high - ON {
        Feature::Edge
    } else if u <= surface.span.0 + ON || u >= surface.span.1 - ON {
        Feature::End
    } else if cut.place.v + surface.crown(t).0 > cut.cap - ON {
        Feature::Wing
    } else if t < -surface.rounding * surface.front.sin {
        Feature::FrontFall
    } else if t > surface.rounding * surface.back.sin {
        Feature::BackFall
    } else {
        Feature::Rounding
    }
}
