//! Roughing on edge: levels with a flat cutter, from both faces inward.

use super::way::{GAP, Way, levels};
use super::{PassError, Toolpath, round};
use crate::jaws::{OVER_JAW, jaw_top};
use crate::surface::RoundEnd;
use crate::{CutterShape, Locator, Setup, Surface, feeds};

/// Step along a lane at which the location is asked, mm.
const STEP: f64 = 0.1;
/// Points nearer to a straight line than this are left out, mm; far less than any allowance.
const STRAIGHT: f64 = 0.002;
/// Stretches of air shorter than this are crossed at the feed, mm: up and down again takes longer.
const SHORT_AIR: f64 = 12.0;
/// Parts across the blank in which what is left is looked at.
const ACROSS: u32 = 24;
/// Material thinner than this is no reason for a pass, mm.
const NOTHING: f64 = 1e-6;

/// One lane: y, direction, and the lowest that the tip may stand at each x.
struct Lane {
    y: f64,
    forward: bool,
    low: Vec<f64>,
}

/// What stands while a level is cut.
struct Stands<'a> {
    lanes: &'a [Lane],
    xs: &'a [f64],
    /// The level before.
    before: f64,
    /// Highest that the stock stands within the cutter's reach along X, at each x, mm.
    raw: &'a [f64],
    /// How far a cutter reaches along X from its axis, and one step of the lanes, mm.
    reach: f64,
}

impl Stands<'_> {
    /// A height that nothing reaches between two X, the cutter's breadth included, mm.
    fn clear(&self, a: f64, b: f64) -> f64 {
        let (from, to) = (a.min(b) - self.reach, a.max(b) + self.reach);
        let first = self.xs.partition_point(|x| *x < from);
        let last = self.xs.partition_point(|x| *x <= to);
        let low = self.lanes.iter().flat_map(|lane| &lane.low[first..last]);
        GAP + low.copied().fold(self.before, f64::max)
    }
}

/// Runs of several lanes, in the order of the lanes, that lie beside each other, and the first and last point of them all.
struct Place {
    runs: Vec<(usize, (usize, usize))>,
    first: usize,
    last: usize,
}

/// Where there is something to cut on a level. Between two places the cutter goes through the air, so each is cut whole before the next.
fn places(stands: &Stands, level: f64, stock: (f64, f64)) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    for (i, lane) in stands.lanes.iter().enumerate() {
        for run in runs(lane, stands, level, stock) {
            let apart = |p: &Place| {
                stands.xs[p.first] - stands.xs[run.1] > stands.reach
                    || stands.xs[run.0] - stands.xs[p.last] > stands.reach
            };
            let (mut kept, beside): (Vec<Place>, Vec<Place>) = places.into_iter().partition(apart);
            let mut place = Place {
                runs: vec![(i, run)],
                first: run.0,
                last: run.1,
            };
            for other in beside {
                place.runs.extend(other.runs);
                place.first = place.first.min(other.first);
                place.last = place.last.max(other.last);
            }
            place.runs.sort_by_key(|(lane, run)| {
                let along = if stands.lanes[*lane].forward {
                    run.0
                } else {
                    stands.xs.len() - run.0
                };
                (*lane, along)
            });
            kept.push(place);
            places = kept;
        }
    }
    // Of two places as near, the one with the lower X.
    places.sort_by_key(|p| p.first);
    places
}

/// Number of the place whose nearer end is nearest to `at` along X.
fn nearest(places: &[Place], xs: &[f64], at: Option<[f64; 3]>) -> Option<usize> {
    let x = at.map_or(xs[0], |at| at[0]);
    let off = |p: &Place| (xs[p.first] - x).abs().min((xs[p.last] - x).abs());
    (0..places.len()).min_by(|a, b| off(&places[*a]).total_cmp(&off(&places[*b])))
}

/// The roughing, and the most that it leaves over the finished top, mm.
pub(super) fn path(surface: &Surface, setup: &Setup, notes: &mut Vec<String>) -> Result<(Toolpath, f64), PassError> {
    let cutter = &setup.rougher;
    if cutter.shape != CutterShape::Flat {
        return Err(PassError::Rougher {
            cutter: cutter.name.clone(),
        });
    }
    let step = setup.material.step_down * cutter.diameter;
    let feeds = feeds(cutter, &setup.material, &setup.machine, setup.spindle, step)?;
    let radius = cutter.radius();
    let beyond = radius + GAP;
    let (start, end) = (-beyond, surface.stock_length() + beyond);
    let count = ((end - start) / STEP).ceil().max(1.0);
    let xs: Vec<f64> = (0..)
        .map(f64::from)
        .take_while(|i| *i <= count)
        .map(|i| start + (end - start) * i / count)
        .collect();
    let lanes = lanes(surface, setup, &xs);
    let lowest = lanes
        .iter()
        .flat_map(|lane| lane.low.iter())
        .filter(|z| z.is_finite())
        .fold(f64::INFINITY, |a, b| a.min(*b));
    // Rims of rounded ends let a lane down to nothing; the crown at its faces is what levels go down to.
    let lowest = lowest.max(face_low(surface) + setup.rough_allowance);
    if let Some(jaw) = jaw_top(setup)
        && lowest < jaw + OVER_JAW
    {
        return Err(PassError::Jaws { lowest, jaw });
    }
    let top = setup.raw_top();
    let raw = raw(surface, &xs, top, radius + STEP);
    let mut way = Way::new(setup, &feeds);
    let mut before = top;
    if lowest < top - NOTHING {
        for level in levels(top, lowest, step) {
            let stands = Stands {
                lanes: &lanes,
                xs: &xs,
                before,
                raw: &raw,
                reach: radius + STEP,
            };
            let mut places = places(&stands, level, (start + GAP, end - GAP));
            while let Some(next) = nearest(&places, &xs, way.at()) {
                for (lane, run) in places.remove(next).runs {
                    cut(&mut way, &stands, &lanes[lane], run, level);
                }
            }
            before = level;
        }
    }
    if surface.round_ends() {
        let tops = surface
            .round_cuts()
            .iter()
            .fold([f64::NEG_INFINITY; 2], |mut tops, end| {
                tops[usize::from(end.far)] = stands(&lanes, &xs, lowest, end);
                tops
            });
        round::ends(&mut way, surface, setup, tops, notes);
    }
    let left = left(surface, setup, &lanes, &xs, lowest);
    Ok((way.finish("rough the crown", cutter), left))
}

/// Highest that the stock stands within `reach` of each x, mm: its raw top, or what the outline left of it.
fn raw(surface: &Surface, xs: &[f64], top: f64, reach: f64) -> Vec<f64> {
    let left: Option<Vec<f64>> = xs
        .iter()
        .map(|x| Some(surface.silhouette_left(*x)? - surface.lift))
        .collect();
    let Some(left) = left else {
        return vec![top; xs.len()];
    };
    let over = |x: &f64| {
        let (first, last) = (
            xs.partition_point(|other| *other < x - reach),
            xs.partition_point(|other| *other <= x + reach),
        );
        left[first..last].iter().copied().fold(f64::NEG_INFINITY, f64::max)
    };
    xs.iter().map(over).collect()
}

/// Highest that the lanes leave at a rounded end, mm: nothing is higher than the tip that went over it.
fn stands(lanes: &[Lane], xs: &[f64], lowest: f64, end: &RoundEnd) -> f64 {
    let beyond = |x: f64| {
        if end.far {
            x >= end.centre - STEP
        } else {
            x <= end.centre + STEP
        }
    };
    lanes
        .iter()
        .flat_map(|lane| xs.iter().zip(&lane.low))
        .filter(|(x, _)| beyond(**x))
        .fold(lowest, |most, (_, low)| most.max(*low))
}

/// Most that the lanes leave over the finished top, mm: beside slopes and steps a flat end stands off.
fn left(surface: &Surface, setup: &Setup, lanes: &[Lane], xs: &[f64], lowest: f64) -> f64 {
    let radius = setup.rougher.radius();
    let (from, to) = surface.ends_x();
    let mut most = setup.rough_allowance;
    for i in 0..=ACROSS {
        let y = -surface.thickness() * f64::from(i) / f64::from(ACROSS);
        let over: Vec<(&Lane, f64)> = lanes
            .iter()
            .filter(|lane| (y - lane.y).abs() < radius)
            .map(|lane| (lane, (radius * radius - (y - lane.y) * (y - lane.y)).sqrt()))
            .collect();
        for (k, x) in xs.iter().enumerate().filter(|(_, x)| **x >= from && **x <= to) {
            let Some(top) = surface.height(*x, y) else { continue };
            let mut low = f64::INFINITY;
            for (lane, half) in &over {
                // Every point that the disc reaches from here, near ones on both sides.
                let near = |i: &usize| (xs[*i] - x).abs() <= *half;
                let back = (0..=k).rev().take_while(near);
                let on = (k + 1..xs.len()).take_while(near);
                low = back.chain(on).map(|i| lane.low[i]).fold(low, f64::min);
            }
            let raw = surface
                .silhouette_left(*x)
                .map_or(setup.raw_top(), |v| v - surface.lift);
            let stands = low.max(lowest).min(raw);
            most = most.max(stands - top);
        }
    }
    most
}

/// Lowest finished top along the faces, mm.
fn face_low(surface: &Surface) -> f64 {
    let steps = 200;
    let (from, to) = surface.span;
    (0..=steps)
        .map(|i| surface.cut(from + (to - from) * f64::from(i) / f64::from(steps)))
        .flat_map(|cut| [cut.low, cut.high].map(|b| surface.section(&cut, b)))
        .fold(f64::INFINITY, f64::min)
        - surface.lift
}

/// Lanes in order: along the front to the far end, along the back to the near end, and so inward. With the spindle turning
/// clockwise the material then always lies on the right: every lane climbs, and between lanes there is next to no air.
fn lanes(surface: &Surface, setup: &Setup, xs: &[f64]) -> Vec<Lane> {
    let cutter = &setup.rougher;
    let radius = cutter.radius();
    let over = (setup.material.step_over * cutter.diameter).min(cutter.diameter);
    let wide = surface.thickness();
    let mut lanes = Vec::new();
    let mut locator = Locator::new(cutter, surface);
    let mut taken = 0.0;
    let mut round = 1.0;
    while taken < wide && lanes.len() < 1000 {
        for forward in [true, false] {
            if taken >= wide {
                break;
            }
            let y = if forward {
                radius - round * over
            } else {
                round * over - radius - wide
            };
            let low: Vec<f64> = xs.iter().map(|x| locator.z(*x, y) + setup.rough_allowance).collect();
            // The highest of three neighbours: where the cutter comes over an edge, a chord must be up before it.
            let low = (0..low.len())
                .map(|i| {
                    let near = &low[i.saturating_sub(1)..(i + 2).min(low.len())];
                    near.iter().copied().fold(f64::NEG_INFINITY, f64::max)
                })
                .collect();
            lanes.push(Lane { y, forward, low });
            taken += over;
        }
        round += 1.0;
    }
    lanes
}

/// Ranges of points of `lane` with something to cut between the level before and `level`, in order of x.
fn runs(lane: &Lane, stands: &Stands, level: f64, stock: (f64, f64)) -> Vec<(usize, usize)> {
    let (xs, raw, before) = (stands.xs, stands.raw, stands.before);
    let something = |i: usize| {
        xs[i] > stock.0 && xs[i] < stock.1 && before.max(lane.low[i]).min(raw[i]) - level.max(lane.low[i]) > NOTHING
    };
    let mut runs: Vec<(usize, usize)> = Vec::new();
    let last = xs.len().saturating_sub(1);
    for i in (0..xs.len()).filter(|i| something(*i)) {
        match runs.last_mut() {
            Some(run) if xs[i] - xs[run.1] <= SHORT_AIR => run.1 = i,
            _ => runs.push((i, i)),
        }
    }
    for run in &mut runs {
        // A run that reaches the stock's end comes from, and goes on to, the air beyond it.
        run.0 = if xs[run.0] <= stock.0 + 2.0 * STEP {
            0
        } else {
            run.0 - 1
        };
        run.1 = if xs[run.1] >= stock.1 - 2.0 * STEP {
            last
        } else {
            run.1 + 1
        };
    }
    runs
}

fn cut(way: &mut Way, stands: &Stands, lane: &Lane, run: (usize, usize), level: f64) {
    let (xs, before) = (stands.xs, stands.before);
    let mut points: Vec<[f64; 3]> = (run.0..=run.1)
        .map(|i| [xs[i], lane.y, level.max(lane.low[i])])
        .collect();
    let last = xs.len().saturating_sub(1);
    let (mut from_air, mut first) = (run.0 == 0, run.0);
    if !lane.forward {
        points.reverse();
        from_air = run.1 == last;
        first = run.1;
    }
    let points = straightened(&points);
    let Some(start) = points.first() else { return };
    // The last level left this much under the cutter.
    let clear = if from_air {
        start[2] + GAP
    } else {
        before.max(lane.low[first]) + GAP
    };
    let beside = |p: [f64; 3]| p[0] == xs[0] || p[0] == xs[last];
    match way.at() {
        // Beside the same end of the stock: over at the feed, in the air.
        Some(at) if beside(at) && at[0] == start[0] && from_air => {
            let over = [at[0], start[1], at[2].max(start[2])];
            way.cut([at[0], at[1], over[2]]);
            way.cut(over);
            way.cut(*start);
        }
        Some(at) => way.hop(*start, stands.clear(at[0], start[0]), clear),
        None => way.enter(*start, clear),
    }
    for point in &points[1..] {
        way.cut(*point);
    }
}

/// `points` without those that lie on a straight line between others (Douglas and Peucker's rule, in x and z).
fn straightened(points: &[[f64; 3]]) -> Vec<[f64; 3]> {
    let mut keep = vec![false; points.len()];
    let mut work = vec![(0, points.len().saturating_sub(1))];
    while let Some((a, z)) = work.pop() {
        if let (Some(first), Some(second)) = (keep.get(a).copied(), keep.get(z).copied())
            && !(first && second && z <= a + 1)
        {
            keep[a] = true;
            keep[z] = true;
        }
        let far = (a + 1..z)
            .map(|i| {
                let share = (points[i][0] - points[a][0]) / (points[z][0] - points[a][0]);
                let chord = points[a][2] + share * (points[z][2] - points[a][2]);
                ((points[i][2] - chord).abs(), i)
            })
            .max_by(|p, q| p.0.total_cmp(&q.0));
        if let Some((off, i)) = far
            && off > STRAIGHT
        {
            work.push((a, i));
            work.push((i, z));
        }
    }
    points.iter().zip(keep).filter(|(_, k)| *k).map(|(p, _)| *p).collect()
}
