//! The job file and the draft beside it, each written whole or not at all.

use std::cell::RefCell;
use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use ::files::VersionError;
use anyhow::Context;

use crate::files;

/// Where a survey is kept.
pub(super) struct Store {
    job: PathBuf,
    draft: PathBuf,
    force: bool,
    /// The finished job that is to be replaced, as it stood at the beginning.
    was: Option<Vec<u8>>,
    /// The draft as it was last read or kept here.
    kept: RefCell<Option<String>>,
}

impl Store {
    /// The job file's place; `force` lets it replace a finished one.
    pub(super) fn new(job: PathBuf, force: bool) -> Self {
        let mut draft = OsString::from(&job);
        draft.push(".draft");
        Self {
            // What cannot be read cannot be replaced: that is told when it is tried.
            was: if force { files::seen(&job).ok().flatten() } else { None },
            job,
            draft: PathBuf::from(draft),
            force,
            kept: RefCell::default(),
        }
    }

    pub(super) fn would_replace(&self) -> bool {
        !self.force && self.job.symlink_metadata().is_ok()
    }

    /// The job file's name, as to type it in a shell.
    pub(super) fn job_name(&self) -> String {
        typed(&self.job)
    }

    /// The draft's name.
    pub(super) fn draft_name(&self) -> String {
        typed(&self.draft)
    }

    pub(super) fn has_draft(&self) -> bool {
        self.draft.exists()
    }

    /// The text of the draft, if there is one.
    pub(super) fn draft(&self) -> anyhow::Result<Option<String>> {
        let read = files::seen(&self.draft).map_err(anyhow::Error::from);
        let text = read.and_then(|content| Ok(content.map(String::from_utf8).transpose()?));
        let text = text.with_context(|| format!("Cannot read {}", self.draft_name()))?;
        *self.kept.borrow_mut() = text.clone();
        Ok(text)
    }

    /// Keeps the draft in place of the one before, unless another survey keeps its answers there.
    pub(super) fn keep_draft(&self, text: &str) -> anyhow::Result<()> {
        let mut kept = self.kept.borrow_mut();
        let was = kept.as_deref().filter(|_| self.has_draft());
        files::change(&self.draft, was.map(str::as_bytes), text)
            .map_err(|error| match error {
                VersionError::Exists => VersionError::Changed,
                other => other,
            })
            .with_context(|| format!("Cannot write {}", self.draft_name()))?;
        *kept = Some(text.to_owned());
        Ok(())
    }

    /// Writes the job file, then removes the draft. Returns the file's name, as to type it in a shell.
    pub(super) fn write_job(&self, text: &str) -> anyhow::Result<String> {
        let was = self.was.as_deref();
        files::change(&self.job, was, text).with_context(|| {
            format!(
                "Cannot write {}. Your answers are kept in {}",
                self.job_name(),
                self.draft_name()
            )
        })?;
        match std::fs::remove_file(&self.draft) {
            Err(error) if error.kind() != ErrorKind::NotFound => {
                Err(error).with_context(|| format!("Cannot remove {}", self.draft_name()))
            }
            _ => Ok(self.job_name()),
        }
    }
}

/// A name in quotes where it has a space.
fn typed(path: &Path) -> String {
    let name = path.display().to_string();
    if name.contains(char::is_whitespace) {
        format!("\"{name}\"")
    } else {
        name
    }
}
