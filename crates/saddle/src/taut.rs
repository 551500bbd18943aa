//! Where the taut string really ends: the string as a thread pulled over the crown.

use crate::Crown;
use instrument::{BlankPoint, Frame, StringRun, Vec3};
use numerics::math;
use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};

/// How a taut string lies on the crown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bearing {
    /// It bears on the crown and leaves toward the bridge with this break angle, radians, positive downward.
    Bears {
        /// Bend of the string over the crown, radians.
        break_angle: f64,
    },
    /// It runs straight to where it leaves the bridge and does not press on the crown.
    Lifted,
    /// Where it leaves the bridge is not known; only the side toward the nut was looked at.
    ExitUnknown,
}

impl Serialize for Bearing {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (bearing, break_angle) = match *self {
            Self::Bears { break_angle } => ("bears", Some(break_angle)),
            Self::Lifted => ("lifted", None),
            Self::ExitUnknown => ("exit-unknown", None),
        };
        let mut out = serializer.serialize_struct("Bearing", 2)?;
        out.serialize_field("bearing", bearing)?;
        out.serialize_field("break_angle", &break_angle)?;
        out.end()
    }
}

/// Where the speaking length really ends.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Termination {
    /// The first point of the crown that the string touches, from the nut.
    pub point: BlankPoint,
    /// Distance from the planned contact in the plane of the string, mm.
    pub from_planned: f64,
    /// What happens behind it.
    #[serde(flatten)]
    pub bearing: Bearing,
}

/// Places across the crown that are tried before the search closes in.
const SCAN: u32 = 24;
/// The search stops when its bracket is smaller than this, mm: a thousandth of the micrometre that is checked.
const BRACKET: f64 = 1e-6;
/// Most rounds of the search; it needs about 25.
const MOST_ROUNDS: usize = 100;
/// A point of the crown lies in the string's plane when it is less than this beside it, mm.
const IN_PLANE: f64 = 1e-11;
/// Most rounds to bring it there; each gains two digits or more.
const PLANE_ROUNDS: usize = 8;

/// The crown cut by the upright plane that a string lies in.
struct Cut<'a> {
    crown: &'a Crown,
    frame: &'a Frame,
    run: &'a StringRun,
    planned: BlankPoint,
}

impl Cut<'_> {
    /// The crown at `b` in the string's plane, in both frames.
    fn at(&self, b: f64) -> (BlankPoint, Vec3) {
        let (frame, run) = (self.frame, self.run);
        // Steps along b and u that stay in the plane.
        let aside_per_u = frame.e_u.y - run.slope * frame.e_u.x;
        let aside_per_b = frame.e_b.y - run.slope * frame.e_b.x;
        let start = self.planned.u - (b - self.planned.b) * aside_per_b / aside_per_u;
        run.crossed_by(frame, start, IN_PLANE, PLANE_ROUNDS, |u| BlankPoint {
            b,
            u,
            v: self.crown.section(u).height(b),
        })
    }

    /// b of the crown where `value` is largest, by golden section; a crown that is convex from front to back has one peak.
    fn peak(&self, value: impl Fn(Vec3) -> f64) -> f64 {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let score = |b: f64| value(self.at(b).1);
        let place = |i: u32| self.crown.thickness * f64::from(i) / f64::from(SCAN);
        let (mut best, mut top) = (0, f64::NEG_INFINITY);
        for i in 0..=SCAN {
            let here = score(place(i));
            if here > top {
                (best, top) = (i, here);
            }
        }
        let (mut low, mut high) = (place(best.saturating_sub(1)), place((best + 1).min(SCAN)));
        let (mut left, mut right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (mut at_left, mut at_right) = (score(left), score(right));
        // On an absurdly thick blank neighbouring numbers may stand further apart than the bracket.
        for _ in 0..MOST_ROUNDS {
            if high - low <= BRACKET {
                break;
            }
            if at_left < at_right {
                (low, left, at_left) = (left, right, at_right);
                right = low + GOLDEN * (high - low);
                at_right = score(right);
            } else {
                (high, right, at_right) = (right, left, at_left);
                left = high - GOLDEN * (high - low);
                at_left = score(left);
            }
        }
        0.5 * (low + high)
    }
}

/// A thread from `nut` `(x, z)` over the crown to `exit`, in the upright plane of `run`.
pub(crate) fn terminate(
    crown: &Crown,
    frame: &Frame,
    run: &StringRun,
    nut: (f64, f64),
    exit: Option<(f64, f64)>,
    planned: BlankPoint,
) -> Termination {
    let cut = Cut {
        crown,
        frame,
        run,
        planned,
    };
    let rise = |p: Vec3| (p.z - nut.1) / (p.x - nut.0);
    let (point, place) = cut.at(cut.peak(rise));
    let from_planned = {
        let d = frame.to_fret(planned) - place;
        (d.x * d.x + d.z * d.z).sqrt()
    };
    let bearing = match exit {
        None => Bearing::ExitUnknown,
        Some((x, z)) if (z - nut.1) / (x - nut.0) >= rise(place) => Bearing::Lifted,
        Some((x, z)) => {
            let drop = |p: Vec3| (p.z - z) / (x - p.x);
            let leaves = cut.at(cut.peak(drop)).1;
            Bearing::Bears {
                break_angle: math::atan(rise(place)) + math::atan(drop(leaves)),
            }
        }
    };
    Termination {
        point,
        from_planned,
        bearing,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Ridge;
    use crate::crown::Station;
    use proptest::prelude::*;

    const RUN: StringRun = StringRun { nut: 0.0, slope: 0.0 };

    /// An upright plane of a saddle that leans by `lean` degrees at x = 610, its one contact at b = 1.6, v = 9.
    fn crown(lean: f64, rounding: f64, falls: (f64, f64)) -> (Frame, Crown, BlankPoint) {
        let frame = Frame::leaning(Vec3::new(610.0, 0.0, -5.0), Vec3::y(), lean.to_radians()).unwrap();
        let contact = BlankPoint { b: 1.6, u: 0.0, v: 9.0 };
        let rise = frame.to_fret(contact).z / frame.to_fret(contact).x;
        let direction = frame.direction_to_blank(Vec3::new(1.0, 0.0, rise));
        let falls = (falls.0.to_radians(), falls.1.to_radians());
        let station = Station { contact, direction };
        let crown = Crown::through(&[station], Ridge::Smooth, rounding, 3.2, |_| Ok(falls)).unwrap();
        (frame, crown, contact)
    }

    /// A square flat top that leans forward is highest at its back edge, and there the string ends.
    #[test]
    fn a_flat_top_ends_the_string_at_its_back_edge() {
        let (frame, crown, contact) = crown(9.0, 0.0, (0.0, 0.0));
        let end = terminate(&crown, &frame, &RUN, (0.0, 0.0), None, contact);
        assert!((end.point.b - 3.2).abs() < 2.0 * BRACKET, "{end:?}");
        assert!((end.from_planned - 1.6).abs() < 0.01, "{end:?}");
    }

    /// Leaning back, it ends at the front edge.
    #[test]
    fn a_flat_top_that_leans_back_ends_the_string_in_front() {
        let (frame, crown, contact) = crown(-9.0, 0.0, (0.0, 0.0));
        let end = terminate(&crown, &frame, &RUN, (0.0, 0.0), None, contact);
        assert!(end.point.b.abs() < 2.0 * BRACKET, "{end:?}");
    }

    #[test]
    fn a_string_that_leaves_high_does_not_bear() {
        let (frame, crown, contact) = crown(9.0, 0.5, (8.0, 16.0));
        let height = frame.to_fret(contact).z;
        let end = |z| terminate(&crown, &frame, &RUN, (0.0, 0.0), Some((625.0, z)), contact).bearing;
        assert_eq!(end(height + 1.0), Bearing::Lifted);
        assert!(matches!(end(height - 4.0), Bearing::Bears { .. }));
    }

    proptest! {
        /// On a sharp ridge the break angle is the angle between two straight lines.
        #[test]
        fn break_angle_over_a_sharp_ridge(back in 5.0..20.0f64, below in 1.0..6.0f64) {
            let (frame, crown, contact) = crown(9.0, 0.0, (60.0, 80.0));
            let place = frame.to_fret(contact);
            let end = terminate(&crown, &frame, &RUN, (0.0, 0.0), Some((place.x + back, place.z - below)), contact);
            let want = math::atan(place.z / place.x) + math::atan(below / back);
            let Bearing::Bears { break_angle } = end.bearing else { panic!("{end:?}") };
            prop_assert!((break_angle - want).abs() < 1e-6, "{break_angle} against {want}");
            prop_assert!(end.from_planned < 4.0 * BRACKET);
        }
    }
}
