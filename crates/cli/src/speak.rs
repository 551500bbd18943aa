//! The one place that writes to the terminal. A closed pipe ends output quietly; it is no error.

use crate::failure::Failure;
use std::fmt::Display;
use std::io::{ErrorKind, Write};

/// Results, to standard output.
///
/// # Errors
/// [`Failure::File`] if standard output cannot be written, as with a full disk.
pub fn result(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Failure::file(
            "the result could not be written to standard output",
            error,
        )),
        _ => Ok(()),
    }
}

/// A warning or an error, to standard error.
pub fn error(text: &str) {
    // If even standard error is closed, there is no one left to tell.
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// Why a command stops, unless that is told already.
pub fn failure(failure: &Failure) {
    match failure {
        Failure::Job | Failure::Refused => {}
        Failure::Use(text) => error(&format!("error: {text}")),
        Failure::File(why) => error(&format!("error: {why:#}")),
    }
}

/// A plan that is sound but cannot be drawn as it is; told here.
pub fn undrawn(why: impl Display) -> Failure {
    error(&format!("error: {why}. Nothing was written."));
    Failure::Job
}

/// `1 problem`, `2 problems`.
pub fn count(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}
