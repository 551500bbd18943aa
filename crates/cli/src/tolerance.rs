//! `bonewright tolerance`: how sure a plan is, by trying many instruments that may stand behind the readings.

use crate::failure::{Failure, unwritten};
use crate::part::{PartArgs, WhichPart, both_documents};
use crate::pictures::{self, PictureArgs};
use crate::plan::Bench;
use crate::source::{self, AnyPlanned, JobArgs, NutPlanned};
use crate::{files, speak};
use clap::Args;
use nut::NutPlan;
use nut::tolerance::SlotSpread;
use report::{Hazards, Sureness};
use std::io::{IsTerminal, Write};
use std::ops::RangeInclusive;
use std::sync::Mutex;
use std::time::{Duration, Instant};
use units::BenchUnit;

/// Samples that may be asked for: fewer say nothing, more fill the memory.
const SAMPLES: RangeInclusive<usize> = 100..=1_000_000;
/// Confidences that may be asked for, in percent.
const CONFIDENCE: RangeInclusive<f64> = 50.0..=99.99;

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
        .filter(|n| SAMPLES.contains(n))
        .ok_or_else(|| format!("expected a whole number from {} to {}", SAMPLES.start(), SAMPLES.end()))
}

fn confidence(text: &str) -> Result<f64, String> {
    let (number, scale) = match text.trim().strip_suffix('%') {
        Some(percent) => (percent, 1.0),
        None => (text, 100.0),
    };
    number
        .trim()
        .parse::<f64>()
        .ok()
        .map(|n| n * scale)
        .filter(|percent| CONFIDENCE.contains(percent))
        .map(|percent| percent / 100.0)
        .ok_or_else(|| "expected a chance from 0.5 to 0.9999, or from 50 % to 99.99 %".to_owned())
}

/// # Errors
/// As [`source::any_planned`]; [`Failure::Job`] if the uncertainties leave no instrument.
pub fn run(args: &ToleranceArgs) -> Result<(), Failure> {
    let done = match source::any_planned(&args.job)? {
        AnyPlanned::Saddle(done) => done,
        AnyPlanned::NutAlone(done) => return nut_alone(args, &done),
    };
    let (job, plan) = (&done.job, &done.plan);
    let bench = args.bench.map_or(job.bench, BenchUnit::from);
    let chosen = args.part.chosen(done.nut.as_ref(), WhichPart::Saddle)?;
    let mut sampling = job.tolerance.sampling;
    sampling.samples = args.samples.unwrap_or(sampling.samples);
    sampling.seed = args.seed.unwrap_or(sampling.seed);
    sampling.confidence = args.confidence.unwrap_or(sampling.confidence);
    let band = job.tolerance.band;
    let bar = Bar::new(sampling.samples);
    let worked = saddle::tolerance::tolerance(&done.survey, plan, &job.uncertainty, band, sampling, &|tried| {
        bar.add(tried)
    });
    bar.clear();
    let tolerance = worked.map_err(|error| {
        speak::error(&format!(
            "error: {}: {error}. Look at [tolerance] and [uncertainty] in the job.",
            files::shown(&args.job.path)
        ));
        Failure::Job
    })?;
    let nut = chosen
        .nut
        .map(|nut| {
            let (made, action) = (&job.uncertainty, &tolerance.first_order.action);
            let spreads = nut::tolerance::tolerance(nut, made, action, sampling.confidence);
            nut_side(
                args,
                &job.title,
                (nut, &spreads, sampling.confidence),
                done.nut_hazards(),
                bench,
            )
        })
        .transpose()?;
    if let (Some(text), false) = (&nut, chosen.saddle) {
        args.pictures.saddle_only()?;
        return speak::result(text);
    }
    let sure = Sureness {
        plan,
        band,
        sampling,
        tolerance: &tolerance,
    };
    args.pictures.write(&args.job.path, "tolerance", || {
        let options = pictures::options(job, bench, sure.advice(bench));
        let name = |reading| sure.reading_words(reading, bench);
        drawing::tolerance_sheets(plan, &tolerance, band, &name, &options)
    })?;
    let text = if args.json {
        report::tolerance_json(&job.title, &sure).map_err(unwritten)?
    } else {
        report::tolerance_page(&job.title, &sure, done.hazards(), bench)
    };
    let text = match nut {
        None => text,
        Some(nut) if args.json => both_documents(&text, &nut),
        Some(nut) => format!("{text}\n{nut}"),
    };
    speak::result(&text)
}

/// How sure each slot is, as a page or as JSON; with the plan go the spreads and their confidence.
fn nut_side(
    args: &ToleranceArgs,
    title: &str,
    (nut, spreads, confidence): (&NutPlan, &[SlotSpread], f64),
    hazards: Hazards,
    bench: BenchUnit,
) -> Result<String, Failure> {
    if args.json {
        report::nut_tolerance_json(title, nut, spreads, confidence).map_err(unwritten)
    } else {
        Ok(report::nut_tolerance_page(title, nut, spreads, hazards, bench))
    }
}

/// The nut for a saddle that stays. It is told to first order, so no instruments are tried.
fn nut_alone(args: &ToleranceArgs, done: &NutPlanned) -> Result<(), Failure> {
    args.part.nut_alone()?;
    args.pictures.saddle_only()?;
    let (job, made) = (&done.job, &done.job.uncertainty);
    let bench = args.bench.map_or(job.bench, BenchUnit::from);
    let confidence = args.confidence.unwrap_or(job.tolerance.sampling.confidence);
    let action = job.survey.action_spread(made);
    let spreads = nut::tolerance::tolerance(&done.nut, made, &action, confidence);
    let text = nut_side(
        args,
        &job.title,
        (&done.nut, &spreads, confidence),
        done.hazards(),
        bench,
    )?;
    speak::result(&text)
}

/// Work shorter than this shows no bar.
const QUIET: Duration = Duration::from_millis(700);
/// Time between two states of the bar.
const EVERY: Duration = Duration::from_millis(100);
/// Cells of the bar.
const CELLS: usize = 40;

/// A line on standard error that tells how far the work is, if it is long and someone looks.
struct Bar {
    all: usize,
    looks: bool,
    state: Mutex<State>,
}

struct State {
    done: usize,
    next: Instant,
    shown: bool,
}

impl Bar {
    fn new(all: usize) -> Self {
        Self {
            all,
            looks: std::io::stderr().is_terminal(),
            state: Mutex::new(State {
                done: 0,
                next: Instant::now() + QUIET,
                shown: false,
            }),
        }
    }

    fn add(&self, done: usize) {
        // A poisoned lock is another thread's panic: show nothing more.
        let Ok(mut state) = self.state.lock() else { return };
        state.done += done;
        let now = Instant::now();
        if !self.looks || now < state.next {
            return;
        }
        state.next = now + EVERY;
        state.shown = true;
        let full = (CELLS * state.done / self.all).min(CELLS);
        let bar = format!("{}{}", "#".repeat(full), ".".repeat(CELLS - full));
        // If standard error is closed, there is no one to tell.
        let mut err = std::io::stderr().lock();
        let _ = write!(err, "\r[{bar}] {} of {}", state.done, self.all).and_then(|()| err.flush());
    }

    fn clear(&self) {
        if self.state.lock().is_ok_and(|state| state.shown) {
            let mut err = std::io::stderr().lock();
            let _ = write!(err, "\r{}\r", " ".repeat(79)).and_then(|()| err.flush());
        }
    }
}
