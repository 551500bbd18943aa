//! What is left after stringing up.

use assess::Facts;
use fixtures::{Guitar, PARLOUR};
use instrument::{Of, StrungString};
use saddle::{FitLimits, Plan, SaddleSurvey, plan};
use strings::Criterion;
use work::{Fitted, Left, StringLeft, Strung, Whole, Wrong};

/// A guitar with room across its blank, so that no contact is held.
const ROOMY: Guitar = Guitar {
    edge: (-3.0, -3.5),
    thickness: 15.0,
    ..PARLOUR
};

fn planned(of: &Guitar) -> (SaddleSurvey, Plan) {
    let survey = of.survey(Criterion::Octave);
    let plan = plan(&survey).unwrap();
    (survey, plan)
}

/// Readings over a made saddle, judged by the usual limits.
fn fitted<'a>(
    (survey, made): (&'a SaddleSurvey, &'a Plan),
    evidence: &'a known::Evidence,
    read: &'a [StrungString],
    facts: &'a Facts,
) -> Fitted<'a> {
    let strung = Strung {
        made,
        survey,
        evidence,
        read,
        limits: FitLimits::default(),
        floors: &[],
        facts,
        slots: None,
    };
    Fitted::of(&strung).unwrap()
}

/// What is left where each string stands so much over its target, mm of action at fret 12, bass to treble.
fn left(of: &Guitar, over: [f64; 6]) -> (Whole, Vec<StringLeft>) {
    let (survey, made) = planned(of);
    let read: Vec<StrungString> = made
        .strings
        .iter()
        .zip(&survey.strings)
        .zip(over)
        .map(|((s, from), over)| StrungString {
            action_12: Some(from.target_action + over),
            clearance: Some(s.action_1),
            cents_12: None,
            others: Vec::new(),
            ..StrungString::default()
        })
        .collect();
    let (evidence, facts) = (by_fine_readings(&survey), Facts::default());
    let fitted = fitted((&survey, &made), &evidence, &read, &facts);
    (fitted.whole(), fitted.strings().to_vec())
}

/// What a survey of usual uncertainty says, with readings after stringing up that are sure to a hundredth of a millimetre.
pub(crate) fn by_fine_readings(survey: &SaddleSurvey) -> known::Evidence {
    let mut evidence = survey.evidence(&instrument::Uncertainty::default()).unwrap();
    let fine = instrument::Paired::correlated(0.01, 0.0);
    evidence.unsure.present_action = fine;
    evidence.unsure.clearance = fine;
    evidence
}

fn verdicts(strings: &[StringLeft]) -> Vec<Left> {
    strings.iter().map(|s| s.left).collect()
}

#[test]
fn on_target_nothing_is_left() {
    let (whole, strings) = left(&ROOMY, [0.0; 6]);
    assert_eq!((whole, verdicts(&strings)), (Whole::Good, vec![Left::Good; 6]));
}

/// Over the target every string is filed: by the height at the contact, which is about twice what is missing at fret 12, the move first and
/// the rest after it.
#[test]
fn too_high_is_filed() {
    let (whole, strings) = left(&ROOMY, [0.3; 6]);
    assert_eq!((whole, verdicts(&strings)), (Whole::File, vec![Left::File; 6]));
    for s in &strings {
        assert!((s.lower - 0.6).abs() < 0.05, "{s:?}");
        assert!((s.rest() + s.by_move - s.lower).abs() < 1e-12, "{s:?}");
    }
}

/// Under the target no file helps: a through saddle is made anew, one that drops in gets a shim of what its lowest string lacks.
#[test]
fn too_low_is_not_filed() {
    let (whole, strings) = left(&ROOMY, [-0.3; 6]);
    assert!(strings.iter().all(|s| s.left == Left::TooLow), "{strings:?}");
    let most = strings.iter().map(|s| -s.off_saddle).fold(0.0, f64::max);
    assert!((most - 0.6).abs() < 0.05, "{most}");
    assert!(strings.iter().all(|s| (s.off_12 + 0.3).abs() < 0.01), "{strings:?}");
    assert!(
        matches!(whole, Whole::ShimOrNew(by) if (by - most).abs() < 1e-9),
        "{whole:?}"
    );
    let dropped = Guitar { drop_in: true, ..ROOMY };
    let (whole, _) = left(&dropped, [-0.3; 6]);
    assert!(matches!(whole, Whole::Shim(by) if (by - most).abs() < 0.1), "{whole:?}");
}

/// A gap over fret 1 that cannot be is what is doubted, and not the action.
#[test]
fn a_stray_gap_is_not_blamed_on_the_action() {
    let (survey, made) = planned(&ROOMY);
    let read: Vec<StrungString> = made
        .strings
        .iter()
        .map(|s| StrungString {
            action_12: Some(s.action_12),
            clearance: Some(s.action_1 - if s.number == 2 { 0.4 } else { 0.0 }),
            ..StrungString::default()
        })
        .collect();
    let (evidence, facts) = (by_fine_readings(&survey), Facts::default());
    let fitted = fitted((&survey, &made), &evidence, &read, &facts);
    let [doubted] = &fitted.doubted[..] else {
        panic!("{:?}", fitted.doubted)
    };
    assert!(doubted.is_of_made(2) && !doubted.is_of_made(3), "{doubted:?}");
    let Wrong::Reading(reading) = &doubted.charges[0].what else {
        panic!("{doubted:?}")
    };
    assert_eq!(reading.of, Of::Clearance);
    assert!((doubted.charges[0].over + 0.4).abs() < 0.05, "{doubted:?}");
}

/// One string far from the seat that the others agree on is read again, and nothing is filed till then.
#[test]
fn a_stray_reading_is_taken_again() {
    let (whole, strings) = left(&ROOMY, [0.3, 0.3, 0.9, 0.3, 0.3, 0.3]);
    assert_eq!((whole, strings[2].left), (Whole::ReadAgain, Left::ReadAgain));
}
