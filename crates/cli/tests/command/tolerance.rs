//! `bonewright tolerance` as a user runs it, from outside.

use crate::binary::{Run, bonewright, example, examples, run};
use job::Profiles;
use saddle::tolerance::Sampling;
use serde_json::Value;
use std::path::Path;

fn tolerance(job: &Path, more: &[&str]) -> Run {
    run(bonewright().arg("tolerance").arg(job).args(more))
}

fn json(job: &Path, more: &[&str]) -> Value {
    let done = tolerance(job, &[more, &["--json"]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    serde_json::from_str(&done.out).unwrap()
}

/// A job with `[tolerance]` and `[uncertainty]` of its own replaced by these.
fn piped(job: &Path, tables: &str, more: &[&str]) -> Run {
    let text = std::fs::read_to_string(job).unwrap();
    let mut kept = String::new();
    let mut keep = true;
    for line in text.lines() {
        if line.starts_with('[') {
            keep = !line.starts_with("[tolerance]") && !line.starts_with("[uncertainty]");
        }
        if keep {
            kept += &format!("{line}\n");
        }
    }
    run(bonewright()
        .args(["tolerance", "-"])
        .args(more)
        .write_stdin(format!("{kept}\n{tables}\n")))
}

#[test]
fn every_example_fits_eighty_columns_in_every_unit() {
    for job in examples() {
        for bench in ["thou", "imperial", "metric"] {
            let page = tolerance(&job, &["--samples", "1000", "--bench", bench]);
            assert_eq!(page.code, 0, "{}", page.err);
            for line in page.out.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
            for part in [
                "HOW SURE IT IS",
                "PER STRING",
                "WHAT TO DO",
                "WHICH READINGS MATTER",
                "CAUTIONS",
            ] {
                assert!(page.out.contains(part), "{part}");
            }
            // No bar where no one looks.
            assert!(!page.err.contains('#'), "{}", page.err);
        }
    }
}

#[test]
fn json_gives_the_library_s_numbers() {
    for path in examples() {
        let text = std::fs::read_to_string(&path).unwrap();
        let job = job::read(&text, &Profiles::built_in()).unwrap().job;
        if job.nut.is_some() {
            continue; // its plan is of both ends together
        }
        let done = work::planned(job.clone());
        let saddle = done.saddle().unwrap();
        let sampling = Sampling {
            samples: 2000,
            seed: 7,
            confidence: 0.9,
        };
        let band = job.tolerance.band;
        let want =
            saddle::tolerance::tolerance(saddle.evidence, saddle.survey, saddle.plan, band, sampling, &|_| ()).unwrap();
        let value = json(&path, &["--samples", "2000", "--seed", "7", "--confidence", "90 %"]);
        let near = |value: &Value, want: f64| (value.as_f64().unwrap() - want).abs() < 1e-9;
        assert_eq!(
            (&value["format"], &value["samples"]),
            (&"bonewright-tolerance".into(), &2000.into())
        );
        assert!(near(&value["all_within"], want.all_within) && near(&value["proud"], want.proud));
        for (out, s) in value["strings"].as_array().unwrap().iter().zip(&want.strings) {
            assert!(near(&out["action"]["deviation"], s.action.deviation));
            assert!(near(&out["cents"]["high"], s.cents.high));
            assert!(near(&out["too_low"], s.too_low) && near(&out["proud"], s.proud));
        }
        for (out, share) in value["readings"]
            .as_array()
            .unwrap()
            .iter()
            .zip(&want.first_order.shares)
        {
            assert!(near(&out["of_all"], share.of_all) && near(&out["sigma"], share.sigma));
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_page_on_any_threads() {
    let job = example("parlour.toml");
    let page = |seed: &str, threads: &str| {
        let done = run(bonewright()
            .env("RAYON_NUM_THREADS", threads)
            .arg("tolerance")
            .arg(&job)
            .args(["--samples", "5000", "--json", "--seed", seed]));
        assert_eq!(done.code, 0, "{}", done.err);
        done.out
    };
    let first = page("3", "1");
    assert_eq!(first, page("3", "1"));
    assert_eq!(first, page("3", "4"));
    assert_ne!(first, page("4", "1"));
}

#[test]
fn a_surer_reading_loses_its_rank() {
    let job = example("parlour.toml");
    let first = json(&job, &["--samples", "500"]);
    let rank = |value: &Value, name: &str| {
        let readings = value["readings"].as_array().unwrap();
        readings.iter().position(|r| r["reading"] == name)
    };
    assert_eq!(rank(&first, "bridge-top"), Some(0));
    let done = piped(
        &job,
        "[uncertainty]\nbridge_top = \"0.01 mm\"",
        &["--samples", "500", "--json"],
    );
    assert_eq!(done.code, 0, "{}", done.err);
    let surer: Value = serde_json::from_str(&done.out).unwrap();
    assert!(rank(&surer, "bridge-top") > Some(3), "{}", done.out);
    let chance = |value: &Value| value["any_too_low"].as_f64().unwrap();
    assert!(chance(&surer) < chance(&first));
}

#[test]
fn more_confidence_asks_for_more_height() {
    let job = example("parlour.toml");
    let proud = |c: &str| json(&job, &["--confidence", c])["proud"].as_f64().unwrap();
    assert!(proud("0.8") < proud("0.95") && proud("95%") < proud("0.99"));
}

#[test]
fn wrong_use_is_told() {
    let job = example("parlour.toml");
    for more in [
        ["--samples", "10"],
        ["--samples", "many"],
        ["--samples", "99999999999"],
        ["--seed", "-1"],
        ["--confidence", "95"],
        ["--confidence", "0.2"],
        ["--confidence", "100 %"],
        ["--confidence", "NaN"],
    ] {
        let done = tolerance(&job, &more);
        assert_eq!(done.code, 2, "{more:?}: {}", done.err);
        assert!(
            done.err.contains(more[0]) && done.out.is_empty(),
            "{more:?}: {}",
            done.err
        );
    }
}

#[test]
fn a_bad_table_names_its_field() {
    for (tables, words) in [
        ("[tolerance]\naction = \"3 deg\"", "tolerance.action"),
        ("[tolerance]\ncents = 0", "tolerance.cents"),
        ("[tolerance]\nconfidence = 2", "tolerance.confidence"),
        ("[tolerance]\nsamples = 1.5", "tolerance.samples"),
        ("[uncertainty]\nlean = \"2 mm\"", "uncertainty.lean"),
        (
            "[uncertainty]\nslot_edge = { total = \"0.1 mm\", correlation = 3 }",
            "uncertainty.slot_edge",
        ),
        ("[uncertainty]\nluck = 1", "uncertainty.luck"),
    ] {
        let done = piped(&example("parlour.toml"), tables, &[]);
        assert_eq!(done.code, 1, "{tables}: {}", done.err);
        assert!(
            done.err.contains(words) && done.out.is_empty(),
            "{tables}: {}",
            done.err
        );
    }
}
