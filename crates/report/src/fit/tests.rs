use super::*;
use crate::WIDTH;
use crate::fixture::{planned, survey, twelve};
use crate::reference::{described_wholly, flat};
use instrument::StrungString;
use saddle::{BlankKind, FitLimits, Plan, SaddleSurvey};
use serde_json::Value;
use units::BenchUnit;
use work::{Fitted, Hazards, Left, Strung, Whole};

/// Readings that are `off` in action at bass and treble, and `sharp` in cents.
fn readings(plan: &Plan, off: [f64; 2], sharp: f64) -> Vec<StrungString> {
    let last = plan.strings.len() - 1;
    let read = |(i, s): (usize, &saddle::StringPlan)| StrungString {
        action_12: Some(s.action_12 + off[0] + (off[1] - off[0]) * i as f64 / last as f64),
        clearance: None,
        cents_12: Some(s.cents[11] + sharp),
        others: vec![(5, s.cents[4] + sharp / 2.0)],
        ..StrungString::default()
    };
    plan.strings.iter().enumerate().map(read).collect()
}

fn told(survey: &SaddleSurvey, read: &[StrungString], check: impl Fn(&Fitted, &str, &Value)) -> Value {
    let made = planned(survey);
    let strung = Strung {
        made: &made,
        survey,
        evidence: &crate::fixture::by_fine_readings(survey),
        read,
        limits: FitLimits::default(),
        floors: &[],
        facts: &assess::Facts::default(),
        slots: None,
    };
    let fitted = Fitted::of(&strung).unwrap();
    let fit = &fitted.fit;
    let mut text = String::new();
    for bench in BenchUnit::ALL {
        text = fit_page("A title", &fitted, Hazards::default(), bench);
        for line in text.lines() {
            assert!(line.chars().count() <= WIDTH && !line.ends_with(' '), "{line}");
        }
        assert!(!text.contains("NaN"));
    }
    let value: Value = serde_json::from_str(&fit_json("A title", &fitted, BenchUnit::THOU).unwrap()).unwrap();
    let each = value["strings"].as_array().unwrap().iter().zip(&fit.strings);
    for ((out, s), left) in each.zip(fitted.strings()) {
        for (key, want) in [
            ("off_12", s.off_12),
            ("off_saddle", s.off_saddle),
            ("stretch", s.stretch),
            ("lower", left.lower),
            ("rest", left.rest()),
            ("move_back", left.move_back),
            ("then_action_12", left.then_action_12),
        ] {
            assert_eq!(out[key].as_f64(), Some(want), "{key}");
        }
        assert_eq!(out["move_alone"].is_null(), left.move_back == 0.0);
    }
    assert_eq!(value["next"]["format"], "bonewright-plan");
    check(&fitted, &flat(&text), &value);
    value
}

#[test]
fn every_outcome_is_told() {
    let mut wide = survey();
    wide.blank.thickness = 4.5;
    let mut drop_in = wide.clone();
    drop_in.blank.kind = BlankKind::DropIn;
    let plan = planned(&wide);
    let mut documents = Vec::new();

    documents.push(told(&wide, &readings(&plan, [0.0, 0.0], 0.0), |f, text, value| {
        assert_eq!(f.whole(), Whole::Good);
        assert!(text.contains("every string is good"), "{text}");
        assert_eq!(value["whole"]["say"], "good");
    }));
    documents.push(told(&wide, &readings(&plan, [0.3, 0.4], 0.0), |f, text, value| {
        assert_eq!(f.whole(), Whole::File);
        assert!(
            text.contains("file to these figures") && text.contains("higher than planned"),
            "{text}"
        );
        assert_eq!(value["strings"][0]["left"]["say"], "file");
    }));
    // The low string by its number, at fret 12 and at the saddle; a shim while its ends are not blended, and what it costs.
    documents.push(told(&wide, &readings(&plan, [-0.4, -0.2], 0.0), |f, text, value| {
        let Whole::ShimOrNew(by) = f.whole() else {
            panic!("{:?}", f.whole())
        };
        let show = |mm| BenchUnit::METRIC.show(mm);
        let lowest = &f.fit.strings[0];
        for words in [
            "most of all string 6".to_owned(),
            format!("it is {} (15.5 thou) under its target at fret 12", show(-lowest.off_12)),
            format!("which is {}", show(-lowest.off_saddle)),
            "Nothing can be put back".to_owned(),
            "As long as its ends are not blended".to_owned(),
            format!("a shim {}", show(by)),
            "trace them again".to_owned(),
            "glued in with it".to_owned(),
            "lower, shimmed".to_owned(),
            "Once the ends are blended or it is glued".to_owned(),
            "THE CORRECTED PLAN".to_owned(),
        ] {
            assert!(text.contains(&words), "{words}: {text}");
        }
        assert_eq!(value["whole"]["say"], "shim-or-new");
        assert_eq!(value["whole"]["by"].as_f64(), Some(by));
        // A ridge that moves as well goes down with its fall.
        assert!(by > -lowest.off_saddle, "{by}");
        assert!(text.contains("more than is lacking there"), "{text}");
    }));
    documents.push(told(&drop_in, &readings(&plan, [-0.4, -0.4], 0.0), |f, text, value| {
        let Whole::Shim(by) = f.whole() else {
            panic!("{:?}", f.whole())
        };
        assert!(
            text.contains("lay a shim") && text.contains(&BenchUnit::METRIC.show(by)),
            "{text}"
        );
        assert!(text.contains("shimmed") && value["whole"]["say"] == "shim");
        assert!(!text.contains("blended") && !text.contains("CORRECTED PLAN"), "{text}");
    }));
    // Low by less than can be told: the string is named, with what to do.
    documents.push(told(&wide, &readings(&plan, [-0.12, -0.12], 0.0), |f, text, value| {
        assert_eq!(f.whole(), Whole::AsNear);
        assert!(
            text.contains("Leave strings 6, 5, 4, 3, 2 and 1: each is 0.12 mm (4.5 thou) under its target")
                && text.contains(" within what the reading can tell"),
            "{text}"
        );
        assert_eq!(value["strings"][0]["left"]["say"], "low");
    }));

    // Out of tune, and held.
    let narrow = survey();
    let out_of_tune = readings(&planned(&narrow), [0.0, 0.0], 4.0);
    documents.push(told(&narrow, &out_of_tune, |_, text, value| {
        assert!(
            value["strings"]
                .as_array()
                .unwrap()
                .iter()
                .any(|s| s["untuned"]["off"].is_f64()),
            "{text}"
        );
    }));
    // One stray reading each: its string alone is read again.
    let stray = |change: &dyn Fn(&mut Vec<StrungString>)| {
        let mut read = readings(&plan, [0.0, 0.0], 0.0);
        change(&mut read);
        read
    };
    let strays = [
        (
            4,
            "action",
            12,
            stray(&|read| read[2].action_12 = read[2].action_12.map(|a| a + 0.8)),
        ),
        (2, "cents", 12, stray(&|read| read[4].cents_12 = Some(90.0))),
        (1, "cents", 3, stray(&|read| read[5].others = vec![(3, 40.0)])),
    ];
    for (number, reading, fret, read) in strays {
        documents.push(told(&wide, &read, |f, text, value| {
            assert_eq!(f.whole(), Whole::ReadAgain, "{text}");
            assert!(
                text.contains("File nothing yet") && text.contains("before you file"),
                "{text}"
            );
            let how = if reading == "action" {
                "the ridge and in its nut slot"
            } else {
                "pressed lightly"
            };
            assert!(text.contains(how), "{text}");
            let again = f
                .strings()
                .iter()
                .filter(|s| s.left == Left::ReadAgain)
                .map(|s| s.number);
            assert_eq!(again.collect::<Vec<_>>(), [number], "{text}");
            let first = &value["doubts"][0]["may_be"][0];
            assert_eq!(
                (&first["string"], &first["reading"]),
                (&number.into(), &reading.into()),
                "{text}"
            );
            assert_eq!((&first["fret"], &first["over_made"]), (&fret.into(), &true.into()));
            assert_eq!(value["doubts"].as_array().unwrap().len(), 1, "{text}");
        }));
    }
    described_wholly("bonewright-fit", documents.into_iter());
}

#[test]
fn outer_strings_alone_are_enough_and_twelve_fit() {
    let twelve = twelve();
    let plan = planned(&twelve);
    let mut read = vec![StrungString::default(); 12];
    for i in [0, 11] {
        read[i].action_12 = Some(plan.strings[i].action_12 + 0.2);
    }
    told(&twelve, &read, |_, text, _| {
        assert!(text.contains("A dash: not read"), "{text}")
    });
}

/// Where the aim is no true octave, what is off is told as off the aim, so that it is not taken for the cents of the table.
#[test]
fn what_stays_out_of_tune_is_named() {
    let mut survey = survey();
    for string in &mut survey.strings {
        string.criterion = strings::Criterion::BestFit;
    }
    let plan = planned(&survey);
    assert!(plan.strings.iter().any(|s| s.aim_cents_12.abs() > 0.1));
    told(&survey, &readings(&plan, [0.0, 0.0], 6.0), |f, text, _| {
        let left = f.strings().iter().find(|s| s.untuned.is_some()).unwrap();
        let off = left.untuned.unwrap().off;
        assert!((off - left.then_cents_12).abs() > 0.1, "{left:?}");
        assert!(
            text.contains(&format!("string {} stays {off:.1} cents sharp of its aim", left.number)),
            "{text}"
        );
    });
}
