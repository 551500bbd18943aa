//! How long motions take, with accelerations and look-ahead at corners.
//!
//! Every motion speeds up, runs and slows down evenly (a trapezoid, or a triangle if it is short). At a corner the tool may
//! cut inside by the machine's deviation: a circle that touches both motions and lies that far from the corner has the
//! radius `d c/(1 - c)`, c the cosine of half the turn, and is run at `sqrt(a r)`. A pass from the end and one from the
//! start hold each junction to what the accelerations on both sides allow.

use crate::program::axes;
use crate::{Machine, Motion, MotionKind};
use numerics::math;

/// Shorter than this is no motion, mm.
const NOTHING: f64 = 1e-9;
/// A turn whose cosine is nearer to one than this is none.
const STRAIGHT: f64 = 1e-9;
/// Least acceleration and speed that a machine is taken to have, mm/s2 and mm/s, so that a faulty machine gives a long time
/// and not a division by nought.
const LEAST: f64 = 1e-3;

/// A motion as the planner sees it. Lengths in mm, times in s.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    length: f64,
    /// Directions at start and end.
    start: [f64; 3],
    end: [f64; 3],
    speed: f64,
    acceleration: f64,
}

/// Seconds that each motion takes. The tool stands still at the start, at the end, and after the motions whose numbers
/// (from 0) are in `stops`.
#[must_use]
pub fn durations(motions: &[Motion], stops: &[usize], machine: &Machine) -> Vec<f64> {
    let mut times = vec![0.0; motions.len()];
    let planned: Vec<(usize, Stretch)> = motions
        .iter()
        .enumerate()
        .filter_map(|(i, motion)| stretch(motion, machine).map(|s| (i, s)))
        .collect();
    // Speed at the start of each stretch; one more for the end.
    let mut speed = vec![0.0f64; planned.len() + 1];
    for k in 1..planned.len() {
        let ((before, a), (after, b)) = (&planned[k - 1], &planned[k]);
        let stopped = stops.iter().any(|stop| (*before..*after).contains(stop));
        speed[k] = if stopped {
            0.0
        } else {
            corner(a, b, machine.corner).min(a.speed).min(b.speed)
        };
    }
    for k in (0..planned.len()).rev() {
        let s = &planned[k].1;
        speed[k] = speed[k].min((math::powi(speed[k + 1], 2) + 2.0 * s.acceleration * s.length).sqrt());
    }
    for k in 0..planned.len() {
        let s = &planned[k].1;
        speed[k + 1] = speed[k + 1].min((math::powi(speed[k], 2) + 2.0 * s.acceleration * s.length).sqrt());
    }
    for (k, (index, s)) in planned.iter().enumerate() {
        times[*index] = trapezoid(s, speed[k], speed[k + 1]);
    }
    times
}

/// Seconds over a stretch from one speed to another.
fn trapezoid(s: &Stretch, from: f64, to: f64) -> f64 {
    let peak = (s.acceleration * s.length + 0.5 * (from * from + to * to))
        .sqrt()
        .min(s.speed);
    let ramps = (2.0 * peak * peak - from * from - to * to) / (2.0 * s.acceleration);
    (2.0 * peak - from - to).max(0.0) / s.acceleration + (s.length - ramps).max(0.0) / peak
}

/// Speed at the corner between two stretches.
fn corner(a: &Stretch, b: &Stretch, deviation: f64) -> f64 {
    let dot: f64 = a.end.iter().zip(&b.start).map(|(u, v)| u * v).sum();
    if dot > 1.0 - STRAIGHT {
        return f64::INFINITY;
    }
    let half = (0.5 * (1.0 + dot)).max(0.0).sqrt();
    let radius = deviation.max(0.0) * half / (1.0 - half);
    (a.acceleration.min(b.acceleration) * radius).sqrt()
}

/// Least of a limit per axis over a direction's share of that axis.
fn along(limits: [f64; 3], direction: [f64; 3]) -> f64 {
    (0..3)
        .filter(|axis| direction[*axis].abs() > NOTHING)
        .map(|axis| limits[axis] / direction[axis].abs())
        .fold(f64::INFINITY, f64::min)
        .max(LEAST)
}

fn stretch(motion: &Motion, machine: &Machine) -> Option<Stretch> {
    let length = motion.length();
    if length < NOTHING {
        return None;
    }
    let step = [0, 1, 2].map(|axis| (motion.to[axis] - motion.from[axis]) / length);
    let per_second = |limits: [f64; 3]| limits.map(|l| l / 60.0);
    let feed = (motion.feed / 60.0).max(LEAST);
    Some(match motion.kind {
        MotionKind::Rapid | MotionKind::Line => {
            let rapid = motion.kind == MotionKind::Rapid;
            let limits = if rapid { machine.rapid } else { machine.feed_most };
            let most = along(per_second(limits), step);
            Stretch {
                length,
                start: step,
                end: step,
                speed: if rapid { most } else { feed.min(most) },
                acceleration: along(machine.acceleration, step),
            }
        }
        MotionKind::Arc {
            plane,
            centre,
            clockwise,
            turn,
        } => {
            let (a, b, square) = axes(plane);
            let radius = math::hypot(motion.from[a] - centre[a], motion.from[b] - centre[b]);
            let flat = radius * turn / length;
            let tangent = |at: [f64; 3]| {
                let (da, db) = (at[a] - centre[a], at[b] - centre[b]);
                let turned = if clockwise { -flat } else { flat } / math::hypot(da, db);
                let mut direction = [0.0; 3];
                direction[a] = -db * turned;
                direction[b] = da * turned;
                direction[square] = step[square];
                direction
            };
            // Some place of the arc may run along either axis of its plane.
            let mut worst = [0.0; 3];
            (worst[a], worst[b], worst[square]) = (flat, flat, step[square]);
            let inward = machine.acceleration[a].min(machine.acceleration[b]);
            let round = (inward * radius).sqrt() / flat;
            Stretch {
                length,
                start: tangent(motion.from),
                end: tangent(motion.to),
                speed: feed
                    .min(along(per_second(machine.feed_most), worst))
                    .min(round)
                    .max(LEAST),
                acceleration: along(machine.acceleration, worst),
            }
        }
    })
}
