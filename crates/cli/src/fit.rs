//! `bonewright fit`: what the readings after stringing up say, and the job for a second saddle.

mod ask;

use crate::failure::{Failure, unwritten};
use crate::files;
use crate::part::PartArgs;
use crate::plan::Bench;
use crate::source::{self, Done, JobArgs, Target};
use crate::speak;
use clap::Args;
use instrument::StrungString;
use job::{Job, StrungReadings};
use machining::PartKind;
use saddle::Fit;
use std::path::{Path, PathBuf};
use units::BenchUnit;
use work::{NutWork, Whole};

/// Say what is left to do after stringing up
///
/// Per string: lower by, move the ridge by, and what comes of it. The readings, taken at pitch, stand in [strung] of the job,
/// in a second file, or are asked one by one. JOB may be - for standard input.
#[derive(Args)]
pub struct FitArgs {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    part: PartArgs,
    /// A file with a table [strung], instead of the job's own
    #[arg(long, value_name = "FILE")]
    readings: Option<PathBuf>,
    /// Ask for the readings one by one
    #[arg(long, conflicts_with = "readings")]
    ask: bool,
    /// What the answers are read with: a tool of the profiles, again for each further one
    #[arg(long, value_name = "TOOL", requires = "ask")]
    with: Vec<String>,
    /// Write the job for a second saddle, with what these readings taught
    #[arg(long, value_name = "FILE")]
    write_job: Option<PathBuf>,
    /// Replace that file if it is there
    #[arg(long, requires = "write_job")]
    force: bool,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
    /// Unit shown first, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

/// # Errors
/// As [`source::planned`]; [`Failure::Job`] if readings are missing, have problems, or cannot be fitted, or if doubtful ones
/// should make a job; [`Failure::File`] if a file cannot be read or written.
pub fn run(args: &FitArgs) -> Result<(), Failure> {
    let stdin_twice = args.readings.as_deref().is_some_and(files::is_stdin) || args.ask;
    if files::is_stdin(&args.job.path) && stdin_twice {
        return Err(Failure::Use(source::STDIN_TWICE.to_owned()));
    }
    let target = args
        .write_job
        .as_deref()
        .map(|path| source::may_write(path, args.force));
    let target = target.transpose()?;
    let source = source::planned(&args.job)?;
    let done = &source.planned;
    let job = &done.job;
    let bench = args.bench.map_or(job.bench, BenchUnit::from);
    let chosen = args.part.chosen(done, &[PartKind::Saddle])?;
    if args.write_job.is_some() && job.saddle_stays() {
        return Err(Failure::Use(
            "--write-job writes the job for a second saddle, but the saddle stays in this one.".to_owned(),
        ));
    }
    if args.write_job.is_some() && done.is_split() {
        return Err(Failure::Use(
            "--write-job writes the job for a second saddle where one carries all strings, and this job has several. Change what \
             these readings taught in the job by hand."
                .to_owned(),
        ));
    }
    let read = readings(args, job)?;
    let nut = chosen.nut();
    let nut = nut.map(|nut| nut_text(args, &nut, &read, bench)).transpose()?;
    let refused = |why: String| {
        speak::error(&format!("error: {}: {why}", files::shown(&args.job.path)));
        Failure::Job
    };
    let mut fits = Vec::new();
    let meant = chosen.saddles();
    for (one, read) in done.read_by_saddle(&read) {
        let Some(saddle) = one
            .saddle()
            .filter(|one| meant.iter().any(|meant| meant.job.name == one.job.name))
        else {
            continue;
        };
        let which = saddle.job.name.as_ref();
        let which = which.map_or_else(String::new, |name| format!(" of the {name} saddle"));
        let fitted = saddle.fit(read).map_err(|error| {
            refused(format!(
                "the readings after stringing up{which} cannot be fitted: {error}"
            ))
        })?;
        fits.push((saddle, fitted));
    }
    let [(_, fitted), ..] = &fits[..] else {
        return speak::result(&nut.unwrap_or_default());
    };
    let text = if args.json {
        let mut texts = Vec::new();
        for (saddle, fitted) in &fits {
            let text = report::fit_json(&saddle.job.title, fitted, bench).map_err(unwritten)?;
            texts.push((saddle.job, text));
        }
        report::documents(texts, nut)
    } else {
        let pages = fits.iter().map(|(saddle, fitted)| {
            let hazards = saddle.hazards();
            (report::fit_page(&saddle.job.title, fitted, hazards, bench), hazards)
        });
        let each: Vec<_> = fits.iter().map(|(saddle, fitted)| (saddle.job, fitted)).collect();
        let text = report::fits_headline(&job.title, &each, bench) + &report::pages_of(pages.collect());
        match nut {
            None => text,
            Some(nut) => format!("{nut}\n{text}"),
        }
    };
    let (Some(path), Some(target)) = (&args.write_job, &target) else {
        return speak::result(&text);
    };
    if fitted.whole() == Whole::ReadAgain {
        speak::result(&text)?;
        return Err(refused(format!(
            "{} was not written, because a reading is doubtful. Take it again first.",
            path.display()
        )));
    }
    write_job(path, target, args, &source, &fitted.fit)?;
    let next = format!("Written: {0}\nNext: bonewright plan {0}\n", path.display());
    if args.json {
        speak::result(&text)?;
        speak::error(next.trim_end());
        return Ok(());
    }
    speak::result(&format!("{text}\n{next}"))
}

/// What is left to do in the slots of the nut, as a page or as JSON.
fn nut_text(args: &FitArgs, nut: &NutWork, read: &[StrungString], bench: BenchUnit) -> Result<String, Failure> {
    let title = &nut.job.title;
    if args.json {
        report::nut_fit_json(title, &nut.slots(read), bench).map_err(unwritten)
    } else {
        Ok(report::nut_fit_page(title, &nut.slots(read), nut.hazards(), bench))
    }
}

/// The readings of every string, bass to treble: as named, asked, or of the job itself.
fn readings(args: &FitArgs, job: &Job) -> Result<StrungReadings, Failure> {
    if args.ask {
        return ask::readings(job, &args.with, &args.job.load_profiles()?);
    }
    if let Some(path) = &args.readings {
        return source::strung(path, job, &args.job.load_profiles()?, "nothing was fitted");
    }
    job.strung.clone().ok_or_else(|| {
        speak::error(&format!(
            "error: {}: there are no readings after stringing up. Add a table [strung] with action_12 to the job, or give --readings FILE or --ask.",
            files::shown(&args.job.path)
        ));
        Failure::Job
    })
}

/// Writes the job for a second saddle, whole or not at all, once it is seen to be in order.
fn write_job(path: &Path, target: &Target, args: &FitArgs, done: &Done, fit: &Fit) -> Result<(), Failure> {
    let unwritten = |why: String| {
        speak::error(&format!("error: {} was not written: {why}", path.display()));
        Failure::Job
    };
    let text =
        job::corrected(&done.text, fit, &done.planned.job, None).map_err(|error| unwritten(error.to_string()))?;
    if let Err(problems) = job::read(&text, &args.job.load_profiles()?) {
        source::tell(&path.display().to_string(), &problems);
        return Err(unwritten(
            "what the readings taught makes no job that can be planned.".to_owned(),
        ));
    }
    target.write(&text)
}
