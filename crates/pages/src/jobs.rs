//! Where jobs are kept, as the pages see it: the same on a disk, in memory, or in a browser.

use std::fmt;
use std::io;
use std::time::SystemTime;

pub use job::OWN_PROFILES;
use numerics::ContentMark;
use thiserror::Error;

use crate::name::JobName;

/// Longest job that is read or kept, bytes.
pub const MOST_BYTES: usize = 200_000;
/// Old versions kept of each job.
pub const KEPT: usize = 300;

/// What a job held when it was read: changes with every change of the text.
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
    /// The job was changed since the page was made.
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
    /// The disk refused, or what stands for one: [`io::Error::other`] holds any other reason.
    #[error("The disk refused: {0}. Nothing is half written: load the page again to see whether the change stands.")]
    Disk(#[from] io::Error),
}

/// Why a file beside the jobs is not shown as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyNot {
    /// Its name is no [`JobName`] with `.toml` behind.
    Name,
    /// It only points to a file.
    Link,
    /// It is a folder, or something else that holds no text.
    NoFile,
}

/// A file beside the jobs that looks like one by its ending, and is not shown as one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Its name, for show: with signs for what cannot be written.
    pub file: String,
    /// Why.
    pub why: WhyNot,
}

/// What tells cheaply that neither a job nor what is kept beside it has changed since.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp(pub String);

/// What an old version of a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Old {
    /// What came before.
    Before,
    /// What was undone, and can be done again.
    Undone,
    /// What was undone before something else was saved.
    Aside,
}

/// An old version of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OldVersion {
    /// What it is.
    pub kind: Old,
    /// Its number among those of its kind; a later one has a higher number.
    pub number: u64,
    /// When it was put away: when the one that took its place was saved, or when it was undone.
    pub when: Option<SystemTime>,
}

impl Old {
    const ALL: [(Self, &'static str); 3] = [
        (Self::Before, "before"),
        (Self::Undone, "undone"),
        (Self::Aside, "aside"),
    ];

    /// As addresses have it.
    #[must_use]
    pub fn key(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(kind, _)| *kind == self)
            .map_or("", |(_, key)| key)
    }

    /// From an address.
    #[must_use]
    pub fn of(key: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, own)| *own == key).map(|(kind, _)| *kind)
    }
}

/// A job in the bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Binned {
    /// What the bin calls it by.
    pub number: u64,
    /// Its name when it was binned.
    pub name: JobName,
    /// When that was.
    pub when: Option<SystemTime>,
}

/// A home of jobs. Each change is made whole or not at all, one at a time, and what a page shows is replaced only if it still
/// stands: two tabs never overwrite each other. `src/contract.rs` of this crate holds as tests what every home must keep to.
pub trait Jobs: fmt::Debug + Send + Sync {
    /// Where the jobs are, for show.
    fn place(&self) -> String;

    /// The time, by the clock of this home.
    fn now(&self) -> SystemTime {
        SystemTime::now()
    }

    /// Names of the jobs, in order.
    fn names(&self) -> Vec<JobName>;

    /// When a job was changed last, where that is known.
    fn touched(&self, name: &JobName) -> Option<SystemTime> {
        let _ = name;
        None
    }

    /// What tells that a job has not changed since; `None` where only reading it tells.
    fn stamp(&self, name: &JobName) -> Option<Stamp> {
        let _ = name;
        None
    }

    /// What is there beside them that looks like a job and is none, in order. A home that takes only jobs has nothing of this kind.
    fn left_out(&self) -> Vec<LeftOut> {
        Vec::new()
    }

    /// The text of a job, at most [`MOST_BYTES`] long.
    ///
    /// # Errors
    /// [`StoreError::Missing`], [`StoreError::NoJob`], or the disk.
    fn read(&self, name: &JobName) -> Result<String, StoreError>;

    /// Begins a job. Names that differ in capitals alone are the same.
    ///
    /// # Errors
    /// [`StoreError::Exists`], or the disk.
    fn create(&self, name: &JobName, text: &str) -> Result<(), StoreError>;

    /// Replaces the text of a job if it is still of the version given; keeps the old text, the last [`KEPT`] of them.
    ///
    /// # Errors
    /// [`StoreError::Missing`], [`StoreError::Changed`], [`StoreError::NoJob`] for a text that is too long, or the disk.
    fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError>;

    /// Goes back to the version before.
    ///
    /// # Errors
    /// [`StoreError::Missing`], [`StoreError::Nothing`], [`StoreError::Changed`], or the disk.
    fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError>;

    /// Takes an undo back, unless something was saved since.
    ///
    /// # Errors
    /// As [`Jobs::undo`].
    fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError>;

    /// Whether there is something to undo, and something to do again.
    fn steps(&self, name: &JobName) -> (bool, bool);

    /// Gives a job that is still of the version given another name and another text, both or neither; all that is kept of it goes along.
    /// Names that differ in capitals alone are the same, but a job's own name may get others.
    ///
    /// # Errors
    /// As [`Jobs::save`], or [`StoreError::Exists`].
    fn rename(&self, name: &JobName, from: &Version, to: &JobName, text: &str) -> Result<Version, StoreError>;

    /// Puts a job with all that is kept of it into the bin, whence it comes back whole: its number there.
    ///
    /// # Errors
    /// [`StoreError::Missing`], or the disk.
    fn bin(&self, name: &JobName) -> Result<u64, StoreError>;

    /// What is in the bin, the last first.
    fn binned(&self) -> Vec<Binned>;

    /// The text of a job in the bin.
    ///
    /// # Errors
    /// As [`Jobs::read`].
    fn read_binned(&self, number: u64) -> Result<String, StoreError>;

    /// Takes a job with all that was kept of it out of the bin.
    ///
    /// # Errors
    /// [`StoreError::Missing`], [`StoreError::Exists`] where the name is taken, or the disk.
    fn unbin(&self, number: u64, to: &JobName) -> Result<(), StoreError>;

    /// The old versions of a job: what can be done again, what came before, what was put aside; of each the last first.
    fn versions(&self, name: &JobName) -> Vec<OldVersion>;

    /// The text of an old version.
    ///
    /// # Errors
    /// As [`Jobs::read`].
    fn read_version(&self, name: &JobName, kind: Old, number: u64) -> Result<String, StoreError>;

    /// The text of [`OWN_PROFILES`]; empty if there is none yet.
    ///
    /// # Errors
    /// [`StoreError::NoJob`] for what is no text, or too long, or the disk.
    fn read_profiles(&self) -> Result<String, StoreError>;

    /// Replaces the text of [`OWN_PROFILES`] if it is still of the version given, which of none is that of the empty text.
    ///
    /// # Errors
    /// [`StoreError::Changed`], [`StoreError::NoJob`] for a text that is too long, or the disk.
    fn save_profiles(&self, from: &Version, text: &str) -> Result<Version, StoreError>;

    /// What is kept beside a job, no part of it: empty if there is nothing yet, or nothing readable.
    fn read_beside(&self, name: &JobName) -> String;

    /// Changes what is kept beside a job; `change` is given what is there now.
    ///
    /// # Errors
    /// The disk.
    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError>;
}
