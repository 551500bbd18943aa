//! `bonewright steps`: the work list.

use crate::failure::Failure;
use crate::plan::Bench;
use crate::source::{self, JobArgs};
use crate::speak;
use clap::Args;
use machining::PartKind;
use units::BenchUnit;

/// Print the work step by step, in the order that spoils nothing done before
///
/// With readings under [strung] in the job it says what is left after stringing up, too. JOB may be - for standard input.
#[derive(Args)]
pub struct StepsArgs {
    #[command(flatten)]
    job: JobArgs,
    /// Unit shown first, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

/// # Errors
/// As [`source::planned`]; [`Failure::Job`] if a part is not to be made as it stands.
pub fn run(args: &StepsArgs) -> Result<(), Failure> {
    let done = source::planned(&args.job)?.planned;
    let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
    speak::result(&report::steps_page(&done, bench))?;
    source::made(source::may_be_made(&args.job.path, &done, &PartKind::ALL))
}
