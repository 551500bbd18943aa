//! `bonewright measure`: what to read next, so that the plan becomes as sure as is wished.

use crate::failure::{Failure, unwritten};
use crate::plan::Bench;
use crate::source::{self, JobArgs};
use crate::tolerance::confidence;
use crate::tools::tools;
use crate::{files, part, speak};
use clap::Args;
use machining::PartKind;
use units::BenchUnit;
use work::{NextAsk, Planned, SaddleWork, Shop, WISHED};

/// Say what to read next, so that the plan becomes sure
///
/// By kinds and by single readings: what to read, where, with which tool of the profiles, and the chance after it that every string ends in
/// tolerance. A recording is offered only with --with recording. JOB may be - for standard input.
#[derive(Args)]
pub struct MeasureArgs {
    #[command(flatten)]
    job: JobArgs,
    /// The one of several saddles that is meant, by its name
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// Chance that is wished for: 0.9 or 90 %
    #[arg(long, value_name = "C", value_parser = confidence, default_value_t = WISHED)]
    chance: f64,
    /// Tools that are there too, though not every shop has them
    #[arg(long, value_name = "TOOL,..", value_delimiter = ',')]
    with: Vec<String>,
    /// Tools that are not to be used
    #[arg(long, value_name = "TOOL,..", value_delimiter = ',')]
    without: Vec<String>,
    /// The visit on which it will be read: 1 is the sitting of the survey
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=MOST_VISITS))]
    visit: u32,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
    /// Unit shown first, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

/// Most visits that a job counts.
const MOST_VISITS: i64 = 99;

/// # Errors
/// As [`source::planned`]; [`Failure::Use`] if the job makes no saddle or a tool is unknown; [`Failure::Job`] if the uncertainties leave no
/// instrument.
pub fn run(args: &MeasureArgs) -> Result<(), Failure> {
    let profiles = args.job.load_profiles()?;
    let (with, without) = (
        tools("--with", &args.with, &profiles)?,
        tools("--without", &args.without, &profiles)?,
    );
    let done = source::planned_with(&args.job, &profiles)?;
    let bench = args.bench.map_or(done.planned.job.bench, BenchUnit::from);
    let chosen: &Planned = match &args.part {
        Some(name) => part::of_name(&done.planned, name)?.done,
        None => &done.planned,
    };
    if !chosen.makes(PartKind::Saddle) {
        return Err(Failure::Use(
            "this job makes a nut alone: it has no [slot] and no [blank], so the saddle stays. \"measure\" is about a saddle that is made; \
             \"bonewright tolerance\" says how sure each slot of the nut is."
                .to_owned(),
        ));
    }
    let shop = Shop {
        profiles: &profiles,
        with: &with,
        without: &without,
        visit: args.visit,
    };
    let ask = NextAsk {
        wished: args.chance,
        ..NextAsk::default()
    };
    let saddles: Vec<SaddleWork> = chosen.saddles().filter_map(Planned::saddle).collect();
    let (mut texts, mut pages) = (Vec::new(), Vec::new());
    for saddle in &saddles {
        let next = saddle.next(&shop, &ask).map_err(|error| {
            speak::error(&format!(
                "error: {}: {error}. Look at [tolerance] and [uncertainty] in the job.",
                files::shown(&args.job.path)
            ));
            Failure::Job
        })?;
        let job = saddle.job;
        let numbers: Vec<u32> = job.instrument.strings.iter().map(|s| s.number).collect();
        if args.json {
            let text = report::measure_json(&job.title, &next, &numbers).map_err(unwritten)?;
            texts.push((job, text));
        } else {
            let hazards = saddle.hazards();
            pages.push((
                report::measure_page(&job.title, &next, &numbers, hazards, bench),
                hazards,
            ));
        }
    }
    speak::result(&if args.json {
        report::documents(texts, None)
    } else {
        report::pages_of(pages)
    })
}
