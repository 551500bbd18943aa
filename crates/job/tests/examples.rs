//! The four example jobs: read without a problem and planned with sensible figures.

#![allow(clippy::unwrap_used, clippy::panic)] // test code outside #[test] functions

use job::{Profiles, read};
use saddle::plan;

const EXAMPLES: [(&str, &str); 4] = [
    ("parlour", include_str!("../../../examples/parlour.toml")),
    ("nylon-drop-in", include_str!("../../../examples/nylon-drop-in.toml")),
    (
        "baritone-ukulele",
        include_str!("../../../examples/baritone-ukulele.toml"),
    ),
    ("twelve-string", include_str!("../../../examples/twelve-string.toml")),
];

#[test]
fn all_are_read_and_planned() {
    for (name, text) in EXAMPLES {
        let checked = read(text, &Profiles::built_in()).unwrap_or_else(|problems| {
            let list: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("{name}:\n{}", list.join("\n"))
        });
        for w in &checked.warnings {
            println!("{name}: {w}");
        }
        let survey = &checked.job.survey;
        let plan = plan(survey).unwrap_or_else(|errors| panic!("{name}: {errors:?}"));
        for s in &plan.strings {
            println!(
                "{name} {:>2} {:<2} b {:5.2} u {:6.2} v {:6.2} setback {:5.2} nut {:5.2} a12 {:.2} a1 {:.2} T {:5.1} cal {:?} exp {:?} hold {:?} rms {:.2} c12 {:.2} term {:.5}",
                s.number,
                s.note,
                s.contact.b,
                s.contact.u,
                s.contact.v,
                s.setback,
                s.nut_setback,
                s.action_12,
                s.action_1,
                s.tension,
                s.calibration,
                s.exposure,
                s.hold,
                s.rms_cents,
                s.cents[11],
                s.termination.from_planned
            );
        }
        println!(
            "{name} front {:.1} back {:.1}",
            plan.crown.front_fall.to_degrees(),
            plan.crown.back_fall.to_degrees()
        );
    }
}
