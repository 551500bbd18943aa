//! A zero fret in the job file: three ways to read it, what is done to it, and what cannot stand beside it.

use instrument::NutReading;
use job::{Job, Problem, Profiles, after_neck, read};
use std::sync::LazyLock;

const GOOD: &str = include_str!("good.toml");

static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

/// The good job with other keys under `[nut]`.
fn over(nut: &str) -> String {
    let gap = "first_fret_clearance = { bass = 0.5, treble = 0.35 }\nsetback = 0";
    assert!(GOOD.contains(gap));
    GOOD.replace(gap, nut)
}

fn job(text: &str) -> Job {
    read(text, &PROFILES)
        .unwrap_or_else(|problems| panic!("{text}\n{problems:?}"))
        .job
}

/// Fields and kinds of the errors.
fn errors(text: &str) -> Vec<(String, &'static str)> {
    let problems = read(text, &PROFILES).err().unwrap_or_default();
    let errors = problems.iter().filter(|p| p.severity == job::Severity::Error);
    errors.map(|p: &Problem| (p.field.clone(), p.kind.name())).collect()
}

#[test]
fn it_is_read_by_a_gap_or_by_its_height() {
    let strings = |nut: &str| job(&over(nut)).saddle.unwrap().survey.strings;
    let open = strings("zero_fret = \"kept\"\nfirst_fret_clearance = 0.3");
    assert!(matches!(open[0].present_nut, Some(NutReading::Open { clearance, .. }) if clearance == 0.3));
    assert!(
        open.iter()
            .all(|s| s.zero_fret == Some(0.0) && s.nut_x == 0.0 && s.new_gap.is_none())
    );
    let held = strings("zero_fret = \"kept\"\nheld_at_3 = 0.05");
    assert_eq!(held[0].present_nut, Some(NutReading::HeldAtThree { gap: 0.05 }));
    let above = strings("zero_fret = \"kept\"\nzero_fret_above = { bass = 0.1, treble = -0.05 }");
    assert_eq!(above[0].present_nut, Some(NutReading::ZeroFret { above: 0.1 }));
    assert_eq!(above[5].present_nut, Some(NutReading::ZeroFret { above: -0.05 }));
    // A nut is none.
    assert!(
        job(GOOD)
            .saddle
            .unwrap()
            .survey
            .strings
            .iter()
            .all(|s| s.zero_fret.is_none())
    );
}

#[test]
fn work_on_it_has_its_sign() {
    let rise = |nut: &str| {
        let strings = job(&over(&format!("{nut}\nheld_at_3 = 0.1")))
            .saddle
            .unwrap()
            .survey
            .strings;
        [strings[0].zero_fret, strings[5].zero_fret]
    };
    let dressed = rise("zero_fret = \"dressed\"\ndressed = { bass = 0.2, treble = 0.1 }");
    assert_eq!(dressed, [Some(-0.2), Some(-0.1)]);
    assert_eq!(rise("zero_fret = \"new wire\"\nnew_wire = 0.25"), [Some(0.25); 2]);
    assert_eq!(rise("zero_fret = \"new wire\"\nnew_wire = -0.15"), [Some(-0.15); 2]);
}

#[test]
fn what_is_missing_is_asked_for() {
    let lacks = |nut: &str| errors(&over(nut));
    assert_eq!(
        lacks("zero_fret = \"dressed\"\nheld_at_3 = 0.1"),
        [("nut.dressed".to_owned(), "Missing")]
    );
    assert_eq!(
        lacks("zero_fret = \"new wire\"\nheld_at_3 = 0.1"),
        [("nut.new_wire".to_owned(), "Missing")]
    );
    assert_eq!(
        lacks("zero_fret = \"kept\""),
        [("nut.first_fret_clearance".to_owned(), "Missing")]
    );
}

#[test]
fn nothing_sets_it_back_and_no_nut_is_made_beside_it() {
    let zero = over("zero_fret = \"kept\"\nheld_at_3 = 0.05");
    assert_eq!(errors(&zero), []);
    let both = zero.replace("intonation = \"octave\"", "intonation = \"best-fit-with-nut\"");
    assert_eq!(errors(&both), [("target.intonation".to_owned(), "ZeroFretIntonation")]);
    let nut = format!(
        "{zero}\n[nut_blank]\nboard_width = 43\nheadstock = 14\nfret_height = 1\nseat = 3\nmaterial = \"bone\"\nthickness = 5\nheight = 9\n"
    );
    assert_eq!(errors(&nut), [("nut_blank".to_owned(), "ZeroFretNoNutBlank")]);
}

/// A neck set keeps a zero fret read by its height, and the work on it.
#[test]
fn it_outlives_a_neck_set() {
    let text = over("zero_fret = \"dressed\"\ndressed = 0.1\nzero_fret_above = 0.15");
    let text = format!("{text}\n[neck]\nheel_height = 85\nlast_fret = 20\n");
    let job = job(&text);
    let survey = &job.saddle.as_ref().unwrap().survey;
    let plan = saddle::plan(survey).unwrap();
    let then = assess::neck(survey, &plan, &job.saddle.as_ref().unwrap().assess)
        .unwrap()
        .survey;
    let again = self::job(&after_neck(&text, &job, &plan, &then).unwrap());
    for (s, was) in again.saddle.unwrap().survey.strings.iter().zip(&survey.strings) {
        assert_eq!((s.present_nut, s.zero_fret), (was.present_nut, was.zero_fret));
    }
}
