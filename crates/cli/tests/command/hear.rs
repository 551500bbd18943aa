//! `bonewright hear`: recordings that are made up, whose strings are known.

use crate::binary::{bonewright, example, run};
use fixtures::{Plucked, plucked, plucked_pair, silence, wav};
use serde_json::Value;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const RATE: f64 = 44_100.0;

fn said(args: &[&str]) -> (i32, String, String) {
    let done = run(bonewright().arg("hear").args(args));
    (done.code, done.out, done.err)
}

fn recorded(folder: &TempDir, name: &str, of: &Plucked) -> PathBuf {
    let path = folder.path().join(name);
    std::fs::write(&path, wav(&of.samples, of.rate)).unwrap();
    path
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

#[test]
fn pitch_and_stiffness_are_told() {
    let folder = TempDir::new().unwrap();
    let pluck = plucked(1, RATE, 51);
    let file = recorded(&folder, "a.wav", &pluck);
    let (code, out, err) = said(&[text(&file), "--note", "A2"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.starts_with("A2 is ") && out.contains("One peak: ") && out.contains("Stiff: "),
        "{out}"
    );
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    let (_, out, _) = said(&[text(&file), "--note", "A2", "--json"]);
    let told: Value = serde_json::from_str(&out).unwrap();
    let b = told["heard"]["inharmonicity"]["value"].as_f64().unwrap();
    assert!((b / pluck.inharmonicity() - 1.0).abs() < 0.02, "{b}");
    assert!(pluck.off(told["heard"]["pitch"]["value"].as_f64().unwrap()).abs() < 0.3);
    assert_eq!(told["stretch"], Value::Null);
}

#[test]
fn a_job_keeps_what_was_heard() {
    let folder = TempDir::new().unwrap();
    let [fretted, open] = plucked_pair(0, RATE, 52);
    let (fretted, open) = (recorded(&folder, "f.wav", &fretted), recorded(&folder, "o.wav", &open));
    let job = folder.path().join("job.toml");
    std::fs::copy(example("parlour.toml"), &job).unwrap();
    let before = std::fs::read_to_string(&job).unwrap();
    let all = [text(&open), text(&fretted), "--job", text(&job), "--string", "6"];
    let (code, out, err) = said(&all);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("Stretch: ") && out.contains("Fret 12: "), "{out}");
    assert_eq!(
        std::fs::read_to_string(&job).unwrap(),
        before,
        "nothing is kept unasked"
    );
    let keep = |more: &[&str]| said(&[&all[..], &["--keep"], more].concat());
    let (code, _, err) = keep(&[]);
    assert_eq!(code, 0, "{err}");
    let after = std::fs::read_to_string(&job).unwrap();
    assert!(
        after.contains("[[readings]]\nwith = \"recording\"\nsure_to = 0."),
        "{after}"
    );
    assert!(
        after.contains("\ninharmonicity = [") && after.contains("\ncents_12 = ["),
        "{after}"
    );
    assert_eq!(run(bonewright().arg("check").arg(&job)).code, 0);
    // The same once more is refused, unless it is said to be another.
    let (code, _, err) = keep(&[]);
    assert!(code == 2 && err.contains("--again"), "{code} {err}");
    assert_eq!(std::fs::read_to_string(&job).unwrap(), after);
    assert_eq!(keep(&["--again"]).0, 0);
    assert_ne!(std::fs::read_to_string(&job).unwrap(), after);
}

#[test]
fn what_is_no_string_is_refused_by_name() {
    let folder = TempDir::new().unwrap();
    let quiet = folder.path().join("quiet.wav");
    std::fs::write(&quiet, wav(&silence(RATE), RATE)).unwrap();
    let low = recorded(&folder, "low.wav", &plucked(0, RATE, 53));
    let no_wav = folder.path().join("no.wav");
    std::fs::write(&no_wav, "no sound").unwrap();
    let parlour = example("parlour.toml");
    for (args, code, words) in [
        (&[text(&quiet), "--note", "E2"][..], 2, "it is silent"),
        (&[text(&low), "--note", "A2"], 2, "it is another string"),
        (&[text(&low), "--note", "H2"], 2, "--note: "),
        (&[text(&low)], 2, "--note"),
        (&[text(&low), "--note", "E2", "--fret", "40"], 2, "--fret 40"),
        (
            &[text(&low), "--job", text(&parlour), "--string", "9"],
            2,
            "strings 1 to 6",
        ),
        (&[text(&low), "--job", text(&parlour)], 2, "--string"),
        (&[text(&no_wav), "--note", "E2"], 3, "could not be read"),
        (&["nowhere.wav", "--note", "E2"], 3, "could not be read"),
    ] {
        let (found, _, err) = said(args);
        assert!(found == code && err.contains(words), "{args:?}: {found} {err}");
    }
}
