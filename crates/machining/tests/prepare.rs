//! From a plan to programs, on machines of several kinds.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation, dead_code)]

#[path = "../../saddle/tests/common/mod.rs"]
mod common;

use machining::testbed::{cutter, on_edge};
use machining::{CutterShape, Ends, Fault, Holding, Machine, Material, PrepareError, Setup, Words, Zero, prepare};
use saddle::Plan;
use strings::Criterion;

fn plan(stepped: bool) -> Plan {
    let of = common::Invented {
        stepped,
        ..common::PARLOUR
    };
    saddle::plan(&common::survey(&of, Criterion::Octave)).unwrap()
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
        tool_change: false,
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
            setup.machine.tool_change = change;
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
}
