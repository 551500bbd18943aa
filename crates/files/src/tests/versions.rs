//! Versions on disks that fail, from several threads, and from two processes.

use super::{FailingDisk, Way, age, hidden, tempdir};
use crate::{
    Disk, HIDDEN, Kept, Presence, RealDisk, Replace, VersionError, Versions, change_file, lock_folder, write_file,
};
use std::fs;
use std::io;
use std::path::Path;
use std::process::Command;
use std::sync::atomic::Ordering;

/// Name of the variable that makes this test a writer in a folder.
const WRITE_IN: &str = "BONEWRIGHT_TEST_WRITE_IN";

fn versions(folder: &Path) -> Versions {
    with(folder, Box::new(RealDisk))
}

fn with(folder: &Path, disk: Box<dyn Disk>) -> Versions {
    Versions::new(folder.to_owned(), disk, 100_000, 10)
}

/// Adds a line to `a.toml` until that is acknowledged; fails if someone else came first.
fn add(store: &Versions, line: &str) {
    loop {
        let now = store.read("a").unwrap();
        match store.save("a", &|there| there == now, &format!("{now}{line}\n")) {
            Ok(()) => return,
            Err(VersionError::Changed) => {}
            Err(other) => panic!("{other}"),
        }
    }
}

/// As [`add`], beside the file.
fn add_beside(store: &Versions, line: &str) {
    store.change_beside("a", &|now| format!("{now}{line}\n")).unwrap();
}

#[test]
fn two_processes_lose_no_acknowledged_change() {
    const EACH: usize = 60;
    if let Some(folder) = std::env::var_os(WRITE_IN) {
        let store = versions(Path::new(&folder));
        for i in 0..EACH {
            add(&store, &format!("{} {i}", std::process::id()));
            add_beside(&store, &format!("{} {i}", std::process::id()));
        }
        return;
    }
    let folder = tempdir();
    let store = versions(folder.path());
    store.create("a", "").unwrap();
    let start = || {
        Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "tests::versions::two_processes_lose_no_acknowledged_change"])
            .env(WRITE_IN, folder.path())
            .spawn()
            .unwrap()
    };
    let mut running = [start(), start()];
    for i in 0..EACH {
        add(&store, &format!("here {i}"));
        add_beside(&store, &format!("here {i}"));
    }
    for process in &mut running {
        assert!(process.wait().unwrap().success());
    }
    for text in [store.read("a").unwrap(), store.read_beside("a")] {
        let mut lines: Vec<&str> = text.lines().collect();
        lines.sort_unstable();
        lines.dedup();
        assert_eq!(lines.len(), 3 * EACH);
        assert_eq!(text.lines().count(), 3 * EACH);
    }
    assert_eq!(hidden(folder.path()), 1, "the lock's file goes with the lock");
}

/// The text of each version, present, undone and beside, as someone who opens the folder again meets them.
fn all_of(folder: &Path) -> (String, String, Vec<String>) {
    let store = versions(folder);
    let read = |(_, path): (u64, std::path::PathBuf)| fs::read_to_string(path).unwrap();
    let kept = ["old-", "undone-"]
        .into_iter()
        .flat_map(|prefix| store.numbered("a", prefix).unwrap());
    (
        store.read("a").unwrap(),
        store.read_beside("a"),
        kept.map(read).collect(),
    )
}

type Change = fn(&Versions) -> Result<(), VersionError>;

/// Every way in which a call of the disk fails, and whether all after it fail too.
fn failures() -> impl Iterator<Item = (Way, bool)> {
    let ways = [Way::Refused, Way::Half, Way::DoneAndRefused].into_iter();
    ways.flat_map(|way| [(way, false), (way, true)])
}

/// A store with one file of two versions.
fn of_two(path: &Path) -> Versions {
    let store = versions(path);
    store.create("a", "one").unwrap();
    store.save("a", &|now| now == "one", "two").unwrap();
    store
}

/// Every change, on a disk that refuses or dies at every call: the file is all old or all new, no version is lost, and what was
/// acknowledged stands.
#[test]
fn a_failure_at_any_call_loses_nothing() {
    let changes: [(&str, Change); 4] = [
        ("save", |store| store.save("a", &|now| now == "two", "three")),
        ("undo", |store| store.undo("a", &|now| now == "two")),
        ("redo", |store| store.redo("a", &|now| now == "two")),
        ("beside", |store| store.change_beside("a", &|now| format!("{now}!"))),
    ];
    for (name, change) in changes {
        for (way, dead) in failures() {
            for at in 0.. {
                let folder = tempdir();
                let path = folder.path();
                let store = of_two(path);
                if name == "redo" {
                    store.save("a", &|now| now == "two", "three").unwrap();
                    store.undo("a", &|now| now == "three").unwrap();
                }
                store.change_beside("a", &|_| "ticks".to_owned()).unwrap();
                let disk = std::sync::Arc::new(FailingDisk::new(at, way, dead));
                let done = change(&with(path, Box::new(disk.clone())));
                let reached = disk.calls.load(Ordering::Relaxed) > at;
                age(path);
                age(&path.join(HIDDEN).join("a"));
                versions(path).tidy().unwrap();
                let (text, beside, kept) = all_of(path);
                let told = format!("{name}, {way:?} at call {at}, dead {dead}: {done:?}, {text}, {beside}, {kept:?}");
                let new = match name {
                    "undo" => "one",
                    "beside" => "two",
                    _ => "three",
                };
                assert!(text == "two" || text == new, "{told}");
                assert!(beside == "ticks" || name == "beside" && beside == "ticks!", "{told}");
                for was in ["one", "two"].into_iter().filter(|was| *was != text) {
                    assert!(kept.iter().any(|kept| kept == was), "lost {was}: {told}");
                }
                if done.is_ok() {
                    assert!(text == new && (name != "beside" || beside == "ticks!"), "{told}");
                }
                let left = names(&path.join(HIDDEN).join("a"));
                assert!(left.iter().all(|name| !name.starts_with('.')), "{told}: {left:?}");
                assert_eq!(hidden(path), 1, "{told}");
                // And it goes on from there.
                let now = text.clone();
                versions(path).save("a", &|there| there == now, "four").unwrap();
                versions(path).undo("a", &|there| there == "four").unwrap();
                assert_eq!(versions(path).read("a").unwrap(), text, "{told}");
                if !reached {
                    assert!(done.is_ok(), "{told}");
                    break;
                }
            }
        }
    }
}

/// What belongs to all files, on a disk that refuses or dies at every call: it is all old or all new, and nothing half written is left.
#[test]
fn a_failure_at_any_call_leaves_what_is_common_whole() {
    const COMMON: &str = "common.toml";
    for was in ["", "one"] {
        for (way, dead) in failures() {
            for at in 0.. {
                let folder = tempdir();
                let path = folder.path();
                if !was.is_empty() {
                    versions(path).save_common(COMMON, &|now| now.is_empty(), was).unwrap();
                }
                let disk = std::sync::Arc::new(FailingDisk::new(at, way, dead));
                let done = with(path, Box::new(disk.clone())).save_common(COMMON, &|now| now == was, "two");
                let reached = disk.calls.load(Ordering::Relaxed) > at;
                if path.join(HIDDEN).is_dir() {
                    age(&path.join(HIDDEN));
                }
                versions(path).tidy().unwrap();
                let now = versions(path).read_common(COMMON).unwrap();
                let told = format!("{was}, {way:?} at call {at}, dead {dead}: {done:?}, {now}");
                assert!(now == was || now == "two", "{told}");
                assert!(done.is_err() || now == "two", "{told}");
                let left = names(&path.join(HIDDEN));
                assert!(left.iter().all(|name| !name.starts_with('.')), "{told}: {left:?}");
                let late = versions(path).save_common(COMMON, &|now| now == "three", "x");
                assert!(matches!(late, Err(VersionError::Changed)), "{told}");
                if !reached {
                    assert!(done.is_ok(), "{told}");
                    break;
                }
            }
        }
    }
}

/// A file that is moved, into the bin and out of it, on a disk that refuses or dies at every call: all of it is in one place or all in
/// the other, once somebody opens the folder again.
#[test]
fn a_failure_at_any_call_moves_the_whole_or_nothing() {
    let moves: [(&str, Change); 5] = [
        ("rename", |store| store.rename("a", &|now| now == "two", "b", "two")),
        ("retitle", |store| store.rename("a", &|now| now == "two", "b", "three")),
        ("capitals", |store| store.rename("a", &|now| now == "two", "A", "two")),
        ("bin", |store| store.bin("a").map(drop)),
        ("unbin", |store| store.unbin(1, "b")),
    ];
    for (name, change) in moves {
        for (way, dead) in failures() {
            for at in 0.. {
                let folder = tempdir();
                let path = folder.path();
                let store = of_two(path);
                store.change_beside("a", &|_| "ticks".to_owned()).unwrap();
                if name == "unbin" {
                    store.bin("a").unwrap();
                }
                let before = everything(path);
                let disk = std::sync::Arc::new(FailingDisk::new(at, way, dead));
                let done = change(&with(path, Box::new(disk.clone())));
                let reached = disk.calls.load(Ordering::Relaxed) > at;
                for place in [path.to_owned(), path.join(HIDDEN), path.join(HIDDEN).join("a")] {
                    if place.is_dir() {
                        age(&place);
                    }
                }
                versions(path).tidy().unwrap();
                let after = everything(path);
                let told = format!("{name}, {way:?} at call {at}, dead {dead}: {done:?}\n{before:?}\n{after:?}");
                let is = |stem: &str, text: &str, old: &[&str]| {
                    let text = (format!("{stem}.toml"), text.to_owned());
                    let old = old
                        .iter()
                        .enumerate()
                        .map(|(i, old)| (format!("{HIDDEN}/{stem}/old-{:06}.toml", i + 1), (*old).to_owned()));
                    let all = [text, (format!("{HIDDEN}/{stem}/beside.toml"), "ticks".to_owned())];
                    let all: std::collections::BTreeMap<_, _> = all.into_iter().chain(old).collect();
                    after == all
                };
                let in_bin = |stem: &str| {
                    after.keys().all(|file| file.contains("_bin/000001/"))
                        && after.len() == 3
                        && after.contains_key(&format!("{HIDDEN}/_bin/000001/{stem}.toml"))
                };
                let whole = match name {
                    "rename" => is("b", "two", &["one"]),
                    "retitle" => is("b", "three", &["one", "two"]),
                    "capitals" => is("A", "two", &["one"]),
                    "bin" => in_bin("a"),
                    _ => is("b", "two", &["one"]),
                };
                assert!(whole || done.is_err() && after == before, "{told}");
                if !reached {
                    assert!(done.is_ok(), "{told}");
                    break;
                }
            }
        }
    }
}

/// Every file of a folder with what it holds, by its path within.
fn everything(folder: &Path) -> std::collections::BTreeMap<String, String> {
    let mut found = std::collections::BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(inner) = folders.pop() {
        for path in fs::read_dir(inner).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
                found.insert(name, fs::read_to_string(path).unwrap());
            }
        }
    }
    found
}

#[test]
fn what_was_undone_is_kept_when_something_else_is_saved() {
    let folder = tempdir();
    let store = versions(folder.path());
    store.create("a", "one").unwrap();
    for (now, next) in [("one", "two"), ("two", "three")] {
        store.save("a", &|there| there == now, next).unwrap();
    }
    store.undo("a", &|_| true).unwrap();
    store.undo("a", &|_| true).unwrap();
    store.save("a", &|now| now == "one", "four").unwrap();
    let kept: Vec<(Kept, String)> = store
        .kept("a")
        .unwrap()
        .iter()
        .map(|kept| (kept.kind, store.read_kept("a", kept.kind, kept.number).unwrap()))
        .collect();
    let wanted = [(Kept::Before, "one"), (Kept::Aside, "two"), (Kept::Aside, "three")];
    assert_eq!(kept, wanted.map(|(kind, text)| (kind, text.to_owned())));
}

#[test]
fn a_name_that_is_taken_is_refused() {
    let folder = tempdir();
    let store = versions(folder.path());
    store.create("a", "one").unwrap();
    store.create("b", "two").unwrap();
    for to in ["b", "B"] {
        assert!(matches!(
            store.rename("a", &|_| true, to, "one"),
            Err(VersionError::Exists)
        ));
    }
    assert!(matches!(
        store.rename("a", &|_| false, "c", "one"),
        Err(VersionError::Changed)
    ));
    assert!(matches!(store.bin("c"), Err(VersionError::Missing)));
    let number = store.bin("a").unwrap();
    assert!(matches!(store.unbin(number, "B"), Err(VersionError::Exists)));
    assert!(matches!(store.unbin(number + 1, "a"), Err(VersionError::Missing)));
    assert_eq!(store.read_binned(number).unwrap(), "one");
    store.unbin(number, "a").unwrap();
    assert!(store.binned().unwrap().is_empty() && store.read("a").unwrap() == "one");
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries.map(|entry| entry.file_name().into_string().unwrap()).collect()
}

#[test]
fn a_new_file_fails_whole() {
    for way in [Way::Refused, Way::Half, Way::DoneAndRefused] {
        for at in 0.. {
            let folder = tempdir();
            let path = folder.path().join("a.toml");
            let disk = std::sync::Arc::new(FailingDisk::new(at, way, false));
            let done = change_file(Box::new(disk.clone()), &path, None, "new");
            match fs::read_to_string(&path) {
                Ok(text) => assert_eq!(text, "new"),
                Err(error) => assert!(error.kind() == io::ErrorKind::NotFound && done.is_err()),
            }
            if disk.calls.load(Ordering::Relaxed) <= at {
                done.unwrap();
                break;
            }
        }
    }
}

#[test]
fn a_command_replaces_only_what_it_saw() {
    let folder = tempdir();
    let path = folder.path().join("a.toml");
    let change = |was: Option<&[u8]>, text: &str| change_file(Box::new(RealDisk), &path, was, text);
    change(None, "one").unwrap();
    assert!(matches!(change(None, "x"), Err(VersionError::Exists)));
    assert!(matches!(change(Some(b"other"), "x"), Err(VersionError::Changed)));
    change(Some(b"one"), "two").unwrap();
    assert_eq!(hidden(folder.path()), 0, "no versions are begun by a command");
    // Once the page keeps versions, the command's change is one of them.
    let store = versions(folder.path());
    store.save("a", &|now| now == "two", "three").unwrap();
    change(Some(b"three"), "four").unwrap();
    store.undo("a", &|now| now == "four").unwrap();
    assert_eq!(store.read("a").unwrap(), "three");
}

#[test]
fn a_folder_that_is_held_is_told_with_its_holder() {
    let folder = tempdir();
    let held = lock_folder(folder.path()).unwrap();
    let said = fs::read_to_string(folder.path().join(".bonewright-lock")).unwrap();
    assert_eq!(said.trim(), format!("process {}", std::process::id()));
    // What a process that was killed leaves does not lock.
    drop(held);
    fs::write(folder.path().join(".bonewright-lock"), "process 1").unwrap();
    drop(lock_folder(folder.path()).unwrap());
    assert_eq!(hidden(folder.path()), 0);
}

#[test]
fn another_bench_is_told_while_it_lives() {
    let folder = tempdir();
    let (first, none) = Presence::begin(folder.path());
    assert!(first.is_some() && none.is_empty());
    let (_, one) = Presence::begin(folder.path());
    assert_eq!(one.len(), 1);
    assert_eq!(one[0].process, std::process::id().to_string());
    drop(first);
    assert_eq!(hidden(folder.path()), 0);
    fs::create_dir(folder.path().join(HIDDEN)).unwrap();
    fs::write(folder.path().join(HIDDEN).join(".open-1"), "killed").unwrap();
    let (again, none) = Presence::begin(folder.path());
    assert!(again.is_some() && none.is_empty());
    assert!(!folder.path().join(HIDDEN).join(".open-1").exists());
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_out_is_not_followed() {
    use std::os::unix::fs::symlink;
    for inner in [false, true] {
        let (folder, outside) = (tempdir(), tempdir());
        let store = versions(folder.path());
        store.create("a", "one").unwrap();
        fs::write(outside.path().join("old-000001.toml"), "not mine").unwrap();
        fs::write(outside.path().join("beside.toml"), "not mine").unwrap();
        if inner {
            fs::create_dir(folder.path().join(HIDDEN)).unwrap();
            symlink(outside.path(), folder.path().join(HIDDEN).join("a")).unwrap();
        } else {
            fs::create_dir(outside.path().join("a")).unwrap();
            symlink(outside.path(), folder.path().join(HIDDEN)).unwrap();
        }
        let before = (names(outside.path()), names(&outside.path().join("a")));
        let refused = store.save("a", &|_| true, "two").unwrap_err().to_string();
        assert!(refused.contains("links are not followed"), "{refused}");
        assert!(store.change_beside("a", &|_| "x".to_owned()).is_err());
        assert!(store.undo("a", &|_| true).is_err());
        assert_eq!(store.steps("a"), (false, false));
        assert_eq!(store.read_beside("a"), "");
        let _ = Presence::begin(folder.path());
        assert_eq!((names(outside.path()), names(&outside.path().join("a"))), before);
        assert_eq!(store.read("a").unwrap(), "one");
    }
}

#[cfg(unix)]
#[test]
fn a_change_keeps_the_permissions() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempdir();
    let path = folder.path().join("a.toml");
    let mode = || path.metadata().unwrap().permissions().mode() & 0o777;
    let store = versions(folder.path());
    store.create("a", "one").unwrap();
    for wanted in [0o600, 0o664] {
        fs::set_permissions(&path, fs::Permissions::from_mode(wanted)).unwrap();
        let now = store.read("a").unwrap();
        store.save("a", &|_| true, &format!("{now}!")).unwrap();
        assert_eq!(mode(), wanted);
        store.undo("a", &|_| true).unwrap();
        assert_eq!(mode(), wanted);
        write_file(&RealDisk, &path, b"two", Replace::Yes).unwrap();
        assert_eq!(mode(), wanted);
    }
}
