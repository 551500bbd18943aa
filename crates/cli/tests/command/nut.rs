//! The nut as a user makes it: plan, draw, filing, fit and tolerance with `--part`, from outside.

use serde_json::Value;

/// Standard output, standard error and exit code.
fn run(args: &[&str]) -> (String, String, i32) {
    let done = crate::binary::run(crate::binary::bonewright().args(args));
    (done.out, done.err, done.code)
}

fn example(name: &str) -> String {
    crate::binary::example(name).display().to_string()
}

fn good(args: &[&str]) -> String {
    let (out, err, code) = run(args);
    assert_eq!(code, 0, "{args:?}: {err}");
    out
}

const NUTS: [&str; 3] = ["parlour-both.toml", "nylon-nut.toml", "eight-string.toml"];

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&good(args)).expect("JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn both_parts_are_planned_unless_one_is_named() {
    for name in NUTS {
        let job = example(name);
        let (both, nut, saddle) = (
            good(&["plan", &job]),
            good(&["plan", &job, "--part", "nut"]),
            good(&["plan", &job, "--part", "saddle"]),
        );
        assert!(both.contains("TO MAKE") && both.contains("NUT: SLOTS") && both.matches("CAUTIONS").count() == 1);
        assert!(nut.contains("NUT: SLOTS") && !nut.contains("TO MAKE"));
        assert!(saddle.contains("TO MAKE") && !saddle.contains("NUT: SLOTS"));
        for line in both.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn a_job_without_a_nut_says_so() {
    let (_, err, code) = run(&["plan", &example("parlour.toml"), "--part", "nut"]);
    assert_eq!(code, 2);
    assert!(err.contains("[nut_blank]"), "{err}");
}

/// Nut and saddle are one line: an outside program finds each string's gap at fret 1 again from the two contacts.
#[test]
fn the_two_documents_fit_each_other() {
    for name in NUTS {
        let job = example(name);
        let both = json(&["plan", &job, "--part", "both", "--json"]);
        assert_eq!(both["saddle"]["format"], "bonewright-plan");
        assert_eq!(both["nut"]["format"], "bonewright-nut-plan");
        assert_eq!(json(&["plan", &job, "--json"]), both["saddle"]);
        assert_eq!(json(&["plan", &job, "--part", "nut", "--json"]), both["nut"]);
        let board = &both["saddle"]["inputs"]["board"];
        let scale = number(&board["scale"]);
        let fret_1 = scale * (1.0 - (-1.0 / 12.0f64).exp2());
        let strings = both["nut"]["strings"].as_array().expect("strings");
        for (n, s) in strings
            .iter()
            .zip(both["saddle"]["strings"].as_array().expect("strings"))
        {
            let (x_n, z_n) = (number(&s["nut"]["x"]), number(&s["nut"]["z"]));
            let (x_s, z_s) = (number(&s["position"]["x"]), number(&s["position"]["z"]));
            // The nut's own figures put its contact where the string starts.
            assert!((number(&both["nut"]["front_x"]) - number(&n["back"]) - x_n).abs() < 1e-9);
            assert!((number(&both["nut"]["seat_z"]) + number(&n["floor"]) - z_n).abs() < 1e-9);
            let given = s["number"].as_f64();
            let run = both["saddle"]["inputs"]["strings"].as_array().expect("strings");
            let run = &run.iter().find(|r| r["number"].as_f64() == given).expect("the string")["run"];
            let y = number(&run["nut"]) + number(&run["slope"]) * fret_1;
            let camber = if board["radius"].is_null() {
                0.0
            } else {
                let (at_nut, at_12) = (number(&board["radius"]["nut"]), number(&board["radius"]["fret_12"]));
                let radius = at_nut + (at_12 - at_nut) * fret_1 / (0.5 * scale);
                radius - (radius * radius - y * y).sqrt()
            };
            // The plane touches the crown of fret 1, so there is no dip there.
            let gap = z_n + (z_s - z_n) * (fret_1 - x_n) / (x_s - x_n) + camber;
            assert!(
                (gap - number(&n["clearance"])).abs() < 1e-6,
                "{name}: {gap} {}",
                n["clearance"]
            );
        }
    }
}

/// The spacing of the examples closes: margins, gauges and gaps make the board.
#[test]
fn spacing_closes_on_the_board() {
    let nut = json(&["plan", &example("eight-string.toml"), "--part", "nut", "--json"]);
    let strings = nut["strings"].as_array().expect("strings");
    let side = |i: usize, sign: f64| number(&strings[i]["from_centre"]) + sign * 0.5 * number(&strings[i]["gauge"]);
    let last = strings.len() - 1;
    let mut all = 2.0 * 1.9 + (side(0, 1.0) - side(0, -1.0));
    for i in 0..last {
        all += (side(i + 1, -1.0) - side(i, 1.0)) + number(&strings[i + 1]["gauge"]);
    }
    assert!((all - 29.5).abs() < 1e-9, "{all}");
    assert!((side(0, -1.0) + 14.75 - 1.9).abs() < 1e-9 && (14.75 - side(last, 1.0) - 1.9).abs() < 1e-9);
}

#[test]
fn sheets_of_both_parts_are_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().display().to_string();
    let job = example("parlour-both.toml");
    good(&["draw", &job, "--out", &out, "--only", "svg,dxf,txt"]);
    let names: Vec<String> = std::fs::read_dir(folder.path())
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    for want in [
        "parlour-both-1.svg",
        "parlour-both-nut-1.svg",
        "parlour-both-nut.dxf",
        "parlour-both.txt",
    ] {
        assert!(names.iter().any(|n| n == want), "{want}: {names:?}");
    }
    let other = tempfile::tempdir().expect("a folder");
    let out = other.path().display().to_string();
    good(&["draw", &job, "--out", &out, "--only", "svg", "--part", "nut"]);
    let alone = std::fs::read_dir(other.path()).expect("a folder");
    for entry in alone {
        let name = entry.expect("an entry").file_name().to_string_lossy().into_owned();
        assert!(name.starts_with("parlour-both-nut-"), "{name}");
    }
    let (_, err, code) = run(&["draw", &job, "--out", &out, "--only", "stl", "--part", "nut"]);
    assert_eq!(code, 2, "{err}");
}

/// The same files for the same job.
#[test]
fn the_same_job_gives_the_same_nut() {
    let job = example("eight-string.toml");
    let once = || {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path().display().to_string();
        good(&["draw", &job, "--out", &out, "--only", "svg,dxf", "--part", "nut"]);
        let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder.path())
            .expect("a folder")
            .map(|entry| {
                let path = entry.expect("an entry").path();
                (
                    path.file_name().unwrap().to_string_lossy().into_owned(),
                    std::fs::read(&path).expect("a file"),
                )
            })
            .collect();
        files.sort();
        files
    };
    assert_eq!(once(), once());
}

#[test]
fn filing_fit_and_tolerance_speak_of_slots() {
    let job = example("parlour-both.toml");
    let filing = good(&["filing", &job, "--part", "nut"]);
    assert!(filing.contains("WHAT ONE STROKE OF 1 THOU"), "{filing}");
    // A thou of floor takes about a thou off the gap and half a thou off the action.
    let row = filing
        .lines()
        .find(|l| l.trim_start().starts_with("6 E2"))
        .expect("string 6");
    let cells: Vec<&str> = row.split_whitespace().collect();
    assert_eq!((cells[2], cells[4]), ("1.0", "0.5"), "{row}");
    let tolerance = good(&["tolerance", &job, "--part", "nut", "--samples", "1000"]);
    assert!(tolerance.contains("HOW SURE THE GAP AT FRET 1 IS"), "{tolerance}");
    // Readings after stringing up: string 6 too high by 4 thou, string 1 too low.
    let folder = tempfile::tempdir().expect("a folder");
    let readings = folder.path().join("readings.toml");
    let text = "format = 1\nunit = \"thou\"\n[strung]\naction_12 = [\"93.75\", \"90.5\", \"87.4\", \"84.3\", \"81.2\", \"78.1\"]\nfirst_fret_clearance = [\"24\", \"18.5\", \"17.1\", \"15.7\", \"14.3\", \"2\"]\n";
    std::fs::write(&readings, text).expect("written");
    let fit = good(&[
        "fit",
        &job,
        "--part",
        "nut",
        "--readings",
        &readings.display().to_string(),
    ]);
    let row = |n: &str| {
        fit.lines()
            .find(|l| l.trim_start().starts_with(n))
            .expect("the string")
            .to_owned()
    };
    assert!(row("6 E2").contains("file 4 strokes"), "{fit}");
    assert!(row("5 A2").contains("good") && row("1 E4").contains("TOO LOW"), "{fit}");
    let (_, err, code) = run(&["filing", &example("parlour.toml"), "--part", "nut"]);
    assert_eq!(code, 2, "{err}");
}

/// A nut that cannot be is refused in plain words.
#[test]
fn a_nut_that_cannot_be_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.toml");
    let text = std::fs::read_to_string(example("parlour-both.toml")).expect("the example");
    let text = text.replace("seat = \"1/8\"", "seat = \"0.01\"");
    std::fs::write(&path, text).expect("written");
    let (_, err, code) = run(&["plan", &path.display().to_string()]);
    assert_eq!(code, 1);
    assert!(err.contains("the nut: string 6") && err.contains("seat"), "{err}");
}

/// The page of the eight-string's nut, as it stands in `golden`.
#[test]
fn the_page_is_the_golden_one() {
    let page = good(&["plan", &example("eight-string.toml"), "--part", "nut"]);
    crate::binary::golden("eight-string-nut.txt", &page);
}

/// What other programs get of a nut's filing, fit and tolerance: the page's figures, by themselves or beside the saddle's.
#[test]
fn slots_as_json() {
    let job = example("parlour-both.toml");
    let filing = json(&["filing", &job, "--part", "nut", "--json"]);
    assert_eq!(filing["format"], "bonewright-nut-filing");
    let plan = json(&["plan", &job, "--part", "nut", "--json"]);
    for (s, planned) in filing["strings"]
        .as_array()
        .expect("strings")
        .iter()
        .zip(plan["strings"].as_array().expect("strings"))
    {
        assert_eq!(s["number"], planned["number"]);
        assert!((number(&s["final"]["clearance"]) - number(&planned["clearance"])).abs() < 1e-9);
        assert!((number(&s["final"]["action_12"]) - number(&planned["action_12"])).abs() < 1e-9);
        assert!(number(&s["proud"]["action_12"]) > number(&s["final"]["action_12"]));
    }
    let folder = tempfile::tempdir().expect("a folder");
    let readings = folder.path().join("readings.toml");
    let text = "format = 1\nunit = \"thou\"\n[strung]\naction_12 = [\"93.75\", \"90.5\", \"87.4\", \"84.3\", \"81.2\", \"78.1\"]\nfirst_fret_clearance = [\"24\", \"18.5\", \"17.1\", \"15.7\", \"14.3\", \"2\"]\n";
    std::fs::write(&readings, text).expect("written");
    let readings = readings.display().to_string();
    let fit = json(&["fit", &job, "--part", "nut", "--readings", &readings, "--json"]);
    assert_eq!(fit["format"], "bonewright-nut-fit");
    let said = |i: usize| fit["strings"][i]["verdict"]["say"].clone();
    assert_eq!(
        (said(0), said(1), said(5)),
        ("file".into(), "good".into(), "too-low".into())
    );
    assert!((number(&fit["strings"][0]["read"]["first_fret_clearance"]) - 24.0 * 0.0254).abs() < 1e-9);
    assert!((number(&fit["strings"][0]["then"]["clearance"]) - number(&fit["strings"][0]["wanted"])).abs() < 1e-9);
    let sure = ["tolerance", &job, "--samples", "1000", "--json", "--part", "nut"];
    let tolerance = json(&sure);
    assert_eq!(tolerance["format"], "bonewright-nut-tolerance");
    assert_eq!(tolerance["confidence"], 0.95);
    let most = tolerance["strings"].as_array().expect("strings").iter();
    let most = most.map(|s| number(&s["proud"])).fold(0.0, f64::max);
    assert!(most > 0.0 && (number(&tolerance["leave_proud"]) - most).abs() < 1e-12);
    // With both parts each document is the one that its part alone gives.
    for (args, nut) in [
        (vec!["filing", job.as_str(), "--json"], filing),
        (
            vec!["fit", job.as_str(), "--readings", readings.as_str(), "--json"],
            fit,
        ),
        (
            vec!["tolerance", job.as_str(), "--samples", "1000", "--json"],
            tolerance,
        ),
    ] {
        let both = json(&[args.clone(), vec!["--part", "both"]].concat());
        assert_eq!(both["nut"], nut);
        assert_eq!(both["saddle"], json(&args));
    }
}
