//! `bonewright plan`: the plan as a page, as JSON or as CSV.

use crate::failure::{Failure, unwritten};
use crate::part::PartArgs;
use crate::source::{self, JobArgs};
use crate::speak;
use clap::{Args, ValueEnum};
use machining::PartKind;
use units::BenchUnit;

/// Print contact point, height and cost of filing of every string
///
/// JOB may be - for standard input.
#[derive(Args)]
pub struct PlanJob {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    part: PartArgs,
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
    /// As the tools read: 64ths for the action, thou for feelers and calipers, fractions for the rule
    #[value(alias = "64ths")]
    Imperial,
    /// Millimetres
    #[value(alias = "mm")]
    Metric,
}

impl From<Bench> for BenchUnit {
    fn from(bench: Bench) -> Self {
        match bench {
            Bench::Thou => Self::THOU,
            Bench::Imperial => Self::IMPERIAL,
            Bench::Metric => Self::METRIC,
        }
    }
}

/// # Errors
/// As [`source::planned`]; [`Failure::Use`] for what the nut does not have.
pub fn run(args: &PlanJob) -> Result<(), Failure> {
    let planned = source::planned(&args.job)?.planned;
    let bench = args.bench.map_or(planned.job.bench, BenchUnit::from);
    // Other programs get the saddle unless they ask for the nut.
    let for_programs = args.json || args.csv;
    let usual: &[PartKind] = if for_programs {
        &[PartKind::Saddle]
    } else {
        &PartKind::ALL
    };
    let chosen = args.part.chosen(&planned, usual)?;
    let (done, parts) = (chosen.done, &chosen.parts);
    let text = if args.csv {
        let one = chosen.saddles();
        if parts.contains(&PartKind::Nut) {
            return Err(Failure::Use(
                "--csv holds the saddle alone. Take --json for the nut.".to_owned(),
            ));
        }
        let [saddle] = &one[..] else {
            return Err(Failure::Use(
                "--csv holds one saddle alone, and this job has several. Name one with --part, or take --json."
                    .to_owned(),
            ));
        };
        report::csv(saddle.plan).map_err(unwritten)?
    } else if args.json {
        report::plan_json(done, parts, bench).map_err(unwritten)?
    } else {
        report::plan_page(done, parts, bench)
    };
    speak::result(&text)?;
    source::made(source::may_be_made(&args.job.path, done, parts))
}
