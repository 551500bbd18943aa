//! A zero fret is a nut whose floors lie at its crown, and work on it moves the contact by what is done.

use fixtures::{Guitar, guitars};
use instrument::{CentsReading, NutReading, Paired, ReferenceEnd, SlotSurvey, StringLine, Uncertainty};
use proptest::prelude::*;
use saddle::tolerance::first_order;
use saddle::{ActionWish, Plan, SaddleSurvey, Way, plan};
use strings::Criterion;

fn close(a: f64, b: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= tolerance, "{a} against {b}");
    Ok(())
}

/// The survey over a zero fret that was read by its height, and is raised by work.
fn over_zero_fret(of: &SaddleSurvey, above: f64, rise: f64) -> SaddleSurvey {
    let mut survey = of.clone();
    for s in &mut survey.strings {
        s.present_nut = Some(NutReading::ZeroFret { above });
        s.zero_fret = Some(rise);
    }
    survey
}

/// The survey over a nut whose floors lie so far above the plane of the crowns, read by open gaps.
fn over_nut(of: &SaddleSurvey, above: f64) -> SaddleSurvey {
    let mut survey = of.clone();
    let board = survey.board;
    for s in &mut survey.strings {
        let action_12 = s.target_action + 0.4;
        let crown_12 = board.crown_under(12, &s.run);
        let line = StringLine::through(
            (board.fret_x(0, &s.run), board.crown_under(0, &s.run) + above),
            (board.fret_x(12, &s.run), crown_12 + action_12),
        );
        let clearance = line.action(&board, &s.run, 1);
        s.present_nut = Some(NutReading::Open { clearance, action_12 });
    }
    survey
}

/// `place`: how near the search for a setback ends, mm.
fn same(one: &Plan, other: &Plan, place: f64) -> Result<(), TestCaseError> {
    for (a, b) in one.strings.iter().zip(&other.strings) {
        close(a.contact.b, b.contact.b, place)?;
        close(a.contact.u, b.contact.u, place)?;
        close(a.contact.v, b.contact.v, place)?;
        close(a.action_1, b.action_1, 1e-9)?;
        close(a.tension, b.tension, 1e-8)?;
        close(a.cents[4], b.cents[4], 1e-8)?;
        close(a.nut.z, b.nut.z, 1e-9)?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// On fanned frets, too.
    #[test]
    fn it_is_a_nut_with_its_floors_at_the_crown(of in guitars(), above in -0.1..0.5f64, less in prop_oneof![Just(0.0), -10.0..40.0f64], square in 0u32..13) {
        let of = Guitar { fan: (less, square), ..of };
        for (criterion, place) in [(Criterion::Octave, 1e-9), (Criterion::BestFit, 1e-7)] {
            let survey = of.survey(criterion);
            let zero = plan(&over_zero_fret(&survey, above, 0.0)).unwrap();
            same(&zero, &plan(&over_nut(&survey, above)).unwrap(), place)?;
            prop_assert!(zero.zero_fret);
        }
    }

    /// Whatever it was read by, what is filed off lowers the contact, and nothing else does.
    #[test]
    fn dressing_lowers_the_contact_by_itself(of in guitars(), above in 0.0..0.5f64, off in 0.0..0.4f64) {
        let survey = of.survey(Criterion::Octave);
        let (kept, dressed) = (over_zero_fret(&survey, above, 0.0), over_zero_fret(&survey, above, -off));
        let (kept, dressed) = (plan(&kept).unwrap(), plan(&dressed).unwrap());
        for (a, b) in kept.strings.iter().zip(&dressed.strings) {
            close(a.nut.z - b.nut.z, off, 1e-12)?;
            prop_assert_eq!(a.nut.x, 0.0);
            close(a.action_12, b.action_12, 1e-12)?;
            // The string turns about its point over fret 12.
            let [one, .., twelve] = a.string.crowns;
            close(a.action_1 - b.action_1, off * (1.0 - one.x / twelve.x), 1e-9)?;
        }
        let mut by_gaps = over_nut(&survey, above);
        for s in &mut by_gaps.strings {
            s.zero_fret = Some(-off);
        }
        same(&dressed, &plan(&by_gaps).unwrap(), 1e-9)?;
    }

    /// What is dressed off and what is read lower are one, with an action wished at a second fret, too.
    #[test]
    fn a_second_wish_turns_about_the_crown_as_it_will_be(of in guitars(), above in 0.0..0.4f64, off in 0.0..0.3f64, fret in 1u32..11, wish in 0.4..2.0f64) {
        let mut survey = of.survey(Criterion::BestFit);
        for s in &mut survey.strings {
            s.action_at = Some(ActionWish { fret, action: wish, weight: 0.5 });
        }
        let dressed = plan(&over_zero_fret(&survey, above, -off));
        let lower = plan(&over_zero_fret(&survey, above - off, 0.0));
        match (dressed, lower) {
            (Ok(dressed), Ok(lower)) => {
                same(&dressed, &lower, 1e-7)?;
                close(dressed.strings[0].action_12, lower.strings[0].action_12, 1e-9)?;
            }
            (dressed, lower) => prop_assert_eq!(dressed.is_err(), lower.is_err()),
        }
    }

    /// A reference saddle and cents are read over the zero fret as it is, whatever is done to it later.
    #[test]
    fn readings_are_over_the_present_crown(of in guitars(), above in 0.0..0.3f64, rise in -0.2..0.3f64) {
        let survey = over_zero_fret(&of.survey(Criterion::Octave), above, 0.0);
        let first = plan(&survey).unwrap();
        let x12 = survey.board.fret_x(12, &instrument::StringRun::CENTRE);
        let mut by = survey;
        let (bass, treble) = (first.strings.first().unwrap(), first.strings.last().unwrap());
        by.slot = SlotSurvey::Reference([bass, treble].map(|s| ReferenceEnd {
            contact_from_fret_12: s.position.x - x12,
            action_12: s.action_12,
            height: s.contact.v,
            back: s.contact.b,
            depth: None,
        }));
        by.strings[0].measured = Some(CentsReading {
            cents_12: first.strings[0].cents[11],
            contact_from_fret_12: first.strings[0].position.x - x12,
            action_12: first.strings[0].action_12,
        });
        let evidence = by.evidence(&Uncertainty::default()).unwrap();
        close(evidence.known.calibration(0).unwrap(), 1.0, 1e-6)?;
        let again = plan(&by).unwrap();
        for s in &mut by.strings {
            s.zero_fret = Some(rise);
        }
        let worked = plan(&by).unwrap();
        for plan in [&again, &worked] {
            close((plan.frame.e_b - first.frame.e_b).norm(), 0.0, 1e-9)?;
            let moved = plan.frame.origin - first.frame.origin;
            close(moved.dot(&first.frame.e_v), 0.0, 1e-7)?;
            close(moved.dot(&first.frame.e_b), 0.0, 1e-7)?;
        }
        close(worked.strings[0].nut.z - first.strings[0].nut.z, rise, 1e-9)?;
    }

    /// Closed form: an error of the height that is read moves the contact by itself, and the action at fret 12, the saddle kept, by that
    /// times (1 - X_12/x_S); work on the fret changes nothing of it.
    #[test]
    fn its_height_alone_has_a_closed_form(of in guitars(), sigma in 1e-5..1e-3f64, rise in -0.2..0.2f64) {
        let survey = over_zero_fret(&of.survey(Criterion::Octave), 0.1, rise);
        let plan = plan(&survey).unwrap();
        let clearance = Paired { shared: 0.6 * sigma, each: 0.8 * sigma };
        let uncertainty = Uncertainty { clearance, ..Uncertainty::none() };
        let found = first_order(&survey.evidence(&uncertainty).unwrap(), &survey, &plan, (0.1, 3.0)).unwrap();
        for (s, action) in plan.strings.iter().zip(&found.action) {
            let want = sigma * (1.0 - 0.5 * of.scale / s.position.x);
            prop_assert!((action / want - 1.0).abs() < 1e-4, "{action} against {want}");
        }
    }

    /// It is no way out to set a zero fret back.
    #[test]
    fn no_way_out_moves_it(of in guitars()) {
        let made = plan(&over_zero_fret(&of.survey(Criterion::Octave), 0.0, 0.0)).unwrap();
        if let Some(ways) = &made.ways_out {
            prop_assert_eq!(ways.order.len(), 2);
            prop_assert!(ways.order.iter().all(|left| left.way != Way::Nut));
            prop_assert!(ways.nut.iter().all(|way| way.setback.is_none()));
        }
    }
}
