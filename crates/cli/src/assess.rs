//! `bonewright assess`: whether a saddle is the right remedy, and the survey as it will be after a neck set.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::plan::Bench;
use crate::source::{self, JobArgs, Planned};
use crate::speak;
use anyhow::anyhow;
use clap::Args;
use drawing::{AssessWords, SheetOptions};
use report::{Assessed, assess_json, assess_page, owner_sheet};
use std::path::{Path, PathBuf};
use units::BenchUnit;

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
    /// Write a sheet for the owner (SVG, PDF and PNG) into this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
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

/// Dots per inch of the picture of the sheet.
const DPI: f64 = 150.0;

/// # Errors
/// As [`source::planned`]; [`Failure::Job`] if no neck set can be written or the sheet cannot be drawn; [`Failure::File`] if a file
/// cannot be written.
pub fn run(args: &AssessArgs) -> Result<(), Failure> {
    if let Some(path) = &args.write_job {
        if files::is_stdin(path) || path.file_name().is_none() {
            return Err(Failure::Use("--write-job: name a file to write.".to_owned()));
        }
        if !args.force && path.symlink_metadata().is_ok() {
            return Err(Failure::File(anyhow!(
                "{} exists already and is not replaced. Give another name, or --force to replace it.",
                path.display()
            )));
        }
    }
    let done = source::planned(&args.job)?;
    let found = assess::assess(&done.survey, &done.plan, &done.job.assess);
    let of = Assessed {
        title: &done.job.title,
        plan: &done.plan,
        found: &found,
        bench: args.bench.map_or(done.job.bench, BenchUnit::from),
    };
    let text = if args.json {
        assess_json(&of).map_err(|why| Failure::file("the assessment could not be written", why))?
    } else {
        assess_page(&of, done.hazards())
    };
    if let Some(folder) = &args.out {
        sheets(args, &done, &of, folder)?;
    }
    if let Some(path) = &args.write_job {
        write_job(args, &done, &of, path)?;
    }
    speak::result(&text)
}

/// The sheet for the owner, as SVG, PDF and PNG.
fn sheets(args: &AssessArgs, done: &Planned, of: &Assessed, folder: &Path) -> Result<(), Failure> {
    let stem = source_stem(&args.job.path);
    let words = owner_sheet(of);
    let words = AssessWords {
        present: words.present,
        proposal: words.proposal,
        alternatives: words.alternatives,
        cautions: words.cautions,
    };
    let options = SheetOptions {
        paper: match done.job.paper {
            job::Paper::A4 => drawing::Paper::A4,
            job::Paper::Letter => drawing::Paper::Letter,
        },
        bench: of.bench,
        title: done.job.title.clone(),
        notes: Vec::new(),
    };
    let undrawn = |why: drawing::DrawingError| {
        speak::error(&format!("error: {why}. Nothing was written."));
        Failure::Job
    };
    let sheets = drawing::assess_sheets(of.plan, of.found, &words, &options).map_err(undrawn)?;
    let mut new = vec![NewFile {
        name: format!("{stem}-assess.pdf"),
        content: drawing::pdf(&sheets).map_err(undrawn)?,
    }];
    for (i, sheet) in sheets.iter().enumerate() {
        let name = |ending: &str| format!("{stem}-assess-{}.{ending}", i + 1);
        new.push(NewFile {
            name: name("svg"),
            content: sheet.svg().into_bytes(),
        });
        new.push(NewFile {
            name: name("png"),
            content: drawing::png(sheet, DPI).map_err(undrawn)?,
        });
    }
    files::write_all(folder, &new, args.force)?;
    speak::error(&format!("The sheet for the owner is in {}.", folder.display()));
    Ok(())
}

/// The name of the job without folder and ending.
fn source_stem(path: &Path) -> String {
    if files::is_stdin(path) {
        return "saddle".to_owned();
    }
    path.file_stem()
        .map_or_else(|| "saddle".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// The job for the saddle after the neck is set, looked through as any job is.
fn write_job(args: &AssessArgs, done: &Planned, of: &Assessed, path: &Path) -> Result<(), Failure> {
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
    let text =
        job::after_neck(&done.text, &done.job, &done.plan, &neck.survey).map_err(|why| refused(why.to_string()))?;
    let profiles = args.job.profiles.load()?;
    if let Err(problems) = job::read(&text, &profiles) {
        let first = problems.first().map_or_else(String::new, ToString::to_string);
        return Err(refused(format!(
            "the job for after the neck set would not be in order: {first}"
        )));
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    let file = NewFile {
        name: name.unwrap_or_default(),
        content: text.into_bytes(),
    };
    files::write_all(folder.unwrap_or(Path::new(".")), &[file], args.force)?;
    speak::error(&format!(
        "Written: {}. A neck set cannot be undone. Read relief, gaps and slot again when it is done.",
        path.display()
    ));
    Ok(())
}
