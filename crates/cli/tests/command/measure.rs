//! `bonewright measure` as a user runs it, from outside.

use crate::binary::{Run, bonewright, example, examples, run};
use job::Profiles;
use serde_json::Value;
use std::path::Path;
use work::{NextAsk, Shop};

fn measure(job: &Path, more: &[&str]) -> Run {
    run(bonewright().arg("measure").arg(job).args(more))
}

fn json(job: &Path, more: &[&str]) -> Value {
    let done = measure(job, &[more, &["--json"]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    serde_json::from_str(&done.out).unwrap()
}

#[test]
fn every_example_fits_eighty_columns_in_every_unit() {
    for job in examples() {
        for bench in ["thou", "imperial", "metric"] {
            let page = measure(&job, &["--bench", bench]);
            let saddle = job::read(&std::fs::read_to_string(&job).unwrap(), &Profiles::built_in()).unwrap();
            if saddle.job.saddle_stays() {
                assert_eq!(page.code, 2, "{}", page.out);
                assert!(page.err.contains("about a saddle that is made"), "{}", page.err);
                continue;
            }
            assert_eq!(page.code, 0, "{}", page.err);
            assert!(page.out.lines().all(|line| line.chars().count() <= 80), "{}", page.out);
            for part in [
                "WHAT TO READ NEXT",
                "BY KINDS OF READINGS",
                "BY SINGLE READINGS",
                "CAUTIONS",
            ] {
                assert!(page.out.contains(part), "{part}");
            }
        }
    }
}

#[test]
fn json_gives_the_library_s_numbers() {
    let parlour = example("parlour.toml");
    let profiles = Profiles::built_in();
    let job = job::read(&std::fs::read_to_string(&parlour).unwrap(), &profiles)
        .unwrap()
        .job;
    let done = work::planned(job);
    let (with, without) = (["recording".to_owned()], ["dial indicator".to_owned()]);
    let shop = Shop {
        with: &with,
        without: &without,
        visit: 2,
        ..Shop::usual(&profiles)
    };
    let ask = NextAsk {
        wished: 0.8,
        ..NextAsk::default()
    };
    let want = done.saddle().unwrap().next(&shop, &ask).unwrap();
    let flags = [
        "--with",
        "recording",
        "--without",
        "dial indicator",
        "--visit",
        "2",
        "--chance",
        "80 %",
    ];
    let found = json(&parlour, &flags);
    assert_eq!(found["now"].as_f64(), Some(want.now));
    for (list, want) in [("kinds", &want.kinds), ("singles", &want.singles)] {
        let found = found[list].as_array().unwrap();
        assert_eq!(found.len(), want.len());
        for (found, want) in found.iter().zip(want) {
            assert_eq!(found["chance"].as_f64(), Some(want.chance));
            assert_eq!(found["tool"], want.tool);
        }
    }
    assert!(want.kinds.iter().any(|step| step.tool == "recording"));
    assert!(want.kinds.iter().all(|step| step.tool != "dial indicator"));
}

#[test]
fn each_of_several_saddles_is_told_and_one_by_its_name() {
    let split = example("split-saddle.toml");
    let all = json(&split, &[]);
    assert_eq!(all["saddles"].as_array().unwrap().len(), 2);
    let name = all["saddles"][0]["name"].as_str().unwrap();
    assert_eq!(json(&split, &["--part", name]), all["saddles"][0]["saddle"]);
    let page = measure(&split, &[]);
    assert_eq!(page.out.matches("WHAT TO READ NEXT").count(), 2);
    assert_eq!(page.out.matches("CAUTIONS").count(), 1);
}

#[test]
fn what_is_not_there_is_named() {
    let parlour = example("parlour.toml");
    for (flags, said) in [
        (
            &["--with", "crystal ball"][..],
            "there is no tool named \"crystal ball\"",
        ),
        (&["--without", "feelers,thumb"], "there is no tool named \"thumb\""),
        (&["--part", "middle"], "there is no part \"middle\""),
        (&["--chance", "2"], "expected a chance"),
        (&["--visit", "0"], "0 is not in"),
    ] {
        let done = measure(&parlour, flags);
        assert_eq!(done.code, 2, "{flags:?}");
        assert!(done.err.contains(said), "{}", done.err);
    }
}

/// A reading that is in the job is counted, and the list goes on from there.
#[test]
fn what_was_read_is_counted() {
    let parlour = example("parlour.toml");
    let before = json(&parlour, &["--without", "dial indicator,micrometer"]);
    assert_eq!(before["kinds"][0]["reading"], "saddle_height");
    let text = std::fs::read_to_string(&parlour).unwrap();
    let more = "\n[[readings]]\nwith = \"caliper\"\nsaddle_height = [\"8.3 mm\", \"8.4 mm\", \"8.4 mm\", \"8.3 mm\", \"8.2 mm\", \"8.0 mm\"]\n";
    let read = run(bonewright()
        .args(["measure", "-", "--json", "--without", "dial indicator,micrometer"])
        .write_stdin(text + more));
    assert_eq!(read.code, 0, "{}", read.err);
    let after: Value = serde_json::from_str(&read.out).unwrap();
    assert!(after["now"].as_f64() > before["now"].as_f64());
    assert_ne!(after["kinds"][0]["reading"], "saddle_height");
}
