//! The four example jobs: read without a problem and planned with sensible figures.

use job::{Job, Profiles, corrected, read, read_strung};
use saddle::filing::{PresentCrown, Standing, Start};
use saddle::{Hold, Plan, fit, plan};

const EXAMPLES: [(&str, &str); 4] = [
    ("parlour", include_str!("../../../../examples/parlour.toml")),
    ("nylon-drop-in", include_str!("../../../../examples/nylon-drop-in.toml")),
    (
        "baritone-ukulele",
        include_str!("../../../../examples/baritone-ukulele.toml"),
    ),
    ("twelve-string", include_str!("../../../../examples/twelve-string.toml")),
];

fn planned() -> Vec<(&'static str, Job, Plan)> {
    let profiles = Profiles::built_in();
    let each = EXAMPLES.iter().map(|(name, text)| {
        let checked = read(text, &profiles).unwrap_or_else(|problems| {
            panic!(
                "{name}: {}",
                problems.iter().map(|p| format!("{p}\n")).collect::<String>()
            )
        });
        assert_eq!(checked.warnings, [], "{name}");
        // By all that was read, cents too.
        let survey = &checked.job.saddle.as_ref().unwrap().survey;
        let evidence = survey.evidence(&checked.job.uncertainty).unwrap();
        let plan = plan(&survey.by(&evidence)).unwrap_or_else(|errors| panic!("{name}: {errors:?}"));
        (*name, checked.job, plan)
    });
    each.collect()
}

#[test]
fn contacts_lie_where_a_saddle_can_have_them() {
    for (name, job, plan) in planned() {
        for string in &plan.strings {
            let at = format!("{name}, string {}", string.number);
            let exposure = string.exposure.unwrap();
            assert!((2.0..=7.0).contains(&exposure), "{at}: exposure {exposure}");
            assert!(
                (0.5..=6.0).contains(&string.setback),
                "{at}: setback {}",
                string.setback
            );
            assert!(
                string.contact.v < job.saddle.as_ref().unwrap().survey.blank.height,
                "{at}: v {}",
                string.contact.v
            );
            assert!(string.rms_cents < 3.0, "{at}: {} cents", string.rms_cents);
            assert!(string.termination.from_planned < 0.001, "{at}");
            if let Some(factor) = string.calibration {
                assert!((0.5..=2.0).contains(&factor), "{at}: calibration {factor}");
            }
        }
    }
}

/// The parlour's slot is too far forward for some strings, so that its ways out show; the others suit their strings.
#[test]
fn only_the_parlour_holds_strings() {
    for (name, _, plan) in planned() {
        let held = plan.strings.iter().filter(|s| s.hold != Hold::Free).count();
        if name == "parlour" {
            assert!((1..6).contains(&held) && plan.ways_out.is_some());
        } else {
            assert_eq!(held, 0, "{name}");
        }
    }
}

/// Together they show the variety of the format.
#[test]
fn they_show_the_format() {
    let all: String = EXAMPLES.iter().map(|(_, text)| *text).collect();
    for piece in [
        "reference saddle",
        "straightedge",
        "slack",
        "under_tension",
        "pin holes",
        "tie block",
        "cents_12",
        "held_at_3",
        "first_fret_clearance",
        "new_clearance",
        "nut_to_12",
        "stepped",
        "smooth",
        "through",
        "drop-in",
        "octave",
        "best-fit",
        "pairs",
        "[[string]]",
        "left_handed",
        "thou",
        "imperial",
        "Letter",
        " over ",
        "[filing]",
        "[tolerance]",
        "[uncertainty]",
    ] {
        assert!(all.contains(piece), "{piece}");
    }
    let lefts = planned()
        .iter()
        .filter(|(_, job, _)| job.saddle.as_ref().unwrap().survey.left_handed)
        .count();
    assert_eq!(lefts, 1);
}

/// The readings after stringing up show a saddle too low at the treble end, and none of them is doubtful.
#[test]
fn the_parlour_strung_up_is_low_at_the_treble() {
    let (_, job, _) = planned().remove(0);
    let (strung, doubts) = read_strung(
        include_str!("../../../../examples/strung/parlour.toml"),
        &job,
        &Profiles::built_in(),
    )
    .unwrap();
    assert_eq!(doubts, []);
    let survey = &job.saddle.as_ref().unwrap().survey;
    let evidence = survey.evidence(&job.uncertainty).unwrap();
    let fit = fit(&evidence, survey, &strung, &job.uncertainty).unwrap();
    let lowest = fit.strings.last().unwrap();
    assert!((0.2..0.5).contains(&-lowest.off_saddle), "{lowest:?}");
    assert!(fit.slips.doubts.is_empty(), "{:?}", fit.slips.doubts);
    let low: Vec<u32> = fit
        .strings
        .iter()
        .filter(|s| s.off_12 < -0.1)
        .map(|s| s.number)
        .collect();
    assert_eq!(low, [3, 2, 1]);
    assert!(fit.seat.bass.abs() < 0.05 && fit.seat.treble < -0.2, "{:?}", fit.seat);
    let second = corrected(EXAMPLES[0].1, &fit, &job, None).unwrap();
    assert_eq!(read(&second, &Profiles::built_in()).unwrap().warnings, []);
}

/// Its blank stands square: each string ends at the back edge, over its floor.
#[test]
fn the_parlour_is_filed_from_a_flat_top() {
    let (_, job, plan) = planned().remove(0);
    for ((s, crown), floor) in plan
        .strings
        .iter()
        .zip(&job.saddle.as_ref().unwrap().filing.crown)
        .zip(&job.saddle.as_ref().unwrap().filing.floor_12)
    {
        assert_eq!(*crown, PresentCrown::Flat);
        let standing = Standing::new(&plan, s, *crown, Start::default()).unwrap();
        assert!((standing.contact().b - job.saddle.as_ref().unwrap().survey.blank.thickness).abs() < 1e-9);
        assert!(s.action_12 - floor.unwrap() > 0.1);
    }
}
