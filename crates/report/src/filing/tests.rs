use super::*;
use crate::WIDTH;
use crate::fixture::{planned, survey, twelve};
use crate::reference::{described_wholly, flat};
use proptest::prelude::*;
use saddle::BlankKind;
use saddle::filing::{Limit, Move, PresentCrown, Start};
use saddle::{Plan, StringPlan};
use serde_json::Value;
use units::BenchUnit;
use work::{Filing, FilingAsk, FilingTerms, FilingVerdict, Hazards, SIXTY_FOURTH, filing};

const TERMS: FilingTerms = FilingTerms {
    allowed: 0.1,
    at_height: false,
    step: SIXTY_FOURTH,
    cents: 3.0,
};

fn asks(plan: &Plan, crown: PresentCrown, start: Start, step: Option<Move>) -> Vec<FilingAsk> {
    let ask = |s: &StringPlan| FilingAsk {
        number: s.number,
        crown,
        start,
        floor: s.action_12 - 0.1,
        step,
    };
    plan.strings.iter().map(ask).collect()
}

/// Every crown and every kind of move, with what stops it.
fn cases() -> Vec<(PresentCrown, Start, Option<Move>)> {
    let plain = Start::default();
    let at = Start {
        action_12: Some(2.8),
        back: Some(2.0),
    };
    let crowns = [
        PresentCrown::Planned,
        PresentCrown::Flat,
        PresentCrown::Facet { fall: 0.1 },
        PresentCrown::Rounded { radius: 2.0 },
    ];
    let moves = [
        None,
        Some(Move::Forward(SIXTY_FOURTH)),
        Some(Move::Forward(-0.2)),
        Some(Move::Forward(9.0)),
        Some(Move::Cents(1.5)),
        Some(Move::Cents(200.0)),
    ];
    crowns
        .into_iter()
        .flat_map(|crown| [plain, at].map(|start| (crown, start)))
        .flat_map(|(crown, start)| moves.map(|step| (crown, start, step)))
        .collect()
}

fn page(filing: &Filing, bench: BenchUnit) -> String {
    filing_page("A title", filing, BlankKind::Through, &[], Hazards::default(), bench)
}

#[test]
fn fits_eighty_columns_in_every_unit() {
    for survey in [survey(), twelve()] {
        let plan = planned(&survey);
        for (crown, start, step) in cases() {
            for at_height in [false, true] {
                let terms = FilingTerms { at_height, ..TERMS };
                let filing = filing(&plan, &asks(&plan, crown, start, step), terms).unwrap();
                for bench in BenchUnit::ALL {
                    for line in page(&filing, bench).lines() {
                        assert!(line.chars().count() <= WIDTH && !line.ends_with(' '), "{line}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_planned_crown_stands_where_it_should() {
    let plan = planned(&survey());
    let asks = asks(&plan, PresentCrown::Planned, Start::default(), None);
    let filing = filing(&plan, &asks, TERMS).unwrap();
    assert!(filing.is_still());
    for s in &filing.strings {
        assert_eq!(s.verdict, FilingVerdict::Still);
        assert!((s.before.cents_12 - s.plan.cents[11]).abs() < 1e-9);
        assert!(s.proud_now.abs() < 1e-9);
        // The plan's own filing column is the first step of 1/64 in, but for the rounding that a plane leaves out.
        let step = s.steps[0].unwrap();
        assert!(
            (step.drop - s.plan.filing.drop).abs() < 0.05,
            "{} {}",
            step.drop,
            s.plan.filing.drop
        );
    }
    let text = flat(&page(&filing, BenchUnit::THOU));
    assert!(
        text.contains("No move is asked") && !text.contains("THE STROKE"),
        "{text}"
    );
}

#[test]
fn without_a_move_a_contact_goes_to_its_plan() {
    let plan = planned(&survey());
    for crown in [PresentCrown::Flat, PresentCrown::Facet { fall: 0.05 }] {
        let start = Start {
            action_12: None,
            back: Some(3.1),
        };
        let filing = filing(&plan, &asks(&plan, crown, start, None), TERMS).unwrap();
        for s in &filing.strings {
            assert!((s.stroke.unwrap().contact.b - s.plan.contact.b).abs() < 1e-9);
            // Left proud, the contact comes to its planned place in all three directions.
            let there = s.proud.unwrap().stroke;
            assert!((there.contact.b - s.plan.contact.b).abs() < 1e-9);
            assert!(
                (there.contact.v - s.plan.contact.v).abs() < 1e-7,
                "{there:?} {:?}",
                s.plan.contact
            );
            assert!((there.cents_12 - s.plan.cents[11]).abs() < 1e-6);
        }
    }
}

#[test]
fn verdicts_follow_the_action() {
    let plan = planned(&survey());
    let with = |step: Move, at_height: bool| {
        let asks = asks(&plan, PresentCrown::Flat, Start::default(), Some(step));
        filing(&plan, &asks, FilingTerms { at_height, ..TERMS }).unwrap()
    };
    for s in with(Move::Forward(0.05), false).strings {
        assert_eq!(s.verdict, FilingVerdict::Go);
    }
    // 2 mm forward at 9 degrees of lean drops by 0.3 mm: more than the 0.1 mm of action that is allowed.
    for s in with(Move::Forward(2.0), false).strings {
        let (stroke, proud) = (s.stroke.unwrap(), s.proud.unwrap());
        assert_eq!(s.verdict, FilingVerdict::LeaveProud(proud.height));
        assert!((proud.stroke.action_12 - s.plan.action_12).abs() < 1e-9);
        assert!(stroke.action_12 < s.plan.action_12 - TERMS.allowed);
    }
    let final_one = with(Move::Forward(2.0), true);
    for s in &final_one.strings {
        let low = s.plan.action_12 - s.stroke.unwrap().action_12;
        assert_eq!(s.verdict, FilingVerdict::EndsLow(low));
    }
    let text = flat(&page(&final_one, BenchUnit::THOU));
    assert!(
        text.contains("only a new saddle") && !text.contains("LEAVE PROUD"),
        "{text}"
    );
    for s in with(Move::Forward(20.0), false).strings {
        assert_eq!(s.verdict, FilingVerdict::OffBlank);
    }
    for s in with(Move::Cents(300.0), false).strings {
        assert_eq!(s.verdict, FilingVerdict::OutOfReach);
    }
}

#[test]
fn an_impossible_start_names_its_string() {
    let plan = planned(&survey());
    let start = Start {
        action_12: None,
        back: Some(99.0),
    };
    let refusal = filing(&plan, &asks(&plan, PresentCrown::Flat, start, None), TERMS).unwrap_err();
    assert_eq!(refusal.number, 6);
    assert!(filing_refusal(&refusal, BenchUnit::METRIC).contains("99.00 mm"));
}

#[test]
fn the_reference_names_every_key_and_the_figures_come_back() {
    let plan = planned(&survey());
    let documents = cases().into_iter().map(|(crown, start, step)| {
        let filing = filing(&plan, &asks(&plan, crown, start, step), TERMS).unwrap();
        let value: Value = serde_json::from_str(&filing_json("A title", &filing, &[]).unwrap()).unwrap();
        for (out, s) in value["strings"].as_array().unwrap().iter().zip(&filing.strings) {
            assert_eq!(out["stroke"]["drop"].as_f64(), s.stroke.ok().map(|k| k.drop));
            assert_eq!(out["proud"]["height"].as_f64(), s.proud.ok().map(|p| p.height));
            assert_eq!(out["before"]["cents_12"].as_f64(), Some(s.before.cents_12));
            assert_eq!(out["stroke"].is_null(), out["refusal"].is_string());
        }
        value
    });
    described_wholly("bonewright-filing", documents);
}

proptest! {
    /// Whatever is asked, a page comes of it that fits.
    #[test]
    fn every_move_gives_a_page(
        forward in -5.0..5.0f64,
        back in 0.0..3.2f64,
        action in 0.5..6.0f64,
        radius in 0.3..20.0f64,
        fall in -0.3..0.6f64,
        shape in 0..4usize,
    ) {
        let plan = planned(&survey());
        let crown = [
            PresentCrown::Planned,
            PresentCrown::Flat,
            PresentCrown::Facet { fall },
            PresentCrown::Rounded { radius },
        ][shape];
        let start = Start { action_12: Some(action), back: Some(back) };
        let filing = filing(&plan, &asks(&plan, crown, start, Some(Move::Forward(forward))), TERMS).unwrap();
        for line in page(&filing, BenchUnit::IMPERIAL).lines() {
            prop_assert!(line.chars().count() <= WIDTH, "{}", line);
        }
        prop_assert!(!page(&filing, BenchUnit::THOU).contains("NaN"));
    }
}

/// A narrow rounded crown under a string that runs askew to it still takes a short stroke.
#[test]
fn a_small_radius_takes_a_short_stroke() {
    let plan = planned(&survey());
    let start = Start {
        action_12: None,
        back: Some(1.6),
    };
    for radius in [0.3, 0.5, 1.0, 1.5] {
        let asks = asks(
            &plan,
            PresentCrown::Rounded { radius },
            start,
            Some(Move::Forward(0.05)),
        );
        for s in filing(&plan, &asks, TERMS).unwrap().strings {
            assert!(s.stroke.unwrap().drop > 0.0, "{radius} {}", s.plan.number);
            assert!(!matches!(s.furthest, Limit::Land(at) if at.is_nan()));
        }
    }
}
