//! `bonewright check`: the whole survey at once, and whether it can be planned.

use crate::failure::Failure;
use crate::source::{self, AnyPlanned, JobArgs};
use crate::{files, speak};
use clap::Args;

/// Check a job file: every problem at once, with its line and how to mend it
///
/// JOB may be - for standard input.
#[derive(Args)]
pub struct Check {
    #[command(flatten)]
    job: JobArgs,
}

/// # Errors
/// As [`source::any_planned`].
pub fn run(args: &Check) -> Result<(), Failure> {
    let (strings, warnings, stays) = match source::any_planned(&args.job)? {
        AnyPlanned::Saddle(done) => (done.plan.strings.len(), done.warnings, ""),
        AnyPlanned::NutAlone(done) => (done.nut.strings.len(), done.warnings, ", the saddle stays"),
    };
    let mut text = format!(
        "{}: in order, {}{stays}",
        files::shown(&args.job.path),
        speak::count(strings, "string")
    );
    if warnings > 0 {
        text += &format!(", {}", speak::count(warnings, "warning"));
    }
    speak::result(&format!("{text}.\n"))
}
