//! Where the taut string really ends: the string as a thread pulled over the crown.

use crate::Crown;
use instrument::{BlankPoint, Frame, StringRun, Vec3};

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

/// Where the speaking length really ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Termination {
    /// The first point of the crown that the string touches, from the nut.
    pub point: BlankPoint,
    /// Distance from the planned contact in the plane of the string, mm.
    pub from_planned: f64,
    /// What happens behind it.
    pub bearing: Bearing,
}

/// Places across the crown that are tried before the search closes in.
const SCAN: u32 = 64;
/// The search stops when its bracket is smaller than this, mm.
const BRACKET: f64 = 1e-9;
/// Rounds in which a point of the crown is brought into the string's plane; each gains three digits or more.
const PLANE_ROUNDS: usize = 6;

/// The crown cut by the upright plane that a string lies in.
struct Cut<'a> {
    crown: &'a Crown,
    frame: &'a Frame,
    run: &'a StringRun,
    u: f64,
}

impl Cut<'_> {
    /// The crown at `b` in the string's plane, in both frames.
    fn at(&self, b: f64) -> (BlankPoint, Vec3) {
        let mut u = self.u;
        let mut round = 0;
        loop {
            let point = BlankPoint {
                b,
                u,
                v: self.crown.section(u).height(b),
            };
            let place = self.frame.to_fret(point);
            let aside = place.y - self.run.y(place.x);
            round += 1;
            if round == PLANE_ROUNDS || aside == 0.0 {
                return (point, place);
            }
            u -= aside / (self.frame.e_u.y - self.run.slope * self.frame.e_u.x);
        }
    }

    /// b of the crown where `value` is largest; it has one peak on a crown that is convex from front to back.
    fn peak(&self, value: impl Fn(Vec3) -> f64) -> f64 {
        let thickness = self.crown.thickness;
        let at = |i: u32| thickness * f64::from(i) / f64::from(SCAN);
        let score = |b: f64| value(self.at(b).1);
        let best = (0..=SCAN)
            .max_by(|a, b| score(at(*a)).total_cmp(&score(at(*b))))
            .unwrap_or(0);
        let (mut low, mut high) = (at(best.saturating_sub(1)), at((best + 1).min(SCAN)));
        while high - low > BRACKET {
            let third = (high - low) / 3.0;
            if score(low + third) < score(high - third) {
                low += third
            } else {
                high -= third
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
        u: planned.u,
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
                break_angle: rise(place).atan() + drop(leaves).atan(),
            }
        }
    };
    Termination {
        point,
        from_planned,
        bearing,
    }
}
