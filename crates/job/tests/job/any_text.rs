//! Any text is answered: read, or refused with a reason; nothing panics and nothing is misread.

use std::sync::LazyLock;

use instrument::{StringRun, StrungString};
use job::{Profiles, Severity, corrected, read, read_strung};
use proptest::prelude::*;
use saddle::fit;

/// A job without a problem, in millimetres.
const GOOD: &str = include_str!("good.toml");

/// Readings without a problem.
const STRUNG: &str = "format = 1\nunit = \"mm\"\n[strung]\naction_12 = { bass = 2.5, treble = 1.9 }\n\
                      cents_12 = [2, 1, 0, \"-\", 3, 1]\ncents_at = [{ fret = 5, cents = [1, 1, 0, 0, 2, 1] }]\n";

const NUT_ALONE: &str = include_str!("../../../../examples/nut-only.toml");

/// Built once: they are read from text.
static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

/// Parts of hostile and near-miss files.
fn mutated(good: &'static str) -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("nan".to_owned()),
        Just("-1".to_owned()),
        Just("[[string]]".to_owned()),
        Just("\"1/0 in\"".to_owned()),
        Just("{ bass = 1 }".to_owned()),
        Just("[[[".to_owned()),
        Just("1979-05-27".to_owned()),
        Just("99999999999999999999".to_owned()),
        Just("= 0".to_owned()),
        "\\PC{0,12}",
        "[0-9.\"-]{0,6}",
    ];
    (0..good.len(), 0..40usize, piece).prop_map(move |(at, cut, piece)| {
        let end = (at + cut).min(good.len());
        format!("{}{piece}{}", &good[..at], &good[end..])
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_answered(text in "(?s).{0,300}") {
        let mut profiles = PROFILES.clone();
        prop_assert!(read(&text, &profiles).is_err());
        let _ = profiles.add_text("any.toml", &text);
    }

    /// The same for a file of profiles: added whole, or refused at its lines in whole sentences that are not the parser's.
    #[test]
    fn any_change_of_profiles_is_answered(text in prop_oneof![
        mutated(include_str!("../../../../profiles/cutters.toml")),
        mutated(include_str!("../../../../profiles/cutting.toml")),
        mutated(include_str!("../../../../profiles/machines.toml")),
        mutated(include_str!("../../../../profiles/materials.toml")),
        mutated(include_str!("../../../../profiles/strings.toml")),
        mutated(include_str!("../../../../profiles/tools.toml")),
    ]) {
        let mut profiles = PROFILES.clone();
        if let Err(found) = profiles.add_text("any.toml", &text) {
            prop_assert_eq!(&profiles, &*PROFILES);
            prop_assert!(!found.is_empty());
            for p in found {
                let told = p.what();
                prop_assert!(!p.to_string().contains('\n') && told.ends_with(['.', '?']), "{}", p);
                for word in ["invalid type", "invalid value", "invalid length", "missing field", "unknown field", "unknown variant"] {
                    prop_assert!(!told.contains(word), "{}", p);
                }
            }
        }
    }

    /// The same for a file of readings.
    #[test]
    fn any_readings_are_answered(text in "(?s).{0,60}", at in 0..STRUNG.len(), cut in 0..20usize) {
        let job = read(GOOD, &PROFILES).map(|checked| checked.job);
        let Ok(job) = job else { return Err(TestCaseError::fail("the good job")) };
        prop_assert!(read_strung(&text, &job, &PROFILES).is_err());
        let mutated = format!("{}{text}{}", &STRUNG[..at], &STRUNG[(at + cut).min(STRUNG.len())..]);
        match read_strung(&mutated, &job, &PROFILES) {
            Ok((strung, _)) => prop_assert_eq!(strung.len(), job.saddle.as_ref().unwrap().survey.strings.len()),
            Err(found) => for p in found {
                prop_assert!(!p.to_string().contains('\n') && p.what().ends_with(['.', '?']), "{}", p);
            },
        }
    }

    /// The same for a job that makes a nut alone.
    #[test]
    fn any_change_of_a_nut_alone_is_answered(text in mutated(NUT_ALONE)) {
        match read(&text, &PROFILES) {
            Ok(checked) => {
                prop_assert!(checked.warnings.iter().all(|p| p.severity == Severity::Warning));
                let job = checked.job;
                prop_assert!(job.saddle.is_none(), "it makes no saddle");
                let made = job.nut.unwrap();
                if let Ok(nut) = nut::alone(&job.instrument, &made.gaps, &made.survey) {
                    prop_assert!(nut.strings.iter().all(|s| s.floor.is_finite() && s.setback.is_finite()));
                    prop_assert_eq!(nut.strings.len(), job.instrument.strings.len());
                }
            }
            Err(found) => for p in found {
                prop_assert!(!p.to_string().contains('\n') && p.what().ends_with(['.', '?']), "{}", p);
            },
        }
    }

    /// Whatever is done to a job, it is read or refused with a reason, and what is read can be planned or refused.
    #[test]
    fn any_change_is_answered(text in mutated(GOOD)) {
        let lines = text.lines().count().max(1) + 1;
        match read(&text, &PROFILES) {
            Ok(checked) => {
                prop_assert!(checked.warnings.iter().all(|p| p.severity == Severity::Warning));
                // What is planned can be fitted, and the second file is read or refused like any other.
                let job = checked.job;
                if let Ok(plan) = saddle::plan(&job.saddle.as_ref().unwrap().survey) {
                    let read_12 = |s: &saddle::StringPlan| StrungString { action_12: Some(s.action_12 - 0.1), ..StrungString::default() };
                    let strung: Vec<_> = plan.strings.iter().map(read_12).collect();
                    let survey = &job.saddle.as_ref().unwrap().survey;
                    let evidence = survey.evidence(&job.uncertainty).unwrap();
                    if let Ok(fit) = fit(&evidence, survey, &strung, &job.uncertainty) {
                        let second = corrected(&text, &fit, &job, None);
                        let again = second.as_ref().map(|second| read(second, &PROFILES));
                        prop_assert!(matches!(again, Err(_) | Ok(Ok(_))), "{:?}", again);
                    }
                }
            }
            Err(found) => {
                prop_assert!(found.iter().any(|p| p.severity == Severity::Error));
                for p in found {
                    prop_assert!(p.line.is_none_or(|line| (1..=lines).contains(&line)), "{}", p);
                    prop_assert!(!p.to_string().contains('\n'), "{}", p);
                    prop_assert!(p.what().ends_with(['.', '?']), "{}", p);
                }
            }
        }
    }

    /// Numbers anywhere are read as they stand or refused; none is misread.
    #[test]
    fn a_scale_is_read_as_written(mm in 400.0..800.0f64) {
        let mm = (mm * 1000.0).round() / 1000.0;
        for text in [format!("scale = {mm:?}"), format!("scale = \"{mm} mm\""), format!("nut_to_12 = \"{} mm\"", mm / 2.0)] {
            let text = GOOD.replace("scale = 645", &text);
            let edge = mm / 2.0 + 2.0;
            let text = text
                .replace("edge_from_fret_12 = { bass = 324.5, treble = 323 }", &format!("edge_from_fret_12 = {edge}"))
                .replace("contact_from_fret_12 = { bass = 326.5, treble = 324.5 }", &format!("contact_from_fret_12 = {edge}"));
            let checked = read(&text, &PROFILES);
            let scale = checked.map(|c| c.job.saddle.as_ref().unwrap().survey.board.scale(&StringRun::CENTRE)).map_err(|p| format!("{p:?}"));
            prop_assert!(scale.as_ref().is_ok_and(|s| (s - mm).abs() < 1e-9), "{:?}", scale);
        }
    }
}

/// Lines that a hand may write, near enough to a job's to be mended or not.
fn slip() -> impl Strategy<Value = String> {
    let pieces = [
        "height", "bass", "treble", "a4", "=", ":", " ", " ", " ", ",", ";", "\"", "“", "”", "'", "[", "]", "{", "}",
        "(", ")", "12", "3.25", "3,2", "1/2", "1,000", "0", ".5", "5.", "-", "−", "mm", "in", "yes", "No", "#", "//",
        "E2", "\\", "\u{a0}", "½", "\n", "`", "=", "°",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 1..14).prop_map(|pieces| pieces.concat())
}

/// The figures of a text: its digits in order, without noughts, which may be added before a point or taken off.
fn figures(text: &str) -> String {
    text.chars().filter(|c| c.is_numeric() && *c != '0').collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..Default::default() })]

    /// A mend that is offered can be read, has every figure of the line, and none of the parser's words is shown.
    #[test]
    fn a_mend_keeps_every_figure(line in slip()) {
        let Err(found) = read(&line, &PROFILES) else { return Err(TestCaseError::fail("a line is no job")) };
        let lines: Vec<&str> = line.split('\n').collect();
        for p in found.iter().filter(|p| p.field.is_empty() && p.line.is_some()) {
            for word in ["expected ", "invalid ", "missing ", "unexpected ", "TOML", "literal", "array"] {
                prop_assert!(!p.what().contains(word), "{}", p);
            }
            let what = p.what();
            let Some((_, offered)) = what.split_once(" Write `") else { continue };
            let mend = offered.trim_end_matches("`.").replace("` and below it `", "\n");
            prop_assert!(toml::from_str::<toml::Table>(&mend).is_ok() || mend.starts_with('#') || mend.contains('\n'), "{}", p);
            let read: String = lines[p.line.unwrap() - 1..].join("\n");
            prop_assert!(figures(&read).starts_with(&figures(&mend)), "{} in {:?}", p, line);
            let first = lines[p.line.unwrap() - 1];
            prop_assert!(figures(&mend).starts_with(&figures(first)), "{} in {:?}", p, line);
        }
    }
}

/// Deep nesting is refused, not followed.
#[test]
fn deep_nesting_is_answered() {
    let deep = format!("a = {}", "[".repeat(100_000));
    assert!(read(&deep, &PROFILES).is_err());
    let closed = format!("a = {}{}", "[".repeat(5_000), "]".repeat(5_000));
    assert!(read(&closed, &PROFILES).is_err());
    for slip in [
        "a = [1,\n",
        "a = {\n",
        "[a\n",
        "[a]\n",
        "a = \"\"\"\n",
        "a = 1, b = ",
        "a = 1/2\n",
        "= \n",
        "“",
        "a = [\"b\" ",
    ] {
        let long = slip.repeat(60_000 / slip.len());
        let started = std::time::Instant::now();
        assert!(read(&long, &PROFILES).is_err());
        assert!(started.elapsed().as_secs() < 10, "{slip:?}: {:?}", started.elapsed());
    }
    let dotted = format!("{}a = 1", "a.".repeat(20_000));
    assert!(read(&dotted, &PROFILES).is_err());
}
