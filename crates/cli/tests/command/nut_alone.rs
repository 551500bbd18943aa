//! A nut for a saddle that stays, from outside: planted from a job of both parts, and what is refused.

use serde_json::Value;
use std::path::Path;

/// Standard output, standard error and exit code.
fn run(args: &[&str]) -> (String, String, i32) {
    let done = crate::binary::run(crate::binary::bonewright().args(args));
    (done.out, done.err, done.code)
}

fn good(args: &[&str]) -> String {
    let (out, err, code) = run(args);
    assert_eq!(code, 0, "{args:?}: {err}");
    out
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&good(args)).expect("JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn kept(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    std::fs::write(&path, text).expect("written");
    path.display().to_string()
}

/// The tables of a job that speak of neither its saddle nor its heights.
fn about_the_nut(job: &str) -> String {
    let gone = [
        "nut",
        "present",
        "target",
        "slot",
        "slot.reference",
        "bridge",
        "blank",
        "crown",
    ];
    let mut keep = true;
    let mut text = String::new();
    for line in job.lines() {
        if let Some(name) = line.strip_prefix('[') {
            let name = name.trim_start_matches('[').split(']').next().unwrap_or("");
            keep = !gone.contains(&name);
        }
        if keep {
            text += line;
            text += "\n";
        }
    }
    text
}

/// A list of lengths in mm, with the most digits that are read: twelve.
fn list(values: impl Iterator<Item = f64>) -> String {
    let each: Vec<String> = values
        .map(|mm| {
            let places = if mm < 10.0 { 11 } else { 9 };
            format!("\"{mm:.places$} mm\"")
        })
        .collect();
    format!("[{}]", each.join(", "))
}

/// The job of a nut alone whose readings are those that the finished instrument of `both` would give; the new nut is to give the
/// same gaps.
fn planted(job: &str, both: &Value, target: &str) -> String {
    let strings = both["saddle"]["strings"].as_array().expect("strings");
    let each = |value: &dyn Fn(&Value) -> f64| list(strings.iter().map(value));
    let fret_12 = 0.5 * number(&both["saddle"]["inputs"]["board"]["scale"]);
    let clearance = each(&|s| number(&s["action_1"]));
    format!(
        "{}\n[nut]\nfirst_fret_clearance = {clearance}\nnew_clearance = {clearance}\n\n[present]\naction_12 = {}\n\
         contact_from_fret_12 = {}\n{target}",
        about_the_nut(job),
        each(&|s| number(&s["action_12"])),
        each(&|s| number(&s["position"]["x"]) - fret_12),
    )
}

/// Figures of a slot that must be the same.
const FIGURES: [&str; 13] = [
    "along",
    "from_centre",
    "back",
    "floor",
    "stack",
    "width",
    "top",
    "depth",
    "shows",
    "clearance",
    "held_at_3",
    "action_12",
    "setback",
];

/// A job of both parts is planned, its contacts and actions are taken as measured, and the nut comes out the same.
#[test]
fn the_nut_of_a_job_of_both_parts_is_found_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let with_nut = "\n[target]\nintonation = \"best-fit-with-nut\"\n";
    for (name, plain, within) in [
        ("eight-string.toml", true, 1e-9),
        ("parlour-both.toml", true, 1e-9),
        ("nylon-nut.toml", true, 1e-9),
        // Both ends are at their best for each other.
        ("parlour-both.toml", false, 1e-6),
    ] {
        let mut job = std::fs::read_to_string(crate::binary::example(name)).expect("the example");
        if plain {
            job = job
                .replace("intonation = \"best-fit-with-nut\"", "intonation = \"best-fit\"")
                .replace("front = \"shelf\"", "")
                .replace("front = \"straight\"", "");
        }
        let path = kept(folder.path(), name, &job);
        let both = json(&["plan", &path, "--part", "both", "--json"]);
        let target = if plain { "" } else { with_nut };
        let alone = kept(folder.path(), &format!("alone-{name}"), &planted(&job, &both, target));
        let nut = json(&["plan", &alone, "--json"]);
        assert_eq!(nut["format"], "bonewright-nut-plan");
        assert_eq!(
            (&nut["saddle_stays"], &both["nut"]["saddle_stays"]),
            (&true.into(), &false.into())
        );
        let setbacks = both["nut"]["strings"].as_array().expect("strings").iter();
        let most = setbacks.map(|s| number(&s["setback"]).abs()).fold(0.0, f64::max);
        assert_eq!(most > 0.1, !plain, "{name}: {most}");
        for (s, was) in nut["strings"]
            .as_array()
            .expect("strings")
            .iter()
            .zip(both["nut"]["strings"].as_array().expect("strings"))
        {
            for key in FIGURES {
                let off = number(&s[key]) - number(&was[key]);
                assert!(off.abs() < within, "{name}, {key}: {off}");
            }
            assert!((number(&s["action_12_now"]) - number(&was["action_12"])).abs() < 1e-9);
            assert!((number(&s["clearance_now"]) - number(&was["clearance"])).abs() < 1e-9);
        }
        for key in ["seat_z", "front_x", "fall"] {
            assert!(
                (number(&nut[key]) - number(&both["nut"][key])).abs() < within,
                "{name}, {key}"
            );
        }
    }
}

/// By similar triangles on the string's own line: 0.1 mm more over fret 1 is half of it and a little more at fret 12.
#[test]
fn the_action_is_told_before_and_after() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string(crate::binary::example("nut-only.toml")).expect("the example");
    let path = crate::binary::example("nut-only.toml").display().to_string();
    let was = json(&["plan", &path, "--json"]);
    let higher = text.replace(
        "new_clearance = { bass = \"0.022\", treble = \"0.015\" }",
        "new_clearance = { bass = \"0.026\", treble = \"0.019\" }",
    );
    assert_ne!(text, higher);
    let higher = kept(folder.path(), "higher.toml", &higher);
    let then = json(&["plan", &higher, "--json"]);
    for (a, b) in was["strings"]
        .as_array()
        .expect("strings")
        .iter()
        .zip(then["strings"].as_array().expect("strings"))
    {
        assert_eq!(a["action_12_now"], b["action_12_now"]);
        let change = (number(&b["action_12"]) - number(&a["action_12"])) / (4.0 * 0.0254);
        // (1/2 + d)/(1 - 0.0561 + d) with a contact d = 0.4 % behind the scale: 0.53.
        assert!((change - 0.53).abs() < 0.005, "{change}");
    }
    let page = good(&["plan", &path]);
    assert!(page.contains("THE SADDLE STAYS") && !page.contains("TO MAKE"), "{page}");
    for line in page.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

/// The same nut comes of the gap held at fret 3.
#[test]
fn the_height_may_be_asked_for_by_the_gap_held_at_3() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string(crate::binary::example("nut-only.toml")).expect("the example");
    let (text, _) = text.split_once("[target]").expect("a target");
    let floors = |plan: &Value, key: &str| -> Vec<f64> {
        let strings = plan["strings"].as_array().expect("strings").iter();
        strings.map(|s| number(&s[key])).collect()
    };
    let open = json(&["plan", &kept(folder.path(), "open.toml", text), "--json"]);
    let asked = format!("new_held_at_3 = {}", list(floors(&open, "held_at_3").into_iter()));
    let lines = text.lines().map(|l| {
        if l.starts_with("new_clearance") {
            asked.as_str()
        } else {
            l
        }
    });
    let by_held = lines.collect::<Vec<_>>().join("\n");
    let held = json(&["plan", &kept(folder.path(), "held.toml", &by_held), "--json"]);
    for (a, b) in floors(&open, "floor").iter().zip(floors(&held, "floor")) {
        assert!((a - b).abs() < 1e-9, "{a} {b}");
    }
}

#[test]
fn every_command_of_the_nut_speaks() {
    let folder = tempfile::tempdir().expect("a folder");
    let readings = "format = 1\nunit = \"thou\"\n[strung]\naction_12 = [\"91\", \"-\", \"-\", \"-\", \"-\", \"66\"]\n\
                    first_fret_clearance = [\"26\", \"20.6\", \"-\", \"-\", \"-\", \"2\"]\n";
    let readings = kept(folder.path(), "readings.toml", readings);
    for path in crate::binary::nut_alone_examples() {
        let job = path.display().to_string();
        assert!(good(&["check", &job]).contains("the saddle stays"));
        assert!(good(&["filing", &job]).contains("WHAT ONE STROKE OF"));
        assert_eq!(json(&["filing", &job, "--json"])["format"], "bonewright-nut-filing");
        let fit = good(&["fit", &job, "--readings", &readings]);
        assert!(
            fit.contains("file 4 strokes") && fit.contains("TOO LOW") && fit.contains("not read"),
            "{fit}"
        );
        assert_eq!(
            json(&["fit", &job, "--readings", &readings, "--json", "--part", "nut"])["format"],
            "bonewright-nut-fit"
        );
        let sure = json(&["tolerance", &job, "--json"]);
        assert_eq!(sure["format"], "bonewright-nut-tolerance");
        assert!(number(&sure["strings"][0]["by_stack"]) > number(&sure["strings"][0]["by_reading"]));
        let out = folder.path().join("out").display().to_string();
        good(&["draw", &job, "--out", &out]);
        let names: Vec<String> = std::fs::read_dir(folder.path().join("out"))
            .expect("a folder")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
        for ending in ["-nut.pdf", "-nut-1.svg", "-nut.dxf", "-nut.txt"] {
            assert!(names.contains(&format!("{stem}{ending}")), "{names:?}");
        }
        assert!(
            names.iter().all(|name| name.starts_with(&format!("{stem}-nut"))),
            "{names:?}"
        );
    }
}

#[test]
fn a_saddle_that_stays_is_not_made() {
    let job = crate::binary::example("nut-only.toml").display().to_string();
    for args in [
        vec!["plan", &job, "--part", "saddle"],
        vec!["plan", &job, "--part", "both"],
        vec!["plan", &job, "--csv"],
        vec!["draw", &job, "--part", "saddle", "--out", "/nowhere"],
        vec!["draw", &job, "--only", "stl", "--out", "/nowhere"],
        vec!["filing", &job, "--part", "saddle"],
        vec!["fit", &job, "--part", "both"],
        vec!["fit", &job, "--write-job", "/nowhere/second.toml"],
        vec!["tolerance", &job, "--part", "saddle"],
        vec!["tolerance", &job, "--out", "/nowhere"],
        vec!["assess", &job],
    ] {
        let (out, err, code) = run(&args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(
            err.starts_with("error: ") && !err.contains("panicked"),
            "{args:?}: {err}"
        );
    }
    let (_, err, _) = run(&["plan", &job, "--part", "saddle"]);
    assert!(err.contains("the saddle stays"), "{err}");
}

/// Each line of the message that is wanted for each fault.
#[test]
fn what_is_missing_is_said_where_it_stands() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string(crate::binary::example("nut-only.toml")).expect("the example");
    let line = |key: &str| 1 + text.lines().position(|l| l.starts_with(key)).expect("the key");
    let without = |key: &str| -> String {
        let kept: Vec<&str> = text.lines().filter(|l| !l.starts_with(key)).collect();
        kept.join("\n")
    };
    let in_target = |more: &str| text.replace("intonation = \"best-fit-with-nut\"", more);
    for (name, job, place, words) in [
        (
            "contact",
            without("contact_from_fret_12"),
            "present",
            "contact_from_fret_12",
        ),
        ("action", without("action_12"), "present", "the saddle stays"),
        (
            "gap now",
            without("first_fret_clearance"),
            "nut",
            "over the present nut",
        ),
        ("gap wanted", without("new_clearance"), "nut", "new_held_at_3"),
        (
            "target",
            in_target("intonation = \"best-fit-with-nut\"\naction_12 = \"3/32\""),
            "target.action_12",
            "The saddle stays",
        ),
        (
            "octave",
            in_target("intonation = \"octave\""),
            "target.intonation",
            "only the nut",
        ),
        (
            "far",
            text.replace("bass = \"12 51/64\"", "bass = \"14\""),
            "present.contact_from_fret_12",
            "beyond the scale length",
        ),
    ] {
        let path = kept(folder.path(), "job.toml", &job);
        let (_, err, code) = run(&["check", &path]);
        assert_eq!(code, 1, "{name}: {err}");
        let flat = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(place) && flat.contains(words), "{name}: {err}");
    }
    // Each is told with its line.
    let far = text.replace("bass = \"12 51/64\"", "bass = \"14\"");
    let (_, err, _) = run(&["check", &kept(folder.path(), "job.toml", &far)]);
    assert!(err.contains(&format!("line {}", line("contact_from_fret_12"))), "{err}");
    // What speaks of a saddle is not used, and is told.
    let more = text.clone() + "\n[crown]\nridge = \"stepped\"\n";
    let (_, err, code) = run(&["check", &kept(folder.path(), "job.toml", &more)]);
    assert!(
        code == 0 && err.contains("warning") && err.contains("not used"),
        "{err}"
    );
    // With [slot] alone the job is one of a saddle, and says what that lacks.
    let half = text + "\n[slot]\nlean = 0\n";
    let (_, err, code) = run(&["check", &kept(folder.path(), "job.toml", &half)]);
    assert!(code == 1 && err.contains("[blank]"), "{err}");
}
