//! `bonewright fit`: what the readings after stringing up say, and the job for a second saddle.

mod ask;
mod strings;

use crate::failure::{Failure, unwritten};
use crate::files::{self, NewFile};
use crate::part::{PartArgs, WhichPart, both_documents};
use crate::plan::Bench;
use crate::source::{self, AnyPlanned, JobArgs, NutPlanned, Planned};
use crate::speak;
use anyhow::anyhow;
use clap::Args;
use nut::NutPlan;
use report::{Fitted, Hazards};
use saddle::{Fit, FitLimits, Outcome, StrungString};
use std::path::{Path, PathBuf};
use strings::Strings;
use units::BenchUnit;

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
/// As [`source::any_planned`]; [`Failure::Job`] if readings are missing, have problems, or cannot be fitted, or if doubtful ones
/// should make a job; [`Failure::File`] if a file cannot be read or written.
pub fn run(args: &FitArgs) -> Result<(), Failure> {
    let stdin_twice = args.readings.as_deref().is_some_and(files::is_stdin) || args.ask;
    if files::is_stdin(&args.job.path) && stdin_twice {
        return Err(Failure::Use(
            "standard input cannot give both the job and the readings. Save the job as a file first.".to_owned(),
        ));
    }
    if let Some(path) = args.write_job.as_deref().filter(|_| !args.force) {
        if files::is_stdin(path) || path.file_name().is_none() {
            return Err(Failure::Use("--write-job: name a file to write.".to_owned()));
        }
        if path.symlink_metadata().is_ok() {
            return Err(Failure::File(anyhow!(
                "{} exists already and is not replaced. Give another name, or --force to replace it.",
                path.display()
            )));
        }
    }
    let done = match source::any_planned(&args.job)? {
        AnyPlanned::Saddle(done) => done,
        AnyPlanned::NutAlone(done) => return nut_alone(args, &done),
    };
    let job = &done.job;
    let bench = args.bench.map_or(job.bench, BenchUnit::from);
    let chosen = args.part.chosen(done.nut.as_ref(), WhichPart::Saddle)?;
    let read = readings(args, &Strings::from(&*done), job.strung.as_deref())?;
    let nut = chosen
        .nut
        .map(|nut| nut_side(args, &job.title, nut, &read, done.nut_hazards(), bench))
        .transpose()?;
    if let (Some(text), false) = (&nut, chosen.saddle) {
        return speak::result(text);
    }
    let limits = FitLimits {
        action: job.tolerance.band.action,
        cents: job.tolerance.band.cents,
        ..FitLimits::default()
    };
    let refused = |why: String| {
        speak::error(&format!("error: {}: {why}", files::shown(&args.job.path)));
        Failure::Job
    };
    let fit = saddle::fit(&done.survey, &read, &limits)
        .map_err(|error| refused(format!("the readings after stringing up cannot be fitted: {error}")))?;
    let fitted = Fitted {
        made: &done.plan,
        survey: &done.survey,
        read: &read,
        limits,
        fit: &fit,
    };
    let text = if args.json {
        report::fit_json(&job.title, &fitted, bench).map_err(unwritten)?
    } else {
        report::fit_page(&job.title, &fitted, done.hazards(), bench)
    };
    let text = match nut {
        None => text,
        Some(nut) if args.json => both_documents(&text, &nut),
        Some(nut) => format!("{nut}\n{text}"),
    };
    let Some(path) = &args.write_job else {
        return speak::result(&text);
    };
    if fit.outcome == Outcome::ReadAgain {
        speak::result(&text)?;
        return Err(refused(format!(
            "{} was not written, because a reading is doubtful. Take it again first.",
            path.display()
        )));
    }
    write_job(path, args, &done, &fit)?;
    let next = format!("Written: {0}\nNext: bonewright plan {0}\n", path.display());
    if args.json {
        speak::result(&text)?;
        speak::error(next.trim_end());
        return Ok(());
    }
    speak::result(&format!("{text}\n{next}"))
}

/// What is left to do in the slots of the nut, as a page or as JSON.
fn nut_side(
    args: &FitArgs,
    title: &str,
    nut: &NutPlan,
    read: &[StrungString],
    hazards: Hazards,
    bench: BenchUnit,
) -> Result<String, Failure> {
    if args.json {
        report::nut_fit_json(title, nut, read, bench).map_err(unwritten)
    } else {
        Ok(report::nut_fit_page(title, nut, read, hazards, bench))
    }
}

/// The nut for a saddle that stays.
fn nut_alone(args: &FitArgs, done: &NutPlanned) -> Result<(), Failure> {
    args.part.nut_alone()?;
    if args.write_job.is_some() {
        return Err(Failure::Use(
            "--write-job writes the job for a second saddle, but the saddle stays in this one.".to_owned(),
        ));
    }
    let job = &done.job;
    let read = readings(args, &Strings::from(done), job.strung.as_deref())?;
    let bench = args.bench.map_or(job.bench, BenchUnit::from);
    speak::result(&nut_side(args, &job.title, &done.nut, &read, done.hazards(), bench)?)
}

/// The readings of every string, bass to treble; `own` are those of the job.
fn readings(args: &FitArgs, strings: &Strings, own: Option<&[StrungString]>) -> Result<Vec<StrungString>, Failure> {
    if args.ask {
        return ask::readings(strings);
    }
    if let Some(path) = &args.readings {
        let text = files::read(path)?;
        let name = files::shown(path);
        return match strings.read(&text) {
            Ok((read, warnings)) => {
                source::tell(&name, &warnings);
                Ok(read)
            }
            Err(problems) => {
                source::tell(&name, &problems);
                speak::error(&format!("{name}: nothing was fitted."));
                Err(Failure::Job)
            }
        };
    }
    own.map(<[_]>::to_vec).ok_or_else(|| {
        speak::error(&format!(
            "error: {}: there are no readings after stringing up. Add a table [strung] with action_12 to the job, or give --readings FILE or --ask.",
            files::shown(&args.job.path)
        ));
        Failure::Job
    })
}

/// Writes the job for a second saddle, whole or not at all, once it is seen to be in order.
fn write_job(path: &Path, args: &FitArgs, done: &Planned, fit: &Fit) -> Result<(), Failure> {
    let unwritten = |why: String| {
        speak::error(&format!("error: {} was not written: {why}", path.display()));
        Failure::Job
    };
    let text = job::corrected(&done.text, fit, &done.job, None).map_err(|error| unwritten(error.to_string()))?;
    if let Err(problems) = job::read(&text, &args.job.profiles.load()?) {
        source::tell(&path.display().to_string(), &problems);
        return Err(unwritten(
            "what the readings taught makes no job that can be planned.".to_owned(),
        ));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let file = NewFile {
        name,
        content: text.into_bytes(),
    };
    files::write_all(folder, &[file], args.force)
}
