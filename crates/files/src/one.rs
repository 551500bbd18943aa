//! One file, written whole or not at all.

use crate::disk::standing;
use crate::{Disk, Replace};
use std::hash::{BuildHasher, Hasher, RandomState};
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// Beginning of the name that a file has while it is written.
pub(crate) const UNFINISHED: &str = ".bonewright-";
/// Letters and digits behind it.
const LETTERS: usize = 6;
/// What nobody holds and is older than this was left by a run that ended.
pub(crate) const LEFT_OVER: Duration = Duration::from_secs(60);
/// Names tried before giving up.
const MOST_TRIES: u32 = 100;

/// Writes a file whole or not at all, in a folder that is there: beside its place first, forced to the disk, then renamed. A file
/// that stood there before leaves its permissions to the new one. Who changes what another may change too holds the folder's lock.
///
/// # Errors
/// If something stands there and is not to be replaced, or the disk refuses. Then the old file stands, or, where only the last
/// forcing of the name to the disk failed, the new one.
pub fn write_file(disk: &dyn Disk, path: &Path, content: &[u8], replace: Replace) -> io::Result<()> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let beside = staged(disk, folder, content)?;
    let moved = || match replace {
        Replace::No => disk.place(&beside, path),
        Replace::Yes => {
            if standing(path)?.is_some_and(|data| data.is_file()) {
                disk.copy_mode(path, &beside)?;
            }
            disk.replace(&beside, path)
        }
    };
    if let Err(error) = moved() {
        let _ = disk.remove(&beside);
        return Err(error);
    }
    disk.sync_folder(folder)
}

/// The content in a file of its own in this folder.
fn staged(disk: &dyn Disk, folder: &Path, content: &[u8]) -> io::Result<PathBuf> {
    for _ in 0..MOST_TRIES {
        let path = folder.join(format!("{UNFINISHED}{}", letters()));
        match disk.write_new(&path, content) {
            Ok(()) => return Ok(path),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => {
                let _ = disk.remove(&path);
                return Err(error);
            }
        }
    }
    Err(io::Error::other("too many unfinished files lie in this folder"))
}

/// Letters and digits that no other file has.
fn letters() -> String {
    // Each such state is seeded by the system anew.
    let mut number = RandomState::new().build_hasher().finish();
    let mut one = || {
        let digit = u32::try_from(number % 36).unwrap_or(0);
        number /= 36;
        char::from_digit(digit, 36).unwrap_or('0')
    };
    (0..LETTERS).map(|_| one()).collect()
}

/// Whether a file was left by a run that was ended while it wrote it.
pub(crate) fn is_unfinished(name: &str, path: &Path) -> bool {
    let end = name.strip_prefix(UNFINISHED).unwrap_or_default();
    let plain = path.symlink_metadata().is_ok_and(|data| data.is_file());
    end.len() == LETTERS && end.chars().all(|c| c.is_ascii_alphanumeric()) && plain && is_old(path)
}

/// Whether what is there has not been changed for longer than [`LEFT_OVER`].
pub(crate) fn is_old(path: &Path) -> bool {
    let changed = path.symlink_metadata().and_then(|data| data.modified());
    changed.is_ok_and(|then| SystemTime::now().duration_since(then).is_ok_and(|age| age > LEFT_OVER))
}
