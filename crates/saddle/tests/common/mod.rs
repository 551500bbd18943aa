//! Invented instruments for tests.

use instrument::{Board, BoardRadius, Courses, NutReading, SlotEnd, SlotSurvey, SpacingRule, StringRun, places};
use proptest::prelude::*;
use saddle::{Blank, BlankKind, CrownSpec, Ridge, SaddleSurvey, StringSurvey, TensionChange};
use strings::{Core, CoreShape, Criterion, Material, Winding, plain, wound};

/// What varies from one invented instrument to the next; mm and degrees.
#[derive(Debug, Clone)]
pub struct Invented {
    pub scale: f64,
    pub joint: u32,
    pub relief: f64,
    pub radius: (f64, f64),
    pub spread: (f64, f64),
    pub action: (f64, f64),
    pub clearance: (f64, f64),
    pub edge: (f64, f64),
    pub top: (f64, f64),
    pub depth: (f64, f64),
    pub lean: f64,
    pub stepped: bool,
}

/// An invented parlour guitar with a through saddle that leans forward.
#[allow(dead_code)] // not every test file uses it
pub const PARLOUR: Invented = Invented {
    scale: 610.0,
    joint: 12,
    relief: 0.18,
    radius: (300.0, 350.0),
    spread: (36.5, 55.0),
    action: (2.4, 1.9),
    clearance: (0.55, 0.36),
    edge: (1.9, -0.4),
    top: (1.2, 1.4),
    depth: (5.5, 5.3),
    lean: 9.0,
    stepped: false,
};

/// Instruments of a usual kind, each reading at bass and treble.
#[allow(dead_code)] // not every test file uses it
pub fn invented() -> impl Strategy<Value = Invented> {
    let two = |low: f64, high: f64| (low..high, low..high);
    (
        (
            560.0..670.0f64,
            11u32..15,
            0.0..0.4f64,
            two(250.0, 500.0),
            two(0.0, 1.0),
        ),
        (
            two(1.5, 3.0),
            two(0.3, 0.6),
            two(0.5, 3.0),
            two(-1.0, 2.0),
            two(4.0, 7.0),
        ),
        (-12.0..16.0f64, any::<bool>()),
    )
        .prop_map(
            |((scale, joint, relief, radius, wide), (action, clearance, edge, top, depth), (lean, stepped))| Invented {
                scale,
                joint,
                relief,
                radius,
                spread: (34.0 + 4.0 * wide.0, 50.0 + 8.0 * wide.1),
                action,
                clearance,
                edge,
                top,
                depth,
                lean,
                stepped,
            },
        )
}

/// Gauge and core of a steel set, bass to treble, mm; core 0 for a plain string; pitch in Hz.
const SET: [(f64, f64, f64); 6] = [
    (1.35, 0.45, 82.4069),
    (1.07, 0.40, 110.0),
    (0.81, 0.36, 146.8324),
    (0.61, 0.33, 195.9977),
    (0.41, 0.0, 246.9417),
    (0.30, 0.0, 329.6276),
];

pub fn survey(of: &Invented, criterion: Criterion) -> SaddleSurvey {
    let gauges = SET.map(|s| s.0);
    let single = Courses::single(6);
    let at_nut = places(of.spread.0, SpacingRule::EqualGaps, &gauges, &single).unwrap();
    let at_saddle = places(of.spread.1, SpacingRule::EqualCentres, &gauges, &single).unwrap();
    let strings = SET.iter().enumerate().map(|(i, &(gauge, core, frequency))| {
        let share = i as f64 / 5.0;
        let between = |(bass, treble): (f64, f64)| bass + share * (treble - bass);
        let core = Core {
            size: core,
            shape: CoreShape::Round,
            material: Material::STEEL,
        };
        let model = if core.size == 0.0 {
            plain(gauge, Material::STEEL)
        } else {
            wound(gauge, core, Winding { density: 8.8 })
        };
        StringSurvey {
            number: 6 - i as u32,
            note: String::new(),
            model: model.unwrap(),
            frequency,
            run: StringRun::between(at_nut[i], at_saddle[i], of.scale),
            present_nut: Some(NutReading::Open {
                clearance: between(of.clearance),
                action_12: between(of.action) + 0.3,
            }),
            new_clearance: None,
            nut_x: 0.0,
            target_action: between(of.action),
            criterion,
            measured: None,
            stretch_found: false,
        }
    });
    let end = |edge: f64, bridge_top, depth| SlotEnd {
        edge_from_fret_12: 0.5 * of.scale + edge,
        bridge_top,
        depth,
    };
    SaddleSurvey {
        board: Board::new(
            of.scale,
            of.joint,
            of.relief,
            BoardRadius::Conical {
                nut: of.radius.0,
                fret_12: of.radius.1,
            },
        )
        .unwrap(),
        strings: strings.collect(),
        press: 0.0,
        slot: SlotSurvey::Straightedge([
            end(of.edge.0, of.top.0, of.depth.0),
            end(of.edge.1, of.top.1, of.depth.1),
        ]),
        lean: of.lean.to_radians(),
        under_tension: TensionChange::default(),
        under: 0.0,
        slot_width: None,
        slot_length: None,
        exit: None,
        blank: Blank {
            kind: BlankKind::Through,
            material: String::new(),
            thickness: 3.2,
            height: 14.0,
            length: 75.0,
            bass_end: None,
            land: 0.35,
        },
        crown: CrownSpec {
            ridge: if of.stepped { Ridge::Stepped } else { Ridge::Smooth },
            rounding: 0.5,
            front_fall: None,
            back_fall: None,
        },
        left_handed: false,
    }
}
