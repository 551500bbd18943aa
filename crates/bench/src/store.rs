//! The jobs of one folder on disk: read, saved whole or not at all, old versions kept.
//!
//! `FOLDER/NAME.toml` is the job, the same file that the command line reads. `FOLDER/.bonewright/NAME/` holds what came
//! before (`old-000001.toml` and on), what was undone (`undone-...`), and `beside.toml`: ticks and the like. A file is
//! written beside its place, forced to the disk, then renamed, so that a crash leaves the old one or the new one.

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use numerics::ContentMark;
use tempfile::Builder;
use thiserror::Error;

use crate::name::JobName;

/// Folder for what is kept beside the jobs.
const HIDDEN: &str = ".bonewright";
/// Largest job file that is read or kept, bytes.
pub const MOST_BYTES: usize = 200_000;
/// Old versions kept of each job.
const KEPT: usize = 300;
/// Beginning of the name of a file that is being written.
const UNFINISHED: &str = ".unfinished-";

/// What a job file held when it was read: changes with every change of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version(String);

impl Version {
    /// The version of a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        Self(ContentMark::of(text).to_string())
    }

    /// As it is written into pages.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Why a job cannot be read or saved.
#[derive(Debug, Error)]
pub enum StoreError {
    /// No job of this name.
    #[error("There is no job of this name in the folder.")]
    Missing,
    /// A job of this name is there already.
    #[error("There is a job of this name already. Choose another name.")]
    Exists,
    /// The file was changed since the page was made.
    #[error(
        "This job was changed elsewhere, in another tab or by hand, after this page was opened. Nothing was saved. Load the page again to see the job as it is now, then make your change."
    )]
    Changed,
    /// There is nothing to undo or to do again.
    #[error("There is nothing to go back to.")]
    Nothing,
    /// Too long, or no text.
    #[error("The file is no plain text, or longer than 200 kB, so it is no job file.")]
    NoJob,
    /// The disk refused.
    #[error("The disk refused: {0}. Nothing was changed.")]
    Disk(#[from] io::Error),
}

/// The folder of jobs.
#[derive(Debug)]
pub struct Store {
    folder: PathBuf,
    /// One save at a time.
    saving: Mutex<()>,
}

impl Store {
    /// Opens a folder, which must exist, and clears what a crash left half written.
    ///
    /// # Errors
    /// If the folder cannot be listed.
    pub fn open(folder: &Path) -> io::Result<Self> {
        let folder = folder.canonicalize()?;
        fs::read_dir(&folder)?;
        let store = Self {
            folder,
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

    /// The folder, for show.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    fn lock(&self) -> MutexGuard<'_, ()> {
        self.saving.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn path(&self, name: &JobName) -> PathBuf {
        self.folder.join(name.file())
    }

    fn beside(&self, name: &JobName) -> PathBuf {
        self.folder.join(HIDDEN).join(name.as_str())
    }

    /// Names of the jobs, in order. Files whose names are no job names are left out.
    #[must_use]
    pub fn names(&self) -> Vec<JobName> {
        let entries = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let mut names: Vec<JobName> = entries
            .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()))
            .filter_map(|entry| JobName::parse(entry.file_name().to_str()?.strip_suffix(".toml")?))
            .collect();
        names.sort();
        names
    }

    /// The text of a job.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn read(&self, name: &JobName) -> Result<String, StoreError> {
        read(&self.path(name))
    }

    /// Begins a job.
    ///
    /// # Errors
    /// [`StoreError::Exists`], or the disk.
    pub fn create(&self, name: &JobName, text: &str) -> Result<(), StoreError> {
        let _saving = self.lock();
        let there = self
            .names()
            .iter()
            .any(|other| other.as_str().eq_ignore_ascii_case(name.as_str()));
        if there || self.path(name).symlink_metadata().is_ok() {
            return Err(StoreError::Exists);
        }
        self.write(name, &self.path(name), text)
    }

    /// Replaces the text of a job if it is still of the version given; keeps the old text.
    ///
    /// # Errors
    /// [`StoreError::Changed`], or the disk.
    pub fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError> {
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
            self.write(name, &self.path(name), text)?;
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

    /// Goes back to the version before.
    ///
    /// # Errors
    /// [`StoreError::Nothing`], [`StoreError::Changed`], or the disk.
    pub fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.step(name, from, "old-", "undone-")
    }

    /// Takes an undo back.
    ///
    /// # Errors
    /// As [`Store::undo`].
    pub fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.step(name, from, "undone-", "old-")
    }

    /// Whether there is something to undo, and something to do again.
    #[must_use]
    pub fn steps(&self, name: &JobName) -> (bool, bool) {
        let any = |prefix| !self.kept(name, prefix).is_empty();
        (any("old-"), any("undone-"))
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
                self.write(name, &self.path(name), &text)?;
                fs::remove_file(path)?;
                return Ok(());
            }
            fs::remove_file(path)?;
        }
        Err(StoreError::Nothing)
    }

    /// What is kept beside a job: empty if there is nothing yet, or nothing readable.
    #[must_use]
    pub fn read_beside(&self, name: &JobName) -> String {
        read(&self.beside(name).join("beside.toml")).unwrap_or_default()
    }

    /// Changes what is kept beside a job.
    ///
    /// # Errors
    /// The disk.
    pub fn change_beside(&self, name: &JobName, change: impl FnOnce(&str) -> String) -> Result<(), StoreError> {
        let _saving = self.lock();
        let old = self.read_beside(name);
        let new = change(&old);
        if old == new {
            return Ok(());
        }
        self.write(name, &self.beside(name).join("beside.toml"), &new)
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
mod tests {
    use super::*;

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    #[test]
    fn saved_undone_and_done_again() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path()).unwrap();
        let a = name("a");
        store.create(&a, "one").unwrap();
        assert!(matches!(store.create(&a, "x"), Err(StoreError::Exists)));
        assert!(matches!(store.create(&name("A"), "x"), Err(StoreError::Exists)));
        let two = store.save(&a, &Version::of("one"), "two").unwrap();
        assert!(matches!(
            store.save(&a, &Version::of("one"), "x"),
            Err(StoreError::Changed)
        ));
        let three = store.save(&a, &two, "three").unwrap();
        assert_eq!(store.steps(&a), (true, false));
        store.undo(&a, &three).unwrap();
        assert_eq!(store.read(&a).unwrap(), "two");
        assert_eq!(store.steps(&a), (true, true));
        store.undo(&a, &two).unwrap();
        assert_eq!(store.read(&a).unwrap(), "one");
        let one = Version::of("one");
        assert!(matches!(store.undo(&a, &one), Err(StoreError::Nothing)));
        store.redo(&a, &one).unwrap();
        assert_eq!(store.read(&a).unwrap(), "two");
        store.save(&a, &two, "four").unwrap();
        assert_eq!(
            store.steps(&a),
            (true, false),
            "a new change ends what can be done again"
        );
    }

    #[test]
    fn old_versions_are_kept_up_to_a_number() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path()).unwrap();
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
        let store = Store::open(folder.path()).unwrap();
        store.create(&name("a"), "one").unwrap();
        let half = folder.path().join(".bonewright/a/.unfinished-x");
        fs::write(&half, "half").unwrap();
        let store = Store::open(folder.path()).unwrap();
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
