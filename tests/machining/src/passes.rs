//! What the programs leave standing, by simulating their own text.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation, dead_code)]

use fixtures::{Guitar, PARLOUR, cutter, guitars, on_edge};
use machining::{
    CutterShape, Ends, Grid, HeightMap, Holding, Met, Motion, MotionKind, PassError, Prepared, Setup, SetupKind, Stock,
    Surface, Target, prepare, read, replay, simulate, target,
};
use saddle::Plan;
use strings::Criterion;

/// Cell of the simulation, mm.
const CELL: f64 = 0.04;
/// Deepest cut into the finished surface, and what may stand above it besides the scallop, mm.
const LIMIT: f64 = 0.010;
/// The way round may be nearer to the outline than the cutter's radius by the rounding of a program's decimals and the chords
/// of the outline, mm.
const AROUND: f64 = 0.002;

fn plan_of(of: &Guitar, length: f64) -> Plan {
    let mut survey = of.survey(Criterion::Octave);
    survey.blank.length = length;
    saddle::plan(&survey).unwrap()
}

fn plan(stepped: bool) -> Plan {
    plan_of(&Guitar { stepped, ..PARLOUR }, 75.0)
}

/// A setup on edge that holds `plan`.
fn edge(plan: &Plan) -> Setup {
    let mut setup = on_edge();
    setup.stock = Stock {
        thickness: plan.crown.thickness,
        height: 12.0,
        length: plan.ends.1 - plan.ends.0 + 4.0,
        bass_margin: 1.5,
    };
    setup.holding = Holding::Vise {
        jaw_height: 4.0,
        jaw_thickness: 12.0,
        jaw_x: (2.0, setup.stock.length - 2.0),
    };
    setup.scallop = 0.005;
    // Ends that hang out of the jaws are rounded with a long cutter.
    setup.rougher.cutting_length = 12.0;
    setup
}

fn flat(plan: &Plan) -> Setup {
    Setup {
        kind: SetupKind::Flat,
        holding: Holding::Tape {
            tabs: 0,
            tab_length: 3.0,
            tab_height: 0.3,
        },
        stock: Stock {
            height: 13.0,
            length: plan.ends.1 - plan.ends.0 + 10.0,
            bass_margin: 5.0,
            ..edge(plan).stock
        },
        ..edge(plan)
    }
}

struct Run {
    motions: Vec<Motion>,
    met: Vec<Met>,
    map: HeightMap,
}

fn run(setup: &Setup, prepared: &Prepared) -> Run {
    let mut map = HeightMap::block(Grid::cover(setup.stock_plan(), CELL), setup.raw_top());
    let tools = [&setup.rougher, &setup.finisher];
    let (mut motions, mut met) = (Vec::new(), Vec::new());
    for program in &prepared.programs {
        let lines = read(&program.text).unwrap();
        let mut replayed = replay(&lines, program.tools[0]).unwrap();
        // A program does not know where it starts; its first move is straight up from there.
        assert!(
            replayed.motions[0].to[2] == setup.safe_z() && replayed.motions[0].to[..2] == replayed.motions[0].from[..2]
        );
        replayed.motions.remove(0);
        met.extend(simulate(&mut map, &replayed.motions, &tools));
        motions.extend(replayed.motions);
    }
    Run { motions, met, map }
}

/// Deepest gouge, highest excess, and the latter's place.
fn compare(setup: &Setup, target: &dyn Target, run: &Run) -> (f64, f64, [f64; 2]) {
    let (mut gouge, mut excess, mut place) = (0.0f64, 0.0f64, [0.0; 2]);
    let grid = run.map.grid;
    for j in 0..grid.count[1] {
        for i in 0..grid.count[0] {
            let [x, y] = grid.centre(i, j);
            if let Some(h) = target.height(x, y) {
                let mut off = run.map.at(i, j) - h;
                if off > setup.scallop + LIMIT {
                    // What the ball does not reach in the inner corners of a stepped ridge.
                    off -= target.unreached(x, y);
                }
                gouge = gouge.max(-off);
                if off > excess {
                    excess = off;
                    place = [x, y];
                }
            }
        }
    }
    (gouge, excess, place)
}

fn judge(name: &str, plan: &Plan, setup: &Setup, excess_most: f64) -> (Prepared, Run) {
    let prepared = prepare(plan, name, setup).unwrap_or_else(|e| panic!("{name}: {e}"));
    let run = run(setup, &prepared);
    let target = target(plan, setup).unwrap();
    let (gouge, excess, place) = compare(setup, target.as_ref(), &run);
    assert!(gouge <= LIMIT, "{name}: gouge {gouge}");
    assert!(excess <= excess_most, "{name}: excess {excess} at {place:?}");
    for (motion, met) in run.motions.iter().zip(&run.met) {
        let flat = motion.tool == setup.rougher.number;
        assert!(
            motion.kind != MotionKind::Rapid || met.depth < 1e-6,
            "{name}: rapid through material on line {}",
            motion.line
        );
        let most = if flat {
            setup.material.step_down * setup.rougher.diameter
        } else {
            1.5
        };
        assert!(
            met.depth <= most + 0.02,
            "{name}: {} deep on line {} {motion:?}",
            met.depth,
            motion.line
        );
        assert!(
            met.shank == 0.0 && met.collet == 0.0,
            "{name}: shank or collet on line {}: {met:?}",
            motion.line
        );
        let sideways = motion.from[..2] != motion.to[..2];
        assert!(
            motion.kind != MotionKind::Rapid || !sideways || motion.from[2].min(motion.to[2]) > setup.safe_z() - 1e-3,
            "{name}: rapid sideways on line {}",
            motion.line
        );
    }
    (prepared, run)
}

/// Like the four examples: a parlour guitar, a small-scale one, a drop-in upright one, a backward-leaning one.
fn four() -> [(&'static str, Guitar, f64); 4] {
    [
        ("parlour", PARLOUR, 79.375),
        (
            "short",
            Guitar {
                scale: 480.0,
                joint: 14,
                spread: (34.0, 50.0),
                lean: 4.0,
                ..PARLOUR
            },
            70.0,
        ),
        (
            "upright",
            Guitar {
                scale: 650.0,
                radius: (1e4, 1e4),
                action: (3.6, 3.0),
                lean: 0.0,
                ..PARLOUR
            },
            80.0,
        ),
        (
            "backward",
            Guitar {
                lean: -8.0,
                joint: 14,
                ..PARLOUR
            },
            76.0,
        ),
    ]
}

#[test]
fn leaves_the_crown_and_no_more() {
    for (name, of, length) in four() {
        for stepped in [false, true] {
            let of = Guitar { stepped, ..of };
            let plan = plan_of(&of, length);
            for ends in [Ends::Square, Ends::Round] {
                let mut setup = Setup {
                    ends: ends.clone(),
                    ..edge(&plan)
                };
                if stepped {
                    setup.finisher = cutter(2, CutterShape::Ball, 1.0);
                }
                let name = format!("{name}, stepped {stepped}, {ends:?}");
                judge(&name, &plan, &setup, setup.scallop + LIMIT);
            }
        }
    }
}

/// Wings of a bridge that the ends of a through saddle blend into.
fn winged() -> Ends {
    let wing = vec![(0.0, 5.5), (2.0, 5.7), (9.0, 8.5), (14.0, 12.0)];
    Ends::Winged {
        bass: wing.clone(),
        treble: wing,
    }
}

#[test]
fn blends_into_wings() {
    let plan = plan(false);
    let setup = Setup {
        ends: winged(),
        ..edge(&plan)
    };
    judge("winged", &plan, &setup, setup.scallop + LIMIT);
}

#[test]
fn leaves_the_outline() {
    for (name, of, length) in four() {
        let plan = plan_of(&of, length);
        for arcs in [true, false] {
            for ends in [Ends::Square, winged()] {
                for tabs in [0, 2] {
                    let mut setup = Setup {
                        ends: ends.clone(),
                        ..flat(&plan)
                    };
                    setup.machine.arcs = arcs;
                    setup.holding = Holding::Tape {
                        tabs,
                        tab_length: 4.0,
                        tab_height: 0.4,
                    };
                    setup.stock.height = 15.0;
                    let name = format!("{name} flat, arcs {arcs}, {ends:?}, {tabs} tabs");
                    let prepared = prepare(&plan, &name, &setup).unwrap_or_else(|e| panic!("{name}: {e}"));
                    let text = &prepared.programs[0].text;
                    assert_eq!(text.contains("G2 ") || text.contains("G3 "), arcs, "{name}");
                }
            }
        }
    }
}

#[test]
fn outline_is_the_silhouette_by_arcs() {
    // Every point that the last lap keeps from is the cutter's radius away from the plan's silhouette, square to it.
    let plan = plan(false);
    let setup = flat(&plan);
    let outline = machining::Outline::new(&plan, &setup).unwrap();
    let wall = &outline.walls()[0];
    let first = 5.0 - plan.ends.0;
    let mut on_top = 0;
    for [x, y] in wall {
        let u = x - first;
        if *y > 1e-9 && u > plan.ends.0 + 1e-6 && u < plan.ends.1 - 1e-6 {
            on_top += 1;
            assert!((plan.crown.silhouette(u) - y).abs() < 0.001, "{x} {y}");
        }
    }
    assert!(on_top > 20);
}

/// Distance of a place from a closed line of points.
fn off(wall: &[[f64; 2]], [x, y]: [f64; 2]) -> f64 {
    let pairs = wall.iter().zip(wall.iter().cycle().skip(1));
    let from = pairs.map(|(a, b)| {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let t = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy).max(1e-18);
        let t = t.clamp(0.0, 1.0);
        (a[0] + t * dx - x).hypot(a[1] + t * dy - y)
    });
    from.fold(f64::INFINITY, f64::min)
}

/// Where the tip of a program goes below the raw top, no two places further apart than 0.05 mm.
fn below_top(text: &str, setup: &Setup) -> Vec<(u32, [f64; 3])> {
    let motions = replay(&read(text).unwrap(), 1).unwrap().motions;
    let mut places = Vec::new();
    for motion in motions.iter().filter(|m| m.kind != MotionKind::Rapid) {
        let count = (motion.length() / 0.05).ceil() as u32;
        let along = (0..=count).map(|k| motion.at(f64::from(k) / f64::from(count.max(1))));
        places.extend(along.filter(|p| p[2] < setup.raw_top()).map(|p| (motion.line, p)));
    }
    places
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(32))]

    /// The way round keeps its distance, as it is written: on any crown, with ends of every kind, for either hand.
    #[test]
    fn the_way_round_keeps_its_distance(
        of in guitars(),
        kind in 0..3u32,
        left_handed in proptest::bool::ANY,
        arcs in proptest::bool::ANY,
        inch in proptest::bool::ANY,
        tabs in 0..3u32,
        diameter in 1.0..4.0f64,
    ) {
        let plan = Plan { left_handed, ..plan_of(&of, 75.0) };
        let mut setup = flat(&plan);
        setup.stock.height = 25.0;
        setup.ends = [Ends::Square, Ends::Round, winged()][kind as usize].clone();
        setup.machine.arcs = arcs;
        setup.machine.inch = inch;
        setup.rougher = cutter(1, CutterShape::Flat, diameter);
        setup.holding = Holding::Tape { tabs, tab_length: 4.0, tab_height: 0.4 };
        if let (Ok(outline), Ok(made)) = (machining::Outline::new(&plan, &setup), machining::toolpaths(&plan, &setup)) {
            let paths: Vec<_> = made.paths.iter().collect();
            let text = machining::emit("round", &setup, &paths).unwrap();
            let wall = &outline.walls()[0];
            for (line, [x, y, z]) in below_top(&text, &setup) {
                let off = off(wall, [x, y]);
                proptest::prop_assert!(off > 0.5 * diameter - AROUND, "line {}: {} at {} {} {}", line, off, x, y, z);
                proptest::prop_assert!(outline.height(x, y).is_none());
            }
        }
    }
}

/// Where the tip goes while it cuts with tool 2, mirrored or not, in a fixed order.
fn finishing(plan: &Plan, setup: &Setup, mirror: bool) -> Vec<[i64; 3]> {
    let prepared = prepare(plan, "hand", setup).unwrap();
    let mut places: Vec<[i64; 3]> = prepared.programs[0]
        .report
        .motions
        .iter()
        .filter(|m| m.tool == 2 && m.kind == MotionKind::Line)
        .map(|m| {
            let x = if mirror { setup.stock.length - m.to[0] } else { m.to[0] };
            [x, m.to[1], m.to[2]].map(|v| (v * 1e4).round() as i64)
        })
        .collect();
    places.sort_unstable();
    places
}

#[test]
fn left_handed_is_the_mirror() {
    let right = plan(false);
    let left = Plan {
        left_handed: true,
        ..right.clone()
    };
    let setup = edge(&right);
    let (right, left) = (finishing(&right, &setup, false), finishing(&left, &setup, true));
    // Passes start at opposite ends of the blank, so a few places of the links between them differ.
    let near = |p: &[i64; 3]| left.iter().any(|q| (0..3).all(|k| (p[k] - q[k]).abs() <= 2));
    let missing = right.iter().filter(|p| !near(p)).count();
    assert!(missing * 20 <= right.len(), "{missing} of {}", right.len());
    assert!(left.len().abs_diff(right.len()) * 20 <= right.len());
}

#[test]
fn takes_the_volume_between_stock_and_part() {
    let plan = plan(false);
    let setup = edge(&plan);
    let prepared = prepare(&plan, "volume", &setup).unwrap();
    let surface = Surface::new(&plan, &setup).unwrap();
    // By the midpoint rule over the whole stock.
    let (nx, ny) = (2000, 200);
    let (l, t) = (setup.stock.length, setup.stock.thickness);
    let mut exact = 0.0;
    for i in 0..nx {
        for j in 0..ny {
            let (x, y) = (
                (f64::from(i) + 0.5) / f64::from(nx) * l,
                -(f64::from(j) + 0.5) / f64::from(ny) * t,
            );
            exact += setup.stock.height - surface.height(x, y).unwrap();
        }
    }
    exact *= l * t / f64::from(nx * ny);
    let removed = prepared.programs[0].report.removed;
    // The scallops stay: no more than their height, and a third of it on average, over the whole top.
    let scallops = l * t * setup.scallop;
    assert!(
        removed < exact + 0.1 * scallops && removed > exact - scallops,
        "{removed} for {exact}"
    );
}

#[test]
fn roughing_climbs() {
    let plan = plan(false);
    let setup = edge(&plan);
    let prepared = prepare(&plan, "climb", &setup).unwrap();
    let t = setup.stock.thickness;
    let report = &prepared.programs[0].report;
    let mut front = 0;
    for (motion, met) in report.motions.iter().zip(&report.met) {
        let run = motion.to[0] - motion.from[0];
        if motion.tool != 1 || met.volume < 0.1 || run.abs() < 0.5 {
            continue;
        }
        // Along the front the material lies at lesser Y, the right of +X; along the back it is the other way about.
        let middle = motion.to[1] + 0.5 * t;
        if middle > 0.5 {
            front += 1;
            assert!(run > 0.0, "line {}", motion.line);
        } else if middle < -0.5 {
            assert!(run < 0.0, "line {}", motion.line);
        }
    }
    assert!(front > 0);
}

#[test]
fn refuses_what_cannot_be() {
    let plan = plan(false);
    let setup = edge(&plan);
    let fails = |setup: Setup| machining::toolpaths(&plan, &setup).unwrap_err();
    let mut low = setup.clone();
    low.stock.height = 7.0;
    assert!(matches!(fails(low), PassError::Surface(_)));
    let mut jaws = setup.clone();
    jaws.holding = Holding::Vise {
        jaw_height: 8.0,
        jaw_thickness: 10.0,
        jaw_x: (0.0, 70.0),
    };
    assert!(matches!(fails(jaws), PassError::Jaws { .. }));
    let mut flat_end = setup.clone();
    flat_end.finisher.shape = CutterShape::Flat;
    assert!(matches!(fails(flat_end), PassError::Finisher { .. }));
    let mut nought = setup.clone();
    nought.scallop = 0.0;
    assert!(matches!(fails(nought), PassError::Figure { .. }));
    assert!(matches!(
        fails(Setup {
            kind: SetupKind::Flat,
            ..setup
        }),
        PassError::Holding(_)
    ));
}
