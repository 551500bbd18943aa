//! Upright walls, judged at places beside them: inside nothing may be cut, outside nothing may stand above the foot.

use crate::simulate::{Probe, probe};
use crate::verify::check::Check;
use crate::verify::finding::{Fault, Findings};
use crate::{Cutter, HeightMap, Motion};
use numerics::math;

/// Step along a wall at which it is judged, mm.
const STEP: f64 = 0.1;
/// Parts of a limit by which a wall's own distance is told.
const RUNGS: u32 = 10;

/// A place on a wall, and the direction into the part.
struct Place {
    at: [f64; 2],
    inward: [f64; 2],
}

impl Place {
    fn inside(&self, distance: f64) -> [f64; 2] {
        [0, 1].map(|i| self.at[i] + distance * self.inward[i])
    }
}

struct Judge<'a> {
    motions: &'a [Motion],
    tools: &'a [&'a Cutter],
    start: &'a HeightMap,
    check: &'a Check<'a>,
    places: Vec<Place>,
}

/// Finds what is wrong; how far the walls lie within and without where they should, mm, to a tenth of the limits.
pub(super) fn judge(
    motions: &[Motion],
    tools: &[&Cutter],
    start: &HeightMap,
    check: &Check,
    last_line: u32,
    findings: &mut Findings,
) -> (f64, f64) {
    let judge = Judge {
        motions,
        tools,
        start,
        check,
        places: places(check),
    };
    let limits = &check.limits;
    for (probed, at, below) in judge.inside(limits.gouge) {
        if let Some(motion) = probed.first.and_then(|i| motions.get(i)) {
            let (depth, limit) = (below + limits.gouge - probed.height, limits.gouge);
            let place = Some([at[0], at[1], probed.height]);
            findings.add(motion.line, place, Fault::Gouge { depth, limit });
        }
    }
    let within = ladder(limits.gouge, |d| {
        judge.inside(d).iter().any(|(p, ..)| p.first.is_some())
    });
    let cut = match check.target.walled_by() {
        Some(tool) => motions.iter().any(|m| m.tool == tool),
        None => check.last,
    };
    if !cut {
        return (within, 0.0);
    }
    for (probed, at, most) in judge.outside(limits.excess) {
        if probed.height > most {
            let (height, limit) = (probed.height - most + limits.excess, limits.excess);
            let place = Some([at[0], at[1], probed.height]);
            findings.add(last_line, place, Fault::Excess { height, limit });
        }
    }
    let without = ladder(limits.excess, |d| {
        judge.outside(d).iter().any(|(p, _, most)| p.height > *most)
    });
    (within, without)
}

/// The greatest part of `limit` at which something is `found`, each with all lesser parts.
fn ladder(limit: f64, found: impl Fn(f64) -> bool) -> f64 {
    let rung = |k: u32| limit * f64::from(k) / f64::from(RUNGS);
    (1..=RUNGS).map(rung).take_while(|d| found(*d)).last().unwrap_or(0.0)
}

impl Judge<'_> {
    /// What becomes of places `distance` within the walls, with the height that they are not to go below.
    fn inside(&self, distance: f64) -> Vec<(Probe, [f64; 2], f64)> {
        self.probed(|place| {
            let p = place.inside(distance);
            let (wanted, top) = (self.check.target.height(p[0], p[1])?, self.start.near(p[0], p[1])?);
            Some((p, top, wanted.min(top) - self.check.limits.gouge))
        })
    }

    /// What becomes of places `distance` outside the walls, with the height that they are not to stay above.
    fn outside(&self, distance: f64) -> Vec<(Probe, [f64; 2], f64)> {
        self.probed(|place| {
            let q = place.inside(-distance);
            let (foot, top) = (self.check.target.foot(q[0], q[1])?, self.start.near(q[0], q[1])?);
            Some((q, top, foot + self.check.limits.excess))
        })
    }

    fn probed(&self, one: impl Fn(&Place) -> Option<([f64; 2], f64, f64)>) -> Vec<(Probe, [f64; 2], f64)> {
        let asked: Vec<_> = self.places.iter().filter_map(one).collect();
        let probed = probe(&asked, self.motions, self.tools, self.check.limits.cell);
        probed
            .into_iter()
            .zip(asked)
            .map(|(p, (at, _, z))| (p, at, z))
            .collect()
    }
}

fn places(check: &Check) -> Vec<Place> {
    let mut places = Vec::new();
    for wall in check.target.walls() {
        for (a, b) in wall.iter().zip(wall.iter().cycle().skip(1)) {
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let length = math::hypot(dx, dy);
            // A blank's outline is some hundred millimetres long.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let count = (length / STEP).ceil().clamp(0.0, 1e5) as u32;
            for k in 0..count {
                let t = (f64::from(k) + 0.5) / f64::from(count);
                places.push(Place {
                    at: [a[0] + t * dx, a[1] + t * dy],
                    inward: [-dy / length, dx / length],
                });
            }
        }
    }
    places
}
