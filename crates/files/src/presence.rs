//! Who has a folder of jobs open: each bench holds a file of its own in the hidden folder, locked while it lives.

use crate::versions::{HIDDEN, is_folder};
use std::fs::{self, File, TryLockError};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Beginning of such a file's name; no job's name begins with a dot.
const OPEN: &str = ".open-";

/// Another bench with the same folder open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bench {
    /// Its process.
    pub process: String,
    /// How long it has been open, if the clock can tell.
    pub age: Option<Duration>,
}

/// This bench has the folder open until this is dropped.
#[derive(Debug)]
pub struct Presence {
    path: PathBuf,
    _file: File,
}

impl Drop for Presence {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
        // It is made for this file alone where no job was changed.
        let _ = self.path.parent().map(fs::remove_dir);
    }
}

impl Presence {
    /// Says that this process has the folder open, and who else has. None of its own where it cannot be written, as on a disk that is
    /// only read: nothing but words hangs on it.
    #[must_use]
    pub fn begin(folder: &Path) -> (Option<Self>, Vec<Bench>) {
        let hidden = folder.join(HIDDEN);
        let others = others(&hidden);
        let begun = || -> std::io::Result<Self> {
            if !is_folder(&hidden)? {
                fs::create_dir(&hidden)?;
            }
            let path = hidden.join(format!("{OPEN}{}", std::process::id()));
            let mut file = File::create_new(&path)?;
            file.lock()?;
            writeln!(file, "A bench has this folder open: process {}.", std::process::id())?;
            Ok(Self { path, _file: file })
        };
        (begun().ok(), others)
    }
}

/// Benches that live; what those that were ended left is removed.
fn others(hidden: &Path) -> Vec<Bench> {
    if !is_folder(hidden).unwrap_or(false) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for entry in fs::read_dir(hidden).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let Some(process) = name.strip_prefix(OPEN) else {
            continue;
        };
        let path = entry.path();
        let Some(file) = entry
            .file_type()
            .ok()
            .filter(fs::FileType::is_file)
            .and_then(|_| File::open(&path).ok())
        else {
            continue;
        };
        match file.try_lock() {
            Ok(()) => drop(fs::remove_file(&path)),
            Err(TryLockError::WouldBlock) => found.push(Bench {
                process: process.to_owned(),
                age: entry
                    .metadata()
                    .and_then(|data| data.modified())
                    .ok()
                    .and_then(|then| then.elapsed().ok()),
            }),
            Err(TryLockError::Error(_)) => {}
        }
    }
    found.sort_by_key(|bench| std::cmp::Reverse(bench.age));
    found
}
