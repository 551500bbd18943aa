//! The gap asked for over fret 1 is the gap that the nut gives, wherever its contact stands at last.

use fixtures::{nut_survey, with_nut};
use instrument::{Board, BoardRadius, NewGap, NutReading, StringLine, StringRun, StrungInstrument, SurveyedString};
use nut::{Front, NutPlan, alone, together};
use proptest::prelude::*;
use saddle::SaddleSurvey;
use strings::Criterion;

/// Asked and found, mm.
const MET: f64 = 1e-9;

/// An instrument, what its nut shall give, and how the front is made.
#[derive(Debug, Clone)]
struct Wish {
    survey: SaddleSurvey,
    gaps: Vec<NewGap>,
    front: Front,
}

fn wishes() -> impl Strategy<Value = Wish> {
    let front = prop_oneof![Just(Front::Plain), Just(Front::Shelf), Just(Front::Straight)];
    let neck = (600.0..660.0f64, 0.0..0.4f64, 200.0..500.0f64, 1.0..1.5f64);
    let strings = (1.5..3.5f64, 0.8..1.3f64, any::<bool>(), 0.05..0.2f64, -0.5..0.5f64);
    (front, neck, strings).prop_map(
        |(front, (scale, relief, radius, flatter), (action, limp, held, gap, nut_x))| {
            let mut nut = nut_survey();
            nut.front = front;
            let mut survey = with_nut(&nut);
            let radius = BoardRadius::Conical {
                nut: radius,
                fret_12: flatter * radius,
            };
            survey.board = Board::new(scale, 14, relief, radius).unwrap();
            let gaps: Vec<NewGap> = (0..6)
                .map(|i| {
                    let less = 1.0 - 0.08 * f64::from(i);
                    if held {
                        NewGap::HeldAtThree(gap * less)
                    } else {
                        NewGap::Open(0.2 + 2.0 * gap * less)
                    }
                })
                .collect();
            for (s, gap) in survey.strings.iter_mut().zip(&gaps) {
                s.new_gap = Some(*gap);
                s.target_action = action;
                s.nut_x = nut_x;
                s.model.stiffness = s.model.stiffness.scaled(limp);
                if front == Front::Plain {
                    s.criterion = Criterion::BestFit;
                }
            }
            Wish { survey, gaps, front }
        },
    )
}

/// The gap that each slot gives, from its place and height alone: a line from the floor's edge to the saddle's contact, or to the
/// crown of fret 3, over the crown of fret 1.
fn given(board: &Board, plan: &NutPlan, gaps: &[NewGap]) -> Vec<f64> {
    let each = plan.strings.iter().zip(&plan.lines).zip(gaps);
    each.map(|((slot, line), gap)| {
        let edge = (plan.front_x - slot.b, plan.seat_z + slot.floor);
        let end = match gap {
            NewGap::Open(_) => (line.saddle.x, line.saddle.z),
            NewGap::HeldAtThree(_) => (board.fret_x(3, &StringRun::CENTRE), board.crown_under(3, &line.run)),
        };
        let (x, crown) = (board.fret_x(1, &StringRun::CENTRE), board.crown_under(1, &line.run));
        edge.1 + (end.1 - edge.1) * (x - edge.0) / (end.0 - edge.0) - crown
    })
    .collect()
}

fn met(board: &Board, plan: &NutPlan, gaps: &[NewGap]) -> Result<(), TestCaseError> {
    for ((slot, found), asked) in plan.strings.iter().zip(given(board, plan, gaps)).zip(gaps) {
        prop_assert!((found - asked.mm()).abs() < MET, "{asked:?} {found}");
        let told = match asked {
            NewGap::Open(_) => slot.clearance,
            NewGap::HeldAtThree(_) => slot.held_at_3,
        };
        prop_assert!((told - asked.mm()).abs() < MET, "{asked:?} {told}");
    }
    Ok(())
}

/// The finished instrument as a repairer would read it.
fn standing(survey: &SaddleSurvey, made: &saddle::Plan) -> StrungInstrument {
    let board = survey.board;
    let strings = made
        .strings
        .iter()
        .zip(&survey.strings)
        .map(|(s, from)| SurveyedString {
            number: s.number,
            note: s.note.clone(),
            model: s.string.model,
            frequency: from.frequency,
            run: s.run,
            present_nut: Some(NutReading::Open {
                clearance: s.action_1,
                action_12: s.action_12,
            }),
            nut_x: from.nut_x,
            contact_from_fret_12: Some(s.position.x - board.fret_x(12, &StringRun::CENTRE)),
            action_12: Some(s.action_12),
            cents_12: None,
            stretch_found: false,
            known: from.known,
        });
    StrungInstrument {
        board,
        strings: strings.collect(),
        press: survey.press,
        left_handed: false,
        ends: strings::Ends::PUBLISHED,
        stand_off: 0.0,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn the_gap_asked_for_is_given_by_every_front(wish in wishes(), higher in -0.02..0.05f64) {
        let mut nut = nut_survey();
        nut.front = wish.front;
        let made = together(&wish.survey, &nut).unwrap();
        let board = &wish.survey.board;
        met(board, &made.nut, &wish.gaps)?;
        for (s, from) in made.saddle.strings.iter().zip(&wish.survey.strings) {
            prop_assert!((s.action_12 - from.target_action).abs() < MET);
        }
        // The same nut over the saddle so made, and another over it.
        let standing = standing(&wish.survey, &made.saddle);
        let again = alone(&standing, &wish.gaps, &nut).unwrap();
        met(board, &again, &wish.gaps)?;
        let other: Vec<NewGap> = wish.gaps.iter().map(|gap| gap.with(gap.mm() + higher)).collect();
        met(board, &alone(&standing, &other, &nut).unwrap(), &other)?;
    }

    /// A nut that stays keeps its height when its contact is moved, on a shelf as by a straight shift.
    #[test]
    fn a_nut_that_stays_keeps_its_height(wish in wishes(), held: bool) {
        let mut nut = nut_survey();
        nut.front = wish.front;
        let mut survey = wish.survey;
        let mut kept = Vec::new();
        for s in &mut survey.strings {
            s.new_gap = None;
            let reading = if held { NutReading::HeldAtThree { gap: 0.1 } } else { NutReading::Open { clearance: 0.4, action_12: 3.0 } };
            let line = match reading {
                NutReading::HeldAtThree { gap } => StringLine::over_frets(&survey.board, &s.run, (1, gap), (3, 0.0)),
                _ => StringLine::over_frets(&survey.board, &s.run, (1, 0.4), (12, 3.0)),
            };
            kept.push(line.z(s.nut_x));
            s.present_nut = Some(reading);
        }
        let made = together(&survey, &nut).unwrap();
        for (s, z) in made.saddle.strings.iter().zip(kept) {
            prop_assert!((s.nut.z - z).abs() < MET, "{} {z}", s.nut.z);
        }
    }
}
