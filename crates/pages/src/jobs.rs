//! Where jobs are kept, as the pages see it: the same on a disk, in memory, or in a browser.

use std::fmt;
use std::io;
use std::time::SystemTime;

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

/// A home of jobs. Each change is made whole or not at all, one at a time, and what a page shows is replaced only if it still
/// stands: two tabs never overwrite each other. `src/contract.rs` of this crate holds as tests what every home must keep to.
pub trait Jobs: fmt::Debug + Send + Sync {
    /// Where the jobs are, for show.
    fn place(&self) -> String;

    /// Names of the jobs, in order.
    fn names(&self) -> Vec<JobName>;

    /// When a job was changed last, where that is known.
    fn touched(&self, name: &JobName) -> Option<SystemTime> {
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

    /// What is kept beside a job, no part of it: empty if there is nothing yet, or nothing readable.
    fn read_beside(&self, name: &JobName) -> String;

    /// Changes what is kept beside a job; `change` is given what is there now.
    ///
    /// # Errors
    /// The disk.
    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError>;
}
