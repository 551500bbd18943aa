//! A set of files swapped in as one thing.
//!
//! Beside the files stands a hidden folder while they are written:
//!
//! ```text
//! .bonewright-set-PID-N/
//!     owner        locked while the run lives
//!     new/NAME     written and forced to the disk first
//!     swap         there while files change places: its removal is what makes the new set stand
//!     old/NAME     what stood under this name before
//!     fresh/NAME   nothing stood under this name before
//! ```

use crate::disk::{names_in, same_file, standing};
use crate::lock::{LockError, lock_folder};
use crate::one::{is_old, is_unfinished};
use crate::{Disk, Replace};
use std::fs::{File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Beginning of the hidden folder's name.
const HIDDEN: &str = ".bonewright-set-";
/// Hidden folders tried before giving up: each run takes the first number that is free.
const MOST_TRIES: u32 = 1000;

/// A file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewFile {
    /// Name without folder.
    pub name: String,
    /// Content.
    pub content: Vec<u8>,
}

impl From<(String, Vec<u8>)> for NewFile {
    fn from((name, content): (String, Vec<u8>)) -> Self {
        Self { name, content }
    }
}

/// Why a set was not written.
#[derive(Debug, Error)]
pub enum SetError {
    /// Nothing was changed, or all was put back.
    #[error("{} could not be written: {why}. All that stood there before stands there still", at.display())]
    Unwritten {
        /// The file.
        at: PathBuf,
        /// The disk's reason.
        why: io::Error,
    },
    /// The folder could not be locked, so nothing was begun.
    #[error("nothing was written: {0}")]
    Lock(#[from] LockError),
    /// It was told to stop before the new files stood.
    #[error("stopped: nothing was written, and all that stood in {} before stands there still", folder.display())]
    Stopped {
        /// The folder.
        folder: PathBuf,
    },
    /// It failed, and putting back failed too.
    #[error(
        "{} could not be written: {why}. What stood there before could not be put back either ({again}): it lies in {}, and the next run \
         in this folder puts it back",
        at.display(),
        kept.display()
    )]
    Mixed {
        /// The file.
        at: PathBuf,
        /// The disk's reason.
        why: io::Error,
        /// Its reason when the old files were to be put back.
        again: io::Error,
        /// Folder that holds the old files.
        kept: PathBuf,
    },
}

/// Writes a set of files into `folder`, which is there: all of them, or none. What an earlier run left half done is put right first.
/// `stop` is asked between the files; once it says so, all is put back. The folder is locked meanwhile ([`lock_folder`]).
///
/// # Errors
/// [`SetError`] if a name is taken and may not be replaced, if it was told to stop, or if the disk refuses.
pub fn write_set(
    disk: &dyn Disk,
    folder: &Path,
    files: &[NewFile],
    replace: Replace,
    stop: &dyn Fn() -> bool,
) -> Result<(), SetError> {
    let _lock = lock_folder(folder)?;
    let at_folder = |why| SetError::Unwritten {
        at: folder.to_owned(),
        why,
    };
    recover_locked(disk, folder).map_err(at_folder)?;
    let (hidden, owner) = hidden_folder(disk, folder).map_err(at_folder)?;
    let stopped = || SetError::Stopped {
        folder: folder.to_owned(),
    };
    let staged = stage(disk, &hidden, files, stop);
    let done = staged.and_then(|()| swap(disk, folder, &hidden, files, replace, stop));
    if let Err(failed) = done {
        let put_back = put_back(disk, folder, &hidden);
        let (name, why) = match failed {
            Failed::Stopped if put_back.is_ok() => return Err(stopped()),
            Failed::Stopped => (None, io::Error::other("it was told to stop")),
            Failed::At(name, why) => (name, why),
        };
        let at = name.map_or_else(|| folder.to_owned(), |name| folder.join(name));
        return Err(match put_back {
            Ok(()) => SetError::Unwritten { at, why },
            Err(again) => SetError::Mixed {
                at,
                why,
                again,
                kept: hidden.join("old"),
            },
        });
    }
    // The new set stands. What cannot be cleared away now, the next run clears away.
    drop(owner);
    let _ = disk.remove_folder(&hidden);
    Ok(())
}

/// Puts right what runs that ended in the middle left in `folder`: old sets stand again, and what was being written is gone.
///
/// # Errors
/// If the folder cannot be locked, or the disk refuses.
pub fn recover(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    let _lock = lock_folder(folder)?;
    recover_locked(disk, folder)
}

pub(crate) fn recover_locked(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    for name in names_in(folder)? {
        let (path, text) = (folder.join(&name), name.to_string_lossy());
        if text.starts_with(HIDDEN) {
            if let Some(_held) = Abandoned::of(&path)? {
                put_back(disk, folder, &path)?;
            }
        } else if is_unfinished(&text, &path) {
            // Whoever writes a single file holds the lock that is held here.
            disk.remove(&path)?;
        }
    }
    Ok(())
}

/// A hidden folder whose run has ended, held so that no other run puts it back too.
struct Abandoned {
    _owner: Option<File>,
}

impl Abandoned {
    /// None while the run lives.
    fn of(hidden: &Path) -> io::Result<Option<Self>> {
        let owner = match File::open(hidden.join("owner")) {
            // It was ended between two steps, or another is at that very moment.
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                return Ok(is_old(hidden).then_some(Self { _owner: None }));
            }
            owner => owner?,
        };
        match owner.try_lock() {
            Ok(()) => Ok(Some(Self { _owner: Some(owner) })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// A hidden folder of this run's own, and its lock.
fn hidden_folder(disk: &dyn Disk, folder: &Path) -> io::Result<(PathBuf, File)> {
    for n in 0..MOST_TRIES {
        let hidden = folder.join(format!("{HIDDEN}{}-{n}", std::process::id()));
        match disk.make_folder(&hidden) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
            Ok(()) => {
                let made = (|| {
                    let path = hidden.join("owner");
                    disk.write_new(&path, std::process::id().to_string().as_bytes())?;
                    let owner = File::open(&path)?;
                    owner.lock()?;
                    ["new", "old", "fresh"]
                        .iter()
                        .try_for_each(|part| disk.make_folder(&hidden.join(part)))?;
                    Ok(owner)
                })();
                if made.is_err() {
                    let _ = disk.remove_folder(&hidden);
                }
                return made.map(|owner| (hidden, owner));
            }
        }
    }
    Err(io::Error::other("too many unfinished sets lie in this folder"))
}

/// Why a set was not finished.
enum Failed {
    /// At this file, if at one.
    At(Option<String>, io::Error),
    /// It was told to.
    Stopped,
}

fn go_on(stop: &dyn Fn() -> bool) -> Result<(), Failed> {
    if stop() { Err(Failed::Stopped) } else { Ok(()) }
}

fn stage(disk: &dyn Disk, hidden: &Path, files: &[NewFile], stop: &dyn Fn() -> bool) -> Result<(), Failed> {
    for file in files {
        go_on(stop)?;
        let path = hidden.join("new").join(&file.name);
        disk.write_new(&path, &file.content)
            .map_err(|error| Failed::At(Some(file.name.clone()), error))?;
    }
    disk.sync_folder(&hidden.join("new"))
        .map_err(|error| Failed::At(None, error))
}

fn swap(
    disk: &dyn Disk,
    folder: &Path,
    hidden: &Path,
    files: &[NewFile],
    replace: Replace,
    stop: &dyn Fn() -> bool,
) -> Result<(), Failed> {
    let whole = |error| Failed::At(None, error);
    disk.write_new(&hidden.join("swap"), b"").map_err(whole)?;
    disk.sync_folder(hidden).map_err(whole)?;
    for file in files {
        go_on(stop)?;
        let to = folder.join(&file.name);
        let one = || {
            match standing(&to)?.filter(|_| replace == Replace::Yes) {
                Some(data) if data.is_dir() => return Err(io::ErrorKind::IsADirectory.into()),
                Some(_) => disk.replace(&to, &hidden.join("old").join(&file.name))?,
                None => disk.write_new(&hidden.join("fresh").join(&file.name), b"")?,
            }
            disk.place(&hidden.join("new").join(&file.name), &to)
        };
        one().map_err(|error| Failed::At(Some(file.name.clone()), error))?;
    }
    disk.sync_folder(folder).map_err(whole)?;
    go_on(stop)?;
    match disk.remove(&hidden.join("swap")) {
        // Whatever was said, it is gone, and with it the way back.
        Err(error) if hidden.join("swap").try_exists().unwrap_or(true) => Err(whole(error)),
        _ => Ok(()),
    }
}

/// Undoes a swap that was begun and not ended, and clears the hidden folder away.
fn put_back(disk: &dyn Disk, folder: &Path, hidden: &Path) -> io::Result<()> {
    if hidden.join("swap").try_exists()? {
        let (new, old, fresh) = (hidden.join("new"), hidden.join("old"), hidden.join("fresh"));
        for name in names_in(&fresh)? {
            // Once it is no longer here it stands in its place; a crash may have come between its two names.
            if !new.join(&name).try_exists()? || same_file(&new.join(&name), &folder.join(&name))? {
                match disk.remove(&folder.join(&name)) {
                    Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                    _ => {}
                }
            }
        }
        for name in names_in(&old)? {
            disk.replace(&old.join(&name), &folder.join(&name))?;
        }
        disk.sync_folder(folder)?;
        disk.remove(&hidden.join("swap"))?;
    }
    disk.remove_folder(hidden)
}
