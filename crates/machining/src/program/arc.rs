//! Circles and helices from their words.

use numerics::math;
use std::f64::consts::TAU;

use thiserror::Error;

use crate::{MotionKind, Plane};

/// Most that the radius at an arc's start and end may differ, mm (NISTIR 6556, section 3.5.3.2; 0.0002 in for inches).
const RADIUS_MM: f64 = 0.002;
/// The same for programs in inches, mm.
const RADIUS_INCH: f64 = 0.0002 * 25.4;
/// Ends nearer than this are one point, and the arc a full circle, mm.
const SAME: f64 = 1e-7;

/// Why an arc is impossible.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ArcFault {
    /// Neither a centre nor a radius.
    #[error("the arc has neither centre (I, J, K) nor radius (R)")]
    NoCentre,
    /// Both.
    #[error("the arc has both a centre and a radius; keep one")]
    Both,
    /// An offset that is not in the plane.
    #[error("the arc's {0} does not belong to the plane that is set; check G17, G18 or G19")]
    WrongPlane(char),
    /// A centre of no distance.
    #[error("the arc's centre is its own start")]
    NoRadius,
    /// Start and end at different distances from the centre.
    #[error("the arc starts {start:.4} mm from its centre and ends {end:.4} mm from it; its centre or end is wrong")]
    Radius {
        /// Distance of the start, mm.
        start: f64,
        /// Distance of the end, mm.
        end: f64,
    },
    /// Given by radius, with the ends too far apart.
    #[error("the arc's ends are {apart:.4} mm apart, too far for its radius of {radius:.4} mm")]
    TooFar {
        /// Distance of the ends, mm.
        apart: f64,
        /// Radius as written, mm.
        radius: f64,
    },
    /// Given by radius, with no distance between its ends.
    #[error("an arc given by its radius cannot end where it starts")]
    FullByRadius,
    /// The machine takes lines only.
    #[error("the machine does not take arcs; write straight lines")]
    NotTaken,
}

/// First and second axis of a plane, and the one square to it; a positive turn goes from first to second.
pub(crate) fn axes(plane: Plane) -> (usize, usize, usize) {
    match plane {
        Plane::Xy => (0, 1, 2),
        Plane::Zx => (2, 0, 1),
        Plane::Yz => (1, 2, 0),
    }
}

/// What the words of an arc say, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct ArcWords {
    /// Offset of the centre from the start in X, Y and Z, where given.
    pub offset: [Option<f64>; 3],
    /// Radius where given; negative for the longer way round.
    pub radius: Option<f64>,
    /// Offsets are the centre itself (G90.1).
    pub absolute: bool,
    /// Program in inches, which loosens the check of the radius.
    pub inch: bool,
}

/// The arc from one point to another.
pub(super) fn arc(
    from: [f64; 3],
    to: [f64; 3],
    plane: Plane,
    clockwise: bool,
    words: &ArcWords,
) -> Result<MotionKind, ArcFault> {
    let (a, b, square) = axes(plane);
    let tolerance = if words.inch { RADIUS_INCH } else { RADIUS_MM };
    if words.offset[square].is_some() {
        return Err(ArcFault::WrongPlane(['I', 'J', 'K'][square]));
    }
    let given = words.offset.iter().any(Option::is_some);
    let mut centre = from;
    match (words.radius, given) {
        (Some(_), true) => return Err(ArcFault::Both),
        (None, false) => return Err(ArcFault::NoCentre),
        (None, true) => {
            for axis in [a, b] {
                centre[axis] = match (words.offset[axis], words.absolute) {
                    (Some(v), true) => v,
                    (v, _) => from[axis] + v.unwrap_or(0.0),
                };
            }
        }
        (Some(radius), false) => {
            let (da, db) = (to[a] - from[a], to[b] - from[b]);
            let apart = math::hypot(da, db);
            if apart < SAME {
                return Err(ArcFault::FullByRadius);
            }
            if apart > 2.0 * radius.abs() + tolerance {
                return Err(ArcFault::TooFar { apart, radius });
            }
            // From the middle of the chord to the centre, to the left of the chord for the shorter way round anticlockwise.
            let left = (radius * radius - 0.25 * apart * apart).max(0.0).sqrt() / apart;
            let side = if clockwise == (radius > 0.0) { -left } else { left };
            centre[a] += 0.5 * da - side * db;
            centre[b] += 0.5 * db + side * da;
        }
    }
    let place = |p: [f64; 3]| (p[a] - centre[a], p[b] - centre[b]);
    let ((sa, sb), (ea, eb)) = (place(from), place(to));
    let (start, end) = (math::hypot(sa, sb), math::hypot(ea, eb));
    if start < SAME {
        return Err(ArcFault::NoRadius);
    }
    if (start - end).abs() > tolerance {
        return Err(ArcFault::Radius { start, end });
    }
    let swept = (math::atan2(eb, ea) - math::atan2(sb, sa)) * if clockwise { -1.0 } else { 1.0 };
    let full = math::hypot(sa - ea, sb - eb) < SAME;
    let turn = if full { TAU } else { swept.rem_euclid(TAU) };
    Ok(MotionKind::Arc {
        plane,
        centre,
        clockwise,
        turn,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    fn words(offset: [Option<f64>; 3], radius: Option<f64>) -> ArcWords {
        ArcWords {
            offset,
            radius,
            absolute: false,
            inch: false,
        }
    }

    fn turn_of(kind: MotionKind) -> (f64, [f64; 3]) {
        let MotionKind::Arc { turn, centre, .. } = kind else {
            panic!("no arc")
        };
        (turn, centre)
    }

    /// A quarter from the plane's first axis to its second is anticlockwise in every plane, three quarters clockwise.
    #[test]
    fn quarters_in_all_planes() {
        for plane in [Plane::Xy, Plane::Zx, Plane::Yz] {
            let (a, b, c) = axes(plane);
            let (mut from, mut to, mut offset) = ([0.0; 3], [0.0; 3], [None; 3]);
            from[a] = 2.0;
            to[b] = 2.0;
            to[c] = 7.0;
            offset[a] = Some(-2.0);
            for (clockwise, wanted) in [(false, FRAC_PI_2), (true, 3.0 * FRAC_PI_2)] {
                let (turn, centre) = turn_of(arc(from, to, plane, clockwise, &words(offset, None)).unwrap());
                assert!((turn - wanted).abs() < 1e-12);
                assert_eq!(centre, [0.0; 3]);
                // The same arc by its radius; negative the longer way.
                let radius = if clockwise { -2.0 } else { 2.0 };
                let (turn, centre) = turn_of(arc(from, to, plane, clockwise, &words([None; 3], Some(radius))).unwrap());
                assert!(
                    (turn - wanted).abs() < 1e-9 && centre.iter().all(|c| c.abs() < 1e-9),
                    "{centre:?}"
                );
            }
            offset[c] = Some(1.0);
            assert!(matches!(
                arc(from, to, plane, true, &words(offset, None)),
                Err(ArcFault::WrongPlane(_))
            ));
        }
    }

    #[test]
    fn full_and_half_circles() {
        let at = [1.0, 2.0, 3.0];
        let (turn, _) = turn_of(arc(at, at, Plane::Xy, true, &words([Some(1.0), None, None], None)).unwrap());
        assert_eq!(turn, TAU);
        let to = [5.0, 2.0, 3.0];
        let (turn, centre) = turn_of(arc(at, to, Plane::Xy, true, &words([None; 3], Some(2.0))).unwrap());
        assert!((turn - PI).abs() < 1e-9 && (centre[0] - 3.0).abs() < 1e-12);
    }

    #[test]
    fn refuses_the_impossible() {
        let (from, to) = ([0.0; 3], [2.0, 0.0, 0.0]);
        let fault = |w: &ArcWords, to| arc(from, to, Plane::Xy, false, w).unwrap_err();
        assert_eq!(fault(&words([None; 3], None), to), ArcFault::NoCentre);
        assert_eq!(fault(&words([Some(1.0), None, None], Some(1.0)), to), ArcFault::Both);
        assert_eq!(fault(&words([Some(0.0), None, None], None), to), ArcFault::NoRadius);
        assert_eq!(fault(&words([None; 3], Some(1.0)), from), ArcFault::FullByRadius);
        assert!(matches!(
            fault(&words([None; 3], Some(0.99)), to),
            ArcFault::TooFar { .. }
        ));
        assert!(matches!(
            fault(&words([Some(1.01), None, None], None), to),
            ArcFault::Radius { .. }
        ));
        // Within the standard's 0.002 mm.
        assert!(arc(from, to, Plane::Xy, false, &words([Some(1.0009), None, None], None)).is_ok());
    }
}
