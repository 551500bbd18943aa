//! Wrong jobs, wrong use, and files that cannot be read: what is told, and the exit code.

use crate::binary::{bonewright, example, run};

/// Help fits a terminal of 80 columns, whatever the command.
#[test]
fn help_fits_eighty_columns() {
    for command in [
        "",
        "new",
        "check",
        "plan",
        "draw",
        "cut",
        "replay",
        "assess",
        "ask",
        "filing",
        "fit",
        "tolerance",
        "measure",
        "profiles",
        "bench",
    ] {
        let mut all = bonewright();
        if !command.is_empty() {
            all.arg(command);
        }
        let help = run(all.arg("--help"));
        assert_eq!(help.code, 0, "{command}");
        for line in help.out.lines() {
            assert!(line.chars().count() <= 80, "{command}: {line}");
        }
    }
}

#[test]
fn help_gives_the_exit_codes() {
    let help = run(bonewright().arg("--help"));
    assert_eq!(help.code, 0);
    for line in ["0  all in order", "1  the job", "2  wrong use", "3  a file"] {
        assert!(help.out.contains(line), "{}", help.out);
    }
    for command in ["new", "check", "plan", "draw", "profiles"] {
        assert!(help.out.contains(&format!("\n  {command} ")), "{command}");
        let own = run(bonewright().arg(command).arg("--help"));
        assert_eq!(own.code, 0);
    }
    for line in help.out.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn wrong_use_is_two() {
    let parlour = example("parlour.toml");
    let job = parlour.to_str().unwrap();
    for arguments in [
        &[][..],
        &["plan"],
        &["frobnicate"],
        &["plan", job, "--colour"],
        &["plan", job, "--json", "--csv"],
        &["plan", job, "--bench", "cubits"],
        &["draw", job, "--dpi", "0"],
        &["draw", job, "--dpi", "99999"],
        &["draw", job, "--only", "gif"],
        &["draw", "-"],
        &["profiles", "no such set"],
        // All addresses of a machine, however they are written, and none.
        &["bench", "--no-open", "--listen", "0.0.0.0:8080"],
        &["bench", "--no-open", "--listen", "[::]:8080"],
        &["bench", "--no-open", "--listen", "[::ffff:0.0.0.0]:8080"],
        &["bench", "--no-open", "--listen", "[::ffff:224.0.0.1]:8080"],
        &["bench", "--no-open", "--listen", "127.0.0.1:8080", "--port", "8080"],
    ] {
        let done = run(bonewright().args(arguments));
        assert_eq!(done.code, 2, "{arguments:?}: {}", done.err);
        assert!(!done.err.is_empty() && done.out.is_empty(), "{arguments:?}");
    }
}

#[test]
fn every_problem_of_a_job_is_told_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let broken = text
        .replace("joint_fret = 12", "joint_fret = \"twelve\"")
        .replace("[blank]", "[blank]\nglue = \"hide\"")
        .replace("width = ", "widht = ");
    let job = folder.path().join("broken.toml");
    std::fs::write(&job, &broken).unwrap();
    let line = |start: &str| 1 + broken.lines().position(|l| l.starts_with(start)).unwrap();
    for command in ["check", "plan", "draw"] {
        let done = run(bonewright().current_dir(folder.path()).arg(command).arg("broken.toml"));
        assert_eq!(done.code, 1, "{}", done.err);
        assert_eq!(done.out, "");
        for start in ["joint_fret", "glue", "widht"] {
            let place = format!("broken.toml, line {}", line(start));
            assert!(done.err.contains(&place), "{place}: {}", done.err);
        }
        let last = done.err.lines().last().unwrap();
        assert!(last.starts_with("broken.toml: 3 errors"), "{last}");
    }
    assert!(!folder.path().join("output").exists());
}

#[test]
fn a_sound_job_that_cannot_be_planned_is_one() {
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let mut lines: Vec<&str> = text.lines().filter(|l| !l.starts_with("back_fall")).collect();
    let crown = lines.iter().position(|l| l.starts_with("[crown]"));
    match crown {
        Some(at) => lines.insert(at + 1, "back_fall = \"1 deg\""),
        None => lines.extend(["[crown]", "back_fall = \"1 deg\""]),
    }
    let done = run(bonewright().args(["plan", "-"]).write_stdin(lines.join("\n")));
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.err.contains("back of the crown"), "{}", done.err);
    assert!(done.err.trim_end().ends_with("Nothing was planned."), "{}", done.err);
}

#[test]
fn warnings_do_not_stop_the_work() {
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let without: Vec<&str> = text.lines().filter(|l| !l.starts_with("width")).collect();
    let done = run(bonewright().args(["check", "-"]).write_stdin(without.join("\n")));
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.err.contains("warning: standard input"), "{}", done.err);
    assert!(done.out.contains("1 warning."), "{}", done.out);
}

#[test]
fn what_cannot_be_read_is_three() {
    let folder = tempfile::tempdir().unwrap();
    let binary = folder.path().join("binary.toml");
    std::fs::write(&binary, [0x00, 0xff, 0xfe]).unwrap();
    for job in [folder.path().join("missing.toml"), folder.path().to_owned(), binary] {
        for command in ["check", "plan", "draw"] {
            let done = run(bonewright().current_dir(folder.path()).arg(command).arg(&job));
            assert_eq!(done.code, 3, "{command} {}: {}", job.display(), done.err);
            assert!(done.err.contains(job.to_str().unwrap()), "{}", done.err);
        }
    }
    let done = run(bonewright()
        .arg("plan")
        .arg(example("parlour.toml"))
        .args(["--profiles", "missing.toml"]));
    assert_eq!(done.code, 3);
}

#[test]
fn an_empty_job_is_told_what_it_lacks() {
    let done = run(bonewright().args(["check", "-"]).write_stdin(""));
    assert_eq!(done.code, 1);
    assert!(done.err.lines().count() > 1, "{}", done.err);
}

/// A full disk, played by a device that refuses every byte.
#[cfg(target_os = "linux")]
#[test]
fn a_result_that_cannot_be_written_is_three() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = std::process::Command::new(crate::binary::PATH)
        .arg("plan")
        .arg(example("parlour.toml"))
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3));
}

/// Of ten thousand problems fifty are told, and the rest is counted.
#[test]
fn very_many_problems_are_counted() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    let text: String = (0..10_000).map(|n| format!("k{n} = 1\n")).collect();
    std::fs::write(&job, text).unwrap();
    let done = run(bonewright().arg("check").arg(&job));
    assert_eq!(done.code, 1);
    assert!(done.err.len() < 40_000, "{} bytes", done.err.len());
    assert!(done.err.contains("more problems not shown"), "{}", done.err);
    assert!(done.err.contains("errors. Nothing was planned."), "{}", done.err);
}
