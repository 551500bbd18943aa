//! Motions as straight pieces with a tool, ready to sweep.

use super::map::{ARC_CHORD, JOIN, TOUCH};
use super::sweep::{Patch, Sweep, Taken};
use crate::end::End;
use crate::program::axes;
use crate::{Cutter, Motion, MotionKind};
use numerics::math;

/// Room given to shank and collet, so that a wall just cut is no contact, mm.
const SLACK: f64 = 0.01;
/// Overlap of two pieces in line, against rounding, mm.
const OVERLAP: f64 = 1e-9;
/// Shorter in plan than this is straight up or down, mm.
const UPRIGHT: f64 = 1e-9;

/// Which part of the tool a piece sweeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ToolPart {
    /// The cutting edges, which take material.
    Edges,
    /// The shank above them, which only meets it.
    Shank,
    /// The collet.
    Collet,
}

/// A straight piece of a motion.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// Its motion.
    pub motion: usize,
    /// Part of the tool.
    pub part: ToolPart,
    sweep: Sweep,
    /// Start in plan, direction in plan.
    start: [f64; 2],
    along: [f64; 2],
    /// Reach to the side.
    radius: f64,
    /// One over the components of the direction.
    inverse: [f64; 2],
    /// First and last place along the direction where a cell may be lowered.
    span: (f64, f64),
}

impl Piece {
    /// Least and greatest y that it may lower.
    #[inline(always)]
    pub fn y_range(&self) -> (f64, f64) {
        let side = self.radius * self.along[0].abs();
        let (a, b) = (self.span.0 * self.along[1], self.span.1 * self.along[1]);
        (self.start[1] + a.min(b) - side, self.start[1] + a.max(b) + side)
    }

    /// Least and greatest x that it may lower anywhere.
    pub fn x_reach(&self) -> (f64, f64) {
        let side = self.radius * self.along[1].abs();
        let (a, b) = (self.span.0 * self.along[0], self.span.1 * self.along[0]);
        (self.start[0] + a.min(b) - side, self.start[0] + a.max(b) + side)
    }

    /// Least and greatest x that it may lower at `y`.
    #[inline(always)]
    pub fn x_range(&self, y: f64) -> Option<(f64, f64)> {
        let dy = y - self.start[1];
        // Both the place along the piece and the place to its side are linear in x.
        let along = between(self.inverse[0], self.along[1] * dy, self.span.0, self.span.1)?;
        let side = between(-self.inverse[1], self.along[0] * dy, -self.radius, self.radius)?;
        let (low, high) = (along.0.max(side.0), along.1.min(side.1));
        (low <= high).then_some((self.start[0] + low, self.start[0] + high))
    }

    /// One range of x for all rows from `y0` to `y1`, where that takes no more than `spare` mm beyond any row's own.
    #[inline(always)]
    pub fn x_shared(&self, y0: f64, y1: f64, spare: f64) -> Option<(f64, f64)> {
        let along = |y: f64| {
            between(
                self.inverse[0],
                self.along[1] * (y - self.start[1]),
                self.span.0,
                self.span.1,
            )
        };
        let (a, b) = (along(y0)?, along(y1)?);
        let shared = (a.0.min(b.0), a.1.max(b.1));
        let wide = (a.1 - a.0) + spare;
        (shared.1 - shared.0 <= wide && wide.is_finite())
            .then_some((self.start[0] + shared.0, self.start[0] + shared.1))
    }

    /// Lowers a patch of cells and adds what was (or would be) taken to `taken`.
    #[inline(always)]
    pub fn lower(&self, patch: Patch, taken: &mut Taken) {
        let [dx, dy] = [0, 1].map(|axis| patch.at[axis] - self.start[axis]);
        let [ux, uy] = self.along;
        let cell = patch.cell;
        let s = [ux * dx + uy * dy, ux * cell, uy * cell];
        let p = [ux * dy - uy * dx, -uy * cell, ux * cell];
        if self.part == ToolPart::Edges {
            self.sweep.lower::<true>(patch, s, p, taken);
        } else {
            self.sweep.lower::<false>(patch, s, p, taken);
        }
    }
}

/// Range of x where `low <= x / inverse + offset <= high`.
#[inline(always)]
fn between(inverse: f64, offset: f64, low: f64, high: f64) -> Option<(f64, f64)> {
    if inverse.abs() > 1e12 {
        return (low <= offset && offset <= high).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (a, b) = ((low - offset) * inverse, (high - offset) * inverse);
    Some(if a < b { (a, b) } else { (b, a) })
}

/// A straight bit of path.
struct Chord {
    motion: usize,
    tool: usize,
    from: [f64; 3],
    to: [f64; 3],
    rapid: bool,
}

impl Chord {
    fn step(&self) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.to[axis] - self.from[axis])
    }

    fn plan_length(&self) -> f64 {
        let [dx, dy, _] = self.step();
        math::hypot(dx, dy)
    }
}

/// The pieces of all motions, in order.
pub(super) fn pieces(motions: &[Motion], tools: &[&Cutter], cell: f64, top: f64) -> Vec<Piece> {
    let chords = chords(motions, tools);
    let profiles: Vec<End> = tools.iter().map(|tool| End::of(tool)).collect();
    let joins: Vec<Option<f64>> = chords
        .windows(2)
        .map(|pair| smooth(&pair[0], &pair[1], &profiles[pair[0].tool], cell))
        .collect();
    let mut pieces = Vec::with_capacity(chords.len());
    for (i, chord) in chords.iter().enumerate() {
        let tool = tools[chord.tool];
        let low = chord.from[2].min(chord.to[2]);
        let mut blind = |part, above: f64, diameter: f64| {
            if low + above < top - TOUCH {
                let profile = End::Flat(0.5 * diameter - SLACK);
                pieces.push(piece(chord, part, above, profile, Ends { lead: None, tail: None }));
            }
        };
        blind(ToolPart::Collet, tool.stick_out, tool.collet_diameter);
        blind(
            ToolPart::Shank,
            tool.cutting_length,
            tool.shank_diameter.max(tool.diameter),
        );
        if low < top {
            let mut ends = Ends {
                lead: i.checked_sub(1).and_then(|before| joins[before]),
                tail: joins.get(i).copied().flatten(),
            };
            // A cap at the start is the cap at the end of the piece before, unless nothing went before it.
            let swept = i > 0 && continues(&chords[i - 1], chord) && chords[i - 1].to[2] < top;
            if swept && profiles[chord.tool].joins(slope(chord)) {
                ends.lead = ends.lead.or(Some(0.0));
            }
            pieces.push(piece(chord, ToolPart::Edges, 0.0, profiles[chord.tool], ends));
        }
    }
    pieces
}

fn slope(chord: &Chord) -> f64 {
    let length = chord.plan_length();
    if length < UPRIGHT {
        0.0
    } else {
        chord.step()[2] / length
    }
}

/// Whether a chord goes on from the end of another, with the same tool.
fn continues(a: &Chord, b: &Chord) -> bool {
    a.tool == b.tool && a.to == b.from
}

/// How a piece meets its neighbours: how far past its end it has to answer for the wedge between the two, mm; `None` for a
/// cap of its own.
#[derive(Clone, Copy)]
struct Ends {
    lead: Option<f64>,
    tail: Option<f64>,
}

/// How far two pieces have to overlap to fill the wedge between them, where they join so smoothly that they may do without
/// a cap.
fn smooth(a: &Chord, b: &Chord, profile: &End, cell: f64) -> Option<f64> {
    if !continues(a, b) || a.rapid != b.rapid || a.plan_length() < UPRIGHT || b.plan_length() < UPRIGHT {
        return None;
    }
    if !(profile.joins(slope(a)) && profile.joins(slope(b))) {
        return None;
    }
    let (u, v) = (a.step(), b.step());
    let dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    let cross = [
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ];
    let turn = cross.iter().map(|c| c * c).sum::<f64>().sqrt() / dot;
    let wedge = profile.radius() * turn;
    // Past its end a piece runs on straight, off the next by no more than wedge times turn.
    (dot > 0.0 && wedge < cell && wedge * turn < JOIN).then_some(wedge + OVERLAP)
}

fn piece(chord: &Chord, part: ToolPart, above: f64, profile: End, ends: Ends) -> Piece {
    let radius = profile.radius().max(0.0);
    let length = chord.plan_length();
    let upright = length < UPRIGHT;
    let [dx, dy, dz] = chord.step();
    let slope = slope(chord);
    let (along, length, z) = if upright {
        ([1.0, 0.0], 0.0, chord.from[2] + dz.min(0.0))
    } else {
        ([dx / length, dy / length], length, chord.from[2])
    };
    let ends = if upright { Ends { lead: None, tail: None } } else { ends };
    let shift = profile.most_ahead(slope);
    let lead = ends.lead.map_or(-radius, |wedge| (shift.min(0.0) - wedge).max(-radius));
    let tail = ends.tail.map_or(radius, |wedge| (shift.max(0.0) + wedge).min(radius));
    let strip = ends.lead.zip(ends.tail).map(|(lead, tail)| (-lead, length + tail));
    Piece {
        motion: chord.motion,
        part,
        sweep: Sweep::new(profile, z + above, slope, length, strip),
        start: [chord.from[0], chord.from[1]],
        along,
        inverse: along.map(|a| 1.0 / a),
        radius,
        span: (lead, length + tail),
    }
}

/// Straight bits of all motions whose tools are known.
fn chords(motions: &[Motion], tools: &[&Cutter]) -> Vec<Chord> {
    let mut chords = Vec::with_capacity(motions.len());
    for (index, motion) in motions.iter().enumerate() {
        let Some(tool) = tools.iter().position(|tool| tool.number == motion.tool) else {
            continue;
        };
        let mut from = motion.from;
        let count = motion.chord_count(ARC_CHORD);
        for k in 1..=count {
            let to = if k == count {
                motion.to
            } else {
                motion.at(k as f64 / count as f64)
            };
            chords.push(Chord {
                motion: index,
                tool,
                from,
                to,
                rapid: motion.kind == MotionKind::Rapid,
            });
            from = to;
        }
    }
    chords
}

impl Motion {
    /// Place of the tip at a share of the way, from 0 to 1, mm.
    #[must_use]
    pub fn at(&self, share: f64) -> [f64; 3] {
        let mut at = [0, 1, 2].map(|axis| self.from[axis] + share * (self.to[axis] - self.from[axis]));
        if let MotionKind::Arc {
            plane,
            centre,
            clockwise,
            turn,
        } = self.kind
        {
            let (a, b, _) = axes(plane);
            let (da, db) = (self.from[a] - centre[a], self.from[b] - centre[b]);
            // The radius runs from its start to its end, which the standard lets differ a little.
            let grow =
                1.0 + share * (math::hypot(self.to[a] - centre[a], self.to[b] - centre[b]) / math::hypot(da, db) - 1.0);
            let (sin, cos) = math::sin_cos(if clockwise { -share * turn } else { share * turn });
            at[a] = centre[a] + grow * (da * cos - db * sin);
            at[b] = centre[b] + grow * (da * sin + db * cos);
        }
        at
    }

    /// How many chords keep within `tolerance` mm of the motion; 1 for a straight one.
    #[must_use]
    pub fn chord_count(&self, tolerance: f64) -> u32 {
        let MotionKind::Arc {
            plane, centre, turn, ..
        } = self.kind
        else {
            return 1;
        };
        let (a, b, _) = axes(plane);
        let radius = math::hypot(self.from[a] - centre[a], self.from[b] - centre[b]);
        // Sagitta: tolerance = radius (1 - cos(step/2)).
        let step = 2.0 * math::acos((1.0 - tolerance / radius).clamp(-1.0, 1.0));
        // A turn is at most a full circle, so the count is small.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = (turn / step.max(1e-4)).ceil().clamp(1.0, 1e5) as u32;
        count.max(4)
    }

    /// Length of the path, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        let step = [0, 1, 2].map(|axis| self.to[axis] - self.from[axis]);
        match self.kind {
            MotionKind::Arc {
                plane, centre, turn, ..
            } => {
                let (a, b, square) = axes(plane);
                let radius = math::hypot(self.from[a] - centre[a], self.from[b] - centre[b]);
                math::hypot(radius * turn, step[square])
            }
            _ => step.iter().map(|d| d * d).sum::<f64>().sqrt(),
        }
    }
}
