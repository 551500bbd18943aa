//! `bonewright cut` over the jobs of `tests/jobs`: sound jobs, each unusual in its own way, on every built-in machine. What is
//! refused there though it is sound is a fault.

use crate::binary::{bonewright, run, top};
use std::path::PathBuf;

const MACHINES: [&str; 4] = [
    "small belt router",
    "small router, lines only",
    "small ballscrew mill",
    "small screw router",
];

fn jobs() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(top().join("tests/jobs"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.file_name().is_some_and(|name| name != "shop.toml"))
        .collect();
    found.sort();
    assert!(found.len() >= 20, "{found:?}");
    found
}

/// Every setup of every part, on one machine (`None`: the job's own). On each of the built-in machines every fourth job is cut, so that
/// together they cut all; tests/outside cuts more of them.
fn all_are_cut(machine: Option<&str>) {
    let mut refused = Vec::new();
    let turn = machine.and_then(|name| MACHINES.iter().position(|known| *known == name));
    for (number, job) in jobs().into_iter().enumerate() {
        if turn.is_some_and(|turn| number % MACHINES.len() != turn) {
            continue;
        }
        let text = std::fs::read_to_string(&job).unwrap();
        // The crown from what the outline left, or from the whole stock.
        let mut works = if machine.is_none() && number % 2 == 0 {
            vec![("saddle", "both")]
        } else {
            vec![("saddle", "on-edge"), ("saddle", "flat")]
        };
        if text.contains("\n[nut_blank]") {
            works.extend([("nut", "flat"), ("nut", "on-edge")]);
        }
        let name = job.file_stem().unwrap().to_string_lossy().into_owned();
        let router = machine.is_some_and(|name| name.contains("router"));
        for (part, setup) in works {
            let mut cut = bonewright();
            cut.arg("cut")
                .arg(&job)
                .args(["--part", part, "--setup", setup, "--dry-run"]);
            cut.arg("--profiles").arg(top().join("tests/jobs/shop.toml"));
            if let Some(machine) = machine {
                cut.args(["--machine", machine]);
            }
            let done = run(&mut cut);
            // What wants a slower spindle than a router has: titanium, and a wide ball that cuts far out on a steep slope.
            let fast = name == "titanium" || (name == "winged-steep" && setup != "flat");
            if fast && router {
                assert_eq!(done.code, 4);
                assert!(done.err.contains("the material bears"), "{}", done.err);
            } else if done.code != 0 {
                refused.push(format!("{} {part} {setup}: {}", job.display(), done.err));
            }
        }
    }
    assert!(refused.is_empty(), "{}", refused.join("\n"));
}

#[test]
fn sound_jobs_are_cut_on_their_own_machine() {
    all_are_cut(None);
}

#[test]
fn sound_jobs_are_cut_on_the_belt_router() {
    all_are_cut(Some(MACHINES[0]));
}

#[test]
fn sound_jobs_are_cut_with_lines_only() {
    all_are_cut(Some(MACHINES[1]));
}

#[test]
fn sound_jobs_are_cut_where_tools_are_touched_off() {
    all_are_cut(Some(MACHINES[3]));
}

#[test]
fn sound_jobs_are_cut_on_the_mill() {
    all_are_cut(Some(MACHINES[2]));
}
