//! `bonewright plan`: the plan as a page, as JSON or as CSV.

use crate::failure::Failure;
use crate::part::{Part, PartArgs, both_documents};
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
    let (title, plan) = (&done.job.title, &done.plan);
    let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
    // Other programs get the saddle unless they ask for the nut.
    let usual = if args.json || args.csv {
        Part::Saddle
    } else {
        Part::Both
    };
    let chosen = args.part.chosen(&done, usual)?;
    let unwritten = |why| Failure::file("the plan could not be written", anyhow!("{why}"));
    let text = if args.csv {
        if chosen.nut.is_some() {
            return Err(Failure::Use(
                "--csv holds the saddle alone. Take --json for the nut.".to_owned(),
            ));
        }
        report::csv(plan).map_err(|e| unwritten(e.to_string()))?
    } else if args.json {
        let notes = report::notes(plan, &done.survey, bench);
        let saddle = || report::json(title, plan, &done.survey, &notes).map_err(|e| unwritten(e.to_string()));
        match (chosen.saddle, chosen.nut) {
            (_, None) => saddle()?,
            (both, Some(nut)) => {
                let notes = report::nut_notes(nut, bench);
                let nut = report::nut_json(title, nut, &notes).map_err(|e| unwritten(e.to_string()))?;
                if both { both_documents(&saddle()?, &nut) } else { nut }
            }
        }
    } else {
        done.pages(&chosen, bench)
    };
    speak::result(&text)
}
