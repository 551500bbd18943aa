//! `bonewright plan`: the plan as a page, as JSON or as CSV.

use crate::failure::Failure;
use crate::source::{self, JobArgs};
use crate::speak;
use anyhow::anyhow;
use clap::{Args, ValueEnum};
use units::BenchUnit;

/// Print contact point, height and cost of filing of every string
///
/// JOB may be - for standard input.
#[derive(Args)]
pub struct PlanJob {
    #[command(flatten)]
    job: JobArgs,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print CSV, one row a string, all lengths in mm
    #[arg(long)]
    csv: bool,
    /// Unit shown first, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

/// A bench unit by its name.
#[derive(Clone, Copy, ValueEnum)]
pub enum Bench {
    /// Thousandths of an inch
    Thou,
    /// 64ths of an inch
    #[value(name = "64ths")]
    SixtyFourths,
    /// Millimetres
    Mm,
}

impl From<Bench> for BenchUnit {
    fn from(bench: Bench) -> Self {
        match bench {
            Bench::Thou => Self::Thou,
            Bench::SixtyFourths => Self::SixtyFourths,
            Bench::Mm => Self::Millimetre,
        }
    }
}

/// # Errors
/// As [`source::planned`].
pub fn run(args: &PlanJob) -> Result<(), Failure> {
    let done = source::planned(&args.job)?;
    let (title, plan, survey) = (&done.job.title, &done.plan, &done.job.survey);
    let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
    let unwritten = |why| Failure::file("the plan could not be written", anyhow!("{why}"));
    let text = if args.csv {
        report::csv(plan).map_err(|e| unwritten(e.to_string()))?
    } else {
        let notes = report::notes(plan, survey, bench);
        if args.json {
            report::json(title, plan, survey, &notes).map_err(|e| unwritten(e.to_string()))?
        } else {
            done.page(&notes, bench)
        }
    };
    speak::result(&text)
}
