//! The four example jobs: read without a problem and planned with sensible figures.

#![allow(clippy::unwrap_used, clippy::panic)] // test code outside #[test] functions

use job::{Job, Profiles, read};
use saddle::{Hold, Plan, plan};

const EXAMPLES: [(&str, &str); 4] = [
    ("parlour", include_str!("../../../examples/parlour.toml")),
    ("nylon-drop-in", include_str!("../../../examples/nylon-drop-in.toml")),
    (
        "baritone-ukulele",
        include_str!("../../../examples/baritone-ukulele.toml"),
    ),
    ("twelve-string", include_str!("../../../examples/twelve-string.toml")),
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
        let plan = plan(&checked.job.survey).unwrap_or_else(|errors| panic!("{name}: {errors:?}"));
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
                string.contact.v < job.survey.blank.height,
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
        "64ths",
        "Letter",
        " over ",
    ] {
        assert!(all.contains(piece), "{piece}");
    }
    let lefts = planned().iter().filter(|(_, job, _)| job.survey.left_handed).count();
    assert_eq!(lefts, 1);
}
