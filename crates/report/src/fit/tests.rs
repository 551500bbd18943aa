use super::*;
use crate::WIDTH;
use crate::fixture::{planned, survey, twelve};
use crate::reference::{described_wholly, flat};
use instrument::StrungString;
use saddle::{BlankKind, Outcome, StringWork, fit};
use saddle::{FitLimits, Plan, SaddleSurvey};
use serde_json::Value;
use units::BenchUnit;
use work::{Fitted, Hazards};

/// Readings that are `off` in action at bass and treble, and `sharp` in cents.
fn readings(plan: &Plan, off: [f64; 2], sharp: f64) -> Vec<StrungString> {
    let last = plan.strings.len() - 1;
    let read = |(i, s): (usize, &saddle::StringPlan)| StrungString {
        action_12: Some(s.action_12 + off[0] + (off[1] - off[0]) * i as f64 / last as f64),
        clearance: None,
        cents_12: Some(s.cents[11] + sharp),
        others: vec![(5, s.cents[4] + sharp / 2.0)],
    };
    plan.strings.iter().enumerate().map(read).collect()
}

fn told(survey: &SaddleSurvey, read: &[StrungString], check: impl Fn(&Fitted, &str, &Value)) -> Value {
    let made = planned(survey);
    let limits = FitLimits::default();
    let fitted = Fitted {
        made: &made,
        survey,
        read,
        limits,
        fit: fit(survey, read, &limits).unwrap(),
        facts: &assess::Facts::default(),
        floors: Vec::new(),
    };
    let fit = &fitted.fit;
    let mut text = String::new();
    for bench in BenchUnit::ALL {
        text = fit_page("A title", &fitted, Hazards::default(), bench);
        for line in text.lines() {
            assert!(line.chars().count() <= WIDTH && !line.ends_with(' '), "{line}");
        }
        assert!(!text.contains("NaN"));
    }
    let value: Value = serde_json::from_str(&fit_json("A title", &fitted, BenchUnit::Thou).unwrap()).unwrap();
    for (out, s) in value["strings"].as_array().unwrap().iter().zip(&fit.strings) {
        assert_eq!(out["lower"].as_f64(), Some(s.lower));
        assert_eq!(out["move_back"].as_f64(), Some(s.move_back));
        assert_eq!(out["stretch"].as_f64(), Some(s.stretch));
        assert_eq!(
            out["move_alone"]["drop"].as_f64(),
            s.move_alone.as_ref().map(|k| k.drop)
        );
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
        assert_eq!(f.fit.outcome, Outcome::Good);
        assert!(text.contains("every string is good"), "{text}");
        assert_eq!(value["outcome"]["say"], "good");
    }));
    documents.push(told(&wide, &readings(&plan, [0.3, 0.4], 0.0), |f, text, value| {
        assert_eq!(f.fit.outcome, Outcome::File);
        assert!(
            text.contains("file to these figures") && text.contains("higher than planned"),
            "{text}"
        );
        assert_eq!(value["strings"][0]["verdict"]["say"], "file");
    }));
    documents.push(told(&wide, &readings(&plan, [-0.4, -0.2], 0.0), |f, text, value| {
        assert!(matches!(f.fit.outcome, Outcome::NewSaddle(_)));
        assert!(
            text.contains("nothing can be put back") && text.contains("THE CORRECTED PLAN"),
            "{text}"
        );
        assert_eq!(value["outcome"]["say"], "new-saddle");
        let Outcome::NewSaddle(by) = f.fit.outcome else { return };
        assert_eq!(value["outcome"]["by"].as_f64(), Some(by));
    }));
    documents.push(told(&drop_in, &readings(&plan, [-0.4, -0.4], 0.0), |f, text, value| {
        let Outcome::Shim(by) = f.fit.outcome else {
            panic!("{:?}", f.fit.outcome)
        };
        assert!(
            text.contains("lay a shim") && text.contains(&BenchUnit::Millimetre.show(by)),
            "{text}"
        );
        assert!(text.contains("shimmed") && value["outcome"]["say"] == "shim");
    }));

    let mut stray = readings(&plan, [0.0, 0.0], 0.0);
    stray[2].action_12 = stray[2].action_12.map(|a| a + 0.8);
    stray[4].cents_12 = Some(90.0);
    stray[5].others = vec![(3, 40.0)];
    documents.push(told(&wide, &stray, |f, text, value| {
        assert_eq!(f.fit.outcome, Outcome::ReadAgain);
        assert!(
            text.contains("File nothing yet") && text.contains("one straight bottom"),
            "{text}"
        );
        assert!(
            text.contains("more than this string can show") && text.contains("fret 3 was read"),
            "{text}"
        );
        assert_eq!(value["strings"][2]["doubt"]["about"], "action");
        assert!(value["strings"][4]["doubt"]["high"].is_f64());
        let doubtful = |s: &&saddle::StringFit| matches!(s.verdict, StringWork::Doubtful(_));
        assert_eq!(f.fit.strings.iter().filter(doubtful).count(), 3);
    }));
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
