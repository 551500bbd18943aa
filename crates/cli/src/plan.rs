//! `bonewright plan`: the plan as a page, as JSON or as CSV.

use crate::failure::{Failure, unwritten};
use crate::part::{PartArgs, WhichPart, both_documents};
use crate::source::{self, AnyPlanned, JobArgs, NutPlanned};
use crate::speak;
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
/// As [`source::any_planned`]; [`Failure::Use`] for what the nut does not have.
pub fn run(args: &PlanJob) -> Result<(), Failure> {
    let done = match source::any_planned(&args.job)? {
        AnyPlanned::Saddle(done) => done,
        AnyPlanned::NutAlone(done) => return nut_alone(args, &done),
    };
    let (title, plan) = (&done.job.title, &done.plan);
    let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
    // Other programs get the saddle unless they ask for the nut.
    let usual = if args.json || args.csv {
        WhichPart::Saddle
    } else {
        WhichPart::Both
    };
    let chosen = args.part.chosen(done.nut.as_ref(), usual)?;
    let text = if args.csv {
        if chosen.nut.is_some() {
            return Err(no_csv());
        }
        report::csv(plan).map_err(unwritten)?
    } else if args.json {
        let notes = report::notes(plan, &done.survey, bench);
        let saddle = || report::json(title, plan, &done.survey, &notes).map_err(unwritten);
        match (chosen.saddle, chosen.nut) {
            (_, None) => saddle()?,
            (both, Some(nut)) => {
                let notes = report::nut_notes(nut, bench);
                let nut = report::nut_json(title, nut, &notes).map_err(unwritten)?;
                if both { both_documents(&saddle()?, &nut) } else { nut }
            }
        }
    } else {
        done.pages(&chosen, bench)
    };
    speak::result(&text)
}

fn no_csv() -> Failure {
    Failure::Use("--csv holds the saddle alone. Take --json for the nut.".to_owned())
}

/// The nut for a saddle that stays.
fn nut_alone(args: &PlanJob, done: &NutPlanned) -> Result<(), Failure> {
    args.part.nut_alone()?;
    let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
    if args.csv {
        return Err(no_csv());
    }
    if !args.json {
        return speak::result(&done.page(bench));
    }
    let notes = report::nut_notes(&done.nut, bench);
    speak::result(&report::nut_json(&done.job.title, &done.nut, &notes).map_err(unwritten)?)
}
