//! `check` and `plan` on the examples.

use crate::binary::{PATH, bonewright, example, examples, golden, run};
use job::{Checked, Profiles};
use serde_json::Value;
use std::path::Path;
use std::process::Stdio;

/// The same job through the libraries.
pub fn library(job: &Path) -> (Checked, saddle::Plan) {
    let text = std::fs::read_to_string(job).unwrap();
    let checked = job::read(&text, &Profiles::built_in()).unwrap();
    let plan = work::planned(checked.job.clone()).saddle().unwrap().plan.clone();
    (checked, plan)
}

#[test]
fn every_example_is_in_order() {
    for job in examples() {
        let check = run(bonewright().arg("check").arg(&job));
        assert_eq!(check.code, 0, "{}", check.err);
        assert!(check.out.contains("in order"), "{}", check.out);
        let (checked, _) = library(&job);
        assert_eq!(check.err.lines().count(), checked.warnings.len(), "{}", check.err);
    }
}

#[test]
fn the_page_fits_eighty_columns_and_shows_every_string() {
    for job in examples() {
        let (_, plan) = library(&job);
        for bench in [None, Some("thou"), Some("imperial"), Some("metric")] {
            let mut command = bonewright();
            command.arg("plan").arg(&job).args(["--part", "saddle"]);
            if let Some(bench) = bench {
                command.args(["--bench", bench]);
            }
            let page = run(&mut command);
            assert_eq!(page.code, 0, "{}", page.err);
            for line in page.out.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
            for s in &plan.strings {
                let row = format!("{} {}", s.number, s.note);
                let rows = page.out.lines().filter(|line| line.trim_start().starts_with(&row));
                assert_eq!(rows.count(), 4, "{row}");
            }
            if let Some(bench) = bench {
                let height = units::BenchUnit::parse(bench)
                    .unwrap()
                    .number(plan.strings[0].contact.v);
                assert!(page.out.contains(&format!(" {height} ")), "{height}");
            }
            assert!(page.out.contains("CAUTIONS") && page.out.contains("respirator"));
        }
    }
}

#[test]
fn json_carries_the_librarys_figures() {
    for job in examples() {
        let (checked, plan) = library(&job);
        let json = run(bonewright().arg("plan").arg(&job).arg("--json"));
        assert_eq!(json.code, 0);
        let value: Value = serde_json::from_str(&json.out).unwrap();
        assert_eq!(value["format"], "bonewright-plan");
        assert_eq!(value["version"], 1);
        assert_eq!(value["title"], checked.job.title);
        let strings = value["strings"].as_array().unwrap();
        assert_eq!(strings.len(), plan.strings.len());
        // The JSON reader of this test may miss the last bit, so the figures are compared to 1e-11.
        let near = |value: &Value, want: f64| (value.as_f64().unwrap() - want).abs() < 1e-11;
        for (out, s) in strings.iter().zip(&plan.strings) {
            assert_eq!(out["number"], s.number);
            assert!(near(&out["contact"]["b"], s.contact.b));
            assert!(near(&out["contact"]["u"], s.contact.u));
            assert!(near(&out["contact"]["v"], s.contact.v));
            assert!(near(&out["setback"], s.setback));
            assert!(near(&out["action_12"], s.action_12));
            for (cents, want) in out["cents"].as_array().unwrap().iter().zip(s.cents) {
                assert!(near(cents, want));
            }
        }
    }
}

#[test]
fn csv_has_a_row_a_string() {
    for job in examples() {
        let (_, plan) = library(&job);
        let csv = run(bonewright().arg("plan").arg(&job).arg("--csv"));
        assert_eq!(csv.code, 0);
        // RFC 4180: lines end in CR LF; no field of the examples needs quotes.
        let mut lines = csv.out.split("\r\n");
        let head: Vec<&str> = lines.next().unwrap().split(',').collect();
        let place = |name| head.iter().position(|h| *h == name).unwrap();
        for s in &plan.strings {
            let row: Vec<&str> = lines.next().unwrap().split(',').collect();
            assert_eq!(row.len(), head.len());
            assert_eq!(row[place("height_mm")].parse(), Ok(s.contact.v));
            assert_eq!(row[place("back_mm")].parse(), Ok(s.contact.b));
            assert_eq!(row[place("tension_n")].parse(), Ok(s.tension));
        }
        assert_eq!(lines.collect::<Vec<_>>(), [""]);
    }
}

#[test]
fn a_job_may_come_by_standard_input() {
    let job = example("parlour.toml");
    let text = std::fs::read_to_string(&job).unwrap();
    let named = run(bonewright().arg("plan").arg(&job));
    let piped = run(bonewright().args(["plan", "-"]).write_stdin(text.clone()));
    assert_eq!((piped.code, piped.out), (0, named.out));
    let check = run(bonewright().args(["check", "-"]).write_stdin(text));
    assert_eq!(check.code, 0);
    assert!(check.out.starts_with("standard input: in order"));
}

/// `bonewright plan JOB | head -1`: the reader goes away before the page is written.
#[test]
fn a_closed_pipe_is_no_fault() {
    let mut child = std::process::Command::new(PATH)
        .arg("plan")
        .arg(example("twelve-string.toml"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success() && !err.contains("panicked"), "{err}");
}

/// The parlour guitar's page as it was last looked at and found good. `BONEWRIGHT_BLESS=1` writes it anew and still
/// fails, so that no one blesses unawares.
#[test]
fn the_parlour_page_is_as_it_was() {
    let page = run(bonewright().arg("plan").arg(example("parlour.toml")));
    golden("parlour-plan.txt", &page.out);
}
