//! From a plan to programs, on machines of several kinds.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation, dead_code)]

use fixtures::{Guitar, PARLOUR, cutter, on_edge};
use machining::{
    CutTolerance, CutterShape, Ends, Fault, Holding, Machine, Material, Move, PrepareError, Setup, Target, ToolLengths,
    Words, Zero, prepare,
};
use saddle::Plan;

fn plan(stepped: bool) -> Plan {
    let of = Guitar { stepped, ..PARLOUR };
    of.plan()
}

/// A generic small router: 300 x 200 x 60 mm, 1500 mm/min, 300 mm/s2, 8000 to 24000 rev/min. Invented.
fn router() -> Machine {
    Machine {
        name: "small router".into(),
        travel: [300.0, 200.0, 60.0],
        feed_most: [1500.0, 1500.0, 600.0],
        rapid: [1500.0, 1500.0, 600.0],
        acceleration: [300.0; 3],
        spindle: (8000.0, 24000.0),
        spindle_up: 4.0,
        corner: 0.01,
        inch: false,
        arcs: true,
        tool_lengths: ToolLengths::OneProgram,
        top_z: None,
        line_most: 80,
        words: Words {
            g: vec![0, 10, 20, 30, 40, 170, 200, 210, 400, 490, 540, 800, 900, 911, 940],
            m: vec![30, 50, 300],
            letters: "XYZIJKFSTP".chars().collect(),
        },
    }
}

/// Bone: 25 to 100 micrometres of chip best, under 5 it is rubbed (J. Funct. Biomater. 2022, 13(3), 154), over 100 to 175 it breaks
/// (also Chin. J. Mech. Eng. 2022, doi 10.1186/s10033-022-00769-2). The rest invented.
fn bone() -> Material {
    Material {
        name: "bone".into(),
        chip_least: 0.005,
        chip: 0.025,
        chip_most: 0.1,
        step_down: 0.25,
        step_over: 0.4,
        speed_most: 250.0,
        source: "see above".into(),
    }
}

fn setup(plan: &Plan) -> Setup {
    let mut setup = on_edge();
    setup.stock.height = 12.7;
    setup.stock.length = plan.ends.1 - plan.ends.0 + 2.0;
    setup.stock.bass_margin = 1.0;
    setup.machine = router();
    setup.material = bone();
    setup.scallop = 0.005;
    setup
}

#[test]
fn a_file_for_each_tool() {
    let plan = plan(false);
    let prepared = prepare(&plan, "Parlour", &setup(&plan)).unwrap();
    assert_eq!(
        prepared.programs.iter().map(|p| p.tools.clone()).collect::<Vec<_>>(),
        [[1], [2]]
    );
    assert_ne!(prepared.programs[0].name, prepared.programs[1].name);
    assert!(
        prepared
            .programs
            .iter()
            .all(|p| p.report.in_order() && !p.text.contains("M6"))
    );
    // The second starts on what the first left.
    assert!(prepared.programs[1].report.removed < prepared.programs[0].report.removed);
    let deviation = prepared.programs[1].report.deviation.as_ref().unwrap();
    assert!(
        deviation.gouge < 0.002 && deviation.excess < 0.008,
        "{} {}",
        deviation.gouge,
        deviation.excess
    );
    let air: f64 = prepared.programs.iter().map(|p| p.report.time.air).sum();
    let cutting: f64 = prepared.programs.iter().map(|p| p.report.time.cutting).sum();
    assert!(air < 0.35 * cutting, "{air} s in the air, {cutting} s cutting");
}

#[test]
fn every_kind_of_machine_and_zero() {
    for stepped in [false, true] {
        let plan = plan(stepped);
        for (inch, arcs, change) in [(true, true, false), (false, false, true)] {
            let mut setup = setup(&plan);
            setup.machine.inch = inch;
            setup.machine.arcs = arcs;
            if change {
                setup.machine.tool_lengths = ToolLengths::Table;
                setup.machine.words.g.push(430);
                setup.machine.words.letters.push('H');
            }
            setup.machine.words.m.push(60);
            setup.ends = Ends::Round;
            setup.zero = if inch { Zero::RawTop } else { Zero::Seat };
            setup.finisher = cutter(2, CutterShape::Ball, 1.5);
            let name = format!("stepped {stepped}, inch {inch}, arcs {arcs}");
            let prepared = prepare(&plan, &name, &setup).unwrap_or_else(|e| panic!("{name}: {e}"));
            assert_eq!(prepared.programs.len(), if change { 1 } else { 2 });
            assert_eq!(prepared.programs[0].text.contains("G2 "), arcs, "{name}");
        }
    }
}

/// The crown from what the outline left: nothing is cut that the outline has taken, whatever the zero, the ends and the hand.
#[test]
fn a_crown_after_its_outline() {
    for (stepped, ends, zero) in [
        (false, Ends::Square, Zero::Seat),
        (true, Ends::Round, Zero::RawTop),
        (false, Ends::Round, Zero::Seat),
    ] {
        let plan = Plan {
            left_handed: stepped,
            ..plan(stepped)
        };
        let mut block = setup(&plan);
        block.ends = ends.clone();
        block.zero = zero;
        block.finisher = cutter(2, CutterShape::Ball, 1.5);
        block.holding = Holding::Vise {
            jaw_height: 4.0,
            jaw_thickness: 12.0,
            jaw_x: (f64::NEG_INFINITY, f64::INFINITY),
        };
        let outlined = machining::outlined(&plan, &block).unwrap();
        let (x0, x1) = machining::Surface::new(&plan, &outlined).unwrap().ends_x();
        assert_eq!((x0, x1), (0.0, outlined.stock.length));
        let [whole, rest] =
            [&block, &outlined].map(|s| prepare(&plan, "a", s).unwrap_or_else(|e| panic!("{ends:?}: {e}")));
        let taken = |p: &machining::Prepared| p.programs.iter().map(|p| p.report.removed).sum::<f64>();
        // What stands under the silhouette and over the crown, on a net of its own.
        let surface = machining::Surface::new(&plan, &outlined).unwrap();
        let (nx, ny) = (600, 60);
        let (dx, dy) = ((x1 - x0) / f64::from(nx), surface.thickness() / f64::from(ny));
        let mut over = 0.0;
        for i in 0..nx {
            let x = x0 + dx * (f64::from(i) + 0.5);
            let column: Vec<f64> = (0..ny)
                .map(|j| surface.height(x, -dy * (f64::from(j) + 0.5)).unwrap_or(f64::NAN))
                .collect();
            let top = column.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            over += column
                .iter()
                .filter(|z| z.is_finite())
                .map(|z| (top - z) * dx * dy)
                .sum::<f64>();
        }
        assert!(taken(&rest) < 0.8 * taken(&whole), "{} {}", taken(&rest), taken(&whole));
        if ends == Ends::Square {
            assert!((taken(&rest) - over).abs() < 0.05 * over, "{} for {over}", taken(&rest));
        }
        assert!(rest.registration.contains("its own end") && whole.registration.contains("whole block"));
        // Held against the block, the same programs meet what they do not count on.
        let target = machining::target(&plan, &block).unwrap();
        let check = machining::Check {
            setup: &block,
            target: target.as_ref(),
            limits: CutTolerance::of(&block),
            loaded: 1,
            start: None,
            last: false,
        };
        assert!(!machining::verify(&rest.programs[0].text, &check).in_order());
    }
}

/// What is named before the part is let go is what stands there.
#[test]
fn heights_are_those_of_the_surface() {
    let plan = plan(false);
    let setup = setup(&plan);
    let surface = machining::Surface::new(&plan, &setup).unwrap();
    let (heights, length) = machining::heights((&plan).into(), &setup).unwrap();
    assert_eq!((heights.len(), length), (6, None));
    for (height, string) in heights.iter().zip(&plan.strings) {
        let top = (0..400).filter_map(|j| surface.height(height.at, -surface.thickness() * f64::from(j) / 400.0));
        assert!((top.fold(0.0, f64::max) - height.height).abs() < 1e-3);
        // The string rests a hair below the highest place of its section, or on it.
        assert!(height.string == string.number && (0.0..0.05).contains(&(height.height - string.contact.v)));
    }
    let prepared = prepare(&plan, "a", &setup).unwrap();
    assert_eq!((prepared.heights, prepared.length), (heights, None));
    let flat = Setup {
        kind: machining::SetupKind::Flat,
        holding: Holding::Tape {
            tabs: 0,
            tab_length: 3.0,
            tab_height: 0.3,
        },
        ..setup
    };
    let (_, length) = machining::heights((&plan).into(), &flat).unwrap();
    assert!((length.unwrap() - (plan.ends.1 - plan.ends.0)).abs() < 1e-9);
}

#[test]
fn left_handed_and_tapered() {
    let plan = Plan {
        left_handed: true,
        ..plan(false)
    };
    let mut setup = setup(&plan);
    setup.finisher = cutter(
        2,
        CutterShape::TaperedBall {
            radius: 1.0,
            half_angle: 0.1,
        },
        3.0,
    );
    prepare(&plan, "left", &setup).unwrap_or_else(|e| panic!("{e}"));
}

#[test]
fn nothing_is_handed_out_when_something_is_wrong() {
    let plan = plan(false);
    let mut short = setup(&plan);
    // Edges of 1 mm: material meets the shank.
    short.rougher.cutting_length = 0.5;
    match prepare(&plan, "a", &short) {
        Err(PrepareError::Refused(refused)) => {
            let (_, report) = refused.reports.last().unwrap();
            assert!(
                report.findings.iter().any(|f| matches!(f.fault, Fault::Shank { .. })),
                "{:?}",
                report.findings
            );
        }
        other => panic!("{:?}", other.map(|p| p.notes)),
    }
    let mut far = setup(&plan);
    far.machine.travel = [50.0, 50.0, 50.0];
    assert!(matches!(prepare(&plan, "a", &far), Err(PrepareError::Refused(_))));
    let mut rubs = setup(&plan);
    rubs.machine.feed_most = [60.0; 3];
    assert!(matches!(prepare(&plan, "a", &rubs), Err(PrepareError::Pass(_))));
}

#[test]
fn a_coarse_ball_says_what_it_leaves_in_steps() {
    let plan = plan(true);
    let prepared = prepare(&plan, "a", &setup(&plan)).unwrap_or_else(|e| panic!("{e}"));
    assert!(
        prepared.notes.iter().any(|n| n.contains("inner corners")),
        "{:?}",
        prepared.notes
    );
    let deviation = prepared.programs[1].report.deviation.as_ref().unwrap();
    // Beyond what a reached place may keep, and told apart from it.
    let excess = CutTolerance::of(&setup(&plan)).excess;
    assert!(
        deviation.unreached > excess && deviation.unreached < excess + 0.05,
        "{}",
        deviation.unreached
    );
    assert!(deviation.excess <= excess, "{}", deviation.excess);
    let words = deviation.words("micrometres");
    assert!(
        words.contains(&format!(
            "{:.0} micrometres left in inner corners",
            1000.0 * deviation.unreached
        )),
        "{words}"
    );
    let smooth = prepare(&self::plan(false), "a", &setup(&self::plan(false))).unwrap();
    let smooth = smooth.programs[1]
        .report
        .deviation
        .as_ref()
        .unwrap()
        .words("micrometres");
    assert!(!smooth.contains("inner corners"), "{smooth}");
}

/// A ball that leaves more in the steps than is ever excused is refused, whoever made the path.
#[test]
fn a_far_too_coarse_ball_is_refused() {
    let plan = plan(true);
    let mut setup = setup(&plan);
    setup.finisher = cutter(2, CutterShape::Ball, 6.0);
    let Err(PrepareError::Refused(refused)) = prepare(&plan, "a", &setup) else {
        panic!("not refused")
    };
    let (_, report) = refused.reports.last().unwrap();
    assert!(
        report
            .findings
            .iter()
            .any(|f| matches!(f.fault, Fault::Excess { height, .. } if height > 0.05)),
        "{:?}",
        report.findings
    );
}

/// What is excused as out of reach is what the ball's shape leaves, against the lowest of its places on a fine net.
#[test]
fn out_of_reach_is_what_the_ball_leaves() {
    let plan = plan(true);
    let setup = setup(&plan);
    let surface = machining::Surface::new(&plan, &setup).unwrap();
    let mut locator = machining::Locator::new(&setup.finisher, &surface);
    let (x0, x1) = surface.ends_x();
    let (radius, net) = (setup.finisher.radius(), 0.02);
    let reach = (radius / net) as i32;
    // Every corner, and some places elsewhere.
    let mut places: Vec<[f64; 2]> = Vec::new();
    let mut corners = 0;
    for k in 0..3000u32 {
        // Spread across by the golden ratio.
        let share = (f64::from(k) * 0.618_034).fract();
        let (x, y) = (
            x0 + (x1 - x0) * (f64::from(k) + 0.5) / 3000.0,
            -surface.thickness() * (0.05 + 0.9 * share),
        );
        let corner = Target::unreached(&surface, x, y) > 0.003;
        corners += u32::from(corner);
        if corner && corners % 3 == 0 || k % 150 == 0 {
            places.push([x, y]);
        }
    }
    let mut most = 0.0f64;
    for [x, y] in places {
        let mut lowest = f64::INFINITY;
        for i in -reach..=reach {
            for j in -reach..=reach {
                let (dx, dy) = (f64::from(i) * net, f64::from(j) * net);
                let over = setup.finisher.profile(dx.hypot(dy));
                // No place of the ball lies below the surface at the place itself.
                if over.is_finite() && over < 0.6 {
                    lowest = lowest.min(locator.z(x + dx, y + dy) + over);
                }
            }
        }
        let left = (lowest - surface.height(x, y).unwrap()).max(0.0);
        let said = Target::unreached(&surface, x, y);
        // The net's own coarseness: a quarter of its step over the ball's radius.
        assert!((said - left.min(0.05)).abs() < 0.002, "{x} {y}: {said} for {left}");
        most = most.max(left);
    }
    assert!(most > 0.01, "{most}");
}

#[test]
fn rounded_ends_in_the_jaws_are_rounded_above_them() {
    let plan = plan(false);
    let mut setup = setup(&plan);
    setup.ends = Ends::Round;
    setup.holding = Holding::Vise {
        jaw_height: 4.0,
        jaw_thickness: 12.0,
        jaw_x: (0.0, 80.0),
    };
    let prepared = prepare(&plan, "a", &setup).unwrap_or_else(|e| panic!("{e}"));
    assert!(
        prepared.notes.iter().any(|n| n.contains("rounded down to")),
        "{:?}",
        prepared.notes
    );

    // The tool stays down at an end, and of two laps the one beside the wall climbs.
    let paths = machining::toolpaths(&plan, &setup).unwrap().paths;
    let moves = &paths[0].moves;
    let arc = |m: &Move| matches!(m, Move::Arc { .. });
    let (first, last) = (
        moves.iter().position(arc).unwrap(),
        moves.iter().rposition(arc).unwrap(),
    );
    let ends = &moves[first - 1..=last];
    let over = |pair: &&[Move]| matches!(pair[1], Move::Rapid(to) if to[..2] != pair[0].to()[..2]);
    assert_eq!(ends.windows(2).filter(over).count(), 1);
    let turns: Vec<bool> = ends
        .iter()
        .filter_map(|m| match m {
            Move::Arc { clockwise, .. } => Some(*clockwise),
            _ => None,
        })
        .collect();
    assert!(
        turns.len() > 3 && turns.chunks(2).all(|pair| pair == [false, true]),
        "{turns:?}"
    );
}
