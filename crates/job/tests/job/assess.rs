//! What `assess` reads of `[bridge]`, `[neck]` and `[assess]`.

use job::{Checked, Problem, Profiles, read};

const GOOD: &str = include_str!("good.toml");

fn with(bridge: &str, rest: &str) -> Result<Checked, Vec<Problem>> {
    let text = GOOD.replace("above_bridge_top = 0\n", &format!("above_bridge_top = 0\n{bridge}\n"));
    read(&format!("{text}\n{rest}\n"), &Profiles::built_in())
}

#[test]
fn without_the_tables_all_is_at_its_default() {
    let facts = with("", "").unwrap().job.saddle.unwrap().assess;
    assert_eq!(facts.limits, assess::Limits::default());
    assert_eq!((facts.ramp, facts.heel_height, facts.humidity), (None, None, None));
    assert!(facts.wound.contains(&Some(true)) && facts.wound.contains(&Some(false)));
}

#[test]
fn readings_and_limits_are_read() {
    let facts = with(
        "ramp_length = 4\nramp_depth = 1.5\nthickness = { bass = 8.5, treble = 8.4 }\nfront_wall = 6\nwood = \"ebony\"",
        "[neck]\nheel_height = 88\nboard_thickness = 7.2\nlast_fret = 19\n[assess]\nhumidity = 47\nleast_humidity = 30\nleast_exposure = 1.2\nmost_break_angle = \"40 deg\"",
    )
    .unwrap()
    .job
    .saddle.unwrap().assess;
    assert_eq!(
        facts.ramp,
        Some(assess::Ramp {
            length: 4.0,
            depth: 1.5
        })
    );
    assert_eq!(facts.bridge_thickness, Some([8.5, 8.4]));
    assert_eq!(facts.front_wall, Some([6.0, 6.0]));
    assert_eq!(facts.wood, assess::wood("ebony"));
    assert_eq!(
        (facts.heel_height, facts.pivot_below, facts.last_fret),
        (Some(88.0), Some(7.2), Some(19))
    );
    assert_eq!(facts.humidity, Some(0.47));
    assert_eq!(facts.limits.least_humidity, 0.3.into());
    assert_eq!(facts.limits.most_humidity, assess::Limits::default().most_humidity);
    assert_eq!(facts.limits.least_exposure, 1.2.into());
    assert!((facts.limits.most_break_angle.value - 40f64.to_radians()).abs() < 1e-12);
    assert_eq!(facts.limits.most_exposure, assess::Limits::default().most_exposure);
}

#[test]
fn what_cannot_be_is_refused_with_a_way_to_mend_it() {
    for (bridge, rest, words) in [
        ("ramp_length = 4", "", "ramp_depth"),
        ("ramp_depth = 4", "", "ramp_length"),
        ("wood = \"rosewod\"", "", "rosewood"),
        ("thickness = 300", "", "Depth rod"),
        ("", "[neck]\nheel_hight = 80", "heel_height"),
        ("", "[neck]\nlast_fret = 80", "Count the frets"),
        ("", "[assess]\nhumidity = 0.45", "45 is 45 %"),
        ("", "[assess]\nleast_exposure = 6", "must be less than"),
        ("", "[assess]\nmost_pressure = 3", "A half is 0.5"),
    ] {
        let problems = with(bridge, rest).unwrap_err();
        let text: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert!(text.iter().any(|t| t.contains(words)), "{words}: {text:?}");
    }
}

/// The clearance that a job bears is its own: a blank 0.20 mm thinner than the slot is doubted against 0.15 mm, not against 0.25, and one 0.05 mm
/// thinner against 0.04. A limit that cannot be read leaves the default.
#[test]
fn a_loose_blank_is_doubted_against_the_limit_of_its_job() {
    let doubts = |width: &str, own: &str| -> Vec<String> {
        let text = GOOD.replace("width = 3.25", &format!("width = {width}"));
        let found = match read(&format!("{text}\n{own}\n"), &Profiles::built_in()) {
            Ok(checked) => checked.warnings,
            Err(problems) => problems,
        };
        let loose = found.into_iter().filter(|p| p.field == "blank.thickness");
        loose.map(|p| p.what()).collect()
    };
    for (width, own, over) in [
        ("3.40", "", Some("over 0.150 mm it tips")),
        ("3.40", "[assess]\nmost_clearance = 0.25", None),
        ("3.25", "", None),
        ("3.25", "[assess]\nmost_clearance = 0.04", Some("over 0.040 mm it tips")),
        ("3.40", "[assess]\nmost_clearance = 9", Some("over 0.150 mm it tips")),
    ] {
        let found = doubts(width, own);
        assert_eq!(found.len(), usize::from(over.is_some()), "{width}, {own}: {found:?}");
        assert!(over.is_none_or(|over| found[0].contains(over)), "{found:?}");
    }
    // A blank that does not go in is refused by the same limit as it is found by.
    let tight = doubts("3.17", "[assess]\nmost_clearance = 0.25");
    assert!(tight[0].contains("thicker than the slot"), "{tight:?}");
    assert_eq!(doubts("3.181", ""), Vec::<String>::new());
    assert!((assess::LEAST_CLEARANCE.value + 0.02).abs() < 1e-12);
}
