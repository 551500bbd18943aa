//! `bonewright check`: the whole survey at once, and whether it can be planned.

use crate::failure::Failure;
use crate::source::{self, JobArgs};
use crate::{files, speak};
use clap::Args;
use machining::PartKind;

/// Check a job file: every problem at once, with its line and how to mend it
///
/// JOB may be - for standard input.
#[derive(Args)]
pub struct Check {
    #[command(flatten)]
    job: JobArgs,
}

/// # Errors
/// As [`source::planned`].
pub fn run(args: &Check) -> Result<(), Failure> {
    let done = source::planned(&args.job)?;
    if !source::may_be_made(&args.job.path, &done.planned, &PartKind::ALL) {
        return Err(Failure::Job);
    }
    let (job, warnings) = (&done.planned.job, done.warnings);
    let strings = job.instrument.strings.len();
    let several = match job.split.len() {
        0 if job.saddle_stays() => ", the saddle stays".to_owned(),
        0 => String::new(),
        several => format!(" on {several} saddles"),
    };
    let mut text = format!(
        "{}: in order, {}{several}",
        files::shown(&args.job.path),
        speak::count(strings, "string")
    );
    if warnings > 0 {
        text += &format!(", {}", speak::count(warnings, "warning"));
    }
    let first = report::first_words(&done.planned, &PartKind::ALL, job.bench);
    let unchecked = report::unchecked_words(&done.planned, job.bench);
    speak::result(&format!("{text}.\n{first}{unchecked}"))
}
