//! `bonewright fit` as a user runs it, from outside.

use crate::binary::{Run, bonewright, example, examples, run, top};
use job::{Job, Profiles};
use saddle::Plan;
use serde_json::Value;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

fn fit(job: &Path, more: &[&str]) -> Run {
    run(bonewright().arg("fit").arg(job).args(more))
}

fn library(path: &Path) -> (Job, Plan) {
    let text = std::fs::read_to_string(path).unwrap();
    let job = job::read(&text, &Profiles::built_in()).unwrap().job;
    let plan = work::planned(job.clone()).saddle().unwrap().plan.clone();
    (job, plan)
}

fn list(values: impl Iterator<Item = f64>) -> String {
    values.map(|v| format!("{v:.4}")).collect::<Vec<_>>().join(", ")
}

/// Readings of the planned saddle with its seat `off` at the saddle, mm at bass and treble.
fn readings(plan: &Plan, off: [f64; 2]) -> String {
    let last = (plan.strings.len() - 1) as f64;
    let action = plan.strings.iter().enumerate().map(|(i, s)| {
        let at = off[0] + (off[1] - off[0]) * i as f64 / last.max(1.0);
        // What is missing at the saddle shows at fret 12 in this proportion.
        s.action_12 + at * (s.string.crowns[11].x - s.nut.x) / (s.position.x - s.nut.x)
    });
    let cents = plan.strings.iter().map(|s| s.cents[11]);
    format!(
        "format = 1\nunit = \"mm\"\n[strung]\nwith = [\"dial indicator\", \"recording\"]\naction_12 = [{}]\ncents_12 = [{}]\n",
        list(action),
        list(cents)
    )
}

/// A page as one line, so that a sentence is found wherever it was broken.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn saved(folder: &TempDir, text: &str) -> PathBuf {
    let path = folder.path().join("readings.toml");
    std::fs::write(&path, text).unwrap();
    path
}

fn outcome(job: &Path, readings: &Path) -> (Value, Run) {
    let readings = readings.to_str().unwrap();
    let page = fit(job, &["--readings", readings]);
    assert_eq!(page.code, 0, "{}", page.err);
    for line in page.out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let json = fit(job, &["--readings", readings, "--json"]);
    (serde_json::from_str(&json.out).unwrap(), page)
}

#[test]
fn the_verdict_follows_the_planted_seat() {
    let folder = tempfile::tempdir().unwrap();
    for path in examples() {
        let (job, plan) = library(&path);
        if job.nut.is_some() {
            continue; // its plan is of both ends together
        }
        // As planned: nothing to do.
        let (value, page) = outcome(&path, &saved(&folder, &readings(&plan, [0.0, 0.0])));
        let held = plan.strings.iter().any(|s| s.hold != saddle::Hold::Free);
        let say = value["whole"]["say"].as_str().unwrap();
        assert!(say == "good" || held && say == "as-near", "{}", page.out);
        assert!(flat(&page.out).contains("File nothing more") || held, "{}", page.out);
        // High all along: there is material to file. The seat comes back as it was planted.
        let (value, page) = outcome(&path, &saved(&folder, &readings(&plan, [0.6, 0.6])));
        assert_eq!(value["whole"]["say"], "file", "{}", page.out);
        for end in ["bass", "treble"] {
            let seat = value["seat"][end].as_f64().unwrap();
            assert!((seat - 0.6).abs() < 0.05, "{end} {seat}");
        }
        for s in value["strings"].as_array().unwrap() {
            assert!((s["off_saddle"].as_f64().unwrap() - 0.6).abs() < 0.1, "{s}");
            assert!((s["lower"].as_f64().unwrap() - 0.6).abs() < 0.1, "{s}");
        }
        // Low: nothing can be put back. A shim of what the seat lacks, and of more where a contact goes down a fall.
        let (value, page) = outcome(&path, &saved(&folder, &readings(&plan, [-0.7, -0.7])));
        let (says, words) = match job.saddle.as_ref().unwrap().survey.blank.kind {
            saddle::BlankKind::Through => (&["shim-or-new", "new-saddle"][..], "THE CORRECTED PLAN"),
            saddle::BlankKind::DropIn => (&["shim"][..], "lay a shim"),
        };
        assert!(says.contains(&value["whole"]["say"].as_str().unwrap()), "{}", page.out);
        let by = value["whole"]["by"].as_f64().unwrap();
        assert!((0.65..1.4).contains(&by), "{by}: {}", page.out);
        assert!(flat(&page.out).contains(words), "{}", page.out);
    }
}

#[test]
fn json_gives_the_library_s_numbers() {
    let folder = tempfile::tempdir().unwrap();
    for path in examples() {
        let (job, plan) = library(&path);
        if job.nut.is_some() {
            continue; // its plan is of both ends together
        }
        let text = readings(&plan, [0.3, -0.2]);
        let (read, _) = job::read_strung(&text, &job, &Profiles::built_in()).unwrap();
        let done = work::planned(job);
        let saddle = done.saddle().unwrap();
        let want = saddle::fit(saddle.evidence, saddle.survey, &read, &saddle.evidence.unsure).unwrap();
        let (value, _) = outcome(&path, &saved(&folder, &text));
        let near = |value: &Value, want: f64| (value.as_f64().unwrap() - want).abs() < 1e-9;
        assert!(near(&value["seat"]["bass"], want.seat.bass) && near(&value["seat"]["treble"], want.seat.treble));
        for (out, s) in value["strings"].as_array().unwrap().iter().zip(&want.strings) {
            assert!(near(&out["off_12"], s.off_12) && near(&out["off_saddle"], s.off_saddle));
            assert!(near(&out["stretch"], s.stretch) && near(&out["action_12"], s.action_12));
        }
        assert!(near(
            &value["next"]["strings"][0]["contact"]["v"],
            want.next.strings[0].contact.v
        ));
    }
}

#[test]
fn readings_in_the_job_a_second_file_and_by_answers_are_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let path = example("nylon-drop-in.toml");
    let (job, plan) = library(&path);
    let text = readings(&plan, [0.4, 0.2]);
    let by_file = fit(&path, &["--readings", saved(&folder, &text).to_str().unwrap()]);
    assert_eq!(by_file.code, 0, "{}", by_file.err);

    let (read, _) = job::read_strung(&text, &job, &Profiles::built_in()).unwrap();
    let action: Vec<String> = read
        .iter()
        .map(|r| format!("\"{:.4} mm\"", r.action_12.unwrap()))
        .collect();
    let table = format!(
        "[strung]\nwith = [\"dial indicator\", \"recording\"]\naction_12 = [{}]\ncents_12 = [{}]\n",
        action.join(", "),
        list(read.iter().map(|r| r.cents_12.unwrap()))
    );
    let own = std::fs::read_to_string(&path).unwrap();
    let own = own.split("\n[strung]").next().unwrap();
    let by_job = run(bonewright().args(["fit", "-"]).write_stdin(format!("{own}\n{table}")));
    assert_eq!((by_job.code, &by_job.out), (0, &by_file.out), "{}", by_job.err);

    let mut answers: Vec<String> = read.iter().map(|r| format!("{:.4} mm", r.action_12.unwrap())).collect();
    // A slip, an absurd one and a wrong unit are asked for again.
    answers.splice(
        0..0,
        [
            "two".to_owned(),
            "3 m".to_owned(),
            "5 deg".to_owned(),
            "90 mm".to_owned(),
        ],
    );
    answers.extend(read.iter().map(|_| String::new()));
    answers.extend(read.iter().map(|r| format!("{:.4}", r.cents_12.unwrap())));
    let asked = run(bonewright()
        .arg("fit")
        .arg(&path)
        .args(["--ask", "--with", "dial indicator", "--with", "recording"])
        .write_stdin(answers.join("\n")));
    assert_eq!((asked.code, &asked.out), (0, &by_file.out), "{}", asked.err);
    assert_eq!(asked.err.matches("Not taken").count(), 4, "{}", asked.err);
}

#[test]
fn answers_may_end_at_any_point() {
    let path = example("parlour.toml");
    let some = run(bonewright()
        .arg("fit")
        .arg(&path)
        .arg("--ask")
        .write_stdin("94 thou\n\n\n\n\n78 thou"));
    assert_eq!(some.code, 0, "{}", some.err);
    assert!(flat(&some.out).contains("A dash: not read"), "{}", some.out);
    let none = run(bonewright().arg("fit").arg(&path).arg("--ask").write_stdin(""));
    assert_eq!(none.code, 1);
    assert!(none.err.contains("action_12") && none.out.is_empty(), "{}", none.err);
}

#[test]
fn the_job_for_a_second_saddle_plans_on() {
    let folder = tempfile::tempdir().unwrap();
    for path in examples() {
        let (_, plan) = library(&path);
        let read = saved(&folder, &readings(&plan, [-0.7, -0.4]));
        let next = folder
            .path()
            .join(format!("second-{}", path.file_name().unwrap().to_str().unwrap()));
        let (read, name) = (read.to_str().unwrap(), next.to_str().unwrap());
        let written = fit(&path, &["--readings", read, "--write-job", name]);
        assert_eq!(written.code, 0, "{}", written.err);
        assert!(
            written.out.contains(&format!("bonewright plan {name}")),
            "{}",
            written.out
        );
        let second = run(bonewright().args(["plan", name, "--json"]));
        assert_eq!(second.code, 0, "{}", second.err);
        let json: Value = serde_json::from_str(&fit(&path, &["--readings", read, "--json"]).out).unwrap();
        let second: Value = serde_json::from_str(&second.out).unwrap();
        // The file rounds to 1e-4 mm, which the solve may multiply a little.
        for (a, b) in second["strings"]
            .as_array()
            .unwrap()
            .iter()
            .zip(json["next"]["strings"].as_array().unwrap())
        {
            for axis in ["b", "v"] {
                let (a, b) = (
                    a["contact"][axis].as_f64().unwrap(),
                    b["contact"][axis].as_f64().unwrap(),
                );
                assert!((a - b).abs() < 0.002, "{}: {axis} {a} {b}", path.display());
            }
        }
        let before = std::fs::read(&next).unwrap();
        let again = fit(&path, &["--readings", read, "--write-job", name]);
        assert_eq!(again.code, 3, "{}", again.err);
        assert!(
            again.err.contains("--force") && again.err.contains(name),
            "{}",
            again.err
        );
        assert_eq!(std::fs::read(&next).unwrap(), before);
        assert_eq!(
            fit(&path, &["--readings", read, "--write-job", name, "--force"]).code,
            0
        );
    }
}

#[test]
fn doubtful_readings_make_no_job() {
    let folder = tempfile::tempdir().unwrap();
    let path = example("parlour.toml");
    let (_, plan) = library(&path);
    let mut text = readings(&plan, [0.0, 0.0]);
    let wild = format!("{:.4}", plan.strings[2].action_12);
    text = text.replace(&wild, "4.1");
    let next = folder.path().join("next.toml");
    let done = fit(
        &path,
        &[
            "--readings",
            saved(&folder, &text).to_str().unwrap(),
            "--write-job",
            next.to_str().unwrap(),
        ],
    );
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(
        flat(&done.out).contains("reading doubtful") && flat(&done.out).contains("File nothing yet"),
        "{}",
        done.out
    );
    assert!(done.err.contains("was not written") && !next.exists(), "{}", done.err);
}

#[test]
fn bad_readings_name_their_field() {
    let folder = tempfile::tempdir().unwrap();
    let path = example("parlour.toml");
    for (text, words) in [
        ("format = 1\n[strung]\n", "strung.action_12"),
        (
            "format = 1\nunit = \"mm\"\n[strung]\naction_12 = [2.4, 2.3]",
            "strung.action_12",
        ),
        ("format = 1\n[strung]\naction_12 = \"2.4 mm\"", "strung.action_12"),
        (
            "format = 1\n[strung]\naction_12 = { bass = \"240 mm\", treble = \"2 mm\" }",
            "strung.action_12",
        ),
        (
            "format = 1\n[strung]\naction_12 = { bass = \"2 deg\", treble = \"2 mm\" }",
            "strung.action_12",
        ),
        (
            "format = 1\n[strung]\naction_12 = [\"-\", \"-\", \"-\", \"-\", \"-\", \"-\"]",
            "strung.action_12",
        ),
        (
            "format = 1\nunit = \"mm\"\n[strung]\naction_12 = { bass = 2.4, treble = 2 }\ncents_12 = [1, 900, 1, 1, 1, 1]",
            "strung.cents_12",
        ),
        ("format = 1\n[blank]\n", "blank"),
        ("no = toml = at all", "line 1"),
    ] {
        let done = fit(&path, &["--readings", saved(&folder, text).to_str().unwrap()]);
        assert_eq!(done.code, 1, "{text}: {}", done.err);
        assert!(done.err.contains(words) && done.out.is_empty(), "{text}: {}", done.err);
        assert!(done.err.contains("readings.toml"), "{}", done.err);
    }
}

#[test]
fn missing_readings_and_wrong_use_are_told() {
    let path = example("baritone-ukulele.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let bare = text.split("\n[strung]").next().unwrap();
    let done = run(bonewright().args(["fit", "-"]).write_stdin(bare));
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(
        done.err.contains("[strung]") && done.err.contains("--readings") && done.err.contains("--ask"),
        "{}",
        done.err
    );
    for (arguments, code) in [
        (&["fit", "-", "--ask"][..], 2),
        (&["fit", "-", "--readings", "-"], 2),
        (&["fit", path.to_str().unwrap(), "--ask", "--readings", "x"], 2),
        (&["fit", path.to_str().unwrap(), "--force"], 2),
        (&["fit", path.to_str().unwrap(), "--readings", "missing.toml"], 3),
    ] {
        let done = run(bonewright().args(arguments).write_stdin(text.clone()));
        assert_eq!(done.code, code, "{arguments:?}: {}", done.err);
        assert!(!done.err.is_empty() && done.out.is_empty(), "{arguments:?}");
    }
}

/// The page as it was last looked at and found good. `BONEWRIGHT_BLESS=1` writes it anew and still fails.
#[test]
fn the_parlour_page_is_as_it_was() {
    let read = top().join("examples/strung/parlour.toml");
    let page = fit(&example("parlour.toml"), &["--readings", read.to_str().unwrap()]);
    crate::binary::golden("parlour-fit.txt", &page.out);
}

/// What nothing is done to stays as it was read; what is filed comes to its target, and no more is asked than that.
#[test]
fn when_it_is_done_is_what_will_be() {
    let folder = tempfile::tempdir().unwrap();
    let mut seen = [0, 0];
    for (name, off) in [
        ("parlour", [0.0, 0.0]),
        ("parlour", [-0.12, -0.12]),
        ("parlour", [0.3, 0.0]),
        ("neck-set-due", [0.2, 0.4]),
        ("sound", [0.0, 0.5]),
    ] {
        let path = example(&format!("{name}.toml"));
        let (_, plan) = library(&path);
        let (all, _) = outcome(&path, &saved(&folder, &readings(&plan, off)));
        for (s, plan) in all["strings"].as_array().unwrap().iter().zip(&plan.strings) {
            let figure = |key: &str| s[key].as_f64().unwrap();
            if s["left"]["say"] == "file" {
                assert!((figure("then_action_12") - plan.action_12).abs() < 1e-9, "{name} {s}");
                assert!(figure("rest") > 0.1 || figure("move_back") != 0.0, "{name} {s}");
                seen[1] += 1;
            } else {
                assert_eq!(figure("then_action_12"), figure("action_12"), "{name} {s}");
                assert_eq!(figure("then_cents_12"), figure("cents_12"), "{name} {s}");
                assert_eq!((figure("lower"), figure("move_back")), (0.0, 0.0), "{name} {s}");
                seen[0] += 1;
            }
        }
    }
    assert!(seen.iter().all(|count| *count > 5), "{seen:?}");
}

/// A ridge that is a tenth of a cent off is left where it is, whatever is filed off the height.
#[test]
fn no_ridge_is_moved_for_a_tenth_of_a_cent() {
    let folder = tempfile::tempdir().unwrap();
    let path = example("sound.toml");
    let (_, plan) = library(&path);
    for (cents, off, moves) in [
        (0.1, 0.0, false),
        (0.5, 0.3, false),
        (-2.5, 0.0, false),
        (6.0, 0.0, false),
        (6.0, 0.8, true),
    ] {
        let text = readings(&plan, [off, off]);
        let (head, tail) = text.split_once("cents_12 = [").unwrap();
        let list = plan.strings.iter().map(|s| s.cents[11] + cents);
        let text = format!("{head}cents_12 = [{}]\n", self::list(list));
        assert!(!tail.is_empty());
        let (all, page) = outcome(&path, &saved(&folder, &text));
        let moved = all["strings"].as_array().unwrap().iter().any(|s| s["move_back"] != 0.0);
        assert_eq!(moved, moves, "{cents}: {}", page.out);
        let whole = match (off > 0.0, cents > 3.0) {
            (true, _) => "file",
            // There is no height for the move.
            (false, true) => "as-near",
            (false, false) => "good",
        };
        assert_eq!(all["whole"]["say"], whole, "{cents}: {}", page.out);
    }
}

/// One lowness, one figure: at fret 12 and at the saddle, each by its name, in the table, the headline and the JSON.
#[test]
fn one_lowness_has_one_figure_at_each_place() {
    let folder = tempfile::tempdir().unwrap();
    let path = example("sound.toml");
    const METRIC: units::BenchUnit = units::BenchUnit::METRIC;
    let (_, plan) = library(&path);
    let (all, page) = outcome(&path, &saved(&folder, &readings(&plan, [-0.6, -0.5])));
    let text = flat(&page.out);
    for s in all["strings"].as_array().unwrap() {
        let (at_12, saddle) = (s["off_12"].as_f64().unwrap(), s["off_saddle"].as_f64().unwrap());
        assert!((saddle / at_12 - 2.0).abs() < 0.1, "{s}");
        let name = format!("{} {}", s["number"], s["note"].as_str().unwrap());
        assert!(
            text.contains(&format!("{name} {} {} ", METRIC.number(at_12), METRIC.number(saddle))),
            "{name} {at_12} {saddle}: {text}"
        );
        assert!(
            text.contains(&format!("too low by {} at fret 12", METRIC.show(-at_12))),
            "{text}"
        );
    }
    let (at_12, saddle) = (&all["strings"][0]["off_12"], &all["strings"][0]["off_saddle"]);
    let shown = |value: &Value| METRIC.show(-value.as_f64().unwrap());
    assert!(
        text.contains(&format!("string 6: it is {}", shown(at_12)))
            && text.contains(&format!("which is {}", shown(saddle))),
        "{text}"
    );
    // No other lowness stands in the headline but the shim's own thickness.
    let headline = text
        .split("WHAT TO DO")
        .nth(1)
        .unwrap()
        .split("CAUTIONS")
        .next()
        .unwrap()
        .to_owned();
    let figures: std::collections::BTreeSet<&str> = headline
        .split(" mm")
        .filter_map(|s| s.rsplit([' ', '(']).next())
        .filter(|s| s.parse::<f64>().is_ok())
        .collect();
    let shim = shown(&serde_json::json!(-all["whole"]["by"].as_f64().unwrap()));
    for figure in figures {
        let mm = format!("{figure} mm");
        assert!(
            [shown(at_12), shown(saddle), shim.clone()].contains(&mm),
            "{mm}: {headline}"
        );
    }
}
