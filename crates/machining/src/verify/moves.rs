//! Every motion against machine, material and holding.

use super::check::Check;
use super::finding::{Fault, Findings};
use crate::end::End;
use crate::program::{Replay, axes};
use crate::simulate::TOUCH;
use crate::{ARC_CHORD, Block, Cutter, Holding, Met, Motion, MotionKind, THROUGH};
use numerics::math;

/// Heights may fall short by the rounding of a program's decimals, mm (0.0001 in is 0.00254 mm).
pub(super) const SLACK_Z: f64 = 0.003;
/// Moves shorter than this to the side go straight up or down, mm.
const UPRIGHT: f64 = 1e-6;
/// A cut no wider than this share of the diameter may be deeper than a step: it skims a wall. Common practice, no source.
pub(crate) const SKIM: f64 = 0.15;
/// Steeper than this share of its length (20 degrees) a move down is a plunge, whose thin chip is soon over.
const PLUNGE: f64 = 0.342;
/// A section is measured over at least this way, mm: over a shorter one the simulation's cells are too few.
const SECTION_WAY: f64 = 1.0;
/// Rounding that a figure may be beyond its limit, as a share.
const ROUNDING: f64 = 1e-3;
/// Step in which a slanting move is held against the jaws, mm.
const JAW_STEP: f64 = 0.5;

/// Moves that begin where nobody knows. Each axis counts once its line has named it, whatever figure it names.
fn blind(done: &Replay, safe: f64, findings: &mut Findings) {
    for blind in &done.blind {
        let Some(motion) = done.motions.get(blind.motion) else {
            continue;
        };
        let rapid = motion.kind == MotionKind::Rapid;
        let low = lowest(motion) < safe - SLACK_Z;
        if blind.unknown[2] {
            let alone = blind.named == [false, false, true];
            if !(alone && rapid && motion.to[2] >= safe - SLACK_Z) {
                findings.add(motion.line, None, Fault::StartNotUp { safe });
            }
        } else if blind.machine && low && (blind.named[0] || blind.named[1]) {
            let z = lowest(motion);
            findings.add(motion.line, Some(motion.from), Fault::RapidLow { z, safe });
        } else if !blind.machine
            && (low || !rapid)
            && let Some(axis) = (0..2).find(|axis| blind.unknown[*axis])
        {
            let axis = ['X', 'Y'][axis];
            findings.add(motion.line, None, Fault::PlaceUnknown { axis });
        }
    }
}

/// `moving`: the motions as far as their way is known.
pub(super) fn judge(done: &Replay, moving: &[Motion], met: &[Met], check: &Check, findings: &mut Findings) {
    let Some(first) = moving.first() else {
        return;
    };
    let safe = check.setup.safe_z();
    blind(done, safe, findings);
    let jaws = check.setup.jaws();
    for (i, (motion, met_here)) in moving.iter().zip(met).enumerate() {
        if motion.kind == MotionKind::Rapid {
            rapid(motion, met_here, safe, findings);
        } else {
            feed(motion, met_here, check, findings);
        }
        if let Some(tool) = check.tool(motion.tool) {
            holding(motion, tool, &jaws, check, findings);
            if motion.kind != MotionKind::Rapid && met_here.depth > TOUCH {
                cut(motion, met_here, section(moving, met, i), tool, check, findings);
            }
        }
        if met_here.shank > TOUCH {
            findings.add(motion.line, Some(motion.to), Fault::Shank { by: met_here.shank });
        }
        if met_here.collet > TOUCH {
            findings.add(motion.line, Some(motion.to), Fault::Collet { by: met_here.collet });
        }
    }
    if let Some((low, high)) = bounds(moving) {
        for axis in 0..3 {
            let (needed, travel) = (high[axis] - low[axis], check.setup.machine.travel[axis]);
            if needed > travel + SLACK_Z {
                let at = |m: &&Motion| m.to[axis] >= high[axis] - SLACK_Z || m.to[axis] <= low[axis] + SLACK_Z;
                let line = moving.iter().rfind(at).map_or(first.line, |m| m.line);
                let axis = ['X', 'Y', 'Z'][axis];
                findings.add(line, None, Fault::Travel { axis, needed, travel });
            }
        }
    }
}

pub(super) fn lowest(motion: &Motion) -> f64 {
    let count = motion.chord_count(ARC_CHORD);
    (0..=count)
        .map(|k| motion.at(f64::from(k) / f64::from(count))[2])
        .fold(f64::INFINITY, f64::min)
}

fn rapid(motion: &Motion, met: &Met, safe: f64, findings: &mut Findings) {
    if met.depth > TOUCH {
        findings.add(
            motion.line,
            Some(motion.to),
            Fault::RapidInMaterial { depth: met.depth },
        );
    }
    let sideways = math::hypot(motion.to[0] - motion.from[0], motion.to[1] - motion.from[1]) > UPRIGHT;
    let z = lowest(motion);
    if sideways && z < safe - SLACK_Z {
        findings.add(motion.line, Some(motion.to), Fault::RapidLow { z, safe });
    }
}

/// The feed along each axis, mm/min; the greatest of an arc.
fn feed(motion: &Motion, _: &Met, check: &Check, findings: &mut Findings) {
    let length = motion.length();
    if length < UPRIGHT {
        return;
    }
    let mut share = [0, 1, 2].map(|axis| ((motion.to[axis] - motion.from[axis]) / length).abs());
    if let MotionKind::Arc {
        plane, centre, turn, ..
    } = motion.kind
    {
        let (a, b, _) = axes(plane);
        let round = math::hypot(motion.from[a] - centre[a], motion.from[b] - centre[b]) * turn / length;
        (share[a], share[b]) = (round, round);
    }
    for axis in 0..3 {
        let (feed, most) = (motion.feed * share[axis], check.setup.machine.feed_most[axis]);
        if feed > most * (1.0 + ROUNDING) {
            let axis = ['X', 'Y', 'Z'][axis];
            findings.add(motion.line, Some(motion.to), Fault::FeedLimit { axis, feed, most });
        }
    }
}

fn upright(motion: &Motion) -> bool {
    let [dx, dy] = [0, 1].map(|axis| motion.to[axis] - motion.from[axis]);
    motion.kind == MotionKind::Line && math::hypot(dx, dy) < UPRIGHT
}

/// What a motion takes across its way.
#[derive(Debug, Clone, Copy)]
struct Section {
    /// Volume over the way, mm2; straight down the plan of what is cut.
    area: f64,
    /// Volume over depth and way, mm: each motion's volume over its own depth.
    width: f64,
}

/// Section of motion `i`. Motions shorter than [`SECTION_WAY`] are taken together with those at the feed before and after them.
fn section(motions: &[Motion], met: &[Met], i: usize) -> Section {
    let plan = |k: usize| {
        if met[k].depth > 0.0 {
            met[k].volume / met[k].depth
        } else {
            0.0
        }
    };
    let (mut first, mut last) = (i, i);
    let (mut way, mut volume, mut seen) = (motions[i].length(), met[i].volume, plan(i));
    let joins = |k: usize| motions[k].kind != MotionKind::Rapid && !upright(&motions[k]);
    while way < SECTION_WAY && !upright(&motions[i]) {
        let before = first.checked_sub(1).filter(|k| joins(*k));
        let after = Some(last + 1).filter(|k| *k < motions.len() && joins(*k));
        for k in [before, after].into_iter().flatten() {
            way += motions[k].length();
            volume += met[k].volume;
            seen += plan(k);
        }
        if before.is_none() && after.is_none() {
            break;
        }
        (first, last) = (before.unwrap_or(first), after.unwrap_or(last));
    }
    let way = way.max(UPRIGHT);
    Section {
        area: volume / way,
        width: seen / way,
    }
}

/// What a cut takes of the material, and how.
fn cut(motion: &Motion, met: &Met, section: Section, tool: &Cutter, check: &Check, findings: &mut Findings) {
    let material = &check.setup.material;
    let place = Some(motion.to);
    let length = motion.length();
    let dz = motion.to[2] - motion.from[2];
    if motion.spindle > 0.0 {
        let chip = motion.feed / (motion.spindle * f64::from(tool.flutes));
        let (least, most) = (material.chip_least, material.chip_most);
        if chip > most * (1.0 + ROUNDING) {
            findings.add(motion.line, place, Fault::ChipThick { chip, most });
        }
        let plunge = -dz > PLUNGE * length;
        if chip < least * (1.0 - ROUNDING) && !plunge && !check.limits.rubbing_noted {
            findings.add(motion.line, place, Fault::ChipThin { chip, least });
        }
    }
    let deepest = check.setup.step_down(tool);
    if met.depth <= deepest * (1.0 + ROUNDING) + SLACK_Z {
        return;
    }
    let most = deepest * material.step_over * tool.diameter;
    // Straight down it is the plan of what is cut that counts: beside a wall a sliver, else the whole end of the tool.
    let wide = if upright(motion) {
        section.area > SKIM * tool.diameter * tool.diameter
    } else {
        section.width > SKIM * tool.diameter
    };
    if wide {
        findings.add(
            motion.line,
            place,
            Fault::StepDown {
                depth: met.depth,
                most: deepest,
            },
        );
    } else if section.area > most && !upright(motion) {
        let section = section.area;
        findings.add(motion.line, place, Fault::Engagement { section, most });
    }
}

/// Jaws, and what the blank stands on.
fn holding(motion: &Motion, tool: &Cutter, jaws: &[Block], check: &Check, findings: &mut Findings) {
    let allowed = match check.setup.holding {
        // A skin is to stay, so nothing goes through.
        Holding::Vise { .. } | Holding::Tape { tabs: 0, .. } => SLACK_Z,
        Holding::Tape { .. } => THROUGH + SLACK_Z,
    };
    let low = lowest(motion);
    let by = check.setup.seat_z() - low;
    if by > allowed {
        findings.add(motion.line, Some(motion.to), Fault::Table { by });
    }
    for jaw in jaws.iter().filter(|jaw| low < jaw.top) {
        // The length is that of a move on a small machine, so the count is small.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let slant = (motion.length() / JAW_STEP).ceil().clamp(1.0, 1e5) as u32;
        let count = motion
            .chord_count(ARC_CHORD)
            .max(if motion.from[2] == motion.to[2] { 1 } else { slant });
        let mut from = motion.from;
        let mut worst = 0.0f64;
        for k in 1..=count {
            let to = motion.at(f64::from(k) / f64::from(count));
            let reach = reach_below(tool, jaw.top - from[2].min(to[2]));
            worst = worst.max(reach - distance([from[0], from[1]], [to[0], to[1]], jaw.plan));
            from = to;
        }
        if worst > TOUCH {
            findings.add(
                motion.line,
                Some(motion.to),
                Fault::Jaw {
                    what: jaw.name,
                    by: worst,
                },
            );
        }
    }
}

/// Greatest radius of the tool within `height` of its tip; less than nought when that is no height.
fn reach_below(tool: &Cutter, height: f64) -> f64 {
    if height <= 0.0 {
        return -1.0;
    }
    let mut inside = End::of(tool).radius_below(height);
    if height > tool.cutting_length {
        inside = inside.max(0.5 * tool.shank_diameter);
    }
    if height > tool.stick_out {
        inside = inside.max(0.5 * tool.collet_diameter);
    }
    inside
}

/// Distance in plan between a line and a rectangle; 0 when they meet.
fn distance(from: [f64; 2], to: [f64; 2], plan: [f64; 4]) -> f64 {
    // The part of the line within the rectangle, if there is any.
    let (mut enter, mut leave) = (0.0f64, 1.0f64);
    let mut apart = false;
    for axis in 0..2 {
        let step = to[axis] - from[axis];
        let (low, high) = (plan[axis] - from[axis], plan[axis + 2] - from[axis]);
        if step == 0.0 {
            apart |= low > 0.0 || high < 0.0;
        } else {
            enter = enter.max((low / step).min(high / step));
            leave = leave.min((low / step).max(high / step));
        }
    }
    if !apart && enter <= leave {
        return 0.0;
    }
    let to_plan = |p: [f64; 2]| {
        let off = |axis: usize| (plan[axis] - p[axis]).max(p[axis] - plan[axis + 2]).max(0.0);
        math::hypot(off(0), off(1))
    };
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let square = dx * dx + dy * dy;
    let to_line = |x: f64, y: f64| {
        let t = if square > 0.0 {
            ((x - from[0]) * dx + (y - from[1]) * dy) / square
        } else {
            0.0
        }
        .clamp(0.0, 1.0);
        math::hypot(from[0] + t * dx - x, from[1] + t * dy - y)
    };
    let corners = [(0, 1), (2, 1), (0, 3), (2, 3)].map(|(i, j)| to_line(plan[i], plan[j]));
    corners.iter().copied().fold(to_plan(from).min(to_plan(to)), f64::min)
}

/// Box of all places of the tip.
pub(super) fn bounds(motions: &[Motion]) -> Option<([f64; 3], [f64; 3])> {
    motions.first()?;
    let mut bounds = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for motion in motions {
        let count = motion.chord_count(crate::ARC_CHORD);
        for k in 0..=count {
            let at = motion.at(f64::from(k) / f64::from(count));
            bounds.0 = [0, 1, 2].map(|axis| bounds.0[axis].min(at[axis]));
            bounds.1 = [0, 1, 2].map(|axis| bounds.1[axis].max(at[axis]));
        }
    }
    Some(bounds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::CutterShape;
    use crate::testbed::cutter;

    #[test]
    fn distances_to_a_rectangle() {
        let plan = [0.0, 0.0, 4.0, 2.0];
        assert_eq!(distance([-1.0, 1.0], [5.0, 1.0], plan), 0.0);
        assert_eq!(distance([1.0, 1.0], [2.0, 1.5], plan), 0.0);
        assert_eq!(distance([1.0, 5.0], [2.0, 5.0], plan), 3.0);
        assert_eq!(distance([7.0, 6.0], [7.0, 6.0], plan), 5.0);
        // Past a corner, at 45 degrees.
        assert!((distance([4.0, 4.0], [6.0, 2.0], plan) - 2f64.sqrt()).abs() < 1e-12);
    }

    /// A short move that only grazes what stands, between two that skim a wall deep down: it is no wider than they are.
    #[test]
    fn a_short_move_is_as_wide_as_its_neighbours() {
        let mut x = 0.0;
        let motions = [1.2, 0.003, 0.9].map(|long| {
            let from = [x, 0.0, -1.0];
            x += long;
            Motion {
                from,
                to: [x, 0.0, -1.0],
                kind: MotionKind::Line,
                feed: 600.0,
                spindle: 12_000.0,
                tool: 1,
                line: 1,
            }
        });
        let met = [(1.2, 1.6), (0.003, 0.7), (0.9, 1.6)].map(|(long, depth)| Met {
            depth,
            volume: 0.25 * long * depth,
            ..Met::default()
        });
        for i in 0..motions.len() {
            assert!((section(&motions, &met, i).width - 0.25).abs() < 1e-12, "{i}");
        }
    }

    #[test]
    fn reach_grows_with_height() {
        let mut tool = cutter(1, CutterShape::Ball, 3.0);
        tool.shank_diameter = 6.0;
        assert!(reach_below(&tool, 0.0) < 0.0);
        assert!((reach_below(&tool, 0.5) - (2.25f64 - 1.0).sqrt()).abs() < 1e-9);
        assert_eq!(reach_below(&tool, 5.0), 1.5);
        assert_eq!(reach_below(&tool, 10.5), 3.0);
        assert_eq!(reach_below(&tool, 20.5), 9.0);
    }
}
