use super::*;
use crate::WIDTH;
use crate::fixture::{planned, survey, twelve};
use crate::reference::{described_wholly, flat};
use instrument::{Reading, Uncertainty};
use saddle::SaddleSurvey;
use saddle::tolerance::tolerance;
use saddle::tolerance::{Band, Sampling, Tolerance};
use serde_json::Value;
use units::BenchUnit;
use work::Hazards;

fn told(survey: &SaddleSurvey, uncertainty: &Uncertainty, band: Band) -> (String, Value, Tolerance) {
    let plan = planned(survey);
    let sampling = Sampling {
        samples: 3000,
        ..Sampling::default()
    };
    let sure = Sureness {
        shared: false,
        plan: &plan,
        band,
        sampling,
        tolerance: tolerance(
            &survey.evidence(uncertainty).unwrap(),
            survey,
            &plan,
            band,
            sampling,
            &|_| (),
        )
        .unwrap(),
    };
    for bench in BenchUnit::ALL {
        for line in tolerance_page("A title", &sure, Hazards::default(), bench).lines() {
            assert!(line.chars().count() <= WIDTH && !line.ends_with(' '), "{line}");
        }
    }
    let text = tolerance_page("A title", &sure, Hazards::default(), BenchUnit::THOU);
    let value = serde_json::from_str(&tolerance_json("A title", &sure).unwrap()).unwrap();
    (flat(&text), value, sure.tolerance)
}

#[test]
fn chances_and_readings_are_told() {
    let (text, value, tolerance) = told(&survey(), &Uncertainty::default(), Band::default());
    assert!(text.contains(&words::percent(tolerance.all_within)), "{text}");
    assert!(text.contains(&BenchUnit::THOU.show(tolerance.proud)), "{text}");
    assert_eq!(value["all_within"].as_f64(), Some(tolerance.all_within));
    assert_eq!(value["proud"].as_f64(), Some(tolerance.proud));
    for (out, s) in value["strings"].as_array().unwrap().iter().zip(&tolerance.strings) {
        assert_eq!(out["action"]["low"].as_f64(), Some(s.action.low));
        assert_eq!(out["cents"]["deviation"].as_f64(), Some(s.cents.deviation));
    }
    let first = &tolerance.first_order.shares[0];
    assert_eq!(value["readings"][0]["reading"], words::key(first.reading));
    let (_, reference, _) = told(&reference(), &Uncertainty::default(), Band::default());
    described_wholly("bonewright-tolerance", [value, reference].into_iter());
}

fn reference() -> SaddleSurvey {
    let mut survey = survey();
    survey.slot = instrument::SlotSurvey::Reference(
        [instrument::ReferenceEnd {
            contact_from_fret_12: 308.0,
            action_12: 2.4,
            height: 8.0,
            back: 1.6,
            depth: Some(5.0),
        }; 2],
    );
    survey
}

#[test]
fn the_one_uncertain_reading_is_named_with_all_the_spread() {
    let lean = Uncertainty {
        lean: 1f64.to_radians(),
        ..Uncertainty::none()
    };
    let narrow = Band {
        action: 0.01,
        cents: 0.1,
    };
    let (text, _, tolerance) = told(&survey(), &lean, narrow);
    assert!(
        text.contains("Lean, read to 1.0 degrees, makes 100 % of string"),
        "{text}"
    );
    assert!(text.contains("First make the lean surer"), "{text}");
    assert_eq!(tolerance.first_order.shares.len(), 1);
}

#[test]
fn a_sure_survey_is_left_alone() {
    let sure = Uncertainty {
        made_height: 0.001,
        ..Uncertainty::none()
    };
    let (text, ..) = told(&survey(), &sure, Band::default());
    assert!(text.contains("make the saddle as planned"), "{text}");
    assert!(text.contains("nothing need be left proud"), "{text}");
}

#[test]
fn twelve_strings_fit() {
    let wide = Uncertainty {
        slot_edge: instrument::Paired::correlated(3.0, 0.5),
        bridge_top: instrument::Paired::correlated(2.0, 0.5),
        ..Uncertainty::default()
    };
    for survey in [twelve(), reference()] {
        told(&survey, &wide, Band::default());
    }
}

#[test]
fn percents_never_hide_what_can_happen() {
    assert_eq!(words::percent(0.0), "0 %");
    assert_eq!(words::percent(1.0), "100 %");
    assert_eq!(words::percent(0.0004), "under 0.1 %");
    assert_eq!(words::percent(0.9996), "over 99.9 %");
    assert_eq!(words::percent(0.034), "3.4 %");
    assert_eq!(words::percent(0.5), "50 %");
    assert_eq!(words::percent(0.95), "95 %");
    assert_eq!(words::percent(0.953), "95.3 %");
}

#[test]
fn every_reading_has_its_words() {
    let all = [
        Reading::Relief,
        Reading::BoardRadius,
        Reading::Clearance,
        Reading::PresentAction,
        Reading::SlotEdge,
        Reading::BridgeTop,
        Reading::SlotDepth,
        Reading::Lean,
        Reading::ReferenceContact,
        Reading::ReferenceHeight,
        Reading::ReferenceBack,
        Reading::Stretch,
        Reading::Seating,
        Reading::MadeHeight,
        Reading::MadeRidge,
    ];
    let distinct = |of: fn(Reading) -> &'static str| {
        let mut names: Vec<_> = all.iter().map(|r| of(*r)).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all.len());
    };
    distinct(words::name);
    distinct(words::key);
}

/// A bridge top above the straightedge's line has no room for feelers: shims on the frets give it.
#[test]
fn a_bridge_top_is_read_over_shims() {
    assert!(words::mend(Reading::BridgeTop).contains("two equal shims"));
}
