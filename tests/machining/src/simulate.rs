//! Removal against closed forms and against a brute-force sweep.

#![allow(clippy::unwrap_used)] // helpers of tests

use std::f64::consts::PI;

use fixtures::{cutter, swept};
use machining::{Cutter, CutterShape, Grid, HeightMap, Met, Motion, MotionKind, Plane, simulate};
use proptest::prelude::*;

const SHAPES: [CutterShape; 5] = [
    CutterShape::Flat,
    CutterShape::Corner { radius: 0.3 },
    CutterShape::Ball,
    CutterShape::TaperedBall {
        radius: 0.4,
        half_angle: 0.2,
    },
    CutterShape::Vee {
        tip: 0.2,
        half_angle: 0.6,
    },
];

fn line(from: [f64; 3], to: [f64; 3]) -> Motion {
    Motion {
        from,
        to,
        kind: MotionKind::Line,
        feed: 100.0,
        spindle: 1e4,
        tool: 1,
        line: 1,
    }
}

fn path(points: &[[f64; 3]]) -> Vec<Motion> {
    points.windows(2).map(|w| line(w[0], w[1])).collect()
}

fn block(size: [f64; 2], top: f64, cell: f64) -> HeightMap {
    HeightMap::block(Grid::cover([0.0, 0.0, size[0], size[1]], cell), top)
}

fn run(map: &mut HeightMap, motions: &[Motion], tool: &Cutter) -> Vec<Met> {
    simulate(map, motions, &[tool])
}

#[test]
fn grid_covers_with_whole_cells() {
    let grid = Grid::cover([0.0, -3.2, 75.0, 0.0], 0.025);
    assert_eq!(grid.count, [3000, 128]);
    let [x, y] = grid.centre(0, 127);
    assert!((x - 0.0125).abs() < 1e-9 && (y + 0.0125).abs() < 1e-9);
    assert_eq!(Grid::cover([0.0, 0.0, -1.0, 1.0], 0.1).count[0], 0);
}

/// A slot of a flat cutter: its length and half a disc at each end, to its depth.
#[test]
fn slot_of_a_flat_cutter() {
    let tool = cutter(1, CutterShape::Flat, 3.0);
    let mut map = block([20.0, 10.0], 5.0, 0.02);
    let met = run(
        &mut map,
        &path(&[[5.0, 5.0, 6.0], [5.0, 5.0, 4.0], [15.0, 5.0, 4.0]]),
        &tool,
    );
    let volume: f64 = met.iter().map(|m| m.volume).sum();
    let exact = 10.0 * 3.0 + PI * 1.5 * 1.5;
    assert!((volume - exact).abs() < 0.02, "{volume} for {exact}");
    // The plunge takes a disc, the slot the rest.
    assert!((met[0].volume - PI * 2.25).abs() < 0.02);
    assert!((met[0].depth - 1.0).abs() < 1e-12 && (met[1].depth - 1.0).abs() < 1e-12);
    assert_eq!(map.heights.iter().copied().fold(f64::INFINITY, f64::min), 4.0);
}

/// A ring: a flat cutter on a full circle.
#[test]
fn ring_by_arc() {
    let tool = cutter(1, CutterShape::Flat, 2.0);
    let mut map = block([20.0, 20.0], 1.0, 0.02);
    let mut circle = line([15.0, 10.0, 0.5], [15.0, 10.0, 0.5]);
    circle.kind = MotionKind::Arc {
        plane: Plane::Xy,
        centre: [10.0, 10.0, 0.5],
        clockwise: true,
        turn: 2.0 * PI,
    };
    let met = run(&mut map, &[circle], &tool);
    let exact = 0.5 * PI * (36.0 - 16.0);
    assert!(
        (met[0].volume - exact).abs() < 0.01 * exact / 10.0,
        "{} for {exact}",
        met[0].volume
    );
}

/// Passes side by side leave ridges of `h = R - sqrt(R^2 - (s/2)^2)`.
#[test]
fn scallop_is_the_closed_form() {
    let tool = cutter(1, CutterShape::Ball, 3.0);
    for step in [0.1, 0.25, 0.5] {
        let mut map = block([4.0, 4.0], 3.0, 0.005);
        let mut motions = Vec::new();
        for k in 0..40 {
            let y = f64::from(k) * step;
            motions.push(line([-5.0, y, 1.0], [9.0, y, 1.0]));
        }
        run(&mut map, &motions, &tool);
        let middle: Vec<f64> = (200..600).map(|j| map.at(400, j)).collect();
        let highest = middle.iter().copied().fold(f64::NEG_INFINITY, f64::max) - 1.0;
        let exact = 1.5 - (2.25f64 - 0.25 * step * step).sqrt();
        // A cell's centre may miss the ridge by half a cell, down the slope of the ridge.
        assert!(
            (highest - exact).abs() < 0.0025 * step / (9.0 - step * step).sqrt() + 1e-6,
            "{highest} for {exact}"
        );
    }
}

/// A ball along a slope leaves a groove whose section square to the line is the ball's circle.
#[test]
fn groove_on_a_slope() {
    let tool = cutter(1, CutterShape::Ball, 3.0);
    let mut map = block([20.0, 4.0], 20.0, 0.02);
    let slope: f64 = 0.5;
    run(&mut map, &[line([-10.0, 2.01, 0.0], [30.0, 2.01, 20.0])], &tool);
    // On the line's own plan the surface runs R below the centre, square to the line.
    let [x, _] = map.grid.centre(500, 100);
    let exact = slope * (x + 10.0) + 1.5 - 1.5 * slope.hypot(1.0);
    assert!((map.at(500, 100) - exact).abs() < 1e-9);
}

#[test]
fn shank_and_collet_are_noticed() {
    let mut tool = cutter(1, CutterShape::Flat, 3.0);
    tool.cutting_length = 4.0;
    tool.stick_out = 8.0;
    tool.shank_diameter = 6.0;
    let down = |z: f64| path(&[[10.0, 5.0, 12.0], [10.0, 5.0, z]]);
    let clear = run(&mut block([20.0, 10.0], 10.0, 0.05), &down(6.5), &tool);
    assert_eq!((clear[0].shank, clear[0].collet), (0.0, 0.0));
    let shank = run(&mut block([20.0, 10.0], 10.0, 0.05), &down(5.0), &tool);
    assert!((shank[0].shank - 1.0).abs() < 1e-9 && shank[0].collet == 0.0);
    let collet = run(&mut block([20.0, 10.0], 10.0, 0.05), &down(1.0), &tool);
    assert!((collet[0].collet - 1.0).abs() < 1e-9);
    // A shank no thicker than the edges follows them down a slot of several steps.
    tool.shank_diameter = 3.0;
    let mut map = block([20.0, 10.0], 10.0, 0.05);
    let steps: Vec<_> = (1..=6)
        .flat_map(|k| {
            let z = 10.0 - f64::from(k);
            [[5.0, 5.0, z], [15.0, 5.0, z]]
        })
        .collect();
    let met = run(&mut map, &path(&steps), &tool);
    assert!(met.iter().all(|m| m.shank == 0.0), "{met:?}");
}

#[test]
fn threads_do_not_change_a_bit() {
    let tool = cutter(1, CutterShape::Ball, 3.0);
    let points: Vec<_> = (0..300)
        .map(|k| {
            let t = f64::from(k) * 0.37;
            [10.0 + 9.0 * t.sin(), 5.0 + 4.0 * (1.3 * t).cos(), 2.0 + (0.7 * t).sin()]
        })
        .collect();
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let mut map = block([20.0, 10.0], 5.0, 0.05);
            let met = run(&mut map, &path(&points), &tool);
            (map, met)
        })
    };
    assert_eq!(on(1), on(3));
}

/// Places of the tip, `samples` steps to every motion.
fn sampled(motions: &[Motion], samples: u32) -> Vec<[f64; 3]> {
    let of = |motion: &Motion| -> Vec<_> {
        (0..=samples)
            .map(|k| motion.at(f64::from(k) / f64::from(samples)))
            .collect()
    };
    motions.iter().flat_map(of).collect()
}

fn places() -> impl Strategy<Value = Vec<[f64; 3]>> {
    prop::collection::vec((0.0..4.0f64, 0.0..3.0f64, 1.0..3.0f64), 2..7)
        .prop_map(|points| points.into_iter().map(|(x, y, z)| [x, y, z]).collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Any path of straight moves, any cutter: exact between a sampled sweep and a sampled sweep of a slightly wider cutter.
    #[test]
    fn straight_moves_are_exact(points in places(), shape in 0..SHAPES.len(), flat in 0.0..1.0f64) {
        let mut points = points;
        if flat < 0.4 {
            // Many real passes are level, or have many short steps almost in line.
            for k in 1..points.len() { points[k][2] = points[0][2]; }
        } else if flat < 0.7 {
            points = (0..60).map(|k| {
                let t = f64::from(k) / 60.0;
                [4.0 * t, 1.5 + (flat - 0.5) * t * t, 1.5 + 0.4 * (3.0 * t).sin() * points[0][2] / 3.0]
            }).collect();
        }
        let tool = cutter(1, SHAPES[shape], 1.5);
        let mut map = block([4.0, 3.0], 4.0, 0.11);
        let motions = path(&points);
        run(&mut map, &motions, &tool);
        let samples = if points.len() > 20 { 20 } else { 400 };
        let longest = motions.iter().map(Motion::length).fold(0.0, f64::max);
        let wide = 0.51 * longest / f64::from(samples);
        let tips = sampled(&motions, samples);
        for j in 0..map.grid.count[1] {
            for i in 0..map.grid.count[0] {
                let [x, y] = map.grid.centre(i, j);
                let above = swept(&tips, &tool, 0.0, x, y).min(4.0);
                let below = swept(&tips, &tool, wide, x, y).min(4.0) - wide;
                let z = map.at(i, j);
                prop_assert!(z <= above + 1e-7 && z >= below - machining::JOIN - 1e-7, "({x}, {y}): {below} {z} {above}");
            }
        }
    }

    /// Arcs in all planes, likewise, within the chord's tolerance.
    #[test]
    fn arcs_are_within_their_chords(plane in 0..3usize, r in 0.5..1.5f64, start in 0.0..6.2f64, turn in 0.1..6.2f64, rise in -0.5..0.5f64, clockwise: bool) {
        let (a, b, c, plane) = [(0, 1, 2, Plane::Xy), (2, 0, 1, Plane::Zx), (1, 2, 0, Plane::Yz)][plane];
        let centre = [2.0, 1.5, 3.0];
        let at = |angle: f64, along: f64| {
            let mut p = centre;
            p[a] += r * angle.cos();
            p[b] += r * angle.sin();
            p[c] += along;
            p
        };
        let end = if clockwise { start - turn } else { start + turn };
        let mut arc = line(at(start, 0.0), at(end, rise));
        arc.kind = MotionKind::Arc { plane, centre, clockwise, turn };
        prop_assert!((arc.length() - (r * turn).hypot(rise)).abs() < 1e-12);
        let tool = cutter(1, CutterShape::Ball, 1.5);
        let mut map = block([4.0, 3.0], 4.0, 0.11);
        run(&mut map, &[arc], &tool);
        let wide = 0.51 * arc.length() / 1000.0 + machining::ARC_CHORD;
        let tips = sampled(&[arc], 1000);
        let narrow = cutter(1, CutterShape::Ball, 1.5 - 2.0 * wide);
        for j in 0..map.grid.count[1] {
            for i in 0..map.grid.count[0] {
                let [x, y] = map.grid.centre(i, j);
                let above = swept(&tips, &tool, -0.0, x, y);
                let above = above.max(swept(&tips, &narrow, 0.0, x, y)).min(4.0) + wide;
                let below = swept(&tips, &tool, wide, x, y).min(4.0) - wide;
                let z = map.at(i, j);
                prop_assert!(z <= above + 1e-7 && z >= below - machining::JOIN - 1e-7, "({x}, {y}): {below} {z} {above}");
            }
        }
    }
}
