//! An invented parlour guitar for the tests of this crate.

use instrument::{Board, BoardRadius, Courses, NutReading, SlotEnd, SlotSurvey, SpacingRule, StringRun, places};
use saddle::{Blank, BlankKind, CrownSpec, ExitEnd, Plan, Ridge, SaddleSurvey, StringSurvey, TensionChange, plan};
use strings::{Core, CoreShape, Criterion, Material, Winding, plain, wound};

/// Bass to treble: number, note, Hz, gauge, core (0: plain), clearance, action now, target; mm.
type Row = (u32, &'static str, f64, f64, f64, f64, f64, f64);
const STRINGS: [Row; 6] = [
    (6, "E2", 82.4069, 1.35, 0.45, 0.55, 2.9, 2.4),
    (5, "A2", 110.0, 1.07, 0.4, 0.52, 2.75, 2.3),
    (4, "D3", 146.8324, 0.81, 0.36, 0.48, 2.6, 2.2),
    (3, "G3", 195.9977, 0.61, 0.33, 0.45, 2.45, 2.1),
    (2, "B3", 246.9417, 0.41, 0.0, 0.4, 2.3, 2.0),
    (1, "E4", 329.6276, 0.3, 0.0, 0.36, 2.2, 1.9),
];

/// The survey; on a blank 3.2 mm thick strings 6 and 2 are held at the back.
pub(crate) fn survey() -> SaddleSurvey {
    let gauges: Vec<f64> = STRINGS.iter().map(|s| s.3).collect();
    let at = |spread, rule| places(spread, rule, &gauges, &Courses::single(6)).unwrap();
    let (at_nut, at_saddle) = (at(36.5, SpacingRule::EqualGaps), at(55.0, SpacingRule::EqualCentres));
    let strings = STRINGS.iter().enumerate().map(|(i, s)| {
        let core = Core {
            size: s.4,
            shape: CoreShape::Round,
            material: Material::STEEL,
        };
        let model = if s.4 == 0.0 {
            plain(s.3, Material::STEEL)
        } else {
            wound(s.3, core, Winding { density: 8.8 })
        };
        StringSurvey {
            number: s.0,
            note: s.1.to_owned(),
            model: model.unwrap(),
            frequency: s.2,
            run: StringRun::between(at_nut[i], at_saddle[i], 610.0),
            present_nut: Some(NutReading::Open {
                clearance: s.5,
                action_12: s.6,
            }),
            new_clearance: None,
            nut_x: 0.0,
            target_action: s.7,
            criterion: Criterion::Octave,
            measured: None,
            stretch_found: false,
        }
    });
    let end = |edge_from_fret_12, bridge_top, depth| SlotEnd {
        edge_from_fret_12,
        bridge_top,
        depth,
    };
    let radius = BoardRadius::Conical {
        nut: 300.0,
        fret_12: 350.0,
    };
    SaddleSurvey {
        board: Board::new(610.0, 12, 0.18, radius).unwrap(),
        strings: strings.collect(),
        press: 0.0,
        slot: SlotSurvey::Straightedge([end(306.9, 1.2, 5.5), end(304.6, 1.4, 5.3)]),
        lean: 9f64.to_radians(),
        under_tension: TensionChange::default(),
        under: 0.0,
        slot_width: Some(3.25),
        slot_length: None,
        exit: Some(
            [ExitEnd {
                behind_slot: 12.0,
                above_bridge_top: 0.0,
            }; 2],
        ),
        blank: Blank {
            kind: BlankKind::Through,
            material: "bone".to_owned(),
            thickness: 3.2,
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

/// Twelve strings in one row on the same instrument, with a blank thick enough for all.
pub(crate) fn twelve() -> SaddleSurvey {
    let mut survey = survey();
    let six = survey.strings.clone();
    survey.strings = (0..12u32)
        .map(|i| {
            let mut string = six[i as usize / 2].clone();
            let share = f64::from(i) / 11.0 - 0.5;
            string.number = 12 - i;
            string.note = "G#3".to_owned();
            string.run = StringRun::between(40.0 * share, 56.0 * share, 610.0);
            string
        })
        .collect();
    survey.blank.thickness = 9.0;
    survey
}

/// Its plan.
pub(crate) fn planned(survey: &SaddleSurvey) -> Plan {
    plan(survey).unwrap()
}
