//! The job file and the draft beside it, each written whole or not at all.

use std::ffi::OsString;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use anyhow::Context;
use tempfile::NamedTempFile;

/// Where a survey is kept.
pub(super) struct Store {
    job: PathBuf,
    draft: PathBuf,
    force: bool,
}

impl Store {
    /// The job file's place; `force` lets it replace a finished one.
    pub(super) fn new(job: PathBuf, force: bool) -> Self {
        let mut draft = OsString::from(&job);
        draft.push(".draft");
        Self {
            job,
            draft: PathBuf::from(draft),
            force,
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
        match std::fs::read_to_string(&self.draft) {
            Ok(text) => Ok(Some(text)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error).with_context(|| format!("Cannot read {}", self.draft_name())),
        }
    }

    /// Keeps the draft in place of the one before.
    pub(super) fn keep_draft(&self, text: &str) -> anyhow::Result<()> {
        let persist = |file: NamedTempFile| file.persist(&self.draft).map(drop).map_err(|error| error.error);
        write_beside(&self.draft, text)
            .and_then(persist)
            .with_context(|| format!("Cannot write {}", self.draft_name()))
    }

    /// Writes the job file, then removes the draft. Returns the file's name, as to type it in a shell.
    pub(super) fn write_job(&self, text: &str) -> anyhow::Result<String> {
        let persist = |file: NamedTempFile| {
            file.as_file().sync_all()?;
            if self.force {
                file.persist(&self.job).map(drop).map_err(|error| error.error)
            } else {
                file.persist_noclobber(&self.job).map(drop).map_err(|error| error.error)
            }
        };
        write_beside(&self.job, text).and_then(persist).with_context(|| {
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

/// A temporary file in the same folder with this text.
fn write_beside(path: &Path, text: &str) -> io::Result<NamedTempFile> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".bonewright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any other file that a program makes: the user's mask decides.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    Ok(file)
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
