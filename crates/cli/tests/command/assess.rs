//! `bonewright assess` as a user runs it, from outside.

use crate::binary::{bonewright, example, examples, golden, run};
use serde_json::Value;
use std::path::Path;

/// Action and exposure come out as promised within this, mm (the issue's own figure).
const PROMISE: f64 = 0.01;

fn json(command: &str, job: &Path) -> Value {
    let out = run(bonewright().arg(command).arg(job).arg("--json"));
    assert_eq!(out.code, 0, "{}", out.err);
    serde_json::from_str(&out.out).unwrap()
}

/// Topics with one verdict, in order.
fn topics(value: &Value, verdict: &str) -> Vec<String> {
    let list = value["findings"].as_array().unwrap().iter();
    list.filter(|f| f["verdict"] == verdict)
        .map(|f| f["topic"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn every_example_is_assessed_on_eighty_columns() {
    for job in examples() {
        for bench in ["thou", "imperial", "metric"] {
            let page = run(bonewright().arg("assess").arg(&job).args(["--bench", bench]));
            assert_eq!(page.code, 0, "{}", page.err);
            for line in page.out.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
            let flat = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
            for words in ["not a promise", "respirator", "FINDINGS"] {
                assert!(flat.contains(words), "{words}: {}", job.display());
            }
        }
        let value = json("assess", &job);
        assert_eq!(value["format"], "bonewright-assess");
        assert_eq!(value["version"], 1);
        let count = value["findings"].as_array().unwrap().len();
        assert_eq!(value["advice"].as_array().unwrap().len(), count);
    }
}

#[test]
fn the_three_cases_are_told_apart() {
    let sound = json("assess", &example("sound.toml"));
    for verdict in ["act", "watch", "unknown"] {
        assert_eq!(topics(&sound, verdict), Vec::<String>::new(), "{verdict}");
    }
    assert!(sound["verdict"].as_str().unwrap().contains("Nothing stands in its way"));

    let neck = json("assess", &example("neck-set-due.toml"));
    assert_eq!(topics(&neck, "act"), ["neck"]);
    assert!(neck["neck"]["heel"]["wood"].as_f64().unwrap() > 0.3);
    assert!(neck["verdict"].as_str().unwrap().contains("cannot be undone"));

    let slot = json("assess", &example("parlour.toml"));
    assert_eq!(topics(&slot, "act"), ["slot"]);
    let left = |key: &str| slot["slot"][key].as_f64().unwrap();
    assert!(left("worst_now") > 3.0 && left("worst_best") < 0.1);
    for value in [neck, slot] {
        let cuts = value["findings"].as_array().unwrap().iter();
        assert!(
            cuts.filter(|f| f["verdict"] == "act")
                .all(|f| f["undo"] == "irreversible")
        );
    }
}

/// Relief out of order comes before the neck, and the neck's remedy is still marked as final.
#[test]
fn what_can_be_undone_comes_first() {
    let text = std::fs::read_to_string(example("neck-set-due.toml")).unwrap();
    let text = text
        .replace("gap = \"7 thou\"", "gap = \"25 thou\"")
        .replace("humidity = 46", "humidity = 70");
    let out = run(bonewright().args(["assess", "-", "--json"]).write_stdin(text));
    assert_eq!(out.code, 0, "{}", out.err);
    let value: Value = serde_json::from_str(&out.out).unwrap();
    assert_eq!(topics(&value, "act"), ["humidity", "relief", "neck"]);
    assert!(
        value["verdict"]
            .as_str()
            .unwrap()
            .starts_with("First put humidity and relief in order")
    );
}

/// The job for after the neck set plans as promised, and is assessed as wanting nothing of the neck.
#[test]
fn the_job_after_the_neck_set_plans_as_promised() {
    let folder = tempfile::tempdir().unwrap();
    for name in [
        "neck-set-due.toml",
        "parlour.toml",
        "nylon-drop-in.toml",
        "baritone-ukulele.toml",
    ] {
        let job = example(name);
        let (before, promised) = (json("plan", &job), json("assess", &job));
        let then = folder.path().join(name);
        let write = || run(bonewright().arg("assess").arg(&job).arg("--write-job").arg(&then));
        let done = write();
        assert_eq!(done.code, 0, "{}", done.err);
        assert!(done.err.contains("cannot be undone"), "{}", done.err);
        let again = write();
        assert_eq!(again.code, 3, "{}", again.err);
        let after = json("plan", &then);
        let strings = after["strings"].as_array().unwrap();
        let wanted = promised["neck"]["exposure_then"].as_array().unwrap();
        assert_eq!(strings.len(), wanted.len());
        for (i, string) in strings.iter().enumerate() {
            let near = |a: &Value, b: &Value| (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() < PROMISE;
            assert!(near(&string["exposure"], &wanted[i]), "{name}: {}", string["exposure"]);
            assert!(near(&string["action_12"], &before["strings"][i]["action_12"]), "{name}");
        }
        assert!(
            !topics(&json("assess", &then), "act").contains(&"neck".to_owned()),
            "{name}"
        );
    }
}

#[test]
fn the_owner_gets_a_sheet_in_three_forms() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("owner");
    let job = example("neck-set-due.toml");
    let draw = |force: bool| {
        let mut command = bonewright();
        command.arg("assess").arg(&job).arg("--out").arg(&out);
        if force {
            command.arg("--force");
        }
        run(&mut command)
    };
    assert_eq!(draw(false).code, 0);
    let read = |name: &str| std::fs::read(out.join(name)).unwrap();
    assert!(read("neck-set-due-assess.pdf").starts_with(b"%PDF"));
    assert!(read("neck-set-due-assess-1.png").starts_with(b"\x89PNG"));
    let svg = String::from_utf8(read("neck-set-due-assess-1.svg")).unwrap();
    for words in [
        "What is wrong",
        "What is proposed",
        "What it would change",
        "What else could be done",
        "What cannot be undone",
        "How sure this is",
        "Before you agree",
        "Price",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    assert_eq!(draw(false).code, 3);
    assert_eq!(draw(true).code, 0);
}

#[test]
fn the_parlour_page_is_as_it_was() {
    let page = run(bonewright().arg("assess").arg(example("parlour.toml")));
    golden("parlour-assess.txt", &page.out);
}

/// The planned parlour.
fn parlour() -> work::Planned {
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    work::planned(job::read(&text, &job::Profiles::built_in()).unwrap().job)
}

#[test]
fn the_owner_s_words_are_as_they_were() {
    let done = parlour();
    let saddle = done.saddle().unwrap();
    let found = saddle.assess();
    let of = report::Assessed {
        stops: &[],
        beside: saddle.beside(),
        air: None,
        title: &saddle.job.title,
        plan: saddle.plan,
        found: &found,
        bench: saddle.job.bench,
    };
    let before = report::owner_sheet(&of, &saddle.proposed(&found), saddle.hazards());
    crate::binary::golden("parlour-owner.txt", &before.text());
}

#[test]
fn the_owner_s_words_after_the_work_are_as_they_were() {
    let done = parlour();
    let saddle = done.saddle().unwrap();
    let readings = std::fs::read_to_string(example("strung/parlour.toml")).unwrap();
    let (read, _) = job::read_strung(&readings, saddle.job, &job::Profiles::built_in()).unwrap();
    let after = saddle.handed_back(&read).unwrap();
    let after = report::handed_back_sheet(&after, saddle.job.bench, saddle.hazards());
    crate::binary::golden("parlour-after.txt", &after.text());
}

/// With readings after stringing up there is a second sheet, from the job or from a file of their own, and its verdict is that of `fit`.
#[test]
fn after_the_work_the_owner_gets_a_second_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    for (name, more, wanted) in [
        ("good", 0.0, "The work is done"),
        (
            "high",
            0.4,
            "The work is not finished: some strings are still to be brought down",
        ),
        ("low", -0.6, "The work is not finished: some strings stand too low"),
    ] {
        let done = work::planned(job::read(&text, &job::Profiles::built_in()).unwrap().job);
        let plan = done.saddle().unwrap().plan;
        let action = plan.strings.iter().map(|s| format!("\"{:.3} mm\"", s.action_12 + more));
        let action = action.collect::<Vec<_>>().join(", ");
        let strung = format!("[strung]\nhumidity = 48\naction_12 = [{action}]\n");
        let path = folder.path().join(format!("{name}.toml"));
        std::fs::write(&path, format!("{text}\n{strung}")).unwrap();
        let out = folder.path().join(name);
        let done = run(bonewright().arg("assess").arg(&path).arg("--out").arg(&out));
        assert_eq!(done.code, 0, "{}", done.err);
        assert!(done.err.contains(&format!("{name}-after.pdf")), "{}", done.err);
        let sheet = |file: String| {
            let svg = std::fs::read_to_string(out.join(file)).unwrap();
            let words = svg.split('<').filter_map(|piece| piece.split_once('>')).map(|p| p.1);
            words.flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ")
        };
        let after = sheet(format!("{name}-after-1.svg"));
        assert!(after.contains(wanted), "{after}");
        assert!(
            after.contains("When it came: 45 per cent.") && after.contains("48 per cent."),
            "{after}"
        );
        // The same readings in a file of their own.
        let (bare, readings) = (
            folder.path().join(format!("{name}-bare.toml")),
            folder.path().join("r.toml"),
        );
        std::fs::write(&bare, &text).unwrap();
        std::fs::write(&readings, format!("format = 1\n{strung}")).unwrap();
        let done = run(bonewright()
            .arg("assess")
            .arg(&bare)
            .arg("--readings")
            .arg(&readings)
            .arg("--out")
            .arg(&out));
        assert_eq!(done.code, 0, "{}", done.err);
        assert_eq!(sheet(format!("{name}-bare-after-1.svg")), after);
    }
    // Without readings there is none, and readings alone are no use.
    let out = folder.path().join("none");
    let done = run(bonewright()
        .arg("assess")
        .arg(example("parlour.toml"))
        .arg("--out")
        .arg(&out));
    assert!(done.code == 0 && !done.err.contains("-after"), "{}", done.err);
    let done = run(bonewright()
        .arg("assess")
        .arg(example("parlour.toml"))
        .arg("--readings")
        .arg("r.toml"));
    assert_eq!(done.code, 2, "{}", done.err);
}
