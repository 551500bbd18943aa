//! What filing costs: closed forms, inverses, and agreement with the plan.

use fixtures::{Guitar, PARLOUR, guitars};
use proptest::prelude::*;
use saddle::filing::{FilingError, Limit, Move, PresentCrown, Proud, Standing, Start};
use saddle::{Plan, SaddleSurvey, plan};
use strings::Criterion;

fn close(a: f64, b: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= tolerance, "{a} against {b}");
    Ok(())
}

/// Upright or leaning, but square to the strings, level, and with parallel strings: the cases with closed forms.
fn square(of: &Guitar) -> (SaddleSurvey, Plan) {
    let of = Guitar {
        edge: (0.5, 0.5),
        top: (of.top.0, of.top.0),
        depth: (of.depth.0, of.depth.0),
        action: (of.action.0, of.action.0),
        clearance: (0.4, 0.4),
        radius: (1e9, 1e9),
        ..*of
    };
    let mut survey = of.survey(Criterion::Offset(2.0));
    for (i, s) in survey.strings.iter_mut().enumerate() {
        s.run = instrument::StringRun {
            nut: -25.0 + 10.0 * i as f64,
            slope: 0.0,
        };
    }
    let plan = plan(&survey).unwrap();
    (survey, plan)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Closed form: forward by s on a flat top drops by s tan(lean).
    #[test]
    fn flat_top(of in guitars(), s in 0.0..1.0f64) {
        let (_, plan) = square(&of);
        let start = Start { back: Some(2.0), ..Start::default() };
        let standing = Standing::new(&plan, &plan.strings[2], PresentCrown::Flat, start).unwrap();
        close(standing.stroke(s).unwrap().drop, s * plan.lean.tan(), 1e-9)?;
    }

    /// Closed form: down a facet that falls forward by phi, s tan(lean + phi).
    #[test]
    fn facet(of in guitars(), s in -1.0..1.0f64, fall in -10.0..20.0f64) {
        let (_, plan) = square(&of);
        let start = Start { back: Some(1.6), ..Start::default() };
        let crown = PresentCrown::Facet { fall: fall.to_radians() };
        let standing = Standing::new(&plan, &plan.strings[2], crown, start).unwrap();
        close(standing.stroke(s).unwrap().drop, s * (plan.lean + fall.to_radians()).tan(), 1e-9)?;
    }

    /// Closed form: on a rounded crown the contact moves along the circle. Seen along the string, a turn by beta moves it
    /// by r sin(beta) and drops it by r (1 - cos(beta)); for a small step s the drop is s tan(a) + s^2 / (2 r).
    #[test]
    fn rounded(of in guitars(), beta in -0.3..0.3f64, radius in 1.0..3.0f64) {
        let (_, plan) = square(&of);
        let string = &plan.strings[2];
        let start = Start { back: Some(1.6), ..Start::default() };
        let standing = Standing::new(&plan, string, PresentCrown::Rounded { radius }, start).unwrap();
        let a = string.line.slope.atan();
        let (along, down) = (radius * beta.sin(), radius * (1.0 - beta.cos()));
        // In x and z: back along the string by -along, and square to it by -down.
        let (s, d) = (along * a.cos() - down * a.sin(), along * a.sin() + down * a.cos());
        close(standing.stroke(s).unwrap().drop, d, 1e-9)?;
        let small = 0.01;
        let rule = small * a.tan() + small * small / (2.0 * radius);
        close(standing.stroke(small).unwrap().drop, rule, 1e-6)?;
    }

    /// With the nut at x = 0, the action at fret 12 changes by (d - s tan a) X_12 / (x_S - s).
    #[test]
    fn action_follows_the_closed_form(of in guitars(), s in 0.0..0.6f64) {
        let plan = plan(&of.survey(Criterion::Offset(1.5))).unwrap();
        for string in &plan.strings {
            let Ok(standing) = Standing::new(&plan, string, PresentCrown::Planned, Start::default()) else { continue };
            let Ok(stroke) = standing.stroke(s) else { continue };
            let want = (stroke.drop - s * string.line.slope) * 0.5 * of.scale / (string.position.x - s);
            close(stroke.loss_12, want, 1e-9)?;
            close(stroke.forward, s, 1e-9)?;
            close(stroke.action_12, string.action_12 - stroke.loss_12, 1e-12)?;
        }
    }

    /// Leaving proud and filing are inverses: the stroke from the proud start ends on the target action.
    #[test]
    fn proud_is_the_inverse_of_the_drop(of in guitars(), s in 0.05..0.5f64, kind in 0usize..4) {
        let plan = plan(&of.survey(Criterion::Offset(1.5))).unwrap();
        let crown = [
            PresentCrown::Flat,
            PresentCrown::Facet { fall: 0.1 },
            PresentCrown::Rounded { radius: 2.0 },
            PresentCrown::Planned,
        ][kind];
        for string in &plan.strings {
            let Ok(proud) = Proud::before(&plan, string, crown, None, Move::Forward(s)) else { continue };
            close(proud.stroke.action_12, string.action_12, 1e-9)?;
            let again = Start { action_12: Some(proud.action_12), back: None };
            let stroke = Standing::new(&plan, string, crown, again).unwrap().stroke(s).unwrap();
            close(proud.action_12 - stroke.loss_12, string.action_12, 1e-9)?;
        }
    }

    /// A stroke back on the same facet undoes a stroke forward.
    #[test]
    fn a_stroke_back_undoes_a_stroke_forward(of in guitars(), s in 0.05..0.5f64, fall in 0.0..0.2f64) {
        let (_, plan) = square(&of);
        let (string, crown) = (&plan.strings[1], PresentCrown::Facet { fall });
        let from = |action_12, back| Start { action_12: Some(action_12), back: Some(back) };
        let there = Standing::new(&plan, string, crown, from(2.0, 2.0)).unwrap().stroke(s).unwrap();
        let start = from(there.action_12, there.contact.b);
        let back = Standing::new(&plan, string, crown, start).unwrap().stroke(-s).unwrap();
        close(back.drop, -there.drop, 1e-9)?;
        close(back.action_12, 2.0, 1e-9)?;
    }

    /// Filing, then planning from the new contact: the plan agrees with what filing said.
    #[test]
    fn a_plan_from_the_new_contact_agrees(of in guitars(), s in -0.4..0.6f64) {
        let mut survey = of.survey(Criterion::Offset(1.5));
        let first = plan(&survey).unwrap();
        let strokes: Vec<_> = first.strings.iter().map(|string| {
            Standing::new(&first, string, PresentCrown::Planned, Start::default()).and_then(|st| st.stroke(s))
        }).collect();
        let (land, thickness) = (survey.blank.land, survey.blank.thickness);
        for (i, stroke) in strokes.iter().enumerate() {
            if let Ok(stroke) = stroke {
                survey.strings[i].target_action = stroke.action_12;
                survey.strings[i].criterion = Criterion::Offset(first.strings[i].setback - s);
            }
        }
        let second = plan(&survey).unwrap();
        for (string, stroke) in second.strings.iter().zip(&strokes) {
            let Ok(stroke) = stroke else { continue };
            if stroke.contact.b < land || stroke.contact.b > thickness - land { continue }
            close(string.contact.b, stroke.contact.b, 1e-9)?;
            close(string.contact.u, stroke.contact.u, 1e-9)?;
            close(string.contact.v, stroke.contact.v, 1e-9)?;
            close(string.cents[11], stroke.cents_12, 1e-9)?;
        }
    }

    /// The stroke found for a change in cents makes that change, in two parts.
    #[test]
    fn cents_in_cents_out(of in guitars(), change in -1.5..1.5f64) {
        let plan = plan(&of.survey(Criterion::Offset(1.5))).unwrap();
        for string in &plan.strings {
            let standing = Standing::new(&plan, string, PresentCrown::Facet { fall: 0.0 }, Start { back: Some(1.6), ..Start::default() }).unwrap();
            let Ok(stroke) = standing.stroke_for_cents(change) else { continue };
            close(stroke.by_length + stroke.by_height, change, 1e-9)?;
            prop_assert!(stroke.by_length * stroke.forward >= 0.0, "forward is sharper by length: {stroke:?}");
        }
    }

    /// At the furthest place the action stands on its floor.
    #[test]
    fn the_floor_is_met(of in guitars(), under in 0.02..0.2f64) {
        let plan = plan(&of.survey(Criterion::Offset(2.0))).unwrap();
        for string in &plan.strings {
            let standing = Standing::new(&plan, string, PresentCrown::Planned, Start::default()).unwrap();
            let floor = string.action_12 - under;
            match standing.furthest(floor) {
                Limit::Floor(s) => close(standing.stroke(s).unwrap().action_12, floor, 1e-9)?,
                Limit::Land(s) => {
                    let end = standing.stroke(s).unwrap();
                    prop_assert!(end.action_12 >= floor - 1e-9);
                    close(end.contact.b, plan.blank.land, 1e-9)?;
                }
                Limit::Already => prop_assert!(false, "the target is over its floor"),
            }
        }
    }
}

#[test]
fn refuses_what_is_not_on_the_blank() {
    let of = PARLOUR;
    let plan = plan(&of.survey(Criterion::Octave)).unwrap();
    let string = &plan.strings[2];
    let new = |crown, back| {
        Standing::new(
            &plan,
            string,
            crown,
            Start {
                back,
                ..Start::default()
            },
        )
    };
    assert_eq!(
        new(PresentCrown::Flat, Some(4.0)).unwrap_err(),
        FilingError::StartOffBlank(4.0)
    );
    assert_eq!(
        new(PresentCrown::Rounded { radius: 0.0 }, None).unwrap_err(),
        FilingError::Radius(0.0)
    );
    let standing = new(PresentCrown::Planned, None).unwrap();
    assert!(matches!(standing.stroke(9.0), Err(FilingError::LeavesBlank { .. })));
    assert!(matches!(
        standing.stroke(f64::NAN),
        Err(FilingError::LeavesBlank { .. })
    ));
    assert!(matches!(
        standing.stroke_for_cents(90.0),
        Err(FilingError::OutOfReach { .. })
    ));
    assert_eq!(standing.furthest(string.action_12 + 0.1), Limit::Already);
}
