//! Several saddles in one bridge, through every face of the command.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::binary::{Run, bonewright, example, run};

fn split() -> PathBuf {
    example("split-saddle.toml")
}

fn said(command: &str, job: &Path, more: &[&str]) -> Run {
    run(bonewright().arg(command).arg(job).args(more))
}

/// Standard output of a command that succeeds.
fn good(command: &str, job: &Path, more: &[&str]) -> String {
    let done = said(command, job, more);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{command} {more:?}");
    done.out
}

fn json(command: &str, job: &Path, more: &[&str]) -> Value {
    serde_json::from_str(&good(command, job, &[more, &["--json"]].concat())).unwrap()
}

/// The example with more at its end.
fn with(folder: &Path, more: &str) -> PathBuf {
    let path = folder.join("job.toml");
    fs::write(&path, fs::read_to_string(split()).unwrap() + more).unwrap();
    path
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Strings of every saddle of a document.
fn strings(document: &Value) -> Vec<(String, Vec<u64>)> {
    let saddles = document["saddles"].as_array().unwrap();
    let numbers = |saddle: &Value| {
        let strings = saddle["saddle"]["strings"].as_array().unwrap();
        strings.iter().map(|s| s["number"].as_u64().unwrap()).collect()
    };
    let name = |saddle: &Value| saddle["name"].as_str().unwrap().to_owned();
    saddles.iter().map(|saddle| (name(saddle), numbers(saddle))).collect()
}

fn both() -> Vec<(String, Vec<u64>)> {
    vec![("bass".to_owned(), vec![6, 5, 4, 3]), ("treble".to_owned(), vec![2, 1])]
}

#[test]
fn the_plan_has_a_section_a_saddle() {
    let page = good("plan", &split(), &[]);
    let heads = [
        "Two saddles carry the strings",
        "Bass saddle: Dreadnought",
        "Treble saddle: Dreadnought",
        "CAUTIONS",
    ];
    let mut at = 0;
    for head in heads {
        assert_eq!(page.matches(head).count(), 1, "{head}: {page}");
        let next = page.find(head).unwrap();
        assert!(next > at, "{head}: {page}");
        at = next;
    }
    assert!(page.lines().all(|line| line.chars().count() <= 80), "{page}");
    assert_eq!(page.matches("TO MAKE\n").count(), 2);
    // One alone, by its name in any letters; the same figures.
    let one = good("plan", &split(), &["--part", "Treble"]);
    assert!(
        one.starts_with("Treble saddle: Dreadnought") && !one.contains("G3"),
        "{one}"
    );
    let rows = |text: &str| {
        text.lines()
            .filter(|line| line.trim_start().starts_with("1 E4"))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(rows(&one), rows(&page));
    assert_eq!(rows(&one).len(), 4);

    let document = json("plan", &split(), &[]);
    assert_eq!(strings(&document), both());
    assert!(document.get("nut").is_none());
    let treble = json("plan", &split(), &["--part", "treble"]);
    assert_eq!(treble, document["saddles"][1]["saddle"]);
    assert!(good("plan", &split(), &["--csv", "--part", "bass"]).lines().count() == 5);
    let csv = said("plan", &split(), &["--csv"]);
    assert!(csv.code == 2 && csv.err.contains("Name one with --part"), "{}", csv.err);
    let other = said("plan", &split(), &["--part", "middle"]);
    assert!(
        other.code == 2 && other.err.contains("saddle, nut, both, bass, treble"),
        "{}",
        other.err
    );
    assert_eq!(
        good("check", &split(), &[]).lines().next().unwrap().split(": ").nth(1),
        Some("in order, 6 strings on 2 saddles.")
    );
}

#[test]
fn files_carry_the_name_of_their_saddle() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("drawn");
    good(
        "draw",
        &split(),
        &["--only", "svg,dxf,txt", "--out", out.to_str().unwrap()],
    );
    let drawn = names(&out);
    let stems = ["split-saddle-bass", "split-saddle-treble"];
    for stem in stems {
        assert!(
            drawn.contains(&format!("{stem}.dxf")) && drawn.contains(&format!("{stem}-1.svg")),
            "{drawn:?}"
        );
    }
    assert!(
        drawn
            .iter()
            .all(|name| name == "split-saddle.txt" || stems.iter().any(|stem| name.starts_with(stem)))
    );
    let sheet = |stem: &str| fs::read_to_string(out.join(format!("{stem}-1.svg"))).unwrap();
    assert!(sheet(stems[0]).contains("Bass saddle") && !sheet(stems[0]).contains("Treble saddle"));
    assert!(sheet(stems[1]).contains("Treble saddle"));
    // One alone, beside them.
    good(
        "draw",
        &split(),
        &["--part", "bass", "--only", "txt", "--out", out.to_str().unwrap()],
    );
    assert!(names(&out).contains(&"split-saddle-bass.txt".to_owned()));
    for (command, word) in [("filing", "filing"), ("tolerance", "tolerance")] {
        let out = folder.path().join(command);
        let out = out.to_str().unwrap();
        let more: &[&str] = if command == "tolerance" {
            &["--samples", "500", "--out", out]
        } else {
            &["--out", out]
        };
        let done = said(command, &split(), more);
        assert_eq!(done.code, 0, "{}", done.err);
        let names = names(Path::new(out));
        assert!(
            stems.iter().all(|stem| names.contains(&format!("{stem}-{word}-1.svg"))),
            "{names:?}"
        );
    }
}

/// Every program says which saddle it cuts, and is judged against that one.
#[test]
fn programs_are_cut_and_replayed_by_saddle() {
    let folder = tempfile::tempdir().unwrap();
    let job = with(folder.path(), "[cut]\nmachine = \"small belt router\"\n");
    let out = folder.path().join("cut");
    let text = good("cut", &job, &["--out", out.to_str().unwrap()]);
    assert!(
        text.find("The bass saddle\n").unwrap() < text.find("The treble saddle\n").unwrap(),
        "{text}"
    );
    let written = names(&out);
    for stem in ["job-bass", "job-treble"] {
        for end in ["on-edge-1.ngc", "on-edge-2.ngc", "setup.pdf", "on-edge-left.png"] {
            assert!(written.contains(&format!("{stem}-{end}")), "{written:?}");
        }
    }
    assert!(
        written
            .iter()
            .all(|name| name.starts_with("job-bass") || name.starts_with("job-treble"))
    );
    let replayed = |program: &str, more: &[&str]| {
        let program = out.join(program);
        run(bonewright()
            .arg("replay")
            .arg(program)
            .arg("--job")
            .arg(&job)
            .args(more))
    };
    for program in ["job-bass-on-edge-1.ngc", "job-treble-on-edge-1.ngc"] {
        let done = replayed(program, &[]);
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{program}");
    }
    // Against the other saddle it is of another plan.
    let wrong = replayed("job-bass-on-edge-1.ngc", &["--part", "treble"]);
    assert!(wrong.code == 4 && wrong.err.contains("another plan"), "{}", wrong.err);
    // A program whose head does not say which.
    let program = out.join("job-bass-on-edge-1.ngc");
    let plain: String = fs::read_to_string(&program).unwrap().replace("Bass saddle", "A saddle");
    fs::write(&program, plain).unwrap();
    let unsaid = replayed("job-bass-on-edge-1.ngc", &[]);
    assert!(
        unsaid.code == 2 && unsaid.err.contains("--part: bass or treble"),
        "{}",
        unsaid.err
    );
    assert_eq!(replayed("job-bass-on-edge-1.ngc", &["--part", "bass"]).code, 0);
}

#[test]
fn filing_tolerance_and_steps_speak_of_each() {
    let page = good("filing", &split(), &["--forward", "0.2 mm"]);
    assert!(page.contains("Bass saddle") && page.contains("Treble saddle"));
    assert_eq!(page.matches("CAUTIONS").count(), 1);
    assert_eq!(strings(&json("filing", &split(), &["--forward", "0.2 mm"])), both());
    // The saddle that carries the string, alone.
    let one = good("filing", &split(), &["--forward", "0.2 mm", "--string", "1"]);
    assert!(one.starts_with("Treble saddle"), "{one}");
    let unknown = said("filing", &split(), &["--string", "1", "--part", "bass"]);
    assert!(
        unknown.code == 2 && unknown.err.contains("carries no string 1"),
        "{}",
        unknown.err
    );

    let sure = json("tolerance", &split(), &["--samples", "500"]);
    assert_eq!(strings(&sure), both());
    let steps = good("steps", &split(), &[]);
    let heads = [
        "BEFORE YOU CUT",
        "MAKE THE SADDLE: BASS",
        "MAKE THE SADDLE: TREBLE",
        "FINISH: BASS",
        "FINISH: TREBLE",
    ];
    let found: Vec<&str> = steps.lines().filter(|line| heads.contains(line)).collect();
    assert_eq!(found, heads);
    assert_eq!(steps.matches("string up to pitch and let it settle").count(), 1);
}

const READ: &str = "[strung]\nwith = \"dial indicator\"\naction_12 = [2.55, 2.4, 2.25, 2.1, 1.9, 1.8]\nfirst_fret_clearance = [0.45, 0.42, 0.38, 0.35, 0.32, 0.30]\n";

#[test]
fn readings_are_judged_by_saddle_and_then_as_a_whole() {
    let folder = tempfile::tempdir().unwrap();
    let job = with(folder.path(), READ);
    let page = good("fit", &job, &[]);
    assert!(
        page.contains("EACH SADDLE\n\n- bass: File the strings") && page.contains("- treble: Every string is good."),
        "{page}"
    );
    assert!(page.contains("ALL SADDLES\n\nFile bass,"), "{page}");
    assert!(page.lines().all(|line| line.chars().count() <= 80), "{page}");
    let document = json("fit", &job, &[]);
    assert_eq!(strings(&document), both());
    assert_eq!(
        document["saddles"][1]["saddle"],
        json("fit", &job, &["--part", "treble"])
    );
    let steps = good("steps", &job, &[]);
    assert!(
        steps.contains("AFTER STRINGING UP: BASS") && steps.contains("AFTER STRINGING UP: TREBLE"),
        "{steps}"
    );
    // Doubtful readings over one hold the other back, too.
    let doubtful = with(folder.path(), &READ.replace("2.4, 2.25", "3.4, 2.25"));
    let page = said("fit", &doubtful, &[]).out;
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("over bass again. File nothing on any saddle until then."),
        "{page}"
    );
    // A job for second saddles is not written, and said so before anything is done.
    let next = folder.path().join("next.toml");
    let refused = said("fit", &job, &["--write-job", next.to_str().unwrap()]);
    assert!(
        refused.code == 2 && refused.err.contains("this job has several") && !next.exists(),
        "{}",
        refused.err
    );
}

#[test]
fn the_assessment_says_nothing_twice() {
    let page = good("assess", &split(), &[]);
    for once in [
        "Humidity",
        "Relief",
        "Neck: least exposure",
        "CAUTIONS",
        "a comparison, not a promise",
    ] {
        assert_eq!(page.matches(once).count(), 1, "{once}: {page}");
    }
    for each in [
        "Saddle: mean exposure",
        "Wood in front of the slot",
        "Share in the slot",
    ] {
        assert_eq!(page.matches(each).count(), 2, "{each}: {page}");
    }
    assert!(page.lines().all(|line| line.chars().count() <= 80), "{page}");
    assert_eq!(json("assess", &split(), &[])["saddles"].as_array().unwrap().len(), 2);
    let folder = tempfile::tempdir().unwrap();
    for flag in ["--out", "--write-job"] {
        let there = folder.path().join("there");
        let done = said("assess", &split(), &[flag, there.to_str().unwrap()]);
        assert!(
            done.code == 2 && done.err.contains("this job has several") && !there.exists(),
            "{flag} {}",
            done.err
        );
    }
    // Too little room for one saddle: the neck is due, and no saddle is called the remedy.
    let text = fs::read_to_string(split()).unwrap();
    let low = text.replace(
        "bridge_top = { bass = 0.6, treble = 0.3 }",
        "bridge_top = { bass = 2.9, treble = 2.7 }",
    );
    assert_ne!(low, text);
    let job = folder.path().join("low.toml");
    fs::write(&job, low).unwrap();
    let page = said("assess", &job, &[]).out;
    assert_eq!(page.matches("TO DO: Neck").count(), 1, "{page}");
    assert!(!page.contains("A saddle alone is the remedy"), "{page}");
}

/// The stop of one saddle is a stop of the job, by its name.
#[test]
fn a_saddle_that_cannot_be_made_stops_them_all() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(split()).unwrap();
    let job = folder.path().join("job.toml");
    fs::write(&job, text.replace("length = 20.8", "length = 20.8\nheight = 6.5")).unwrap();
    let out = folder.path().join("out");
    for command in ["plan", "check", "draw", "cut"] {
        let mut asked = bonewright();
        asked.arg(command).arg(&job);
        if matches!(command, "draw" | "cut") {
            asked.arg("--out").arg(&out);
        }
        let done = run(&mut asked);
        assert_eq!(done.code, 1, "{command}: {}", done.err);
        assert!(done.err.contains("The treble saddle: "), "{command}: {}", done.err);
        assert!(!done.err.contains("The bass saddle: "), "{command}: {}", done.err);
        if command == "plan" {
            assert!(
                done.out.contains("Not to be made as it stands: treble."),
                "{}",
                done.out
            );
        }
    }
    assert!(
        !names(&out)
            .iter()
            .any(|name| name.ends_with(".dxf") || name.ends_with(".ngc"))
    );
    // The other by itself may be made.
    assert_eq!(said("plan", &job, &["--part", "bass"]).code, 0);
}

/// A nut over both: its slots carry every string, and what it does comes before the saddles are filed.
#[test]
fn a_nut_carries_the_strings_of_both() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(split()).unwrap();
    let text = text
        .replace(
            "first_fret_clearance = { bass = 0.50, treble = 0.34 }",
            "first_fret_clearance = 0.5\nnew_clearance = { bass = 0.45, treble = 0.32 }",
        )
        .replace("intonation = \"octave\"", "intonation = \"best-fit-with-nut\"")
        + "[nut_blank]\nboard_width = 43.5\nfret_height = 1.0\nseat = 3.0\nmaterial = \"bone\"\nthickness = 5\nheight = 9\nlength = 46\nfall = 8\nfront = \"straight\"\n"
        + READ;
    let job = folder.path().join("job.toml");
    fs::write(&job, text).unwrap();
    let document = json("plan", &job, &["--part", "both"]);
    assert_eq!(strings(&document), both());
    let slots = document["nut"]["strings"].as_array().unwrap();
    let numbers: Vec<u64> = slots.iter().map(|slot| slot["number"].as_u64().unwrap()).collect();
    assert_eq!(numbers, [6, 5, 4, 3, 2, 1]);
    // One shift, at both saddles.
    let shift = |i: usize| {
        let strings = document["saddles"][i]["saddle"]["strings"].as_array().unwrap();
        strings
            .iter()
            .map(|s| s["nut"]["x"].as_f64().unwrap())
            .collect::<Vec<_>>()
    };
    let all = [shift(0), shift(1)].concat();
    assert!(
        all[0] != 0.0 && all.iter().all(|x| (x - all[0]).abs() < 1e-9),
        "{all:?}"
    );
    let page = good("plan", &job, &[]);
    assert!(page.find("Treble saddle").unwrap() < page.find("NUT: WHERE THE SLOTS LIE").unwrap());
    assert_eq!(page.matches("CAUTIONS").count(), 1);
    for command in ["filing", "fit", "tolerance"] {
        let more: &[&str] = if command == "tolerance" {
            &["--samples", "500"]
        } else {
            &[]
        };
        let document = json(command, &job, &[more, &["--part", "both"]].concat());
        assert_eq!(strings(&document), both(), "{command}");
        assert_eq!(
            document["nut"]["strings"]
                .as_array()
                .map(Vec::len)
                .or(document["nut"]["slots"].as_array().map(Vec::len)),
            Some(6),
            "{command} {document}"
        );
    }
    let steps = good("steps", &job, &[]);
    assert!(
        steps.find("MAKE THE SADDLE: TREBLE").unwrap() < steps.find("NUT AND SADDLE TOGETHER").unwrap(),
        "{steps}"
    );
    let out = folder.path().join("cut");
    let done = said("cut", &job, &["--out", out.to_str().unwrap()]);
    assert_eq!(done.code, 0, "{}", done.err);
    let written = names(&out);
    for begin in ["job-bass-on-edge", "job-treble-on-edge", "job-nut-"] {
        assert!(
            written.iter().any(|name| name.starts_with(begin)),
            "{begin}: {written:?}"
        );
    }
}
