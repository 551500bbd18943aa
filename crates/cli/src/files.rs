//! Reading texts, and writing files whole or not at all.

use crate::failure::Failure;
use crate::stop;
use ::files::{RealDisk, Replace, VersionError, change_file, recover, write_set};
use anyhow::anyhow;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// Largest text that is read, bytes. A job file has a few thousand; more is some other file named by mistake.
const MOST_BYTES: u64 = 1 << 20;

/// The text of a file, or of standard input for `-`.
///
/// # Errors
/// [`Failure::File`] if it cannot be read, is no text, or is far too long.
pub fn read(path: &Path) -> Result<String, Failure> {
    let name = shown(path);
    let what = || format!("{name} could not be read");
    let mut bytes = Vec::new();
    let taken = if is_stdin(path) {
        std::io::stdin().lock().take(MOST_BYTES + 1).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
    };
    let read = taken.map_err(|error| Failure::file(what(), error))?;
    if u64::try_from(read).unwrap_or(u64::MAX) > MOST_BYTES {
        return Err(Failure::file(
            what(),
            anyhow!("it is longer than 1 MB, so it is no job file or profile"),
        ));
    }
    String::from_utf8(bytes)
        .map_err(|_| Failure::file(what(), anyhow!("it is not UTF-8 text; save it as plain text in UTF-8")))
}

/// Whether a path stands for standard input.
pub fn is_stdin(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// A path for messages.
pub fn shown(path: &Path) -> String {
    if is_stdin(path) {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    }
}

pub use ::files::NewFile;

/// Writes all files into a folder, which is made if it is not there: all of them, or none (`files::write_set`).
///
/// # Errors
/// [`Failure::File`] if a file is there already and `force` is false, or if the disk refuses.
pub fn write_all(folder: &Path, files: &[NewFile], force: bool) -> Result<(), Failure> {
    if !force {
        // First what a run that was ended left: its files do not stand in the way.
        if folder.is_dir() {
            stop::held_off(|_| recover(&RealDisk, folder))
                .map_err(|error| Failure::file(format!("nothing can be written into {}", folder.display()), error))?;
        }
        refuse_overwriting(folder, files)?;
    }
    std::fs::create_dir_all(folder)
        .map_err(|error| Failure::file(format!("the folder {} could not be made", folder.display()), error))?;
    let replace = if force { Replace::Yes } else { Replace::No };
    stop::held_off(|stop| write_set(&RealDisk, folder, files, replace, stop))
        .map_err(|error| Failure::File(anyhow!(error)))
}

/// What stands in a file's place; none if nothing does.
///
/// # Errors
/// If the disk refuses.
pub fn seen(path: &Path) -> io::Result<Option<Vec<u8>>> {
    match std::fs::read(path) {
        Ok(content) => Ok(Some(content)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Writes a text whole or not at all, as a new file or in place of what was [`seen`] there, if that still stands.
///
/// # Errors
/// [`VersionError`].
pub fn change(path: &Path, was: Option<&[u8]>, text: &str) -> Result<(), VersionError> {
    let changed = stop::held_off(|_| change_file(Box::new(RealDisk), path, was, text));
    stop::end_if_told();
    changed
}

fn refuse_overwriting(folder: &Path, files: &[NewFile]) -> Result<(), Failure> {
    let there: Vec<String> = files
        .iter()
        .map(|file| folder.join(&file.name))
        .filter(|path| path.symlink_metadata().is_ok())
        .map(|path| format!("  {}", path.display()))
        .collect();
    if there.is_empty() {
        return Ok(());
    }
    Err(Failure::File(anyhow!(
        "nothing was written, because these would be overwritten:\n{}\nChoose another folder with --out, or add --force to replace them.",
        there.join("\n")
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(names: &[&str]) -> Vec<NewFile> {
        let file = |name: &&str| NewFile {
            name: (*name).to_owned(),
            content: name.as_bytes().to_vec(),
        };
        names.iter().map(file).collect()
    }

    #[test]
    fn nothing_is_overwritten_and_nothing_is_left_over() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("a/b");
        write_all(&out, &files(&["one", "two"]), false).unwrap();
        std::fs::write(out.join("two"), "mine").unwrap();
        let refused = write_all(&out, &files(&["two", "three"]), false).unwrap_err();
        assert_eq!(refused.code(), 3);
        assert_eq!(std::fs::read_to_string(out.join("two")).unwrap(), "mine");
        let left = || {
            let mut names: Vec<String> = std::fs::read_dir(&out)
                .unwrap()
                .map(|entry| entry.unwrap().file_name().into_string().unwrap())
                .collect();
            names.sort();
            names
        };
        assert_eq!(left(), ["one", "two"]);
        write_all(&out, &files(&["two", "three"]), true).unwrap();
        assert_eq!(std::fs::read_to_string(out.join("two")).unwrap(), "two");
        assert_eq!(left(), ["one", "three", "two"]);
        // A folder stands where a file should go: the set fails, and its other file is not left behind.
        std::fs::create_dir(out.join("six")).unwrap();
        assert!(write_all(&out, &files(&["five", "six"]), false).is_err());
        assert_eq!(left(), ["one", "six", "three", "two"]);
    }

    /// Killed in the swap, a run leaves its own new file and has moved the old one away: the next one puts that right before it looks
    /// what stands there.
    #[test]
    fn what_a_kill_left_does_not_stand_in_the_way() {
        let folder = tempfile::tempdir().unwrap();
        let (out, hidden) = (folder.path(), folder.path().join(".bonewright-set-1-0"));
        for part in ["new", "old", "fresh"] {
            std::fs::create_dir_all(hidden.join(part)).unwrap();
        }
        for (path, text) in [
            ("owner", "1"),
            ("swap", ""),
            ("old/two", "mine"),
            ("fresh/one", ""),
            ("../one", "half"),
            ("../two", "half"),
        ] {
            std::fs::write(hidden.join(path), text).unwrap();
        }
        assert_eq!(write_all(out, &files(&["two"]), false).unwrap_err().code(), 3);
        assert_eq!(std::fs::read_to_string(out.join("two")).unwrap(), "mine");
        assert!(!out.join("one").exists() && !hidden.exists());
        write_all(out, &files(&["one"]), false).unwrap();
    }

    #[test]
    fn what_is_no_text_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x");
        std::fs::write(&path, [0xff, 0xfe, 0x00]).unwrap();
        assert_eq!(read(&path).unwrap_err().code(), 3);
        std::fs::write(&path, vec![b' '; (1 << 20) + 1]).unwrap();
        assert_eq!(read(&path).unwrap_err().code(), 3);
        std::fs::write(&path, vec![b' '; 1 << 20]).unwrap();
        assert_eq!(read(&path).unwrap().len(), 1 << 20);
    }
}
