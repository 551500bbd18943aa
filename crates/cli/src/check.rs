//! `bonewright check`: the whole survey at once, and whether it can be planned.

use crate::failure::Failure;
use crate::pictures::PictureArgs;
use crate::source::{self, JobArgs};
use crate::{files, speak};
use clap::Args;
use drawing::SheetSet;
use machining::PartKind;
use work::{Planned, Rounds};

/// Check a job file: every problem at once, with its line and how to mend it
///
/// With --out it draws what was read: a mark at every reading's place, thick where it is unsure, struck through where it is doubted. JOB may
/// be - for standard input.
#[derive(Args)]
pub struct Check {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    pictures: PictureArgs,
}

/// # Errors
/// As [`source::planned`]; [`Failure::File`] if the sheets cannot be written.
pub fn run(args: &Check) -> Result<(), Failure> {
    let done = source::read(&args.job, &args.job.load_profiles()?)?;
    // Also of what cannot be planned, or is not to be made as it stands: it shows which readings are why.
    drawn(args, &done.planned)?;
    let done = done.whole(&args.job.path)?;
    if !source::may_be_made(&args.job.path, &done.planned, &PartKind::ALL) {
        return Err(Failure::Job);
    }
    let (job, warnings) = (&done.planned.job, done.warnings.len());
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

/// What was read, on a sheet if a folder is given: of several saddles each has its own. Nothing where the readings do not tell an instrument.
fn drawn(args: &Check, done: &Planned) -> Result<(), Failure> {
    let read: Vec<(&Planned, Rounds)> = done
        .surveyed()
        .into_iter()
        .filter_map(|one| Some((one, one.rounds()?)))
        .collect();
    if read.is_empty() {
        return Ok(());
    }
    let bench = done.job.bench;
    args.pictures
        .write(&args.job.path, SheetSet::Read, &read, |(one, rounds)| {
            Ok((&one.job, drawing::read_sheets_of(&one.job, rounds, bench)?))
        })
}
