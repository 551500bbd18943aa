//! Sets written on disks that fail at every call in turn.

mod versions;

use crate::{Disk, NewFile, RealDisk, Replace, SetError, recover, write_set};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

/// How a call fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// It does nothing and says so.
    Refused,
    /// A file is half written.
    Half,
    /// It is done, and an error comes all the same.
    DoneAndRefused,
}

/// A disk whose call `at` fails; if `dead`, none that follows does anything, as after a kill.
#[derive(Debug)]
struct FailingDisk {
    calls: AtomicUsize,
    at: usize,
    way: Way,
    dead: bool,
}

impl FailingDisk {
    fn new(at: usize, way: Way, dead: bool) -> Self {
        Self {
            calls: AtomicUsize::new(0),
            at,
            way,
            dead,
        }
    }

    fn call(&self, whole: impl FnOnce() -> io::Result<()>, half: impl FnOnce()) -> io::Result<()> {
        let n = self.calls.fetch_add(1, Ordering::Relaxed);
        if n < self.at || n > self.at && !self.dead {
            return whole();
        }
        if n == self.at {
            match self.way {
                Way::Refused => {}
                Way::Half => half(),
                Way::DoneAndRefused => whole()?,
            }
        }
        let kinds = [
            io::ErrorKind::StorageFull,
            io::ErrorKind::Interrupted,
            io::ErrorKind::PermissionDenied,
        ];
        Err(kinds[n % kinds.len()].into())
    }
}

impl Disk for FailingDisk {
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        self.call(|| RealDisk.make_folder(path), || ())
    }
    fn write_new(&self, path: &Path, content: &[u8]) -> io::Result<()> {
        let half = || drop(fs::write(path, &content[..content.len() / 2]));
        self.call(|| RealDisk.write_new(path, content), half)
    }
    fn copy_mode(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.call(|| RealDisk.copy_mode(from, to), || ())
    }
    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.call(|| RealDisk.replace(from, to), || ())
    }
    fn place(&self, from: &Path, to: &Path) -> io::Result<()> {
        // Half: it has both names.
        self.call(|| RealDisk.place(from, to), || drop(fs::hard_link(from, to)))
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        self.call(|| RealDisk.remove(path), || ())
    }
    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        // Half: one of its parts is gone.
        let half = || drop(fs::remove_dir_all(path.join("new")));
        self.call(|| RealDisk.remove_folder(path), half)
    }
    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        self.call(|| RealDisk.sync_folder(path), || ())
    }
}

fn never() -> bool {
    false
}

fn set(content: &str, names: &[&str]) -> Vec<NewFile> {
    let one = |name: &&str| NewFile {
        name: (*name).to_owned(),
        content: format!("{content} {name}").into_bytes(),
    };
    names.iter().map(one).collect()
}

fn held(folder: &Path) -> BTreeMap<String, String> {
    let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
    let visible = entries.filter(|e| !e.file_name().to_string_lossy().starts_with('.'));
    visible
        .map(|e| {
            (
                e.file_name().into_string().unwrap(),
                fs::read_to_string(e.path()).unwrap(),
            )
        })
        .collect()
}

fn hidden(folder: &Path) -> usize {
    let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
    entries
        .filter(|e| e.file_name().to_string_lossy().starts_with('.'))
        .count()
}

/// The whole of a set with two files that are replaced and one that is new, failing at every call in every way.
fn at_every_call(dead: bool) {
    for way in [Way::Refused, Way::Half, Way::DoneAndRefused] {
        for at in 0.. {
            let folder = tempdir();
            let path = folder.path();
            write_set(&RealDisk, path, &set("old", &["a", "b", "other"]), Replace::No, &never).unwrap();
            let before = held(path);
            let disk = FailingDisk::new(at, way, dead);
            let done = write_set(&disk, path, &set("new", &["a", "b", "c"]), Replace::Yes, &never);
            let reached = disk.calls.load(Ordering::Relaxed) > at;
            let mut after = before.clone();
            after.extend(["a", "b", "c"].map(|n| (n.to_owned(), format!("new {n}"))));
            if !dead {
                // Putting back is itself spoilt only where the failing call belongs to it.
                if !matches!(done, Err(SetError::Mixed { .. })) {
                    let wanted = if done.is_ok() { &after } else { &before };
                    assert_eq!(&held(path), wanted, "{way:?} at call {at}: {done:?}");
                }
            }
            age(path);
            recover(&RealDisk, path).unwrap();
            let now = held(path);
            assert!(now == before || now == after, "{way:?} at call {at}: {now:?}");
            assert!(done.is_err() || now == after, "{way:?} at call {at}");
            assert_eq!(hidden(path), 0, "{way:?} at call {at}");
            if !reached {
                assert!(done.is_ok());
                break;
            }
        }
    }
}

/// Makes hidden folders as old as those of a run long gone.
fn age(folder: &Path) {
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        if entry.file_name().to_string_lossy().starts_with('.') {
            let then = std::time::SystemTime::now() - std::time::Duration::from_secs(3600);
            fs::File::open(entry.path()).unwrap().set_modified(then).unwrap();
        }
    }
}

#[test]
fn a_refusal_at_any_call_leaves_all_old_or_all_new() {
    at_every_call(false);
}

#[test]
fn a_kill_at_any_call_leaves_all_old_or_all_new_after_the_next_run() {
    at_every_call(true);
}

#[test]
fn a_run_that_lives_is_left_alone() {
    let folder = tempdir();
    let path = folder.path();
    let other = path.join(".bonewright-set-1-0");
    fs::create_dir(&other).unwrap();
    fs::write(other.join("owner"), "1").unwrap();
    let owner = fs::File::open(other.join("owner")).unwrap();
    owner.lock().unwrap();
    age(path);
    write_set(&RealDisk, path, &set("new", &["a"]), Replace::No, &never).unwrap();
    assert_eq!(hidden(path), 1);
    drop(owner);
    recover(&RealDisk, path).unwrap();
    assert_eq!(hidden(path), 0);
}

#[test]
fn what_stands_is_not_replaced_unasked() {
    let folder = tempdir();
    let path = folder.path();
    fs::write(path.join("b"), "mine").unwrap();
    fs::create_dir(path.join("d")).unwrap();
    for (names, replace) in [
        (["a", "b"], Replace::No),
        (["a", "d"], Replace::Yes),
        (["a", "d"], Replace::No),
    ] {
        let refused = write_set(&RealDisk, path, &set("new", &names), replace, &never).unwrap_err();
        assert!(matches!(refused, SetError::Unwritten { .. }), "{refused}");
        assert!(!path.join("a").exists());
        assert_eq!(fs::read_to_string(path.join("b")).unwrap(), "mine");
        assert_eq!(hidden(path), 0);
    }
}

#[test]
fn single_files_left_unfinished_go_away() {
    let folder = tempdir();
    let path = folder.path();
    fs::write(path.join(".bonewright-a1B2c3"), "half").unwrap();
    fs::write(path.join(".bonewright-notes"), "mine").unwrap();
    recover(&RealDisk, path).unwrap();
    assert_eq!(hidden(path), 2);
    age(path);
    recover(&RealDisk, path).unwrap();
    assert_eq!(hidden(path), 1);
    assert!(path.join(".bonewright-notes").exists());
}

/// Told to stop at any look, a set is written whole or not at all, and nothing hidden is left.
#[test]
fn a_stop_at_any_moment_leaves_all_old_or_all_new() {
    for at in 0.. {
        let folder = tempdir();
        let path = folder.path();
        write_set(&RealDisk, path, &set("old", &["a", "b"]), Replace::No, &never).unwrap();
        let before = held(path);
        let looks = AtomicUsize::new(0);
        let stop = || looks.fetch_add(1, Ordering::Relaxed) >= at;
        let done = write_set(&RealDisk, path, &set("new", &["a", "b", "c"]), Replace::Yes, &stop);
        assert_eq!(hidden(path), 0, "{at}");
        match done {
            Err(SetError::Stopped { .. }) => assert_eq!(held(path), before, "{at}"),
            done => {
                done.unwrap();
                assert!(at >= 3, "it was not asked between the files");
                assert_eq!(held(path)["c"], "new c");
                break;
            }
        }
    }
}

impl<D: Disk> Disk for std::sync::Arc<D> {
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        (**self).make_folder(path)
    }
    fn write_new(&self, path: &Path, content: &[u8]) -> io::Result<()> {
        (**self).write_new(path, content)
    }
    fn copy_mode(&self, from: &Path, to: &Path) -> io::Result<()> {
        (**self).copy_mode(from, to)
    }
    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        (**self).replace(from, to)
    }
    fn place(&self, from: &Path, to: &Path) -> io::Result<()> {
        (**self).place(from, to)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        (**self).remove(path)
    }
    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        (**self).remove_folder(path)
    }
    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        (**self).sync_folder(path)
    }
}

/// A folder in memory where there is one: what is forced to a disk thousands of times takes its time.
fn tempdir() -> tempfile::TempDir {
    let memory = Path::new("/dev/shm");
    let made = if memory.is_dir() {
        tempfile::tempdir_in(memory)
    } else {
        tempfile::tempdir()
    };
    made.unwrap()
}
