//! Grooves that start the slots of a nut: which cutter fits into which slot, and how deep.
//!
//! A groove lies within the finished slot: its sides keep [`SIDE`] from the slot's walls up to the finished top, and its
//! bottom stays above the slot's floor. A gauged file does the rest; a slot as wide as a plain string has no cutter.

use super::Prism;
use crate::end::End;
use crate::{Cutter, Setup, SetupKind};
use numerics::math;
use nut::{NutPlan, NutString};

/// A groove keeps this from the walls of the finished slot, mm: the file cleans them.
pub const SIDE: f64 = 0.02;
/// Grooves that reach less than this below the finished top are left out, mm: they would not lead a file.
pub(crate) const SHALLOWEST: f64 = 0.04;
/// Places across a groove at which it is held against the round floor.
const ACROSS: u32 = 400;

/// One groove, on edge: a straight line of the tip (for a saw: of the teeth's lowest line) through the nut from face to face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Groove {
    /// String number.
    pub string: u32,
    /// Number of the cutter.
    pub tool: u32,
    /// Place over the front face: X, Y, height over the seat. mm.
    pub front: [f64; 3],
    /// Place over the back face.
    pub back: [f64; 3],
    /// From the finished top down to the groove's bottom, mm.
    pub depth: f64,
    /// From the groove's bottom down to the slot's floor at the bearing edge, mm: what the file takes.
    pub left: f64,
}

/// Why a slot has no groove.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The slot is too shallow or too narrow for every cutter named.
    NoRoom,
    /// The slot runs too much aslant for a saw.
    Aslant,
}

/// A slot without a groove.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// String number.
    pub string: u32,
    /// Width of the slot, mm.
    pub width: f64,
    /// Its depth below the finished top, mm.
    pub depth: f64,
    /// Why.
    pub why: Why,
}

/// Which slots have no groove, and why, in plain words: a sentence or two for each reason.
pub(crate) fn told(left: &[LeftOut]) -> Vec<String> {
    let of = |why: Why| -> Vec<&LeftOut> { left.iter().filter(|one| one.why == why).collect() };
    let slots = |these: &[&LeftOut]| {
        let each = these
            .iter()
            .map(|one| format!("{} ({:.2} mm wide, {:.2} mm deep)", one.string, one.width, one.depth));
        let each: Vec<String> = each.collect();
        let what = if these.len() == 1 { "string" } else { "strings" };
        format!("No groove for {what} {}", each.join(", "))
    };
    let reasons = [
        (
            Why::NoRoom,
            "no cutter of the job fits in far enough. Start with a fine saw or the file's edge at the line of the strip.",
        ),
        (
            Why::Aslant,
            "the slot runs too much aslant for a saw that goes straight across.",
        ),
    ];
    let groups = reasons.into_iter().map(|(why, words)| (of(why), words));
    groups
        .filter(|(these, _)| !these.is_empty())
        .map(|(these, words)| format!("{}: {words}", slots(&these)))
        .collect()
}

/// The grooves of a nut in `setup` (on edge or on end; its stock is the nut, see [`outlined`](crate::outlined())), bass to
/// treble, each with the cutter that goes deepest; and the slots that get none.
#[must_use]
pub fn grooves(plan: &NutPlan, prism: &Prism, setup: &Setup) -> (Vec<Groove>, Vec<LeftOut>) {
    let leave = setup.groove_leave.max(plan.proud);
    let (mut made, mut left) = (Vec::new(), Vec::new());
    for s in &plan.strings {
        let fits = setup.groovers().filter_map(|cutter| {
            let line = Line::of(plan, prism, s, setup.kind)?;
            let above = line.lowest(cutter, s, leave);
            let depth = s.depth - above;
            (depth >= SHALLOWEST).then(|| line.groove(s, cutter, above))
        });
        match fits.reduce(|a, b| if b.depth > a.depth { b } else { a }) {
            Some(groove) => made.push(groove),
            None => left.push(LeftOut {
                string: s.number,
                width: s.width,
                depth: s.depth,
                why: if setup.kind == SetupKind::OnEnd && aslant(plan, s) > 0.25 * s.width {
                    Why::Aslant
                } else {
                    Why::NoRoom
                },
            }),
        }
    }
    (made, left)
}

/// How far a slot strays to the side from a line straight across the nut, mm, on either side of its middle.
fn aslant(plan: &NutPlan, s: &NutString) -> f64 {
    0.5 * plan.blank.thickness * math::tan(s.fan).abs()
}

/// Where the tip goes, the floor's own height taken as its height.
struct Line {
    front: [f64; 3],
    back: [f64; 3],
    /// Stray of the slot from this line to either side, mm.
    stray: f64,
    /// How much lower the slot's floor lies beside this line than under it, mm per mm, because the file goes aslant.
    skew: f64,
    kind: SetupKind,
}

impl Line {
    fn of(plan: &NutPlan, prism: &Prism, s: &NutString, kind: SetupKind) -> Option<Self> {
        let thickness = plan.blank.thickness;
        let at = |b: f64, of: f64| {
            let u = s.u + math::tan(s.fan) * (of - s.b);
            [prism.x(u), -b, s.floor_at(plan.fall, b)]
        };
        let middle = 0.5 * thickness;
        let skew = math::sin(s.fan).abs() * math::tan(plan.fall).abs();
        let (front, back, stray, skew) = match kind {
            SetupKind::OnEdge => (at(0.0, 0.0), at(thickness, thickness), 0.0, 0.0),
            SetupKind::OnEnd => (at(0.0, middle), at(thickness, middle), aslant(plan, s), skew),
            SetupKind::Flat => return None,
        };
        Some(Self {
            front,
            back,
            stray,
            skew,
            kind,
        })
    }

    /// Rise of the line along its way, no unit.
    fn slope(&self) -> f64 {
        let [dx, dy, dz] = [0, 1, 2].map(|i| self.back[i] - self.front[i]);
        dz / math::hypot(dx, dy)
    }

    /// Least height of the groove's bottom over the slot's floor at which the groove lies within the slot, mm.
    fn lowest(&self, cutter: &Cutter, s: &NutString, leave: f64) -> f64 {
        let end = End::of(cutter);
        let half = 0.5 * s.width;
        let wall = half - SIDE;
        let reach = match self.kind {
            SetupKind::OnEnd => 0.5 * cutter.cutting_length + self.stray,
            _ => cutter.radius(),
        };
        let section = |p: f64| match self.kind {
            SetupKind::OnEnd => 0.0,
            _ => end.swept(self.slope(), p) - end.swept(self.slope(), 0.0),
        };
        if wall <= 0.0 {
            return f64::INFINITY;
        }
        let floor = |p: f64| half - (half * half - p * p).max(0.0).sqrt();
        let widest = reach.min(wall);
        let over = (0..=ACROSS).map(|i| {
            let p = widest * f64::from(i) / f64::from(ACROSS);
            floor(p) + leave + reach * self.skew - section(p)
        });
        let over = over.fold(leave, f64::max);
        if reach > wall {
            // Beyond the wall nothing of the cutter may lie below the finished top.
            over.max(s.depth - section(wall))
        } else {
            over
        }
    }

    fn groove(&self, s: &NutString, cutter: &Cutter, above: f64) -> Groove {
        let lift = match self.kind {
            SetupKind::OnEnd => above,
            // On its way down a round or flat end reaches lower than its tip.
            _ => above - End::of(cutter).swept(self.slope(), 0.0),
        };
        let up = |[x, y, z]: [f64; 3]| [x, y, z + lift];
        Groove {
            string: s.number,
            tool: cutter.number,
            front: up(self.front),
            back: up(self.back),
            depth: s.depth - above,
            left: above,
        }
    }
}
