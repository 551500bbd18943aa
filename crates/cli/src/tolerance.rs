//! `bonewright tolerance`: how sure a plan is, by trying many instruments that may stand behind the readings.

use crate::failure::{Failure, unwritten};
use crate::part::PartArgs;
use crate::pictures::PictureArgs;
use crate::plan::Bench;
use crate::progress::Progress;
use crate::source::{self, JobArgs};
use crate::{files, speak};
use clap::Args;
use drawing::SheetSet;
use machining::PartKind;
use saddle::tolerance::{CONFIDENCE, LEAST_SAMPLES, MOST_SAMPLES};
use units::BenchUnit;
use work::{NutWork, Planned};

/// Say how sure the plan is, and which readings to take again
///
/// [tolerance] and [uncertainty] in the job say what counts as good and how sure each reading is. The same seed gives the same
/// numbers. JOB may be - for standard input.
#[derive(Args)]
pub struct ToleranceArgs {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    part: PartArgs,
    /// Instruments to try [default: of the job, or 20000]
    #[arg(long, value_name = "N", value_parser = samples)]
    samples: Option<usize>,
    /// Seed of the random numbers [default: of the job, or 1]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    seed: Option<u64>,
    /// How sure the height left proud should be: 0.95 or 95 % [default: of the job, or 95 %]
    #[arg(long, value_name = "C", value_parser = confidence)]
    confidence: Option<f64>,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    pictures: PictureArgs,
    /// Unit shown first, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

fn samples(text: &str) -> Result<usize, String> {
    text.parse()
        .ok()
        .filter(|n| (LEAST_SAMPLES..=MOST_SAMPLES).contains(n))
        .ok_or_else(|| format!("expected a whole number from {LEAST_SAMPLES} to {MOST_SAMPLES}"))
}

/// A chance as a share or in per cent.
pub fn confidence(text: &str) -> Result<f64, String> {
    let (number, scale) = match text.trim().strip_suffix('%') {
        Some(percent) => (percent, 100.0),
        None => (text, 1.0),
    };
    let (least, most) = (CONFIDENCE.start(), CONFIDENCE.end());
    let chance = number.trim().parse::<f64>().ok().map(|n| n / scale);
    chance.filter(|chance| CONFIDENCE.contains(chance)).ok_or_else(|| {
        let percent = 100.0;
        format!(
            "expected a chance from {least} to {most}, or from {} % to {} %",
            percent * least,
            percent * most
        )
    })
}

/// # Errors
/// As [`source::planned`]; [`Failure::Job`] if the uncertainties leave no instrument.
pub fn run(args: &ToleranceArgs) -> Result<(), Failure> {
    let planned = source::planned(&args.job)?.planned;
    let bench = args.bench.map_or(planned.job.bench, BenchUnit::from);
    let chosen = args.part.chosen(&planned, &[PartKind::Saddle])?;
    let mut sampling = planned.job.tolerance.sampling;
    sampling.samples = args.samples.unwrap_or(sampling.samples);
    sampling.seed = args.seed.unwrap_or(sampling.seed);
    sampling.confidence = args.confidence.unwrap_or(sampling.confidence);
    let nut = chosen
        .nut()
        .map(|nut| nut_text(args, chosen.done, &nut, sampling.confidence, bench))
        .transpose()?;
    let saddles = chosen.saddles();
    if saddles.is_empty() {
        args.pictures.saddle_only()?;
        return speak::result(&nut.unwrap_or_default());
    }
    let progress = Progress::of(sampling.samples * saddles.len());
    let mut worked = Vec::new();
    for saddle in &saddles {
        let sure = saddle.sureness(sampling, &|tried| progress.add(tried));
        worked.push(sure.map(|sure| (saddle, sure)));
    }
    drop(progress);
    let worked = worked.into_iter().collect::<Result<Vec<_>, _>>().map_err(|error| {
        speak::error(&format!(
            "error: {}: {error}. Look at [tolerance] and [uncertainty] in the job.",
            files::shown(&args.job.path)
        ));
        Failure::Job
    })?;
    args.pictures
        .write(&args.job.path, SheetSet::Tolerance, &worked, |(saddle, sure)| {
            Ok((saddle.job, drawing::tolerance_sheets_of(saddle, sure, bench)?))
        })?;
    if args.json {
        let mut texts = Vec::new();
        for (saddle, sure) in &worked {
            let text = report::tolerance_json(&saddle.job.title, sure).map_err(unwritten)?;
            texts.push((saddle.job, text));
        }
        return speak::result(&report::documents(texts, nut));
    }
    let pages = worked.iter().map(|(saddle, sure)| {
        let hazards = saddle.hazards();
        (report::tolerance_page(&saddle.job.title, sure, hazards, bench), hazards)
    });
    let text = report::pages_of(pages.collect());
    speak::result(&match nut {
        None => text,
        Some(nut) => format!("{text}\n{nut}"),
    })
}

/// How sure each slot is, as a page or as JSON. It is told to first order, so no instruments are tried.
fn nut_text(
    args: &ToleranceArgs,
    done: &Planned,
    nut: &NutWork,
    confidence: f64,
    bench: BenchUnit,
) -> Result<String, Failure> {
    let title = &done.job.title;
    let Some(sure) = done.nut_sureness(confidence) else {
        return Ok(String::new());
    };
    if args.json {
        report::nut_tolerance_json(title, &sure).map_err(unwritten)
    } else {
        Ok(report::nut_tolerance_page(title, &sure, nut.hazards(), bench))
    }
}
