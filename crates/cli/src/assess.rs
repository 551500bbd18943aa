//! `bonewright assess`: whether a saddle is the right remedy, and the survey as it will be after a neck set.

use crate::failure::Failure;
use crate::files;
use crate::plan::Bench;
use crate::source::{self, Done, JobArgs, Target};
use crate::{pictures, speak};
use clap::Args;
use drawing::SheetSet;
use report::{Assessed, assess_json, assess_page};
use std::path::{Path, PathBuf};
use units::BenchUnit;
use work::{Hazards, Planned, SaddleWork};

/// Say whether a saddle is the right remedy, or relief, nut, slot, neck or bridge
///
/// Prints findings ranked by what to do first, each with its figure, its limit and where the limit comes from, and whether the
/// remedy can be undone. JOB may be - for standard input. It is a comparison, not a promise.
#[derive(Args)]
pub struct AssessArgs {
    #[command(flatten)]
    job: JobArgs,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
    /// Write sheets for the owner (SVG, PDF and PNG) into this folder: what is proposed, and, with readings after stringing up ([strung]
    /// of the job), what was done
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// A file with a table [strung], instead of the job's own, for the sheet after the work
    #[arg(long, value_name = "FILE", requires = "out")]
    readings: Option<PathBuf>,
    /// Write the job to plan the saddle with after the neck is set
    #[arg(long, value_name = "FILE")]
    write_job: Option<PathBuf>,
    /// Replace files of the same name
    #[arg(long)]
    force: bool,
    /// Unit shown first, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

/// # Errors
/// As [`source::planned`]; [`Failure::Job`] if no neck set can be written or the sheet cannot be drawn; [`Failure::File`] if a file
/// cannot be written.
pub fn run(args: &AssessArgs) -> Result<(), Failure> {
    let target = args
        .write_job
        .as_deref()
        .map(|path| source::may_write(path, args.force));
    let target = target.transpose()?;
    if files::is_stdin(&args.job.path) && args.readings.as_deref().is_some_and(files::is_stdin) {
        return Err(Failure::Use(source::STDIN_TWICE.to_owned()));
    }
    let done = source::planned(&args.job)?;
    if done.planned.is_split() {
        return several(args, &done);
    }
    let saddle = done.saddle()?;
    let found = saddle.assess();
    let stops = saddle.stops();
    let of = Assessed::of(
        &saddle,
        &found,
        &stops,
        args.bench.map_or(saddle.job.bench, BenchUnit::from),
    );
    let text = if args.json {
        assess_json(&of).map_err(|why| Failure::file("the assessment could not be written", why))?
    } else {
        assess_page(&of, saddle.hazards())
    };
    if let Some(folder) = &args.out {
        owner_sheets(args, folder, &saddle, &of)?;
    }
    if let (Some(path), Some(target)) = (&args.write_job, &target) {
        write_job(args, &done, &of, path, target)?;
    }
    speak::result(&text)?;
    source::made(stops.is_empty())
}

/// The owner's sheet before the work, and the one after it where there are readings.
fn owner_sheets(args: &AssessArgs, folder: &Path, saddle: &SaddleWork, of: &Assessed) -> Result<(), Failure> {
    let read = match &args.readings {
        Some(path) => Some(source::strung(
            path,
            saddle.job,
            &args.job.load_profiles()?,
            "no sheet was drawn",
        )?),
        None => saddle.job.strung.clone(),
    };
    let after = read.map(|read| saddle.handed_back(&read)).transpose().map_err(|why| {
        speak::error(&format!(
            "error: {}: the readings after stringing up cannot be fitted: {why}. No sheet was drawn.",
            files::shown(&args.job.path)
        ));
        Failure::Job
    })?;
    let before = drawing::owner_sheets_of(saddle, of.found, of.bench);
    let after = after.map(|after| drawing::handed_back_sheets_of(saddle, &after, of.bench));
    let sets = std::iter::once((SheetSet::Owner, before)).chain(after.map(|after| (SheetSet::HandedBack, after)));
    let drawn = sets.map(|(set, sheets)| Ok((set, saddle.job, sheets?)));
    let names = pictures::write(folder, &args.job.path, args.force, drawn)?;
    speak::error(&format!(
        "For the owner, in {}: {}.",
        folder.display(),
        names.join(", ")
    ));
    Ok(())
}

/// Several saddles: what is of the instrument once, and what is of each.
fn several(args: &AssessArgs, done: &Done) -> Result<(), Failure> {
    let (planned, saddles) = (&done.planned, || done.planned.saddles().filter_map(Planned::saddle));
    if args.out.is_some() || args.write_job.is_some() {
        return Err(Failure::Use(
            "--out and --write-job speak of one saddle that carries all strings, and this job has several: how far its neck would \
             have to be set is not worked out for them. Leave both out."
                .to_owned(),
        ));
    }
    let bench = args.bench.map_or(planned.job.bench, BenchUnit::from);
    let found: Vec<_> = saddles()
        .map(|saddle| (saddle, saddle.assess(), saddle.stops()))
        .collect();
    let told: Vec<(Assessed, Hazards)> = found
        .iter()
        .map(|(saddle, found, stops)| {
            let of = Assessed::of(saddle, found, stops, bench);
            (of, saddle.hazards())
        })
        .collect();
    if args.json {
        let mut texts = Vec::new();
        for ((of, _), saddle) in told.iter().zip(saddles()) {
            let text = assess_json(of).map_err(|why| Failure::file("the assessment could not be written", why))?;
            texts.push((saddle.job, text));
        }
        speak::result(&report::documents(texts, None))?;
    } else {
        speak::result(&report::assess_pages(&planned.job.title, &told))?;
    }
    source::made(found.iter().all(|(_, _, stops)| stops.is_empty()))
}

/// The job for the saddle after the neck is set, looked through as any job is.
fn write_job(args: &AssessArgs, done: &Done, of: &Assessed, path: &Path, target: &Target) -> Result<(), Failure> {
    let refused = |why: String| {
        speak::error(&format!(
            "error: {}: {why}. Nothing was written.",
            files::shown(&args.job.path)
        ));
        Failure::Job
    };
    let Some(neck) = &of.found.neck else {
        return Err(refused(
            "no job for after a neck set: it needs the depth of the slot, and an angle of at most 6 degrees that gives the wanted exposure"
                .to_owned(),
        ));
    };
    let text = job::after_neck(&done.text, &done.planned.job, of.plan, &neck.survey)
        .map_err(|why| refused(why.to_string()))?;
    let profiles = args.job.load_profiles()?;
    if let Err(problems) = job::read(&text, &profiles) {
        let first = problems.first().map_or_else(String::new, ToString::to_string);
        return Err(refused(format!(
            "the job for after the neck set would not be in order: {first}"
        )));
    }
    target.write(&text)?;
    speak::error(&format!(
        "Written: {}. A neck set cannot be undone. Read relief, gaps and slot again when it is done.",
        path.display()
    ));
    Ok(())
}
