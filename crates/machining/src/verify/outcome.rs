//! What is left, against the surface wanted.

mod walls;

use numerics::math;
use std::sync::LazyLock;

use rayon::prelude::*;

use super::check::Check;
use super::finding::{Fault, Findings};
use crate::simulate::{probe, saw};
use crate::{Cutter, Grid, HeightMap, Motion, SetupKind, Target};

/// Directions in which the neighbourhood of a place is looked at.
const DIRECTIONS: usize = 16;
/// Their sines and cosines, asked for at every cell.
static COMPASS: LazyLock<[(f64, f64); DIRECTIONS]> =
    LazyLock::new(|| std::array::from_fn(|k| math::sin_cos(std::f64::consts::TAU * k as f64 / DIRECTIONS as f64)));
/// Distances beside a wall are found to this, mm.
const SQUARE: f64 = 0.000_1;
/// Lowered by less than this is not cut, mm.
const UNTOUCHED: f64 = 1e-9;

/// How far the material left is from the surface wanted, mm: above it is positive. Measured straight up and down, beside a wall
/// square to it. Not a number outside the part.
#[derive(Debug, Clone, PartialEq)]
pub struct Deviation {
    /// Its cells.
    pub grid: Grid,
    /// A value for each cell, rows along x.
    pub values: Vec<f64>,
    /// Deepest below the surface, mm, as a positive number.
    pub gouge: f64,
    /// Highest above it, mm, but for `unreached`.
    pub excess: f64,
    /// Highest above it where the cutters of the setup do not reach, by their shape alone, mm; 0 for none.
    pub unreached: f64,
}

impl Deviation {
    /// In plain words: micrometres, written as `unit`.
    #[must_use]
    pub fn words(&self, unit: &str) -> String {
        let micrometres = |mm: f64| (1000.0 * mm).round() + 0.0;
        let mut words = format!(
            "at most {:.0} {unit} too deep, {:.0} {unit} left over",
            micrometres(self.gouge),
            micrometres(self.excess)
        );
        if self.unreached > 0.0 {
            words += &format!(
                "; {:.0} {unit} left in inner corners, out of the ball's reach: take that off by hand",
                micrometres(self.unreached)
            );
        }
        words
    }
}

/// A place that is wrong.
#[derive(Clone, Copy)]
struct Spot {
    amount: f64,
    place: [f64; 3],
}

/// What one row of cells comes to.
struct Row {
    values: Vec<f64>,
    gouge: Option<Spot>,
    excess: Option<Spot>,
    uncut: usize,
    short: f64,
    /// Highest above the part, without and within what is out of reach.
    most: f64,
    unreached: f64,
}

pub(super) fn judge(
    motions: &[Motion],
    tools: &[&Cutter],
    start: &HeightMap,
    left: &HeightMap,
    check: &Check,
    findings: &mut Findings,
) -> Deviation {
    let grid = left.grid;
    let rows: Vec<Row> = (0..grid.count[1])
        .into_par_iter()
        .map(|j| row(j, start, left, check))
        .collect();
    let worst = |of: fn(&Row) -> Option<Spot>| {
        rows.iter()
            .filter_map(of)
            .reduce(|a, b| if b.amount > a.amount { b } else { a })
    };
    let (gouge, excess) = (worst(|r| r.gouge), worst(|r| r.excess));
    let last_line = motions.last().map_or(1, |m| m.line);
    let limits = &check.limits;

    let place = |spot: &Spot| Some(check.setup.from_map(spot.place));
    if let Some(spot) = gouge {
        let [x, y, z] = spot.place;
        let top = start.near(x, y).unwrap_or(z);
        let below = z + spot.amount - limits.gouge;
        let probed = match check.setup.kind {
            SetupKind::OnEnd => sawn([x, y], below, motions, tools, start, check),
            SetupKind::OnEdge | SetupKind::Flat => {
                let probes = probe(&[([x, y], top, below)], motions, tools, limits.cell);
                probes.first().and_then(|p| p.first)
            }
        };
        let line = probed.and_then(|i| motions.get(i)).map_or(last_line, |m| m.line);
        let (depth, limit) = (spot.amount, limits.gouge);
        findings.add(line, place(&spot), Fault::Gouge { depth, limit });
    }
    let short = rows.iter().map(|r| r.short).fold(0.0, f64::max);
    if short > limits.gouge {
        findings.add(1, None, Fault::StockLow { by: short });
    }
    if check.last {
        let uncut: usize = rows.iter().map(|r| r.uncut).sum();
        if uncut > 0 {
            let area = uncut as f64 * grid.cell * grid.cell;
            findings.add(last_line, None, Fault::Uncut { area });
        }
        if let Some(spot) = excess {
            let (height, limit) = (spot.amount, limits.excess);
            findings.add(last_line, place(&spot), Fault::Excess { height, limit });
        }
    }
    let beside = walls::judge(motions, tools, start, check, last_line, findings);

    let unreached = rows.iter().map(|r| r.unreached).fold(0.0, f64::max);
    let most = rows.iter().map(|r| r.most).fold(0.0, f64::max);
    let values: Vec<f64> = rows.into_iter().flat_map(|r| r.values).collect();
    let least = values.iter().copied().filter(|v| v.is_finite()).fold(0.0, f64::min);
    Deviation {
        grid,
        values,
        gouge: least.abs().max(beside.0),
        excess: most.max(beside.1),
        unreached,
    }
}

/// The first motion of a saw that brought a place below a height.
fn sawn(
    [x, y]: [f64; 2],
    below: f64,
    motions: &[Motion],
    tools: &[&Cutter],
    start: &HeightMap,
    check: &Check,
) -> Option<usize> {
    let mut map = start.clone();
    (0..motions.len()).find(|i| {
        saw(&mut map, &motions[*i..=*i], tools, check.setup);
        map.near(x, y).is_some_and(|height| height < below)
    })
}

fn row(j: usize, start: &HeightMap, left: &HeightMap, check: &Check) -> Row {
    let (target, limits) = (check.target, &check.limits);
    let mut row = Row {
        values: Vec::with_capacity(left.grid.count[0]),
        gouge: None,
        excess: None,
        uncut: 0,
        short: 0.0,
        most: 0.0,
        unreached: 0.0,
    };
    let worse = |spot: &mut Option<Spot>, amount: f64, place: [f64; 3]| {
        if spot.is_none_or(|s| amount > s.amount) {
            *spot = Some(Spot { amount, place });
        }
    };
    for i in 0..left.grid.count[0] {
        let [x, y] = left.grid.centre(i, j);
        let (z, before) = (left.at(i, j), start.at(i, j));
        let place = [x, y, z];
        let Some(wanted) = target.height(x, y) else {
            row.values.push(f64::NAN);
            let high = target.kerf(x, y).filter(|floor| z > floor + limits.excess);
            if let Some(floor) = high
                && !near_part(target, x, y, limits.excess)
            {
                if before - z < UNTOUCHED {
                    row.uncut += 1;
                } else {
                    worse(&mut row.excess, z - floor, place);
                }
            }
            continue;
        };
        // Measured square to the surface: beside a wall that the program before went along, a hair's breadth is its whole height.
        if wanted - before > limits.gouge && is_gouge(target, x, y, before, limits.gouge) {
            row.short = row.short.max(wanted - before);
        }
        // What was short from the start is not this program's doing.
        let deviation = z - wanted.min(before);
        let mut shown = deviation;
        let mut reached = true;
        if deviation < -limits.gouge {
            if is_gouge(target, x, y, z, limits.gouge) {
                worse(&mut row.gouge, -deviation, place);
            } else {
                shown = -square(limits.gouge, |within| is_gouge(target, x, y, z, within));
            }
        } else if deviation > limits.excess {
            if !far_above(target, x, y, z - wanted, limits.excess) && !is_excess(target, x, y, z, limits.excess) {
                shown = square(limits.excess, |within| is_excess(target, x, y, z, within));
            } else if check.last && deviation <= limits.excess + target.unreached(x, y) {
                row.unreached = row.unreached.max(deviation);
                reached = false;
            } else if before - z < UNTOUCHED {
                row.uncut += 1;
            } else {
                worse(&mut row.excess, deviation, place);
            }
        }
        if reached {
            row.most = row.most.max(shown);
        }
        row.values.push(shown);
    }
    row
}

/// Places around `(x, y)` within `limit`, with the height that a ball of that radius reaches over each.
fn around(x: f64, y: f64, limit: f64) -> impl Iterator<Item = ([f64; 2], f64)> {
    [0.5, 0.95].into_iter().flat_map(move |share| {
        let r = share * limit;
        let height = (limit * limit - r * r).sqrt();
        COMPASS
            .iter()
            .map(move |(sin, cos)| ([x + r * cos, y + r * sin], height))
    })
}

/// Whether a place below the part is farther than `limit` from its surface, measured square to it and not down: beside a
/// wall a hair's breadth is the whole height.
fn is_gouge(target: &dyn Target, x: f64, y: f64, z: f64, limit: f64) -> bool {
    around(x, y, limit).all(|([x, y], height)| target.height(x, y).is_some_and(|t| t - height > z))
}

/// Distance from the surface, measured square to it, of a place beside a wall that is nearer than `limit`: the least at which
/// the place is not `farther`.
fn square(limit: f64, farther: impl Fn(f64) -> bool) -> f64 {
    let (mut inside, mut outside) = (0.0, limit);
    while outside - inside > SQUARE {
        let middle = 0.5 * (inside + outside);
        if farther(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    0.5 * (inside + outside)
}

/// Whether a place `above` the surface is farther than `limit` from it by its steepness alone; if not, [`is_excess`] tells.
fn far_above(target: &dyn Target, x: f64, y: f64, above: f64, limit: f64) -> bool {
    // In `around` the surface rises by no more than slope times limit, and a ball by no more than limit.
    target
        .steepest_near(x, y, limit)
        .is_some_and(|slope| above > (1.0 + slope) * limit + UNTOUCHED)
}

/// Whether a place above the part is farther than `limit` from its surface.
fn is_excess(target: &dyn Target, x: f64, y: f64, z: f64, limit: f64) -> bool {
    around(x, y, limit).all(|([x, y], height)| {
        let top = target
            .height(x, y)
            .or_else(|| target.kerf(x, y))
            .unwrap_or(f64::INFINITY);
        top + height < z
    })
}

fn near_part(target: &dyn Target, x: f64, y: f64, limit: f64) -> bool {
    around(x, y, limit).any(|([x, y], _)| target.height(x, y).is_some())
}
