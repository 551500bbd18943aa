//! The guitar that the tests of this crate tell of.

use fixtures::{Guitar, PARLOUR, exit};
use instrument::StringRun;
use saddle::{Plan, SaddleSurvey, plan};
use strings::Criterion;

/// The survey; on a blank 3.2 mm thick strings 6 and 2 are held at the back.
pub(crate) fn survey() -> SaddleSurvey {
    let guitar = Guitar {
        length: 76.0,
        ..PARLOUR
    };
    let mut survey = guitar.survey(Criterion::Octave);
    survey.slot_width = Some(3.25);
    survey.exit = exit(12.0);
    survey
}

/// Twelve strings in one row on the same instrument, with a blank thick enough for all.
pub(crate) fn twelve() -> SaddleSurvey {
    let mut survey = survey();
    let six = survey.strings.clone();
    survey.strings = (0..12u32)
        .map(|i| {
            let mut string = six[i as usize / 2].clone();
            let share = f64::from(i) / 11.0 - 0.5;
            string.number = 12 - i;
            string.note = "G#3".to_owned();
            string.run = StringRun::between(40.0 * share, 56.0 * share, 610.0);
            string
        })
        .collect();
    survey.blank.thickness = 9.0;
    survey
}

/// What was read of it besides.
pub(crate) fn facts() -> assess::Facts {
    assess::Facts {
        bridge_thickness: Some([8.0, 7.8]),
        front_wall: Some([6.0, 8.0]),
        wood: assess::wood("Indian rosewood"),
        wound: vec![Some(true); 6],
        heel_height: Some(88.0),
        last_fret: Some(19),
        humidity: Some(0.45),
        ..assess::Facts::default()
    }
}

/// Its plan.
pub(crate) fn planned(survey: &SaddleSurvey) -> Plan {
    plan(survey).unwrap()
}

/// What a survey of usual uncertainty says, with readings after stringing up that are sure to a hundredth of a millimetre.
pub(crate) fn by_fine_readings(survey: &SaddleSurvey) -> known::Evidence {
    let mut evidence = survey.evidence(&instrument::Uncertainty::default()).unwrap();
    let fine = instrument::Paired::correlated(0.01, 0.0);
    evidence.unsure.present_action = fine;
    evidence.unsure.clearance = fine;
    evidence.unsure.cents = instrument::Paired::correlated(0.5, 0.0);
    evidence
}
