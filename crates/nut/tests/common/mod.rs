//! A six-string flat-top for the tests of nut and machining. All of it invented.

#![allow(
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss
)]
#![allow(dead_code)]

use instrument::{Board, BoardRadius, Courses, SlotEnd, SlotSurvey, SpacingRule, StringRun};
use nut::{Allowance, Front, Headstock, NutBlank, NutSurvey, Outer, TopShape, spacing};
use saddle::{Blank, BlankKind, CrownSpec, Ridge, SaddleSurvey, StringSurvey, TensionChange};
use strings::{Core, CoreShape, Criterion, Material, Winding, plain, wound};

/// Bass to treble: note, Hz, gauge, core (0: plain).
pub const SET: [(&str, f64, f64, f64); 6] = [
    ("E2", 82.4069, 1.35, 0.45),
    ("A2", 110.0, 1.07, 0.4),
    ("D3", 146.8324, 0.81, 0.36),
    ("G3", 195.9977, 0.61, 0.33),
    ("B3", 246.9417, 0.41, 0.0),
    ("E4", 329.6276, 0.3, 0.0),
];

/// What is wanted at its nut.
pub fn nut_survey() -> NutSurvey {
    NutSurvey {
        board_width: 44.5,
        fret_height: 1.0,
        seat_depth: 3.2,
        outer: Outer::ToSide([3.0, 2.8]),
        rule: SpacingRule::EqualGaps,
        courses: Courses::single(6),
        wound: vec![true, true, true, true, false, false],
        blank: NutBlank {
            material: "bone".to_owned(),
            thickness: 5.0,
            height: 9.0,
            length: 48.0,
        },
        headstock: Headstock {
            angle: 14f64.to_radians(),
            posts: None,
        },
        fall: None,
        allowance: Allowance::default(),
        shows: 0.5,
        top: TopShape::Follow,
        proud: 0.05,
        front: Front::Plain,
    }
}

/// The rest of it, with a saddle.
pub fn survey(nut: &NutSurvey) -> SaddleSurvey {
    let gauges: Vec<f64> = SET.iter().map(|s| s.2).collect();
    let at_nut = spacing::centres(nut.outer, nut.board_width, nut.rule, &gauges, &nut.courses).unwrap();
    let strings = SET.iter().enumerate().map(|(i, (note, frequency, gauge, core))| {
        let core = Core {
            size: *core,
            shape: CoreShape::Round,
            material: Material::STEEL,
        };
        let model = if core.size == 0.0 {
            plain(*gauge, Material::STEEL)
        } else {
            wound(*gauge, core, Winding { density: 8.8 })
        };
        StringSurvey {
            number: (6 - i) as u32,
            note: (*note).to_owned(),
            model: model.unwrap(),
            frequency: *frequency,
            run: StringRun::between(at_nut[i], -27.5 + 11.0 * i as f64, 610.0),
            present_nut: None,
            new_clearance: Some(0.5 - 0.03 * i as f64),
            nut_x: 0.0,
            target_action: 2.4 - 0.1 * i as f64,
            criterion: Criterion::BestFitWithNut,
            measured: None,
            stretch_found: false,
        }
    });
    let end = |edge_from_fret_12| SlotEnd {
        edge_from_fret_12,
        bridge_top: 1.0,
        depth: 5.5,
    };
    SaddleSurvey {
        board: Board::new(
            610.0,
            12,
            0.18,
            BoardRadius::Conical {
                nut: 300.0,
                fret_12: 350.0,
            },
        )
        .unwrap(),
        strings: strings.collect(),
        press: 0.0,
        slot: SlotSurvey::Straightedge([end(306.0), end(304.0)]),
        lean: 5f64.to_radians(),
        under_tension: TensionChange::default(),
        under: 0.0,
        slot_width: None,
        slot_length: None,
        exit: None,
        blank: Blank {
            kind: BlankKind::Through,
            material: "bone".to_owned(),
            thickness: 6.0,
            height: 12.0,
            length: 76.0,
            bass_end: None,
            land: 0.35,
        },
        crown: CrownSpec {
            ridge: Ridge::Smooth,
            rounding: 0.5,
            front_fall: None,
            back_fall: None,
        },
        left_handed: false,
    }
}
