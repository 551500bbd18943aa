//! The jobs of one folder on disk: read, saved whole or not at all, old versions kept.
//!
//! `FOLDER/NAME.toml` is the job, the same file that the command line reads. `FOLDER/.bonewright/NAME/` holds what came
//! before (`old-000001.toml` and on), what was undone (`undone-...`), and `beside.toml`: ticks and the like. A file is
//! written beside its place, forced to the disk, then renamed, so that a crash leaves the old one or the new one.

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use pages::{JobName, Jobs, KEPT, MOST_BYTES, StoreError, Version};
use tempfile::Builder;

/// Folder for what is kept beside the jobs.
const HIDDEN: &str = ".bonewright";
/// Beginning of the name of a file that is being written.
const UNFINISHED: &str = ".unfinished-";

/// The folder of jobs.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    /// One save at a time.
    saving: Mutex<()>,
}

impl Folder {
    /// Opens a folder, which must exist, and clears what a crash left half written.
    ///
    /// # Errors
    /// If the folder cannot be listed.
    pub fn open(folder: &Path) -> io::Result<Self> {
        let folder = folder.canonicalize()?;
        fs::read_dir(&folder)?;
        let store = Self {
            path: folder,
            saving: Mutex::new(()),
        };
        for name in store.names() {
            for entry in fs::read_dir(store.beside(&name)).into_iter().flatten().flatten() {
                if entry.file_name().to_string_lossy().starts_with(UNFINISHED) {
                    let _ = fs::remove_file(entry.path());
                }
            }
        }
        Ok(store)
    }

    fn lock(&self) -> MutexGuard<'_, ()> {
        self.saving.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn job(&self, name: &JobName) -> PathBuf {
        self.path.join(name.file())
    }

    fn beside(&self, name: &JobName) -> PathBuf {
        self.path.join(HIDDEN).join(name.as_str())
    }

    fn step(&self, name: &JobName, from: &Version, take: &str, keep: &str) -> Result<(), StoreError> {
        let _saving = self.lock();
        let now = self.read(name)?;
        if Version::of(&now) != *from {
            return Err(StoreError::Changed);
        }
        // A crash between keeping and replacing leaves a copy of the present text: pass over it.
        for (_, path) in self.kept(name, take).into_iter().rev() {
            let text = read(&path)?;
            if text != now {
                self.keep(name, keep, &now)?;
                self.write(name, &self.job(name), &text)?;
                fs::remove_file(path)?;
                return Ok(());
            }
            fs::remove_file(path)?;
        }
        Err(StoreError::Nothing)
    }

    /// Numbered files of a kind, oldest first.
    fn kept(&self, name: &JobName, prefix: &str) -> Vec<(u64, PathBuf)> {
        let entries = fs::read_dir(self.beside(name)).into_iter().flatten().flatten();
        let number = |entry: &fs::DirEntry| -> Option<u64> {
            let file = entry.file_name();
            file.to_str()?.strip_prefix(prefix)?.strip_suffix(".toml")?.parse().ok()
        };
        let mut found: Vec<(u64, PathBuf)> = entries
            .filter_map(|entry| Some((number(&entry)?, entry.path())))
            .collect();
        found.sort();
        found
    }

    fn keep(&self, name: &JobName, prefix: &str, text: &str) -> Result<(), StoreError> {
        let next = self
            .kept(name, prefix)
            .last()
            .map_or(1, |(number, _)| number.saturating_add(1));
        let path = self.beside(name).join(format!("{prefix}{next:06}.toml"));
        self.write(name, &path, text)
    }

    /// Writes a file whole or not at all.
    fn write(&self, name: &JobName, path: &Path, text: &str) -> Result<(), StoreError> {
        let staging = self.beside(name);
        fs::create_dir_all(&staging)?;
        let mut builder = Builder::new();
        builder.prefix(UNFINISHED);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let mut file = builder.tempfile_in(&staging)?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(path).map_err(|error| error.error)?;
        // The new name itself must reach the disk too.
        #[cfg(unix)]
        if let Some(folder) = path.parent() {
            File::open(folder)?.sync_all()?;
        }
        Ok(())
    }
}

impl Jobs for Folder {
    fn place(&self) -> String {
        self.path.display().to_string()
    }

    /// Files whose names are no job names are left out.
    fn names(&self) -> Vec<JobName> {
        let entries = fs::read_dir(&self.path).into_iter().flatten().flatten();
        let mut names: Vec<JobName> = entries
            .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()))
            .filter_map(|entry| JobName::parse(entry.file_name().to_str()?.strip_suffix(".toml")?))
            .collect();
        names.sort();
        names
    }

    fn read(&self, name: &JobName) -> Result<String, StoreError> {
        read(&self.job(name))
    }

    fn create(&self, name: &JobName, text: &str) -> Result<(), StoreError> {
        let _saving = self.lock();
        let there = self
            .names()
            .iter()
            .any(|other| other.as_str().eq_ignore_ascii_case(name.as_str()));
        if there || self.job(name).symlink_metadata().is_ok() {
            return Err(StoreError::Exists);
        }
        self.write(name, &self.job(name), text)
    }

    fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError> {
        let _saving = self.lock();
        let old = self.read(name)?;
        if Version::of(&old) != *from {
            return Err(StoreError::Changed);
        }
        if old != text {
            if text.len() > MOST_BYTES {
                return Err(StoreError::NoJob);
            }
            self.keep(name, "old-", &old)?;
            self.write(name, &self.job(name), text)?;
            for (_, undone) in self.kept(name, "undone-") {
                fs::remove_file(undone)?;
            }
            let old = self.kept(name, "old-");
            for (_, path) in old.iter().take(old.len().saturating_sub(KEPT)) {
                let _ = fs::remove_file(path);
            }
        }
        Ok(Version::of(text))
    }

    fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.step(name, from, "old-", "undone-")
    }

    fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.step(name, from, "undone-", "old-")
    }

    fn steps(&self, name: &JobName) -> (bool, bool) {
        let any = |prefix| !self.kept(name, prefix).is_empty();
        (any("old-"), any("undone-"))
    }

    fn read_beside(&self, name: &JobName) -> String {
        read(&self.beside(name).join("beside.toml")).unwrap_or_default()
    }

    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError> {
        let _saving = self.lock();
        let old = self.read_beside(name);
        let new = change(&old);
        if old == new {
            return Ok(());
        }
        self.write(name, &self.beside(name).join("beside.toml"), &new)
    }
}

/// A plain file of reasonable length; nothing is read through a link.
fn read(path: &Path) -> Result<String, StoreError> {
    match path.symlink_metadata() {
        Ok(about) if about.is_file() => {}
        _ => return Err(StoreError::Missing),
    }
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() > MOST_BYTES {
        return Err(StoreError::NoJob);
    }
    String::from_utf8(bytes).map_err(|_| StoreError::NoJob)
}

#[cfg(test)]
#[path = "../../pages/src/contract.rs"]
mod contract;

#[cfg(test)]
mod tests {
    use super::*;

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    #[test]
    fn a_folder_keeps_the_contract() {
        for holds in contract::ALL {
            let folder = tempfile::tempdir().unwrap();
            holds(&Folder::open(folder.path()).unwrap());
        }
    }

    #[test]
    fn old_versions_are_cleared_from_the_disk() {
        let folder = tempfile::tempdir().unwrap();
        let store = Folder::open(folder.path()).unwrap();
        let a = name("a");
        store.create(&a, "0").unwrap();
        for i in 0..KEPT + 5 {
            store
                .save(&a, &Version::of(&i.to_string()), &(i + 1).to_string())
                .unwrap();
        }
        assert_eq!(store.kept(&a, "old-").len(), KEPT);
    }

    #[test]
    fn half_written_files_are_cleared_and_links_are_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let store = Folder::open(folder.path()).unwrap();
        store.create(&name("a"), "one").unwrap();
        let half = folder.path().join(".bonewright/a/.unfinished-x");
        fs::write(&half, "half").unwrap();
        let store = Folder::open(folder.path()).unwrap();
        assert!(!half.exists());
        #[cfg(unix)]
        {
            let outside = tempfile::NamedTempFile::new().unwrap();
            std::os::unix::fs::symlink(outside.path(), folder.path().join("link.toml")).unwrap();
            assert!(matches!(store.read(&name("link")), Err(StoreError::Missing)));
            assert!(!store.names().contains(&name("link")));
        }
        fs::write(folder.path().join("long.toml"), vec![b' '; MOST_BYTES + 1]).unwrap();
        assert!(matches!(store.read(&name("long")), Err(StoreError::NoJob)));
    }
}
