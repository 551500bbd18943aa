//! The rigid transform between the fret frame and the blank frame.

use crate::{Vec3, xyz};
use numerics::{Real, math};
use serde::Serialize;

/// A point of the blank, mm: two caliper readings and a place along.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BlankPoint<R = f64> {
    /// Back from the front face, square to it; positive toward the tail.
    pub b: R,
    /// Along the blank from under the bass string; positive toward the treble.
    pub u: R,
    /// Up from the bottom edge, along the front face.
    pub v: R,
}

/// Axes and origin of the blank in the fret frame. Right-handed in the order (b, u, v); the identity turn at zero lean and skew.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(bound(serialize = "R: Serialize"))]
pub struct Frame<R = f64> {
    /// Point (0, 0, 0) of the blank, mm.
    #[serde(serialize_with = "xyz")]
    pub origin: Vec3<R>,
    /// Unit vector back from the front face.
    #[serde(serialize_with = "xyz")]
    pub e_b: Vec3<R>,
    /// Unit vector along the blank, bass to treble.
    #[serde(serialize_with = "xyz")]
    pub e_u: Vec3<R>,
    /// Unit vector up the front face.
    #[serde(serialize_with = "xyz")]
    pub e_v: Vec3<R>,
}

/// A vector of length 1 in this direction; `None` where it has none.
fn unit<R: Real>(direction: Vec3<R>) -> Option<Vec3<R>> {
    let length = direction.dot(&direction).sqrt();
    (length > f64::EPSILON).then(|| direction.map(|part| part / length))
}

impl<R: Real> Frame<R> {
    /// Axes of a blank that stands along `along` (bass to treble, any length) and leans by `lean` radians, positive
    /// with its top forward. `None` if `along` has no length across the fret frame's vertical.
    #[must_use]
    pub fn leaning(origin: Vec3<R>, along: Vec3<R>, lean: R) -> Option<Self> {
        let e_u = unit(along)?;
        // The unit vector square to e_u that is nearest to +z.
        let v0 = unit(Vec3::z() - e_u * e_u.z)?;
        let b0 = e_u.cross(&v0);
        let (sin, cos) = math::sin_cos(lean);
        Some(Self {
            origin,
            e_b: b0 * cos + v0 * sin,
            e_u,
            e_v: v0 * cos - b0 * sin,
        })
    }

    /// A point of the fret frame in blank coordinates.
    #[must_use]
    pub fn to_blank(&self, point: Vec3<R>) -> BlankPoint<R> {
        self.direction_to_blank(point - self.origin)
    }

    /// A direction of the fret frame in blank coordinates.
    #[must_use]
    pub fn direction_to_blank(&self, d: Vec3<R>) -> BlankPoint<R> {
        BlankPoint {
            b: self.e_b.dot(&d),
            u: self.e_u.dot(&d),
            v: self.e_v.dot(&d),
        }
    }

    /// A point of the blank in the fret frame.
    #[must_use]
    pub fn to_fret(&self, p: BlankPoint<R>) -> Vec3<R> {
        self.origin + self.e_b * p.b + self.e_u * p.u + self.e_v * p.v
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn upright_and_square_is_the_identity() {
        let f = Frame::leaning(Vec3::zeros(), Vec3::y() * 55.0, 0.0).unwrap();
        assert_eq!((f.e_b, f.e_u, f.e_v), (Vec3::x(), Vec3::y(), Vec3::z()));
    }

    #[test]
    fn leaning_forward_moves_the_top_toward_the_nut() {
        let f = Frame::leaning(Vec3::zeros(), Vec3::y(), 0.2).unwrap();
        assert!(f.e_v.x < 0.0 && f.e_b.z > 0.0);
    }

    #[test]
    fn no_axes_along_the_vertical() {
        assert!(Frame::leaning(Vec3::zeros(), Vec3::z(), 0.1).is_none());
        assert!(Frame::leaning(Vec3::zeros(), Vec3::zeros(), 0.1).is_none());
    }

    proptest! {
        #[test]
        fn right_handed_and_there_and_back(
            skew in -9.0..9.0f64, tilt in -3.0..3.0f64, lean in -0.6..0.6f64, b in 0.0..9.0f64, u in -9.0..70.0f64, v in 0.0..12.0f64,
        ) {
            let f = Frame::leaning(Vec3::new(612.0, -27.0, -5.0), Vec3::new(skew, 55.0, tilt), lean).unwrap();
            prop_assert!((f.e_b.cross(&f.e_u) - f.e_v).norm() < 1e-12);
            let back = f.to_blank(f.to_fret(BlankPoint { b, u, v }));
            prop_assert!((back.b - b).abs() + (back.u - u).abs() + (back.v - v).abs() < 1e-11);
        }
    }
}
