//! Upright walls: an outline cut flat is judged to the hundredth of a millimetre, whatever the grid.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation, dead_code)] // helpers of tests

use fixtures::{PARLOUR, on_edge};
use machining::{
    Check, CutTolerance, Ends, Fault, Grid, Holding, Report, Setup, SetupKind, Stock, Target, ToolLengths, Toolpath,
    emit, prepare, target, toolpaths, verify,
};
use saddle::Plan;

/// A plate from (5, 2) to (70, 9) in stock of 75 by 11 by 3.2 mm, cut out down to a skin of 0.3 mm.
struct Plate;

const PLATE: [f64; 4] = [5.0, 2.0, 70.0, 9.0];
const TOP: f64 = 3.2;
const SKIN: f64 = 0.3;

/// Distance of a place from the plate, 0 within.
fn off(x: f64, y: f64) -> f64 {
    (PLATE[0] - x)
        .max(x - PLATE[2])
        .max(0.0)
        .hypot((PLATE[1] - y).max(y - PLATE[3]).max(0.0))
}

impl Target for Plate {
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        (off(x, y) == 0.0).then_some(TOP)
    }

    fn bounds(&self) -> [f64; 4] {
        PLATE
    }

    fn kerf(&self, x: f64, y: f64) -> Option<f64> {
        (off(x, y) > 0.0 && off(x, y) < 2.5).then_some(SKIN)
    }

    fn walls(&self) -> Vec<Vec<[f64; 2]>> {
        let [x0, y0, x1, y1] = PLATE;
        vec![vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]]]
    }
}

fn setup() -> Setup {
    let mut setup = Setup {
        kind: SetupKind::Flat,
        holding: Holding::Tape {
            tabs: 0,
            tab_length: 3.0,
            tab_height: SKIN,
        },
        ..on_edge()
    };
    setup.stock.height = 11.0;
    setup.stock.length = 75.0;
    setup
}

/// The outline with the tool's middle `reach` mm from the plate, moved by `shift`; climb, with arcs about the corners.
fn program(reach: f64, shift: [f64; 2], levels: &[f64]) -> String {
    let [x0, y0, x1, y1] = [
        PLATE[0] + shift[0],
        PLATE[1] + shift[1],
        PLATE[2] + shift[0],
        PLATE[3] + shift[1],
    ];
    let mut text = String::from("G21 G90 G17 G94 G40 G49 G80 G54 G91.1\nG43 H1\nG0 Z8.2\nS12000 M3\nG4 P3\n");
    text += &format!("G0 X{:.4} Y{:.4}\nZ3.4\n", x0 - reach, y0);
    for z in levels {
        text += &format!("G1 Z{z:.3} F300\n");
        text += &format!("Y{y1:.4} F720\nG2 X{x0:.4} Y{:.4} I{reach:.4} J0\n", y1 + reach);
        text += &format!("G1 X{x1:.4}\nG2 X{:.4} Y{y1:.4} I0 J{:.4}\n", x1 + reach, -reach);
        text += &format!("G1 Y{y0:.4}\nG2 X{x1:.4} Y{:.4} I{:.4} J0\n", y0 - reach, -reach);
        text += &format!("G1 X{x0:.4}\nG2 X{:.4} Y{y0:.4} I0 J{reach:.4}\n", x0 - reach);
    }
    text + "G0 Z8.2\nM5\nM30\n"
}

const LEVELS: [f64; 4] = [2.5, 1.8, 1.1, 0.3];

fn judge(text: &str) -> Report {
    let setup = setup();
    let check = Check {
        setup: &setup,
        target: &Plate,
        limits: CutTolerance::of(&setup),
        loaded: 1,
        start: None,
        last: true,
    };
    verify(text, &check)
}

fn gouged(report: &Report) -> bool {
    report.findings.iter().any(|f| matches!(f.fault, Fault::Gouge { .. }))
}

fn left_over(report: &Report) -> bool {
    report
        .findings
        .iter()
        .any(|f| matches!(f.fault, Fault::Excess { .. } | Fault::Uncut { .. }))
}

#[test]
fn the_outline_is_in_order() {
    let report = judge(&program(1.5, [0.0, 0.0], &LEVELS));
    assert!(report.in_order(), "{:#?}", report.findings);
}

/// Limits are 0.010 mm into the part and 0.020 mm beside it. The grid's cells are 0.05 mm.
#[test]
fn hundredths_beside_a_wall_count() {
    for shift in [[0.008, 0.0], [0.0, -0.008], [-0.005, 0.005]] {
        let report = judge(&program(1.5, shift, &LEVELS));
        assert!(report.in_order(), "{shift:?}: {:#?}", report.findings);
    }
    for shift in [[0.012, 0.0], [-0.012, 0.0], [0.0, 0.012], [0.0, -0.012], [0.2, 0.0]] {
        assert!(gouged(&judge(&program(1.5, shift, &LEVELS))), "{shift:?}");
    }
    assert!(gouged(&judge(&program(1.488, [0.0, 0.0], &LEVELS))));
    assert!(judge(&program(1.518, [0.0, 0.0], &LEVELS)).in_order());
    assert!(left_over(&judge(&program(1.523, [0.0, 0.0], &LEVELS))));
}

/// How far a wall lies from its place is told to a tenth of the limits, wherever the cells lie.
#[test]
fn a_walls_distance_is_told() {
    for (shift, gouge, excess) in [(0.0, 0.0, 0.0), (0.0055, 0.005, 0.004), (0.0085, 0.008, 0.008)] {
        for shift in [[shift, 0.0], [0.0, -shift]] {
            let deviation = judge(&program(1.5, shift, &LEVELS)).deviation.unwrap();
            assert!((deviation.gouge - gouge).abs() < 1e-9, "{shift:?}: {}", deviation.gouge);
            assert!(
                (deviation.excess - excess).abs() < 1e-9,
                "{shift:?}: {}",
                deviation.excess
            );
        }
    }
}

#[test]
fn depths_of_the_kerf() {
    assert!(left_over(&judge(&program(1.5, [0.0, 0.0], &LEVELS[..3]))));
    let deep = judge(&program(1.5, [0.0, 0.0], &[2.5, 1.8, 1.1, 0.3, -0.3]));
    assert!(deep.findings.iter().any(|f| matches!(f.fault, Fault::Table { .. })));
    // A lap left out is told by its step, a side left out by what stays.
    let steep = judge(&program(1.5, [0.0, 0.0], &[2.5, 1.1, 0.3]));
    assert!(steep.findings.iter().any(|f| matches!(f.fault, Fault::StepDown { .. })));
}

/// A cell whose centre lies within a wall that was touched shows how far it lies within, and not the depth of the cut or the
/// limit.
#[test]
fn beside_a_wall_the_picture_shows_the_distance_from_it() {
    let setup = setup();
    let mut limits = CutTolerance::of(&setup);
    // A grid with a cell's centre 4 um within the wall at the lower X.
    let inside = |cell: f64| {
        let grid = Grid::cover(setup.stock_plan(), cell);
        (0..grid.count[0])
            .map(|i| grid.centre(i, 0)[0] - PLATE[0])
            .find(|d| *d > 0.0)
            .unwrap()
    };
    limits.cell = (0..4000)
        .map(|k| 0.04 + f64::from(k) * 2.5e-6)
        .find(|c| (inside(*c) - 0.004).abs() < 0.0002)
        .unwrap();
    let check = |shift: f64| {
        verify(
            &program(1.5, [shift, 0.0], &LEVELS),
            &Check {
                setup: &setup,
                target: &Plate,
                limits,
                loaded: 1,
                start: None,
                last: true,
            },
        )
    };
    for (shift, least, most) in [(0.0, 0.0, 0.0005), (0.003, 0.0, 0.0005), (0.008, 0.0035, 0.0045)] {
        let report = check(shift);
        assert!(report.in_order(), "{:?}", report.findings);
        let shown = report.deviation.unwrap().values;
        let deepest = -shown.into_iter().filter(|v| v.is_finite()).fold(0.0, f64::min);
        assert!((least..=most).contains(&deepest), "{shift}: {deepest}");
    }
}

fn plan() -> Plan {
    PARLOUR.plan()
}

/// The plan's blank on edge with rounded ends that hang out of the jaws, or flat.
fn real(plan: &Plan, kind: SetupKind, ends: Ends) -> Setup {
    let mut setup = on_edge();
    setup.kind = kind;
    setup.ends = ends;
    setup.stock = Stock {
        thickness: plan.crown.thickness,
        height: if kind == SetupKind::Flat { 16.0 } else { 12.0 },
        length: plan.ends.1 - plan.ends.0 + 8.0,
        bass_margin: 4.0,
    };
    setup.holding = match kind {
        SetupKind::Flat => Holding::Tape {
            tabs: 2,
            tab_length: 4.0,
            tab_height: 0.6,
        },
        SetupKind::OnEdge | SetupKind::OnEnd => Holding::Vise {
            jaw_height: 5.0,
            jaw_thickness: 12.0,
            jaw_x: (12.0, setup.stock.length - 12.0),
        },
    };
    setup.rougher.cutting_length = 14.0;
    setup
}

/// The programs of `made`, held against `wanted`: what is wrong in the first that is not in order.
fn held(plan: &Plan, made: &Setup, wanted: &Setup) -> Vec<Fault> {
    let paths = toolpaths(plan, made).unwrap().paths;
    let target = target(plan, wanted).unwrap();
    let groups: Vec<Vec<&Toolpath>> = if made.machine.tool_lengths == ToolLengths::Table {
        vec![paths.iter().collect()]
    } else {
        paths.iter().map(|p| vec![p]).collect()
    };
    let mut start = None;
    for (i, group) in groups.iter().enumerate() {
        let text = emit("held", made, group).unwrap();
        let check = Check {
            setup: wanted,
            target: target.as_ref(),
            limits: CutTolerance::of(wanted),
            loaded: group[0].cutter.number,
            start: start.as_ref(),
            last: i + 1 == groups.len(),
        };
        let report = verify(&text, &check);
        if !report.in_order() {
            return report.findings.into_iter().map(|f| f.fault).collect();
        }
        start = report.left;
    }
    Vec::new()
}

/// A cutter wider or thinner than the one that the path was made for moves every wall.
#[test]
fn walls_of_a_real_outline_are_judged_on_both_sides() {
    let plan = plan();
    for ends in [Ends::Square, Ends::Round] {
        let setup = real(&plan, SetupKind::Flat, ends);
        assert_eq!(held(&plan, &setup, &setup), []);
        for (off, gouges) in [(-0.03, true), (0.06, false)] {
            let mut made = setup.clone();
            made.rougher.diameter += off;
            let faults = held(&plan, &made, &setup);
            let right = |f: &Fault| match f {
                Fault::Gouge { .. } => gouges,
                Fault::Excess { height, .. } => !gouges && *height > 3.0,
                _ => false,
            };
            assert!(faults.iter().any(right), "{off}: {faults:?}");
        }
    }
}

/// Rounded ends on edge: their arcs and the depth that they reach, with the tools in one program and in two.
#[test]
fn walls_of_rounded_ends_are_judged() {
    let plan = plan();
    for tool_lengths in [ToolLengths::Table, ToolLengths::OneProgram] {
        let mut setup = real(&plan, SetupKind::OnEdge, Ends::Round);
        setup.machine.tool_lengths = tool_lengths;
        assert_eq!(held(&plan, &setup, &setup), [], "{tool_lengths:?}");
        // The floor that is wanted is the parallel.
        assert!(
            prepare(&plan, "ends", &setup)
                .unwrap()
                .notes
                .iter()
                .all(|n| !n.contains("rounded down"))
        );

        // Both arcs 0.05 mm further in, then 0.05 mm further out.
        for (off, gouges) in [(-0.1, true), (0.1, false)] {
            let mut made = setup.clone();
            made.rougher.diameter += off;
            let faults = held(&plan, &made, &setup);
            let right = |f: &Fault| match f {
                Fault::Gouge { .. } => gouges,
                Fault::Excess { height, .. } => !gouges && *height > 5.0,
                _ => false,
            };
            assert!(faults.iter().any(right), "{tool_lengths:?} {off}: {faults:?}");
        }

        // 0.5 mm short of the parallel.
        let mut made = setup.clone();
        made.rougher.cutting_length = setup.stock.height - 0.5;
        let faults = held(&plan, &made, &setup);
        let short = |f: &Fault| matches!(f, Fault::Excess { height, .. } if (height - 0.5).abs() < 0.03);
        assert!(faults.iter().any(short), "{tool_lengths:?}: {faults:?}");
    }
}
