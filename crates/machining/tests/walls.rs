//! Upright walls: an outline cut flat is judged to the hundredth of a millimetre, whatever the grid.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests

use machining::testbed::on_edge;
use machining::{Check, Fault, Holding, Limits, Report, Setup, SetupKind, Target, verify};

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
    let mut text = String::from("G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z8.2\nS12000 M3\n");
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
        limits: Limits::of(&setup),
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

#[test]
fn depths_of_the_kerf() {
    assert!(left_over(&judge(&program(1.5, [0.0, 0.0], &LEVELS[..3]))));
    let deep = judge(&program(1.5, [0.0, 0.0], &[2.5, 1.8, 1.1, 0.3, -0.3]));
    assert!(deep.findings.iter().any(|f| matches!(f.fault, Fault::Table { .. })));
    // A lap left out is told by its step, a side left out by what stays.
    let steep = judge(&program(1.5, [0.0, 0.0], &[2.5, 1.1, 0.3]));
    assert!(steep.findings.iter().any(|f| matches!(f.fault, Fault::StepDown { .. })));
}
