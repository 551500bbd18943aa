//! No number, however wild, makes a panic: every answer is a plan or an error.

use fixtures::PARLOUR;
use instrument::StrungString;
use instrument::{NutReading, SlotSurvey};
use instrument::{Paired, Uncertainty};
use proptest::prelude::*;
use saddle::filing::{Move, PresentCrown, Proud, Standing, Start};
use saddle::tolerance::{Band, Sampling, tolerance};
use saddle::{SaddleSurvey, fit, plan};
use strings::{Criterion, Stiffness};

fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -20.0..20.0f64,
        2 => -1e4..1e4f64,
        1 => prop::num::f64::ANY,
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
    ]
}

fn criterion() -> impl Strategy<Value = Criterion> {
    prop_oneof![
        Just(Criterion::Octave),
        Just(Criterion::BestFit),
        Just(Criterion::BestFitWithNut),
        wild().prop_map(Criterion::Offset),
    ]
}

/// The parlour survey with a few of its numbers replaced.
fn spoilt(values: &[(usize, f64)], criterion: Criterion) -> SaddleSurvey {
    let mut s = PARLOUR.survey(criterion);
    for &(which, value) in values {
        let string = &mut s.strings[which % 6];
        let SlotSurvey::Straightedge(ends) = &mut s.slot else {
            panic!("straightedge")
        };
        match which % 20 {
            0 => s.lean = value,
            1 => s.under = value,
            2 => ends[0].depth = value,
            3 => ends[1].bridge_top = value,
            4 => ends[0].edge_from_fret_12 = value,
            5 => ends[1].edge_from_fret_12 = value,
            6 => string.frequency = value,
            7 => string.model.linear_density = value,
            8 => string.model.stiffness = Stiffness::from_response(value),
            9 => string.run.nut = value,
            10 => string.run.slope = value,
            11 => string.present_nut = Some(NutReading::HeldAtThree { gap: value }),
            12 => string.target_action = value,
            13 => string.nut_x = value,
            14 => s.blank.thickness = value,
            15 => s.blank.land = value,
            16 => s.crown.rounding = value,
            17 => s.crown.front_fall = Some(value),
            18 => s.crown.back_fall = Some(value),
            _ => s.press = value,
        }
    }
    s
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_survey_is_answered(values in prop::collection::vec((0usize..120, wild()), 1..4), criterion in criterion()) {
        if let Ok(plan) = plan(&spoilt(&values, criterion)) {
            for s in &plan.strings {
                prop_assert!(s.contact.v.is_finite() && s.contact.b.is_finite() && s.position.x.is_finite(), "{s:?}");
            }
        }
    }

    #[test]
    fn any_stroke_is_answered(action in wild(), back in wild(), step in wild(), shape in wild(), kind in 0usize..4) {
        let plan = plan(&PARLOUR.survey(Criterion::Octave)).unwrap();
        let crown = [PresentCrown::Flat, PresentCrown::Facet { fall: shape }, PresentCrown::Rounded { radius: shape }, PresentCrown::Planned][kind];
        for string in &plan.strings {
            if let Ok(standing) = Standing::new(&plan, string, crown, Start { action_12: Some(action), back: Some(back) }) {
                let _ = (standing.stroke(step), standing.stroke_for_cents(step), standing.furthest(shape));
            }
            let _ = Proud::before(&plan, string, crown, None, Move::Forward(step));
            let _ = Proud::before(&plan, string, crown, Some(back), Move::Cents(step));
        }
    }

    #[test]
    fn any_reading_is_answered(values in prop::collection::vec((wild(), wild(), wild()), 6), limit in wild(), reading in wild()) {
        let read: Vec<_> = values.iter().map(|v| StrungString {
            action_12: Some(v.0), clearance: Some(v.1), cents_12: Some(v.2), others: vec![(13, v.0), (0, v.1), (5, v.2)], ..StrungString::default()
        }).collect();
        let survey = PARLOUR.survey(Criterion::Octave);
        let unsure = Uncertainty { made_height: limit, seating: reading, ..Uncertainty::default() };
        let _ = fit(&survey.evidence(&Uncertainty::default()).unwrap(), &survey, &read, &unsure);
    }

    #[test]
    fn any_uncertainty_is_answered(a in wild(), b in wild(), c in wild(), band in wild(), confidence in wild()) {
        let survey = PARLOUR.survey(Criterion::Octave);
        let plan = plan(&survey).unwrap();
        let uncertainty = Uncertainty {
            lean: a, relief: b, stretch: Some(c), slot_depth: Paired { shared: a, each: b }, clearance: Paired::correlated(b, c),
            ..Uncertainty::default()
        };
        let sampling = Sampling { samples: 200, seed: 1, confidence };
        if let Ok(evidence) = survey.evidence(&uncertainty) {
            let _ = tolerance(&evidence, &survey, &plan, Band { action: band, cents: 3.0 }, sampling, &|_| {});
        }
    }
}

/// Neighbouring numbers that stand further apart than a search's tolerance must not keep it going for ever.
#[test]
fn an_absurdly_thick_blank_is_answered() {
    for thickness in [1e12, 1e18, 1e300, f64::MAX] {
        let _ = plan(&spoilt(&[(14, thickness)], Criterion::Octave));
    }
}
