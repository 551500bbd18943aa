//! How a command can fail, and the exit codes.

use std::fmt;

/// The exit codes, as `--help` shows them.
pub const EXIT_CODES: &str = "\
Exit codes:
  0  all in order (there may be warnings)
  1  the job or a profile has problems, or cannot be planned or drawn as it is
  2  wrong use of the command
  3  a file could not be read or written, or would have been overwritten
  4  a program for a machine is not in order or cannot be made; none was written";

/// Why a command stops.
#[derive(Debug)]
pub enum Failure {
    /// Problems of the job or a profile; they are told already.
    Job,
    /// Wrong use that clap cannot see.
    Use(String),
    /// A file could not be read or written.
    File(anyhow::Error),
    /// A program for a machine is not in order; what is wrong is told already.
    Refused,
}

impl Failure {
    /// A file that could not be read or written: what was tried, and why it failed.
    pub fn file(what: impl fmt::Display, why: impl Into<anyhow::Error>) -> Self {
        Self::File(why.into().context(what.to_string()))
    }

    /// The exit code.
    pub fn code(&self) -> u8 {
        match self {
            Self::Job => 1,
            Self::Use(_) => 2,
            Self::File(_) => 3,
            Self::Refused => 4,
        }
    }
}

/// A result that could not be put into words for other programs.
pub fn unwritten(error: impl std::fmt::Display) -> Failure {
    Failure::file("the result could not be written", anyhow::anyhow!("{error}"))
}
