//! Lower envelope of a cutter swept along a straight line.
//!
//! A place beside the line is given by `s` along its plan and `p` to its side. With the tip at `t` along the plan, at height
//! `z + m t` (m: slope), the cutter's surface over the place is `z + m t + g(r)`, `r^2 = p^2 + (s - t)^2`, g the cutter's
//! end. The end is convex, so this is convex in t, and the least over `0 <= t <= length` is at the unbounded minimum held
//! within the bounds. At it, `w = s - t` satisfies `g'(r) w / r = m`; every end but the rounded corner solves that in
//! closed form.

use numerics::math;
use std::ops::Range;

use crate::end::{End, LEVEL};

/// Cells worked on side by side.
pub(super) const LANES: usize = 8;
/// A cell's place on the rim counts as on it within this, mm2.
const RIM: f64 = 1e-12;

/// Cells to lower: the same columns of some whole rows.
pub(super) struct Patch<'a> {
    /// The rows.
    pub cells: &'a mut [f64],
    /// Cells in a row.
    pub width: usize,
    /// Columns to lower.
    pub columns: Range<usize>,
    /// Centre of the first cell to lower, mm.
    pub at: [f64; 2],
    /// Side of a cell, mm.
    pub cell: f64,
}

/// What rows of cells were (or would be) lowered by, lane by lane; lanes are added up in a fixed order.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Taken {
    depth: [f64; LANES],
    sum: [f64; LANES],
}

impl Taken {
    /// The most that a cell was lowered, mm.
    pub fn depth(&self) -> f64 {
        self.depth.iter().copied().fold(0.0, f64::max)
    }

    /// All cells together, mm.
    pub fn sum(&self) -> f64 {
        self.sum.iter().sum()
    }
}

/// A profile on a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sweep {
    profile: End,
    z: f64,
    m: f64,
    /// sqrt(1 + m^2).
    hyp: f64,
    length: f64,
    /// Places of the tip that a strip between two smooth joins answers for; `None` for a piece with a cap.
    strip: Option<(f64, f64)>,
}

impl Sweep {
    /// From height `z`, with slope `m` over `length` of plan.
    pub fn new(profile: End, z: f64, m: f64, length: f64, strip: Option<(f64, f64)>) -> Self {
        Self {
            profile,
            z,
            m,
            hyp: math::hypot(m, 1.0),
            length,
            strip,
        }
    }

    /// Lowers cells (only looks, unless `CUT`): `s` and `p` of the first, and their steps from cell to cell and from row
    /// to row.
    #[inline(always)]
    pub fn lower<const CUT: bool>(&self, patch: Patch, s: [f64; 3], p: [f64; 3], taken: &mut Taken) {
        let Self { z, m, hyp, length, .. } = *self;
        let level = m.abs() < LEVEL;
        match (self.profile, self.strip) {
            // Between two smooth joins the line counts as endless: `w` is then a fixed share of the chord's half, and one
            // root is enough.
            (End::Ball(radius), Some((first, last))) => {
                let (square, centre) = (radius * radius, z + radius);
                let share = m / hyp;
                each::<CUT>(patch, s, p, taken, |s, p| {
                    let half = (square - p * p).sqrt();
                    let t = s - share * half;
                    // Both are asked, and the height is made all the same: a branch would keep the lanes apart.
                    let low = centre + m * s - hyp * half;
                    if (first <= t) & (t <= last) { low } else { f64::INFINITY }
                })
            }
            (End::Ball(radius), None) if level => {
                let (square, centre) = (radius * radius, z + radius);
                each::<CUT>(patch, s, p, taken, |s, p| {
                    let w = s - held(s, length);
                    // Not a number beyond the radius, and so lowers nothing.
                    centre - (square - p * p - w * w).sqrt()
                })
            }
            (End::Ball(radius), None) => {
                let (square, centre) = (radius * radius, z + radius);
                let share = m / hyp;
                each::<CUT>(patch, s, p, taken, |s, p| {
                    let rest = square - p * p;
                    let t = held(s - share * rest.sqrt(), length);
                    let w = s - t;
                    centre + m * t - (rest - w * w).sqrt()
                })
            }
            (End::Flat(radius), _) => {
                let square = radius * radius;
                let lean = if level { 0.0 } else { 1f64.copysign(m) };
                each::<CUT>(patch, s, p, taken, |s, p| {
                    let rest = square - p * p;
                    let t = held(s - lean * rest.sqrt(), length);
                    let w = s - t;
                    if w * w <= rest + RIM { z + m * t } else { f64::NAN }
                })
            }
            (profile, _) => each::<CUT>(patch, s, p, taken, |s, p| {
                let rest = profile.radius() * profile.radius() - p * p;
                if rest < 0.0 {
                    return f64::NAN;
                }
                let w = if level { 0.0 } else { profile.ahead(p, m, rest.sqrt()) };
                let t = held(s - w, length);
                let w = s - t;
                if w * w <= rest + RIM {
                    z + m * t + profile.height((p * p + w * w).sqrt())
                } else {
                    f64::NAN
                }
            }),
        }
    }
}

/// Held within `0..=length`; comparisons that leave "not a number" alone.
#[inline(always)]
fn held(t: f64, length: f64) -> f64 {
    let t = if t < 0.0 { 0.0 } else { t };
    if t > length { length } else { t }
}

/// Takes the lesser of each cell and `low(s, p)`, in lanes, so that the compiler may use vectors.
#[inline(always)]
fn each<const CUT: bool>(
    patch: Patch,
    [s0, sx, sy]: [f64; 3],
    [p0, px, py]: [f64; 3],
    total: &mut Taken,
    low: impl Fn(f64, f64) -> f64,
) {
    let Taken { mut depth, mut sum } = *total;
    let mut number = 0.0;
    for row in patch.cells.chunks_exact_mut(patch.width) {
        let Some(row) = row.get_mut(patch.columns.clone()) else {
            return;
        };
        let (s, p) = (s0 + number * sy, p0 + number * py);
        number += 1.0;
        let mut first = 0.0;
        let mut chunks = row.chunks_exact_mut(LANES);
        for chunk in &mut chunks {
            for lane in 0..LANES {
                let k = first + lane as f64;
                let new = low(s + k * sx, p + k * px);
                let old = chunk[lane];
                let lowered = if new < old { new } else { old };
                let taken = old - lowered;
                if CUT {
                    chunk[lane] = lowered;
                }
                sum[lane] += taken;
                depth[lane] = if taken > depth[lane] { taken } else { depth[lane] };
            }
            first += LANES as f64;
        }
        for cell in chunks.into_remainder() {
            let new = low(s + first * sx, p + first * px);
            if new < *cell {
                let taken = *cell - new;
                sum[0] += taken;
                depth[0] = taken.max(depth[0]);
                if CUT {
                    *cell = new;
                }
            }
            first += 1.0;
        }
    }
    *total = Taken { depth, sum };
}
