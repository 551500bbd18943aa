//! Against M. B. Anderson, R. G. Beausoleil, "Classical guitar intonation and compensation: the well-tempered guitar",
//! J. Acoust. Soc. Am. 156(1), 683 (2024): the paper's normal-tension nylon set and its predicted setbacks, through the plan of a nut.
//! Its geometry: scale 650 mm, nut 1 mm above the fret plane, saddle 4 mm above the nut, no relief, finger pressing at the fret,
//! least squares over frets 1 to 12 in both setbacks. The paper keeps the saddle's height while it moves; a plan keeps the
//! action at fret 12, which over these few millimetres is the same to a hundredth.

use fixtures::{nut_survey, with_nut};
use instrument::{
    Board, BoardRadius, NewGap, NutReading, SlotEnd, SlotSurvey, StringRun, StrungInstrument, SurveyedString,
};
use nut::{Front, NutSurvey, Outer, alone, together};
use saddle::SaddleSurvey;
use strings::{Criterion, Stiffness, StringModel};

/// Bass to treble: note; radius mm, density g/m, R, saddle setback mm, nut setback mm, rms cents.
const SET: [(&str, [f64; 6]); 6] = [
    ("E2", [0.546, 5.470, 28.6, 2.46, -0.43, 0.19]),
    ("A2", [0.445, 3.289, 23.9, 1.82, -0.36, 0.15]),
    ("D3", [0.368, 1.920, 22.5, 1.48, -0.34, 0.14]),
    ("G3", [0.512, 0.836, 28.8, 2.33, -0.43, 0.19]),
    ("B3", [0.409, 0.505, 23.8, 1.69, -0.36, 0.15]),
    ("E4", [0.356, 0.374, 23.6, 1.48, -0.36, 0.15]),
];
const SCALE: f64 = 650.0;
/// How close the setbacks must come, mm, and the errors, cents: the paper prints two decimals.
const SETBACK: f64 = 0.03;
const RMS: f64 = 0.01;

/// Height of the paper's string over the fret plane at x, mm: 1 at the nut, 5 at the scale length.
fn height(x: f64) -> f64 {
    1.0 + 4.0 * x / SCALE
}

fn flat() -> Board {
    Board::new(SCALE, 12, 0.0, BoardRadius::Flat).unwrap()
}

fn model(radius: f64, density: f64, response: f64) -> StringModel {
    StringModel {
        outer_diameter: 2.0 * radius,
        linear_density: density,
        stiffness: Stiffness::from_response(response),
    }
}

fn blank() -> NutSurvey {
    NutSurvey {
        board_width: 52.0,
        outer: Outer::Spread(43.0),
        front: Front::Shelf,
        ..nut_survey()
    }
}

/// The paper's guitar, on a bridge that holds every contact.
fn guitar() -> SaddleSurvey {
    let mut survey = with_nut(&blank());
    survey.board = flat();
    for (i, (s, (note, [radius, density, response, ..]))) in survey.strings.iter_mut().zip(SET).enumerate() {
        let y = -21.5 + 8.6 * f64::from(u32::try_from(i).unwrap());
        s.note = note.to_owned();
        s.model = model(radius, density, response);
        s.frequency = strings::frequency(note, 440.0).unwrap();
        s.run = StringRun::between(y, 1.35 * y, SCALE);
        s.new_gap = Some(NewGap::Open(height(survey.board.fret_x(1, &StringRun::CENTRE))));
        s.target_action = height(survey.board.fret_x(12, &StringRun::CENTRE));
        s.criterion = Criterion::BestFitWithNut;
    }
    survey.slot = SlotSurvey::Straightedge(
        [SlotEnd {
            edge_from_fret_12: 323.0,
            bridge_top: -3.0,
            depth: 5.0,
        }; 2],
    );
    survey.lean = 0.0;
    survey.blank.thickness = 8.0;
    survey
}

#[test]
fn setbacks_of_the_plan_are_those_of_the_paper() {
    let done = together(&guitar(), &blank()).unwrap();
    let planned = done.nut.strings.iter().zip(&done.nut.compensation.strings);
    for ((slot, c), (note, [.., saddle, nut, rms])) in planned.zip(SET) {
        assert!((slot.setback - nut).abs() < SETBACK, "{note}: {} {nut}", slot.setback);
        assert!((c.shelf.nut - nut).abs() < SETBACK, "{note}: {} {nut}", c.shelf.nut);
        assert!(
            (c.shelf.saddle - saddle).abs() < SETBACK,
            "{note}: {} {saddle}",
            c.shelf.saddle
        );
        assert!((c.shelf.rms - rms).abs() < RMS, "{note}: {} {rms}", c.shelf.rms);
        // A nut at fret 0 leaves more.
        assert!(c.none.rms > 2.0 * rms, "{note}: {}", c.none.rms);
    }
    // The front face reaches as far as the string that asks for most.
    assert!((done.nut.front_x - 0.43).abs() < SETBACK, "{}", done.nut.front_x);
    for (slot, plan) in done.nut.strings.iter().zip(&done.saddle.strings) {
        assert!((done.nut.front_x - slot.b - plan.nut.x).abs() < 1e-12);
        assert_eq!(plan.hold, saddle::Hold::Free);
    }
}

/// With the saddle standing where the paper puts it, the nut alone finds the paper's setback.
#[test]
fn a_saddle_that_stands_there_gives_the_same_nut() {
    let board = flat();
    let from = guitar();
    let each = from.strings.iter().zip(SET);
    let strings = each.map(|(s, (_, [.., saddle, _, _]))| SurveyedString {
        number: s.number,
        note: s.note.clone(),
        model: s.model,
        frequency: s.frequency,
        run: s.run,
        present_nut: Some(NutReading::Open {
            clearance: height(board.fret_x(1, &StringRun::CENTRE)),
            action_12: height(board.fret_x(12, &StringRun::CENTRE)),
        }),
        nut_x: 0.0,
        contact_from_fret_12: Some(SCALE + saddle - board.fret_x(12, &StringRun::CENTRE)),
        action_12: Some(height(board.fret_x(12, &StringRun::CENTRE))),
        cents_12: None,
        stretch_found: false,
        known: s.known,
    });
    let standing = StrungInstrument {
        board,
        strings: strings.collect(),
        press: 0.0,
        left_handed: false,
        ends: strings::Ends::PUBLISHED,
        stand_off: 0.0,
    };
    let plan = alone(
        &standing,
        &[NewGap::Open(height(board.fret_x(1, &StringRun::CENTRE))); 6],
        &blank(),
    )
    .unwrap();
    for ((slot, c), (note, [.., nut, rms])) in plan.strings.iter().zip(&plan.compensation.strings).zip(SET) {
        assert!((slot.setback - nut).abs() < SETBACK, "{note}: {} {nut}", slot.setback);
        assert!((c.shelf.rms - rms).abs() < RMS, "{note}: {} {rms}", c.shelf.rms);
    }
}
