//! A saw on an arbor: a wheel whose axis lies along the nut, beside which the nut stands on end.
//!
//! The map is that of the nut on edge, so that the blade cuts it from above: over its thickness a cell is lowered to the rim's
//! lower envelope along the way. A way that also goes along the arbor is taken as if it went everywhere between.

use super::map::{Met, TOUCH, cells_between};
use crate::{ARC_CHORD, Cutter, HeightMap, Motion, Setup};
use numerics::math;

/// How far the arbor's screw reaches below the blade, as a share of the arbor's diameter. Common practice, no source.
const SCREW: f64 = 0.5;
/// Room given to arbor and collet, mm.
const SLACK: f64 = 0.01;

/// A straight bit of way of the axis, in the map: x of the blade's ends, then y and height of the axis at start and end.
struct Way {
    x: (f64, f64),
    from: [f64; 2],
    to: [f64; 2],
}

impl Way {
    fn new(from: [f64; 3], to: [f64; 3], thickness: f64, setup: &Setup) -> Self {
        // Machine: X is the height, Z falls from the upper end.
        let up = setup.raw_top();
        let (low, high) = (from[2].min(to[2]), from[2].max(to[2]));
        Self {
            x: (up - high - thickness, up - low),
            from: [from[1], from[0]],
            to: [to[1], to[0]],
        }
    }

    /// Least height of a rim of `radius` over `y`; `None` where it does not pass.
    fn lowest(&self, y: f64, radius: f64) -> Option<f64> {
        let ([y0, v0], [y1, v1]) = (self.from, self.to);
        let at = |share: f64| {
            let off = y - (y0 + share * (y1 - y0));
            let square = radius * radius - off * off;
            (square >= 0.0).then(|| v0 + share * (v1 - v0) - square.sqrt())
        };
        let run = y1 - y0;
        if run.abs() < TOUCH {
            return [0.0, 1.0].into_iter().filter_map(at).reduce(f64::min);
        }
        // The rim touches its envelope where its tangent has the slope of the way.
        let slope = (v1 - v0) / run;
        let touch = (y - radius * slope / math::hypot(slope, 1.0) - y0) / run;
        let reach = (radius / run).abs();
        let middle = (y - y0) / run;
        // Only where the rim is over y at all.
        let (first, last) = ((middle - reach).max(0.0), (middle + reach).min(1.0));
        (first <= last).then(|| at(touch.clamp(first, last))).flatten()
    }
}

/// Lowers `map` by the saws of `motions`, in order; what each motion met.
pub(crate) fn saw(map: &mut HeightMap, motions: &[Motion], tools: &[&Cutter], setup: &Setup) -> Vec<Met> {
    motions
        .iter()
        .map(|motion| {
            let mut met = Met::default();
            let Some(tool) = tools.iter().find(|tool| tool.number == motion.tool) else {
                return met;
            };
            for (from, to) in chords(motion) {
                blade(
                    map,
                    &Way::new(from, to, tool.cutting_length, setup),
                    tool.radius(),
                    &mut met,
                );
                let screw = SCREW * tool.shank_diameter;
                let shank = Way::new(lifted(from, -screw), lifted(to, -screw), tool.stick_out + screw, setup);
                met.shank = met.shank.max(stands(map, &shank, 0.5 * tool.shank_diameter));
                let collet = Way::new(
                    lifted(from, tool.stick_out),
                    lifted(to, tool.stick_out),
                    f64::INFINITY,
                    setup,
                );
                met.collet = met.collet.max(stands(map, &collet, 0.5 * tool.collet_diameter));
            }
            met
        })
        .collect()
}

fn lifted([x, y, z]: [f64; 3], by: f64) -> [f64; 3] {
    [x, y, z + by]
}

fn chords(motion: &Motion) -> impl Iterator<Item = ([f64; 3], [f64; 3])> + '_ {
    let count = motion.chord_count(ARC_CHORD);
    let at = move |k: u32| motion.at(f64::from(k) / f64::from(count));
    (0..count).map(move |k| (at(k), at(k + 1)))
}

fn blade(map: &mut HeightMap, way: &Way, radius: f64, met: &mut Met) {
    let grid = map.grid;
    let mut taken = 0.0;
    for j in 0..grid.count[1] {
        let Some(low) = way.lowest(grid.centre(0, j)[1], radius) else {
            continue;
        };
        for i in cells_between(
            way.x.0 - grid.low[0],
            way.x.1 - grid.low[0],
            grid.cell,
            0,
            grid.count[0],
        ) {
            let height = &mut map.heights[j * grid.count[0] + i];
            let depth = *height - low;
            if depth > 0.0 {
                *height = low;
                taken += depth;
                met.depth = met.depth.max(depth);
            }
        }
    }
    met.volume += taken * grid.cell * grid.cell;
}

/// How far the part stands into a wheel of `radius`, mm.
fn stands(map: &HeightMap, way: &Way, radius: f64) -> f64 {
    let grid = map.grid;
    let cells = cells_between(
        way.x.0 - grid.low[0],
        way.x.1 - grid.low[0],
        grid.cell,
        0,
        grid.count[0],
    );
    let mut most = 0.0f64;
    for j in 0..grid.count[1] {
        if let Some(low) = way.lowest(grid.centre(0, j)[1], radius - SLACK) {
            let row = &map.heights[j * grid.count[0]..][cells.clone()];
            most = row.iter().fold(most, |most, height| most.max(height - low));
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Grid;
    use crate::testbed::{cutter, on_edge};
    use crate::{CutterShape, MotionKind, SetupKind};

    fn setup() -> Setup {
        let mut setup = on_edge();
        setup.kind = SetupKind::OnEnd;
        setup
    }

    fn blade() -> Cutter {
        Cutter {
            cutting_length: 0.4,
            shank_diameter: 8.0,
            ..cutter(7, CutterShape::Saw, 20.0)
        }
    }

    fn motion(from: [f64; 3], to: [f64; 3]) -> Motion {
        Motion {
            from,
            to,
            kind: MotionKind::Line,
            feed: 100.0,
            spindle: 1000.0,
            tool: 7,
            line: 1,
        }
    }

    /// A straight way cuts a slot as wide as the blade, level along, and the plunge before it the rim's own arc.
    #[test]
    fn a_slot_as_wide_as_the_blade() {
        let setup = setup();
        let (tool, block) = (blade(), || {
            HeightMap::block(Grid::cover(setup.map_plan(), 0.05), setup.map_top())
        });
        // The tip's Z is the blade's lower side: 75 - 40 - 0.4 puts the blade from x = 40 to 40.4.
        let z = setup.raw_top() - 40.4;
        let mut map = block();
        let plunge = motion([30.0, -1.6, z], [20.5, -1.6, z]);
        let met = saw(&mut map, &[plunge], &[&tool], &setup);
        // The rim reaches 10.5; at 1 mm beside the axis it is 10 - sqrt(100 - 1) higher.
        let off = map.grid.centre(0, 10)[1] + 1.6;
        let rim = 20.5 - (100.0 - off * off).sqrt();
        assert!((map.near(40.2, map.grid.centre(0, 10)[1]).unwrap() - rim).abs() < 1e-12);
        assert!(map.near(39.97, -1.6).unwrap() == 11.0 && map.near(40.43, -1.6).unwrap() == 11.0);
        assert!((met[0].depth - (11.0 - (20.5 - (100f64 - math::powi(0.025f64, 2)).sqrt()))).abs() < 1e-3);
        let mut map = block();
        let along = motion([20.5, 2.0, z], [20.5, -6.0, z]);
        let met = saw(&mut map, &[along], &[&tool], &setup);
        let volume = 0.4 * 3.2 * 0.5;
        assert!((met[0].volume - volume).abs() < 0.02 * volume, "{}", met[0].volume);
        assert_eq!((met[0].shank, met[0].collet), (0.0, 0.0));
        assert_eq!(map.near(40.2, -3.0), Some(10.5));
    }

    /// On a slope the rim's envelope is a straight line, its radius square from the axis' way.
    #[test]
    fn a_sloping_floor() {
        let setup = setup();
        let (slope, radius) = (0.1f64, 10.0);
        let rise = radius * math::hypot(slope, 1.0);
        let way = Way {
            x: (0.0, 1.0),
            from: [3.0, 20.3],
            to: [-7.0, 20.3 - 10.0 * slope],
        };
        for y in [0.0, -1.0, -3.2] {
            let line = 20.3 + (y - 3.0) * slope - rise;
            assert!((way.lowest(y, radius).unwrap() - line).abs() < 1e-9);
        }
        assert_eq!(way.lowest(14.0, radius), None);
        let mut map = HeightMap::block(Grid::cover(setup.map_plan(), 0.05), setup.map_top());
        let deep = motion([14.0, 2.0, 30.0], [14.0, -6.0, 30.0]);
        let met = saw(&mut map, &[deep], &[&blade()], &setup);
        // The arbor, 4 mm in radius, comes down to 10 over a part 11 high.
        assert!((met[0].shank - 1.0).abs() < 0.02, "{}", met[0].shank);
    }
}
