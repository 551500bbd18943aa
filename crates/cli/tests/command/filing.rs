//! `bonewright filing` as a user runs it, from outside.

use crate::binary::{Run, bonewright, example, examples, run};
use job::Profiles;
use saddle::filing::{Move, Proud, Standing, Start};
use serde_json::Value;
use std::path::Path;

fn filing(job: &Path, more: &[&str]) -> Run {
    run(bonewright().arg("filing").arg(job).args(more))
}

/// A job of text, with another table at its end.
fn with(job: &Path, table: &str) -> String {
    let text = std::fs::read_to_string(job).unwrap();
    let head: Vec<&str> = text.split("\n[filing]").collect();
    // What stands behind the job's own [filing] table up to the next one goes.
    let rest = head
        .get(1)
        .and_then(|tail| tail.find("\n[").map(|at| &tail[at..]))
        .unwrap_or("");
    format!("{}{rest}\n{table}\n", head[0])
}

fn piped(text: &str, more: &[&str]) -> Run {
    run(bonewright().args(["filing", "-"]).args(more).write_stdin(text))
}

/// What `fit` moves no ridge for, `filing` spends no stroke on: 1 cent for both.
#[test]
fn a_crumb_is_no_stroke() {
    let path = example("sound.toml");
    for (flag, value, say) in [
        ("--cents", "0.1", "not-worth"),
        ("--cents", "0.9", "not-worth"),
        ("--cents", "1", "go"),
        // Fret 12 at its tolerance, as near as a tuner shows, is in tune.
        ("--cents", "3", "go"),
        ("--forward", "0.01 mm", "not-worth"),
        ("--forward", "0.1 mm", "go"),
    ] {
        let of = |more: &[&str]| run(bonewright().arg("filing").arg(&path).args([flag, value]).args(more));
        let json: serde_json::Value = serde_json::from_str(&of(&["--json"]).out).unwrap();
        let page = of(&[]).out.split_whitespace().collect::<Vec<_>>().join(" ");
        let strings = json["strings"].as_array().unwrap();
        let crumbs = strings.iter().filter(|s| s["verdict"]["say"] == "not-worth").count();
        let wanted = if say == "go" { 0 } else { strings.len() };
        assert_eq!(crumbs, wanted, "{flag} {value}: {page}");
        assert!(!page.contains("out of tune"), "{flag} {value}: {page}");
        assert_eq!(
            page.contains("no ridge is moved for less than 1 cent"),
            wanted > 0,
            "{page}"
        );
    }
}

#[test]
fn every_example_fits_eighty_columns_in_every_unit() {
    for job in examples() {
        for bench in ["thou", "imperial", "metric"] {
            for more in [
                &[][..],
                &["--forward", "1/64 in"],
                &["--back", "0.2 mm"],
                &["--cents", "-1.5"],
                &["--at-height", "--forward", "1.5 mm"],
            ] {
                let page = filing(&job, &[more, &["--bench", bench]].concat());
                assert_eq!(page.code, 0, "{}", page.err);
                for line in page.out.lines() {
                    assert!(line.chars().count() <= 80, "{line}");
                }
                for part in [
                    "HOW IT STANDS",
                    "HOW FAR FORWARD",
                    "STEP BY STEP",
                    "WHAT IS FINAL",
                    "ORDER OF WORK",
                    "CAUTIONS",
                ] {
                    assert!(page.out.contains(part), "{part}");
                }
                assert!(!page.out.contains("NaN"), "{}", page.out);
            }
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
        let plan = work::planned(job.clone()).saddle().unwrap().plan.clone();
        let forward = 25.4 / 64.0;
        let out = filing(&path, &["--forward", "1/64 in", "--json"]);
        assert_eq!(out.code, 0, "{}", out.err);
        let value: Value = serde_json::from_str(&out.out).unwrap();
        assert_eq!(
            (&value["format"], &value["version"]),
            (&"bonewright-filing".into(), &1.into())
        );
        let strings = value["strings"].as_array().unwrap();
        assert_eq!(strings.len(), plan.strings.len());
        for (i, (out, s)) in strings.iter().zip(&plan.strings).enumerate() {
            let setup = &job.saddle.as_ref().unwrap().filing;
            let start = Start {
                action_12: setup.action_12[i],
                back: setup.back[i],
            };
            let standing = Standing::new(&plan, s, setup.crown[i], start).unwrap();
            let stroke = standing.stroke(forward);
            let near = |value: &Value, want: f64| (value.as_f64().unwrap() - want).abs() < 1e-9;
            let Ok(stroke) = stroke else {
                assert!(out["stroke"].is_null() && out["refusal"].is_string());
                continue;
            };
            assert!(near(&out["stroke"]["drop"], stroke.drop));
            assert!(near(&out["stroke"]["contact"]["v"], stroke.contact.v));
            assert!(near(&out["stroke"]["loss_12"], stroke.loss_12));
            assert!(near(&out["stroke"]["cents_12"], stroke.cents_12));
            let proud = Proud::before(&plan, s, setup.crown[i], start.back, Move::Forward(forward)).unwrap();
            assert!(near(&out["proud"]["height"], proud.height));
            assert!(near(&out["proud"]["stroke"]["action_12"], s.action_12));
        }
    }
}

#[test]
fn the_planned_crown_asks_for_no_move() {
    let text = with(&example("parlour.toml"), "[filing]\ncrown = \"planned\"");
    let page = piped(&text, &[]);
    assert_eq!(page.code, 0, "{}", page.err);
    assert!(page.out.contains("No move is asked"), "{}", page.out);
    assert!(!page.out.contains("THE STROKE") && page.out.contains("STEP BY STEP"));
}

/// A square flat top under a string that ends at the back edge: without a move it goes to the plan.
#[test]
fn without_a_move_a_flat_top_goes_to_its_plan() {
    let text = with(&example("parlour.toml"), "[filing]\ncrown = \"flat\"");
    let done = piped(&text, &["--json"]);
    assert_eq!(done.code, 0, "{}", done.err);
    let value: Value = serde_json::from_str(&done.out).unwrap();
    let plan = run(bonewright().args(["plan", "-", "--json"]).write_stdin(text));
    let plan: Value = serde_json::from_str(&plan.out).unwrap();
    for (out, s) in value["strings"]
        .as_array()
        .unwrap()
        .iter()
        .zip(plan["strings"].as_array().unwrap())
    {
        let near = |a: &Value, b: &Value| (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() < 1e-6;
        assert!(near(&out["stroke"]["contact"]["b"], &s["contact"]["b"]));
        // Left proud as told, the same move ends where the plan has the contact.
        for axis in ["b", "u", "v"] {
            assert!(
                near(&out["proud"]["stroke"]["contact"][axis], &s["contact"][axis]),
                "{axis}"
            );
        }
    }
}

#[test]
fn verdicts_are_told_in_words() {
    let flat = with(&example("parlour.toml"), "[filing]\ncrown = \"flat\"");
    let says = |more: &[&str], words: &str| {
        let page = piped(&flat, more);
        assert_eq!(page.code, 0, "{}", page.err);
        assert!(page.out.contains(words), "{words}: {}", page.out);
    };
    says(&["--forward", "0.1 mm"], "  go\n");
    says(&["--forward", "2.9 mm"], "proud first");
    says(&["--forward", "2.9 mm", "--at-height"], "low\n");
    says(&["--forward", "20 mm"], "runs off the blank");
    says(&["--cents", "150"], "out of reach");
    says(&["--step", "10 thou"], "Steps of 10.0 thou");
}

#[test]
fn only_the_strings_asked_for_are_told() {
    let done = filing(&example("parlour.toml"), &["--string", "6", "--string", "2", "--json"]);
    let value: Value = serde_json::from_str(&done.out).unwrap();
    let numbers: Vec<u64> = value["strings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["number"].as_u64().unwrap())
        .collect();
    assert_eq!(numbers, [6, 2]);
}

#[test]
fn wrong_use_is_told() {
    let job = example("parlour.toml");
    for (more, words) in [
        (&["--forward", "1/64 in", "--back", "1/64 in"][..], "--back"),
        (&["--forward", "1/64 in", "--cents", "2"], "--cents"),
        (&["--string", "7"], "no string 7"),
        (&["--string", "one"], "one"),
        (&["--forward", "3 deg"], "--forward"),
        (&["--forward", "-1 mm"], "--back"),
        (&["--back", "a bit"], "a bit"),
        (&["--cents", "1/2"], "--cents"),
        (&["--step", "0 mm"], "not over 0"),
        (&["--step", "2 in"], "longest step"),
    ] {
        let done = filing(&job, more);
        assert_eq!(done.code, 2, "{more:?}: {}", done.err);
        assert!(
            done.err.contains(words) && done.out.is_empty(),
            "{more:?}: {}",
            done.err
        );
    }
}

#[test]
fn a_bad_filing_table_names_its_field() {
    for (table, words) in [
        ("[filing]\ncrown = \"pointed\"", "filing.crown"),
        ("[filing]\ncrown = \"facet\"", "filing.fall"),
        ("[filing]\ncrown = \"rounded\"\nradius = \"3 deg\"", "filing.radius"),
        ("[filing]\ncrown = [\"flat\", \"flat\"]", "filing.crown"),
        ("[filing]\naction_12 = \"2 in\"", "filing.action_12"),
        ("[filing]\ncontact_back = \"9 mm\"", "filing.contact_back"),
    ] {
        let done = piped(&with(&example("parlour.toml"), table), &[]);
        assert_eq!(done.code, 1, "{table}: {}", done.err);
        assert!(done.err.contains(words) && done.out.is_empty(), "{table}: {}", done.err);
    }
}

/// The page as it was last looked at and found good. `BONEWRIGHT_BLESS=1` writes it anew and still fails.
#[test]
fn the_parlour_page_is_as_it_was() {
    let page = filing(&example("parlour.toml"), &["--forward", "1/64 in"]);
    crate::binary::golden("parlour-filing.txt", &page.out);
}

/// The verdict on one string, as JSON.
fn of_string(job: &str, number: u64, more: &[&str]) -> Value {
    let out = run(bonewright().args(["filing", "-", "--json"]).args(more).write_stdin(job));
    assert_eq!(out.code, 0, "{}", out.err);
    let all: Value = serde_json::from_str(&out.out).unwrap();
    let strings = all["strings"].as_array().unwrap();
    strings.iter().find(|s| s["number"] == number).unwrap().clone()
}

/// A contact that runs out of the land is not told to go, one that comes nearer to it is; and the page says what the command says.
#[test]
fn a_stroke_past_the_land_is_refused() {
    let nylon = std::fs::read_to_string(example("nylon-drop-in.toml")).unwrap();
    let past = of_string(&nylon, 4, &["--forward", "0.8 mm"]);
    assert_eq!(past["verdict"]["say"], "outside-land", "{past}");
    let contact = past["stroke"]["contact"]["b"].as_f64().unwrap();
    assert!(
        (past["verdict"]["by"].as_f64().unwrap() - (0.5 - contact)).abs() < 1e-9,
        "{past}"
    );
    // From outside the land, back to it.
    let outside = format!("{nylon}\n[filing]\ncontact_back = \"2.6 mm\"\ncrown = \"flat\"\n");
    let near = of_string(&outside, 3, &["--forward", "0.1 mm"]);
    assert_ne!(near["verdict"]["say"], "outside-land", "{near}");
    let page = run(bonewright()
        .arg("filing")
        .arg(example("nylon-drop-in.toml"))
        .args(["--forward", "0.8 mm"]));
    let flat = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("String 4: Do not: the contact would end"), "{flat}");
}

/// A stroke that takes fret 12 out of tolerance says so beside its go; one that does not, does not.
#[test]
fn what_a_stroke_does_to_the_tuning_is_told() {
    let parlour = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let worse = of_string(&parlour, 2, &["--forward", "1/64 in"]);
    assert_eq!(worse["verdict"]["say"], "go");
    let (off, by) = (
        worse["untuned"]["off"].as_f64().unwrap(),
        worse["untuned"]["worse"].as_f64().unwrap(),
    );
    let aim = worse["target"]["cents_12"].as_f64().unwrap();
    assert!((off - (worse["stroke"]["cents_12"].as_f64().unwrap() - aim)).abs() < 1e-9);
    assert!(off > 3.0 && (0.5..2.0).contains(&by), "{worse}");
    assert!(of_string(&parlour, 3, &["--forward", "1/64 in"])["untuned"].is_null());
    let page = filing(&example("parlour.toml"), &["--forward", "1/64 in"]);
    let flat = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("String 2: Go, but it ends 3.3 cents sharp at fret 12, 1.0 worse than now."),
        "{flat}"
    );
}

/// A file takes off: a string that would rise shows that the crown was not given as it stands.
#[test]
fn a_string_does_not_rise_under_the_file() {
    let sound = std::fs::read_to_string(example("sound.toml")).unwrap();
    let behind = format!("{sound}\n[filing]\ncrown = \"planned\"\ncontact_back = \"4.0 mm\"\n");
    let rises = of_string(&behind, 4, &["--forward", "0.5 mm"]);
    assert_eq!(rises["verdict"]["say"], "rises", "{rises}");
    assert!(rises["stroke"]["drop"].as_f64().unwrap() < 0.0);
    let still = of_string(&sound, 4, &[]);
    assert_eq!(still["verdict"]["say"], "still");
}
