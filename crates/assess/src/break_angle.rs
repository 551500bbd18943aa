//! The strings' path behind the saddle: what they bend over, and how much of the bend is at the ridge.

use crate::{Facts, Ramp};
use instrument::{BlankPoint, Vec3};
use numerics::{UNCHANGED, math};
use saddle::{ExitEnd, Plan, SaddleSurvey, StringPlan};
use serde::Serialize;

/// The highest thing between saddle and hole, which the string is led by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Touch {
    /// The string runs free to where it leaves the bridge.
    Hole,
    /// It bends over the front end of the ramp first.
    RampEdge,
    /// It rubs on the back edge of the slot first.
    SlotEdge,
}

/// One string from the crown to where it leaves the bridge. Angles in radians, positive downward.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Path {
    /// String number.
    pub number: u32,
    /// Whole bend over the saddle; 0 or less if the string does not press on it.
    pub total: f64,
    /// The part of it at the ridge.
    pub at_ridge: f64,
    /// The rest, over the blank's back edge because the string lies on the back fall; 0 if it clears the fall.
    pub at_back_edge: f64,
    /// Least back fall, in the blank, with which the string would clear it.
    pub fall_needed: f64,
    /// Slope of the string as it leaves the saddle, against the fret plane.
    pub leaves: f64,
    /// Height of the string over the back edge of the slot, mm; negative if that edge is in its way. `None` if the width of the
    /// slot is not known.
    pub over_slot_edge: Option<f64>,
    /// What leads it.
    pub touch: Touch,
}

/// Pieces that the crown is cut into across the blank.
const PIECES: u32 = 400;
/// Most rounds that bring a point of the crown into the string's plane; each gains two digits.
const PLANE_ROUNDS: usize = 6;
/// A smaller part of the bend at the back edge is rounding of the polygon, radians.
const NO_BEND: f64 = 1e-4;

/// A place in side view, mm.
#[derive(Debug, Clone, Copy)]
struct Side {
    x: f64,
    z: f64,
}

impl Side {
    /// Slope down from `self` to a place behind it, radians.
    fn down_to(self, other: Self) -> f64 {
        math::atan2(self.z - other.z, other.x - self.x)
    }
}

/// The paths of all strings, bass to treble. `None` if the depth of the slot or the strings' exit is not known.
#[must_use]
pub fn paths(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Option<Vec<Path>> {
    let mouth = plan.mouth?;
    let exit = survey.exit?;
    let each = plan
        .strings
        .iter()
        .map(|s| path(survey, plan, facts.ramp, mouth, exit, s));
    Some(each.collect())
}

/// Share of the way from the bass string to the treble string at the saddle.
pub(crate) fn share(survey: &SaddleSurvey, [bass, treble]: [Vec3; 2], s: &StringPlan) -> f64 {
    if treble.y == bass.y {
        0.0
    } else {
        (s.run.y(survey.board.scale_end(&s.run)) - bass.y) / (treble.y - bass.y)
    }
}

fn path(
    survey: &SaddleSurvey,
    plan: &Plan,
    ramp: Option<Ramp>,
    mouth: [Vec3; 2],
    exit: [ExitEnd; 2],
    s: &StringPlan,
) -> Path {
    let share = share(survey, mouth, s);
    let between = |a: f64, b: f64| a + share * (b - a);
    let edge = Side {
        x: between(mouth[0].x, mouth[1].x),
        z: between(mouth[0].z, mouth[1].z),
    };
    let hole = edge.x + between(exit[0].behind_slot, exit[1].behind_slot);
    let mut stops = vec![(
        Touch::Hole,
        Side {
            x: hole,
            z: match ramp {
                None => edge.z + between(exit[0].above_bridge_top, exit[1].above_bridge_top),
                Some(ramp) => edge.z - ramp.depth,
            },
        },
    )];
    if let Some(ramp) = ramp {
        stops.push((
            Touch::RampEdge,
            Side {
                x: hole - ramp.length,
                z: edge.z,
            },
        ));
    }
    let slot_edge = survey.slot_width.map(|width| Side {
        // Along the string, a width square to the slot is longer.
        x: edge.x + width / plan.frame.e_b.x,
        z: edge.z,
    });
    stops.extend(slot_edge.map(|at| (Touch::SlotEdge, at)));

    let crown = crown_in_plane(plan, s);
    let nut = Side { x: s.nut.x, z: s.nut.z };
    let arrives = crown
        .iter()
        .map(|p| math::atan2(p.z - nut.z, p.x - nut.x))
        .fold(f64::NEG_INFINITY, f64::max);
    // Toward one stop the string is tangent to the crown; of several stops the highest leads it.
    let tangent = |stop: Side| {
        let steepest = crown.iter().filter(|p| p.x < stop.x).map(|p| (p.down_to(stop), *p));
        steepest.fold((f64::NEG_INFINITY, stop), |a, b| if b.0 > a.0 { b } else { a })
    };
    let led = stops
        .iter()
        .map(|&(touch, stop)| (tangent(stop), touch))
        .min_by(|a, b| a.0.0.total_cmp(&b.0.0));
    let ((leaves, _), touch) = led.unwrap_or(((0.0, edge), Touch::Hole));
    // Whether the slot's edge is in the way is asked of the string without that edge.
    let free = stops
        .iter()
        .filter(|(touch, _)| *touch != Touch::SlotEdge)
        .map(|&(_, stop)| tangent(stop))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let over_slot_edge = slot_edge
        .zip(free)
        .map(|(at, (slope, from))| from.z - (at.x - from.x) * math::tan(slope) - at.z);

    let total = arrives + leaves;
    let fall = back_fall_slope(plan, s);
    let at_ridge = match fall {
        Some(fall) if leaves > fall + NO_BEND => arrives + fall,
        _ => total,
    };
    Path {
        number: s.number,
        total,
        at_ridge,
        at_back_edge: total - at_ridge,
        fall_needed: plan.crown.back_fall + fall.map_or(0.0, |fall| leaves - fall).max(0.0),
        leaves,
        over_slot_edge,
        touch,
    }
}

/// The crown in the upright plane of a string, front to back.
fn crown_in_plane(plan: &Plan, s: &StringPlan) -> Vec<Side> {
    let section = plan.crown.section(s.contact.u);
    let (front, back) = (section.front_tangent().0, section.back_tangent().0);
    let thickness = plan.crown.thickness;
    let even = (0..=PIECES).map(|i| thickness * f64::from(i) / f64::from(PIECES));
    let corners = [front, s.contact.b, back]
        .into_iter()
        .filter(|b| (0.0..=thickness).contains(b));
    let mut places: Vec<f64> = even.chain(corners).collect();
    places.sort_by(f64::total_cmp);
    places.into_iter().map(|b| in_plane(plan, s, b)).collect()
}

/// The crown at `b` in a string's plane.
fn in_plane(plan: &Plan, s: &StringPlan, b: f64) -> Side {
    let (frame, run) = (&plan.frame, &s.run);
    let aside_per_u = frame.e_u.y - run.slope * frame.e_u.x;
    let aside_per_b = frame.e_b.y - run.slope * frame.e_b.x;
    let start = s.contact.u - (b - s.contact.b) * aside_per_b / aside_per_u;
    let (_, place) = run.crossed_by(frame, start, UNCHANGED, PLANE_ROUNDS, |u| BlankPoint {
        b,
        u,
        v: plan.crown.section(u).height(b),
    });
    Side { x: place.x, z: place.z }
}

/// Slope of the back fall under a string, against the fret plane, radians, positive downward to the back; `None` if the
/// rounding reaches the back face.
fn back_fall_slope(plan: &Plan, s: &StringPlan) -> Option<f64> {
    let start = plan.crown.section(s.contact.u).back_tangent().0.max(0.0);
    let end = plan.crown.thickness;
    (end - start > 1e-6).then(|| in_plane(plan, s, start).down_to(in_plane(plan, s, end)))
}
