//! The lock of a folder: held for the time of one change, so that changes come one after the other, whichever process makes them.
//!
//! It is the system's own lock on `FOLDER/.bonewright-lock`, which ends with the process that holds it: none is left standing. The
//! file says in words who holds it, and goes away with the lock.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};
use thiserror::Error;

/// Name of the lock's file.
const NAME: &str = ".bonewright-lock";
/// How long to wait for the one who holds it: a change takes some hundredths of a second, a set of files on a slow disk seconds.
const PATIENCE: Duration = Duration::from_secs(20);
/// Time between two looks.
const PAUSE: Duration = Duration::from_millis(2);
/// Longest words read of who holds it, bytes.
const MOST_WORDS: u64 = 200;

/// Why a folder could not be locked.
#[derive(Debug, Error)]
pub enum LockError {
    /// Someone else held it all the time.
    #[error(
        "{} is held by {by}, and was not let go within {} seconds; try again, or end that process if it hangs",
        at.display(),
        PATIENCE.as_secs()
    )]
    Held {
        /// The lock's file.
        at: PathBuf,
        /// Who holds it.
        by: String,
    },
    /// The disk refused.
    #[error("{} could not be locked: {why}", at.display())]
    Disk {
        /// The lock's file.
        at: PathBuf,
        /// Its reason.
        why: io::Error,
    },
}

impl From<LockError> for io::Error {
    fn from(error: LockError) -> Self {
        Self::other(error)
    }
}

/// A folder locked until this is dropped.
#[derive(Debug)]
pub struct FolderLock {
    path: PathBuf,
    _file: File,
}

impl Drop for FolderLock {
    fn drop(&mut self) {
        // Before the lock ends, so that it is always its holder who removes it. Elsewhere a file that is open cannot go: it stays.
        if cfg!(unix) {
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

/// Waits for a folder's lock.
///
/// # Errors
/// [`LockError`].
pub fn lock_folder(folder: &Path) -> Result<FolderLock, LockError> {
    let path = folder.join(NAME);
    let began = Instant::now();
    loop {
        match try_lock(&path) {
            Ok(Some(file)) => return Ok(FolderLock { path, _file: file }),
            Ok(None) if began.elapsed() < PATIENCE => thread::sleep(PAUSE),
            Ok(None) => {
                return Err(LockError::Held {
                    by: holder(&path),
                    at: path,
                });
            }
            Err(why) => return Err(LockError::Disk { at: path, why }),
        }
    }
}

/// The locked file; none if another holds it, or it went away meanwhile.
fn try_lock(path: &Path) -> io::Result<Option<File>> {
    if path.symlink_metadata().is_ok_and(|data| !data.is_file()) {
        return Err(io::Error::other("it is no plain file; remove it"));
    }
    let mut all = OpenOptions::new();
    let opened = all.read(true).write(true).create(true).truncate(false).open(path);
    let mut file = match opened {
        // Left by another user's process that was ended; to be locked it need only be read.
        Err(error) if error.kind() == io::ErrorKind::PermissionDenied && path.is_file() => File::open(path)?,
        opened => opened?,
    };
    match file.try_lock() {
        Err(TryLockError::WouldBlock) => return Ok(None),
        Err(TryLockError::Error(error)) => return Err(error),
        Ok(()) => {}
    }
    // The one before may have removed it between the opening and the lock: then this is the lock of nothing.
    if !is_at(&file, path) {
        return Ok(None);
    }
    // Words alone: the lock holds without them.
    let _ = file
        .set_len(0)
        .and_then(|()| writeln!(file, "process {}", std::process::id()));
    Ok(Some(file))
}

/// Whether an open file is the one at this path.
fn is_at(file: &File, path: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let (Ok(held), Ok(named)) = (file.metadata(), path.symlink_metadata()) else {
            return false;
        };
        (held.dev(), held.ino()) == (named.dev(), named.ino())
    }
    #[cfg(not(unix))]
    {
        let _ = file;
        path.is_file()
    }
}

/// Who holds the lock and since when, as far as can be told.
fn holder(path: &Path) -> String {
    let mut words = String::new();
    let read = File::open(path).and_then(|file| file.take(MOST_WORDS).read_to_string(&mut words));
    let who = match read {
        Ok(_) if !words.trim().is_empty() => words.trim().to_owned(),
        _ => "another process".to_owned(),
    };
    let since = path.symlink_metadata().and_then(|data| data.modified()).ok();
    match since.and_then(|then| then.elapsed().ok()) {
        Some(age) => format!("{who} for {} seconds", age.as_secs()),
        None => who,
    }
}
