//! A setup, a cutter and a machine for tests. All of it invented.

use crate::{
    Cutter, CutterShape, Ends, Holding, Machine, Material, Motion, MotionKind, Setup, SetupKind, Stock, Target, Words,
    Zero,
};

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
        tool_change: true,
        words: Words {
            g: vec![
                0, 10, 20, 30, 40, 170, 180, 190, 200, 210, 400, 490, 540, 800, 900, 910, 911, 940,
            ],
            m: vec![20, 30, 50, 60, 300],
            letters: "XYZIJKRFSTNP".chars().collect(),
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

/// About 20,000 finishing moves of a ball of 3 mm, up and down along a blank of 75 by 3.2 mm whose crown is round across
/// and bowed along: 64 passes of 312 moves, 0.05 mm apart.
#[must_use]
pub fn finishing_moves(tool: u32) -> Vec<Motion> {
    const PASSES: u32 = 64;
    const MOVES: u32 = 312;
    let place = |pass: u32, k: u32| {
        let y = -0.025 - 0.05 * f64::from(pass);
        let k = if pass.is_multiple_of(2) { k } else { MOVES - k };
        let x = 75.0 * f64::from(k) / f64::from(MOVES);
        let across = (y + 1.6) / 1.6;
        [x, y, 9.5 - 0.8 * across * across - 0.0006 * (x - 37.5).powi(2)]
    };
    let points: Vec<_> = (0..PASSES)
        .flat_map(|pass| (0..=MOVES).map(move |k| place(pass, k)))
        .collect();
    points
        .windows(2)
        .map(|pair| Motion {
            from: pair[0],
            to: pair[1],
            kind: MotionKind::Line,
            feed: 600.0,
            spindle: 12_000.0,
            tool,
            line: 1,
        })
        .collect()
}

/// Radius of the bow of [`Bow`], mm.
const BOW: f64 = 2000.0;
/// Its highest, mm.
const BOW_TOP: f64 = 10.0;

/// A surface level across and bowed along the blank of [`on_edge`]: a circle of 2000 mm radius with its top at 10 mm.
#[derive(Debug, Clone, Copy)]
pub struct Bow;

impl Target for Bow {
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        let inside = (0.0..=75.0).contains(&x) && (-3.2..=0.0).contains(&y);
        inside.then(|| BOW_TOP - BOW + (BOW * BOW - (x - 37.5) * (x - 37.5)).sqrt())
    }

    fn bounds(&self) -> [f64; 4] {
        [0.0, -3.2, 75.0, 0.0]
    }
}

/// A program by hand for [`Bow`] in [`on_edge`]: two rough passes, then 13 arcs in the ZX plane, 0.267 mm apart.
#[must_use]
pub fn bow_program() -> String {
    const START: &str = "%
(bow, by hand)
(air-cut first)
G21
G90 G17 G94 G40 G49 G80 G54
G0 Z16
T1 M6
S12000 M3
G0 X-4 Y-0.8
Z11.5
G1 Z10.2 F300
X79 F720
Y-2.4
X-4
G0 Z16
M5
T2 M6
S12000 M3
G0 X-3 Y0
Z11.5
G1 Z9.5902 F300
G18
F720
";
    // The tip runs on a circle that is wider by the ball's radius and as much lower: centre 1991.5 below nought.
    let radius = BOW + 1.5;
    let centre = BOW_TOP - radius;
    let z = ((centre + (radius * radius - 40.5 * 40.5).sqrt()) * 1e4).round() / 1e4;
    let mut text = START.replace("9.5902", &format!("{z:.4}"));
    for pass in 0..13 {
        let (word, x, i) = if pass % 2 == 0 {
            ("G3", 78.0, 40.5)
        } else {
            ("G2", -3.0, -40.5)
        };
        if pass > 0 {
            text += &format!("G1 Y{:.4}\n", -3.2 / 12.0 * f64::from(pass));
        }
        text += &format!("{word} X{x:.4} Z{z:.4} I{i:.4} K{:.4}\n", centre - z);
    }
    text + "G17\nG0 Z16\nM5\nM30\n%\n"
}
