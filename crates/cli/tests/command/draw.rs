//! `draw`: files whole or not at all, nothing overwritten silently.

use crate::binary::{bonewright, example, examples, run};
use std::collections::BTreeMap;
use std::path::Path;

/// Names and contents of a folder.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| {
            (
                entry.file_name().into_string().unwrap(),
                std::fs::read(entry.path()).unwrap(),
            )
        })
        .collect()
}

#[test]
fn every_example_leaves_every_kind_of_file() {
    let folder = tempfile::tempdir().unwrap();
    for job in examples() {
        let stem = job.file_stem().unwrap().to_str().unwrap();
        let done = run(bonewright()
            .current_dir(folder.path())
            .arg("draw")
            .arg(&job)
            .args(["--dpi", "50"]));
        assert_eq!(done.code, 0, "{}", done.err);
        let files = contents(&folder.path().join("output").join(stem));
        let starts = |name: String, start: &[u8]| {
            let content = files.get(&name).unwrap_or_else(|| panic!("{name} is missing"));
            assert!(content.starts_with(start), "{name}");
            assert!(done.out.contains(&name), "{name}");
        };
        starts(format!("{stem}.pdf"), b"%PDF-");
        starts(format!("{stem}-1.svg"), b"<?xml");
        starts(format!("{stem}-1.png"), b"\x89PNG");
        starts(format!("{stem}.dxf"), b"  0\nSECTION");
        // Binary STL: a head of 80 bytes, the count, and 50 bytes for each triangle.
        let stl = &files[&format!("{stem}.stl")];
        let triangles = u32::from_le_bytes(stl[80..84].try_into().unwrap()) as usize;
        assert!(triangles > 100 && stl.len() == 84 + 50 * triangles, "{stem}");
        let page = run(bonewright().arg("plan").arg(&job));
        assert_eq!(files[&format!("{stem}.txt")], page.out.into_bytes());
        assert!(files.keys().all(|name| name.starts_with(stem)), "{:?}", files.keys());
    }
}

#[test]
fn nothing_is_overwritten_unless_forced() {
    let folder = tempfile::tempdir().unwrap();
    let draw = |more: &[&str]| {
        run(bonewright()
            .arg("draw")
            .arg(example("parlour.toml"))
            .arg("--out")
            .arg(folder.path())
            .args(["--only", "svg,dxf,txt"])
            .args(more))
    };
    assert_eq!(draw(&[]).code, 0);
    let first = contents(folder.path());
    std::fs::write(folder.path().join("parlour.dxf"), "mine").unwrap();
    std::fs::remove_file(folder.path().join("parlour.txt")).unwrap();
    let refused = draw(&[]);
    assert_eq!(refused.code, 3);
    assert!(
        refused.err.contains("parlour.dxf") && refused.err.contains("--force"),
        "{}",
        refused.err
    );
    assert!(!refused.err.contains("parlour.txt"), "{}", refused.err);
    let kept = contents(folder.path());
    assert_eq!(kept["parlour.dxf"], b"mine");
    assert!(!kept.contains_key("parlour.txt"));
    assert_eq!(draw(&["--force"]).code, 0);
    // Same input, same bytes; and no other file is left behind.
    assert!(contents(folder.path()) == first);
}

/// One target is in the way: no file of the set is new, and the run says that all old ones stand.
#[test]
fn a_forced_set_that_fails_leaves_all_that_stood() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let draw = |job: &Path| {
        run(bonewright()
            .arg("draw")
            .arg(job)
            .args(["--force", "--dpi", "50", "--part", "saddle", "--out"])
            .arg(&out))
    };
    let job = folder.path().join("one.toml");
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    std::fs::write(&job, &text).unwrap();
    assert_eq!(draw(&job).code, 0);
    std::fs::remove_file(out.join("one.stl")).unwrap();
    let stood = contents(&out);
    std::fs::create_dir(out.join("one.stl")).unwrap();
    std::fs::write(&job, text.replacen("title = \"", "title = \"Changed ", 1)).unwrap();
    let refused = draw(&job);
    assert_eq!(refused.code, 3, "{}", refused.out);
    let said = refused.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("one.stl") && said.contains("stands there still"),
        "{}",
        refused.err
    );
    std::fs::remove_dir(out.join("one.stl")).unwrap();
    assert_eq!(contents(&out), stood);
    assert_eq!(draw(&job).code, 0);
    assert_ne!(contents(&out)["one-1.svg"], stood["one-1.svg"]);
}

/// Told to end while files change places, as by Ctrl-C: all old or all new, nothing hidden is left, and the caller is told.
#[cfg(unix)]
#[test]
fn a_run_that_is_told_to_end_leaves_all_old_or_all_new() {
    let folder = tempfile::tempdir().unwrap();
    let (out, job) = (folder.path().join("out"), folder.path().join("one.toml"));
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let args = ["--force", "--dpi", "50", "--part", "saddle", "--out"];
    let mut stopped = 0;
    for (round, signal) in ["INT", "TERM", "INT", "QUIT", "TERM", "INT"].into_iter().enumerate() {
        std::fs::write(
            &job,
            text.replacen("title = \"", &format!("title = \"Round {round} "), 1),
        )
        .unwrap();
        if round == 0 {
            assert_eq!(run(bonewright().arg("draw").arg(&job).args(args).arg(&out)).code, 0);
            continue;
        }
        let stood = contents(&out);
        let mut child = std::process::Command::new(crate::binary::PATH);
        let child = child.arg("draw").arg(&job).args(args).arg(&out);
        let mut child = child
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        let set = format!(".bonewright-set-{}-0", child.id());
        // From round to round a little later: in the staging, in the swap, after it.
        let step = ["owner", "new/one-1.svg", "swap", "old/one.pdf", "swap"][round - 1];
        while !out.join(&set).join(step).exists() && child.try_wait().unwrap().is_none() {
            std::thread::yield_now();
        }
        let told = std::process::Command::new("kill")
            .args(["-s", signal, &child.id().to_string()])
            .output()
            .unwrap();
        let done = child.wait_with_output().unwrap();
        let now = contents(&out);
        assert!(now.keys().all(|name| !name.starts_with('.')), "{:?}", now.keys());
        if now == stood {
            stopped += 1;
            let said = String::from_utf8(done.stderr).unwrap();
            assert!(!done.status.success() && told.status.success(), "{said}");
            assert!(said.contains("stopped: nothing was written"), "{said}");
        } else {
            // Whole and new: as a run that nobody disturbs makes it.
            assert_eq!(run(bonewright().arg("draw").arg(&job).args(args).arg(&out)).code, 0);
            assert!(contents(&out) == now);
        }
    }
    assert!(stopped > 0, "every signal came too late");
}

#[test]
fn only_what_is_asked_for_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let done = run(bonewright()
        .arg("draw")
        .arg(example("parlour.toml"))
        .arg("--out")
        .arg(folder.path().join("new/folder"))
        .args(["--only", "stl"]));
    assert_eq!(done.code, 0, "{}", done.err);
    let names: Vec<String> = contents(&folder.path().join("new/folder")).into_keys().collect();
    assert_eq!(names, ["parlour.stl"]);
}

#[test]
fn paper_can_be_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let width = |paper: &str| {
        let out = folder.path().join(paper);
        let done = run(bonewright()
            .arg("draw")
            .arg(example("parlour.toml"))
            .arg("--out")
            .arg(&out)
            .args(["--only", "svg", "--paper", paper]));
        assert_eq!(done.code, 0, "{}", done.err);
        let svg = std::fs::read_to_string(out.join("parlour-1.svg")).unwrap();
        usvg::Tree::from_str(&svg, &usvg::Options::default())
            .unwrap()
            .size()
            .width()
    };
    // usvg counts CSS pixels, 96 to the inch.
    for (paper, mm) in [("a4", 297.0), ("letter", 279.4)] {
        assert!((width(paper) - mm * 96.0 / 25.4).abs() < 0.1, "{paper}");
    }
}

#[test]
fn sheets_of_an_earlier_run_are_told_of() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("parlour-9.svg"), "old").unwrap();
    std::fs::write(folder.path().join("parlour-x.svg"), "other").unwrap();
    let done = run(bonewright()
        .arg("draw")
        .arg(example("parlour.toml"))
        .arg("--out")
        .arg(folder.path())
        .args(["--only", "svg"]));
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(
        done.err.contains("parlour-9.svg") && !done.err.contains("parlour-x.svg"),
        "{}",
        done.err
    );
    assert_eq!(contents(folder.path())["parlour-9.svg"], b"old");
}

#[test]
fn a_folder_that_cannot_be_made_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, "").unwrap();
    for out in [file.clone(), file.join("below")] {
        let done = run(bonewright()
            .arg("draw")
            .arg(example("parlour.toml"))
            .arg("--out")
            .arg(&out)
            .args(["--only", "dxf"]));
        assert_eq!(done.code, 3, "{}", done.err);
        assert!(done.err.contains("file"), "{}", done.err);
    }
    assert_eq!(contents(folder.path()).len(), 1);
}

/// A blank that no sheet of paper holds at true scale: nothing is written, not even what could be.
#[test]
fn a_plan_that_cannot_be_drawn_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let blank = text.find("[blank]").unwrap();
    let (before, after) = text.split_at(blank);
    let at = after.find("\nlength = ").unwrap();
    let end = at + 1 + after[at + 1..].find('\n').unwrap();
    let long = format!("{before}{}\nlength = \"420 mm\"{}", &after[..at], &after[end..]);
    let job = folder.path().join("long.toml");
    std::fs::write(&job, long).unwrap();
    let out = folder.path().join("out");
    let done = run(bonewright().arg("draw").arg(&job).arg("--out").arg(&out));
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(!out.exists());
}
