//! A setup, a cutter and a machine for the tests of this crate and, through the crate of fixtures, of all others. All of it
//! invented.

use crate::{Cutter, CutterShape, Ends, Holding, Machine, Material, Setup, SetupKind, Stock, ToolLengths, Words, Zero};

/// A cutter of the given shape and diameter, mm.
#[must_use]
pub fn cutter(number: u32, shape: CutterShape, diameter: f64) -> Cutter {
    Cutter {
        name: format!("test cutter {number}"),
        number,
        shape,
        diameter,
        flutes: 2,
        cutting_length: 10.0,
        stick_out: 20.0,
        shank_diameter: diameter,
        collet_diameter: 18.0,
    }
}

/// A small router in millimetres that takes arcs and tool changes.
#[must_use]
pub fn machine() -> Machine {
    Machine {
        name: "test router".into(),
        travel: [300.0, 200.0, 80.0],
        feed_most: [2000.0, 2000.0, 800.0],
        rapid: [3000.0, 3000.0, 1500.0],
        acceleration: [200.0, 200.0, 100.0],
        spindle: (6000.0, 24000.0),
        spindle_up: 3.0,
        corner: 0.01,
        inch: false,
        arcs: true,
        tool_lengths: ToolLengths::Table,
        top_z: Some(0.0),
        line_most: 80,
        words: Words {
            g: vec![
                0, 10, 20, 30, 40, 170, 180, 190, 200, 210, 280, 300, 400, 430, 490, 530, 540, 610, 640, 800, 900, 910,
                911, 940,
            ],
            m: vec![0, 10, 20, 30, 50, 60, 90, 300],
            letters: "XYZIJKRFSTHNP".chars().collect(),
        },
    }
}

/// A blank of 75 by 3.2 mm that stands 11 mm high in a vise; tool 1 a flat cutter of 3 mm, tool 2 a ball of 3 mm.
#[must_use]
pub fn on_edge() -> Setup {
    Setup {
        part: crate::PartKind::Saddle,
        kind: SetupKind::OnEdge,
        stock: Stock {
            thickness: 3.2,
            height: 11.0,
            length: 75.0,
            bass_margin: 0.0,
        },
        outlined: false,
        zero: Zero::Seat,
        holding: Holding::Vise {
            jaw_height: 5.0,
            jaw_thickness: 12.0,
            jaw_x: (2.0, 73.0),
        },
        ends: Ends::Square,
        rough_allowance: 0.2,
        scallop: 0.01,
        clearance: 5.0,
        rougher: cutter(1, CutterShape::Flat, 3.0),
        finisher: cutter(2, CutterShape::Ball, 3.0),
        groovers: Vec::new(),
        groove_leave: 0.1,
        leave_proud: 0.0,
        material: Material {
            name: "test bone".into(),
            chip_least: 0.005,
            chip: 0.03,
            chip_most: 0.1,
            step_down: 0.3,
            step_over: 0.4,
            speed_most: 300.0,
            source: "invented".into(),
        },
        machine: machine(),
        spindle: 12000.0,
    }
}
