//! `bonewright ask`: short questions, without a job.

use crate::binary::{bonewright, example, run};
use crate::plan::library;
use saddle::Bare;
use serde_json::Value;

fn said(args: &[&str]) -> (i32, String, String) {
    let done = run(bonewright().arg("ask").args(args));
    (done.code, done.out, done.err)
}

/// Every question: its first line, and that all of it fits a terminal.
#[test]
fn one_line_answers() {
    for (args, first) in [
        (
            &["filed", "1/32 in", "--lean", "18 deg"][..],
            "The string comes down 10.0 thou at the saddle, the action at fret 12 down 5.0 thou.",
        ),
        (
            &["filed", "-0.4 mm", "--lean", "9 deg"],
            "The string comes up 0.06 mm at the saddle, the action at fret 12 up 0.03 mm.",
        ),
        (
            &["sharp", "4", "--scale", "645 mm"],
            "Move the contact back by 1.50 mm. Sure to 1.13 mm:",
        ),
        (
            &["action", "1/64 in"],
            "Lower the saddle by 31.5 thou. The gap over fret 1 goes down 2.0 thou.",
        ),
        (
            &["gap", "4 thou"],
            "Lower the slot's floor by 4.0 thou. The action at fret 12 goes down 2.0 thou.",
        ),
        (
            &["relief", "-0.1 mm", "--joint", "14"],
            "The action at fret 12 goes down 0.04 mm.",
        ),
        (&["length", "2.4 mm"], "2.400 mm"),
    ] {
        let (code, out, err) = said(args);
        assert_eq!(code, 0, "{args:?} {err}");
        assert!(
            out.split_whitespace().collect::<Vec<_>>().join(" ").starts_with(first),
            "{args:?} {out}"
        );
        assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
        assert!(
            args[0] == "length" || out.contains("Why: ") && out.contains("Taken: "),
            "{out}"
        );
    }
}

/// What cannot be is refused with its name, what is odd is told.
#[test]
fn figures_are_judged() {
    for (args, told) in [
        (&["filed", "1/32"][..], "say the unit too"),
        (&["filed", "2 in"], "move: "),
        (&["filed", "1/32 in", "--lean", "80 deg"], "lean: "),
        (&["sharp", "1/64 in"], "by: "),
        (&["action", "1 mm", "--fret", "40"], "fret: "),
        (&["relief", "0.1 mm", "--joint", "1"], "joint: "),
        // What no board, saddle or number is.
        (&["filed", "1e300 mm"], "by: "),
        (&["filed", "nan mm"], "by: "),
        (&["filed", "1 mm", "--lean", "89.9 deg", "--fall", "89 deg"], "lean: "),
        (&["action", "1 mm", "--fret", "4294967295"], "fret: "),
        (&["relief", "0.1 mm", "--joint", "99999999999"], "joint: "),
        (&["gap", "0.1 mm", "--scale", "0 mm"], "scale: "),
        (&["gap", "0.1 mm", "--setback", "-700 mm"], "setback: "),
        (&["sharp", "1e9"], "by: "),
    ] {
        let (code, out, err) = said(args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(told), "{args:?} {err}");
    }
    let (code, out, _) = said(&["filed", "4 mm", "--lean", "9 deg"]);
    assert!(code == 0 && out.contains("Mind:  Move: 4.000 mm is doubtful"), "{out}");
}

/// The plan of a full job says of 1/64 in what the short question says of its strings: the same drop but for skew and the ridge's own way.
#[test]
fn it_agrees_with_a_full_job() {
    for job in ["parlour.toml", "sound.toml"] {
        let (checked, plan) = library(&example(job));
        for s in &plan.strings {
            let board = checked.job.instrument.board;
            let bare = Bare {
                scale: board.scale(&s.run),
                setback: s.setback,
                lean: plan.lean,
                fall: plan.crown.front_fall,
                action_12: s.action_12,
                gap_1: s.action_1,
                joint_fret: board.joint_fret(),
            };
            let short = bare.filed(s.filing.forward).unwrap();
            assert!(
                (short.drop / s.filing.drop - 1.0).abs() < 0.03,
                "{job} {}: {short:?} {:?}",
                s.number,
                s.filing
            );
            assert!(
                (short.loss_12 / s.filing.action_loss - 1.0).abs() < 0.03,
                "{job} {}: {short:?} {:?}",
                s.number,
                s.filing
            );
        }
    }
}

#[test]
fn json_says_the_same() {
    let (code, out, _) = said(&["filed", "1/32 in", "--lean", "18 deg", "--json"]);
    let value: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(code, 0);
    // Derived: 1/32 in times tan 18 degrees.
    let drop = value["found"]["drop"].as_f64().unwrap() / 25.4;
    assert!((drop - 0.010_154).abs() < 1e-6, "{drop}");
    assert_eq!(value["format"], "bonewright-ask");
}
