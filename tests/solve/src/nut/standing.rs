//! A nut for a saddle that stays: planted from a plan of both parts, and against figures found another way.

use fixtures::{nut_survey, with_nut};
use instrument::{NewGap, NutReading, Paired, StringRun, StrungInstrument, SurveyedString, Uncertainty};
use nut::{Front, NutError, NutPlan, NutSurvey, Together, action_spread, together};
use proptest::prelude::*;
use saddle::SaddleSurvey;
use strings::Criterion;

/// A finished instrument as a repairer would read it, and the gaps of the same nut, which are wanted again.
struct Standing {
    instrument: StrungInstrument,
    gaps: Vec<NewGap>,
}

fn standing(survey: &SaddleSurvey, made: &Together) -> Standing {
    let board = survey.board;
    let each = made.saddle.strings.iter().zip(&survey.strings);
    let strings = each.map(|(plan, from)| SurveyedString {
        number: plan.number,
        note: plan.note.clone(),
        model: from.model,
        frequency: from.frequency,
        run: plan.run,
        present_nut: Some(NutReading::Open {
            clearance: plan.action_1,
            action_12: plan.action_12,
        }),
        nut_x: 0.0,
        contact_from_fret_12: Some(plan.position.x - board.fret_x(12, &StringRun::CENTRE)),
        action_12: Some(plan.action_12),
        cents_12: None,
        stretch_found: false,
        known: from.known,
    });
    Standing {
        instrument: StrungInstrument {
            board,
            strings: strings.collect(),
            press: survey.press,
            left_handed: false,
            ends: strings::Ends::PUBLISHED,
            stand_off: 0.0,
        },
        gaps: made
            .saddle
            .strings
            .iter()
            .map(|plan| NewGap::Open(plan.action_1))
            .collect(),
    }
}

fn alone(over: &Standing, nut: &NutSurvey) -> Result<NutPlan, NutError> {
    nut::alone(&over.instrument, &over.gaps, nut)
}

fn same(one: &NutPlan, other: &NutPlan, within: f64) {
    for (a, b) in one.strings.iter().zip(&other.strings) {
        let pairs = [
            (a.floor, b.floor),
            (a.stack, b.stack),
            (a.top, b.top),
            (a.clearance, b.clearance),
            (a.held_at_3, b.held_at_3),
            (a.setback, b.setback),
            (a.b, b.b),
            (a.u, b.u),
        ];
        for (a, b) in pairs {
            assert!((a - b).abs() < within, "{a} {b}");
        }
    }
}

#[test]
fn the_nut_of_both_parts_is_found_again() {
    let nut = nut_survey();
    let mut survey = with_nut(&nut);
    for s in &mut survey.strings {
        s.criterion = Criterion::BestFit;
    }
    let made = together(&survey, &nut).unwrap();
    let again = alone(&standing(&survey, &made), &nut).unwrap();
    same(&again, &made.nut, 1e-9);
    for (line, plan) in again.lines.iter().zip(&made.saddle.strings) {
        let now = line.now.unwrap();
        assert!((line.action_12() - plan.action_12).abs() < 1e-9 && (now.clearance - plan.action_1).abs() < 1e-9);
    }
}

/// With the saddle held where both ends together put it, the best nut is the same: each end is at its best for the other.
#[test]
fn setbacks_of_both_parts_are_found_again() {
    for front in [Front::Shelf, Front::Straight] {
        let mut nut = nut_survey();
        nut.front = front;
        let survey = with_nut(&nut);
        let made = together(&survey, &nut).unwrap();
        let again = alone(&standing(&survey, &made), &nut).unwrap();
        let largest = made.nut.strings.iter().map(|s| s.setback.abs()).fold(0.0, f64::max);
        assert!(largest > 0.1, "{largest}");
        // A straight shift is best for all strings with each saddle in its best place, not where it was put by the strings' own best.
        same(&again, &made.nut, if front == Front::Shelf { 1e-6 } else { 0.03 });
        for (line, s) in again.lines.iter().zip(&again.compensation.strings) {
            assert!(s.shelf.rms <= s.none.rms && s.straight.rms >= s.shelf.rms - 1e-12);
            assert!((s.none.saddle - (line.saddle.x - 610.0)).abs() < 1e-9);
        }
        assert_eq!(again.front, front);
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let nut = nut_survey();
    let survey = with_nut(&nut);
    let made = together(&survey, &nut).unwrap();
    let mut standing = standing(&survey, &made);
    standing.gaps.pop();
    assert!(matches!(alone(&standing, &nut), Err(NutError::Count { .. })));
    standing.gaps.push(NewGap::Open(0.5));
    standing.instrument.strings[0].action_12 = None;
    assert_eq!(alone(&standing, &nut), Err(NutError::Unread { string: 6 }));
    standing.instrument.strings[0].action_12 = Some(2.4);
    standing.instrument.strings[1].contact_from_fret_12 = Some(f64::NAN);
    assert_eq!(alone(&standing, &nut), Err(NutError::NoLine { string: 5 }));
    standing.instrument.strings[1].contact_from_fret_12 = Some(0.0);
    assert_eq!(alone(&standing, &nut), Err(NutError::NoLine { string: 5 }));
}

proptest! {
    /// By similar triangles: with nut at 0, fret 1 at X1, fret 12 at X12 and the saddle at XS, a gap higher by d over fret 1 raises the
    /// action at 12 by d (XS - X12)/(XS - X1) and the floor by d XS/(XS - X1): about half, and a little more than d.
    #[test]
    fn the_action_follows_by_about_half(d in -0.3..0.6f64, held: bool) {
        let nut = nut_survey();
        let mut survey = with_nut(&nut);
        for s in &mut survey.strings {
            s.criterion = Criterion::BestFit;
        }
        let made = together(&survey, &nut).unwrap();
        let mut standing = standing(&survey, &made);
        standing.gaps.iter_mut().for_each(|gap| *gap = gap.with(gap.mm() + d));
        for (s, made) in standing.instrument.strings.iter_mut().zip(&made.nut.strings).filter(|_| held) {
            s.present_nut = Some(NutReading::HeldAtThree { gap: made.held_at_3 });
        }
        let again = alone(&standing, &nut).unwrap();
        for (s, was) in again.strings.iter().zip(&made.nut.strings) {
            let line = again.lines.iter().find(|l| l.number == s.number).unwrap();
            let [one, .., twelve] = line.string.crowns;
            let span = line.saddle.x - one.x;
            prop_assert!((s.clearance - was.clearance - d).abs() < 1e-9);
            let now = line.now.unwrap();
            prop_assert!((line.action_12() - now.action_12 - d * (line.saddle.x - twelve.x) / span).abs() < 1e-9);
            prop_assert!((s.floor - was.floor - d * line.saddle.x / span).abs() < 1e-9);
            prop_assert!((now.clearance - was.clearance).abs() < 1e-9);
        }
    }
}

/// By hand, for a nut at 0, frets at 0.0561 L and 0.5 L and the contact at L: the contact's height errs by 2.125 of the action less
/// 1.125 of the gap over fret 1 (open), and half of that shows at fret 12.
#[test]
fn the_spread_of_a_standing_saddle() {
    let nut = nut_survey();
    let survey = with_nut(&nut);
    let made = together(&survey, &nut).unwrap();
    let mut standing = standing(&survey, &made);
    let spread = |standing: &Standing, clearance: f64, action: f64| {
        let uncertainty = Uncertainty {
            clearance: Paired::correlated(clearance, 0.5),
            present_action: Paired::correlated(action, 0.5),
            ..Uncertainty::default()
        };
        action_spread(&standing.instrument, &uncertainty)
    };
    for sd in spread(&standing, 0.0, 0.1) {
        assert!((sd - 0.5 * 2.125 * 0.1).abs() < 0.002, "{sd}");
    }
    for sd in spread(&standing, 0.1, 0.0) {
        assert!((sd - 0.5 * 1.125 * 0.1).abs() < 0.002, "{sd}");
    }
    for (s, made) in standing.instrument.strings.iter_mut().zip(&made.nut.strings) {
        s.present_nut = Some(NutReading::HeldAtThree { gap: made.held_at_3 });
    }
    // Held at fret 3: the floor errs by 1/0.647 of the gap, and the contact's height by as much the other way.
    for sd in spread(&standing, 0.1, 0.0) {
        assert!((sd - 0.5 * 0.1 / 0.647).abs() < 0.003, "{sd}");
    }
}
