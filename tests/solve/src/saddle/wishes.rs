//! Wishes that share a line or a contact.

use fixtures::{PARLOUR, exit, guitars};
use instrument::{CentsReading, NewGap, Uncertainty};
use proptest::prelude::*;
use saddle::{ActionWish, AlsoString, Plan, SaddleSurvey, StringSurvey, Wishes, plan};
use strings::{Criterion, StringModel};

const CRITERIA: [Criterion; 3] = [Criterion::Octave, Criterion::BestFit, Criterion::BestFitWithNut];

/// Every string also tuned so much of its pitch, with a weight; another model where one is made.
fn also(
    mut survey: SaddleSurvey,
    down: f64,
    weight: f64,
    other: impl Fn(&StringSurvey) -> Option<StringModel>,
) -> SaddleSurvey {
    for s in &mut survey.strings {
        s.also.push(AlsoString {
            name: "other".to_owned(),
            weight,
            note: s.note.clone(),
            frequency: down * s.frequency,
            model: other(s),
        });
    }
    survey
}

fn wished(mut survey: SaddleSurvey, fret: u32, action: f64, weight: f64) -> SaddleSurvey {
    for s in &mut survey.strings {
        s.action_at = Some(ActionWish { fret, action, weight });
    }
    survey
}

/// A blank on which no contact is held.
fn roomy(mut survey: SaddleSurvey) -> SaddleSurvey {
    survey.blank.thickness += 40.0;
    survey.slot = match survey.slot {
        instrument::SlotSurvey::Straightedge(ends) => instrument::SlotSurvey::Straightedge(ends.map(|mut end| {
            end.edge_from_fret_12 -= 20.0;
            end
        })),
        other => other,
    };
    survey
}

fn near(a: &Plan, b: &Plan, within: f64) -> Result<(), TestCaseError> {
    for (a, b) in a.strings.iter().zip(&b.strings) {
        prop_assert!(
            (a.position - b.position).norm() < within,
            "{} {}",
            a.position,
            b.position
        );
        prop_assert!((a.nut.x - b.nut.x).abs() < within && (a.nut.z - b.nut.z).abs() < within);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// What has no weight changes nothing, to the last bit.
    #[test]
    fn without_weight_the_plan_is_the_single_one(of in guitars(), down in 0.75..1.1f64, fret in 1..24u32, action in 0.2..4.0f64) {
        for criterion in CRITERIA {
            let survey = of.survey(criterion);
            let Ok(single) = plan(&survey) else { continue };
            prop_assert_eq!(&plan(&also(survey.clone(), down, 0.0, |_| None)).unwrap(), &single);
            prop_assert_eq!(&plan(&wished(survey, fret, action, 0.0)).unwrap(), &single);
        }
    }

    /// Both wished heights pull the line, each by weight and lever: the least squares' own equation holds with the nut contact kept,
    /// and beside a new nut's gap over fret 1, which stays exact.
    #[test]
    fn the_line_is_that_of_least_squares(of in guitars(), fret in prop::sample::select(vec![3u32, 5, 7, 9, 15, 19, 24]), off in -0.5..0.5f64, weight in 0.1..10.0f64, new in any::<bool>()) {
        let mut survey = of.survey(Criterion::Octave);
        for s in &mut survey.strings {
            s.new_gap = new.then_some(NewGap::Open(0.5));
        }
        let board = survey.board;
        let single = plan(&survey).unwrap();
        for (s, planned) in survey.strings.iter_mut().zip(&single.strings) {
            let action = planned.line.action(&board, &s.run, fret) + off;
            s.action_at = Some(ActionWish { fret, action, weight });
        }
        let both = plan(&survey).unwrap();
        let wishes = Wishes::of(&survey, &survey, &both).unwrap();
        for (i, told) in wishes.actions.iter().enumerate() {
            let (s, from) = (&both.strings[i], &survey.strings[i]);
            let [twelve, other] = told.wishes;
            prop_assert_eq!((twelve.fret, other.fret, other.weight), (12, fret, weight));
            let pivot = if new {
                prop_assert!((s.action_1 - 0.5).abs() < 1e-9, "{}", s.action_1);
                board.fret_x(1, &s.run)
            } else {
                prop_assert!((s.nut.z - single.strings[i].nut.z).abs() < 1e-12);
                s.nut.x
            };
            let pull = twelve.off * (board.fret_x(12, &s.run) - pivot) + weight * other.off * (board.fret_x(fret, &s.run) - pivot);
            prop_assert!(pull.abs() < 1e-8, "{pull}");
            // Each loses in its own direction, and no more than all of it.
            prop_assert!(twelve.off * off >= -1e-12 && other.off * off <= 1e-12 && other.off.abs() <= off.abs() + 1e-12);
            prop_assert!((other.planned - s.line.action(&board, &from.run, fret)).abs() < 1e-12);
        }
    }

    /// A wish that the line meets anyhow loses nothing and changes nothing.
    #[test]
    fn a_wish_on_the_line_loses_nothing(of in guitars(), fret in prop::sample::select(vec![1u32, 5, 13, 24]), weight in 0.1..10.0f64) {
        let mut survey = of.survey(Criterion::BestFit);
        let single = plan(&survey).unwrap();
        for (s, planned) in survey.strings.iter_mut().zip(&single.strings) {
            let action = planned.line.action(&survey.board, &s.run, fret);
            s.action_at = Some(ActionWish { fret, action, weight });
        }
        let both = plan(&survey).unwrap();
        near(&both, &single, 1e-8)?;
        for told in Wishes::of(&survey, &survey, &both).unwrap().actions {
            prop_assert!(told.wishes.iter().all(|wish| wish.off.abs() < 1e-9), "{told:?}");
        }
    }

    /// One contact for two: between their own where fret 12 counts, and each loses what it says against a plan of its own.
    #[test]
    fn each_tuning_tells_what_it_loses(of in guitars(), down in 0.75..0.97f64, weight in 0.2..5.0f64, thick in 1.0..1.2f64) {
        for criterion in CRITERIA {
            let survey = roomy(of.survey(criterion));
            let other = |s: &StringSurvey| {
                let mut model = s.model;
                model.linear_density *= thick * thick;
                Some(model)
            };
            let mut own = survey.clone();
            for s in &mut own.strings {
                s.model = other(s).unwrap();
                s.frequency *= down;
            }
            let shared = also(survey.clone(), down, weight, other);
            let Ok(both) = plan(&shared) else { continue };
            let alone = [plan(&survey).unwrap(), plan(&own).unwrap()];
            let told = Wishes::of(&shared, &shared, &both).unwrap();
            prop_assert_eq!(told.tunings.len(), 2);
            prop_assert_eq!((&told.tunings[0].name, told.tunings[0].weight), (&None, 1.0));
            prop_assert_eq!((told.tunings[1].name.as_deref(), told.tunings[1].weight), (Some("other"), weight));
            for (i, s) in both.strings.iter().enumerate() {
                let [main, other] = [0, 1].map(|t| &told.tunings[t].strings[i]);
                prop_assert_eq!((main.cents_12, main.rms_cents), (s.cents[11], s.rms_cents));
                prop_assert_eq!(main.tension, s.tension);
                for (told, alone) in [(main, &alone[0]), (other, &alone[1])] {
                    let a = &alone.strings[i];
                    prop_assert!((told.alone.cents_12 - a.cents[11]).abs() < 1e-6 && (told.alone.rms_cents - a.rms_cents).abs() < 1e-6);
                    prop_assert!((told.alone.setback - a.setback).abs() < 1e-6 && (told.alone.nut_setback - a.nut_setback).abs() < 1e-6);
                    // Alone nothing is better by what is looked at.
                    prop_assert!(told.loses > -1e-6, "{told:?}");
                }
                if criterion == Criterion::Octave {
                    let own = [&alone[0], &alone[1]].map(|plan| plan.strings[i].setback);
                    let (low, high) = (own[0].min(own[1]), own[0].max(own[1]));
                    prop_assert!((low - 1e-9..=high + 1e-9).contains(&s.setback), "{own:?} {}", s.setback);
                    prop_assert!((s.cents[11] - main.loses.copysign(s.cents[11])).abs() < 1e-6);
                }
            }
        }
    }

    /// Which of two is called the main one does not matter to the contact.
    #[test]
    fn the_order_does_not_count(of in guitars(), down in 0.75..0.97f64, weight in 0.2..5.0f64) {
        for criterion in CRITERIA {
            let one = of.survey(criterion);
            let mut other = one.clone();
            for s in &mut other.strings {
                s.frequency *= down;
            }
            let (Ok(a), Ok(b)) = (plan(&also(one, down, weight, |_| None)), plan(&also(other, 1.0 / down, 1.0 / weight, |_| None))) else {
                continue;
            };
            near(&a, &b, 1e-6)?;
        }
    }
}

/// Cents on the present saddle are the string's own: they count in its other tunings, and not for another set.
#[test]
fn a_calibration_is_the_strings_own_in_every_tuning() {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.strings[1].measured = Some(CentsReading {
        cents_12: 6.0,
        contact_from_fret_12: 307.5,
        action_12: 2.4,
    });
    let model = survey.strings[1].model;
    let set = Some(model);
    let survey = survey.by(&survey.evidence(&Uncertainty::default()).unwrap());
    let same = plan(&also(survey.clone(), 0.9, 1.0, |_| None)).unwrap();
    let another = plan(&also(survey.clone(), 0.9, 1.0, |_| set)).unwrap();
    let factor = same.strings[1].calibration.unwrap();
    assert!((factor - 1.0).abs() > 0.001, "{factor}");
    assert_eq!(another.strings[1].calibration, Some(factor));
    // The same as with the factor written into the other set's string.
    let found = survey.strings[1].model;
    let by_hand = plan(&also(survey, 0.9, 1.0, |_| Some(found))).unwrap();
    assert_eq!(same.strings[1].setback_wanted, by_hand.strings[1].setback_wanted);
    assert!((same.strings[1].setback_wanted - another.strings[1].setback_wanted).abs() > 1e-3);
}

/// The load on the bridge is that of the tuning that pulls most.
#[test]
fn the_load_is_that_of_the_tightest() {
    let mut main = PARLOUR.survey(Criterion::Octave);
    main.exit = exit(13.0);
    let facts = assess::Facts::default();
    let loaded = |survey: &SaddleSurvey| assess::assess(survey, &plan(survey).unwrap(), &facts).load.unwrap();
    let alone = loaded(&main);
    assert_eq!(alone.tuning, None);
    let slack = loaded(&also(main.clone(), 0.9, 0.0, |_| None));
    assert_eq!((slack.tuning, slack.tension), (None, alone.tension));
    let tight = loaded(&also(main, 1.1, 0.0, |_| None));
    assert_eq!(tight.tuning.as_deref(), Some("other"));
    assert!((tight.tension / alone.tension - 1.21).abs() < 1e-9);
    assert!((tight.states[0].wall.mouth / alone.states[0].wall.mouth - 1.21).abs() < 1e-9);
}
