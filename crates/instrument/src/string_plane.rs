//! Where a string's upright plane cuts what is told in the blank's frame.

use crate::{BlankPoint, Frame, StringRun, Vec3};
use numerics::{NotSettled, Round, settle};
use std::convert::Infallible;

impl StringRun {
    /// The point of a line across the plane in which this string stands upright, in the blank's frame and in the fret frame.
    ///
    /// `line` gives the line's point at a place u along the blank, mm; the search starts from `u`. Each round gains two digits or more
    /// while the line runs mostly along the blank. Ends within `tolerance` mm beside the plane, or with the last of `most_rounds`.
    pub fn crossed_by(
        &self,
        frame: &Frame,
        u: f64,
        tolerance: f64,
        most_rounds: usize,
        line: impl Fn(f64) -> BlankPoint,
    ) -> (BlankPoint, Vec3) {
        let aside_per_u = frame.e_u.y - self.slope * frame.e_u.x;
        let round = |u: f64| {
            let point = line(u);
            let place = frame.to_fret(point);
            let aside = place.y - self.y(place.x);
            Ok::<_, Infallible>(Round {
                found: (point, place),
                next: u - aside / aside_per_u,
                off: aside.abs(),
            })
        };
        let Ok(settled) = settle(u, tolerance, most_rounds, round);
        settled.unwrap_or_else(NotSettled::last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use numerics::math;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn lies_in_the_plane_and_on_the_line(
            slope in -0.04..0.04f64, skew in -0.2..0.2f64, bend in -0.004..0.004f64, nut in -25.0..25.0f64,
        ) {
            let run = StringRun { nut, slope };
            let frame = Frame {
                origin: Vec3::new(620.0, -30.0, 4.0),
                e_b: Vec3::new(math::cos(skew), math::sin(skew), 0.0),
                e_u: Vec3::new(-math::sin(skew), math::cos(skew), 0.0),
                e_v: Vec3::z(),
            };
            let line = |u: f64| BlankPoint { b: 1.0, u, v: 9.0 + bend * math::powi(u - 30.0, 2) };
            let (point, place) = run.crossed_by(&frame, 0.0, 1e-11, 30, line);
            prop_assert!((place.y - run.y(place.x)).abs() < 1e-11);
            prop_assert_eq!(point, line(point.u));
            prop_assert_eq!(place, frame.to_fret(point));
        }
    }
}
